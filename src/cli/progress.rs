//! A bar for work that takes long.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use gapbook::progress::Progress;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// How long work goes on in silence: shorter, a bar only flickers.
const PATIENCE: Duration = Duration::from_millis(300);

/// A bar on standard error, shown on a terminal once the work has taken long; it wipes itself.
#[derive(Debug)]
pub(super) struct Bar {
    drawn: ProgressBar,
    since: Instant,
    shown: AtomicBool,
}

impl Bar {
    /// Returns a bar that is not shown yet.
    pub(super) fn new() -> Self {
        let style = ProgressStyle::with_template("{msg} {bar:40} {human_pos} of {human_len}")
            .expect("invariant: the template is well formed");
        let hidden = ProgressDrawTarget::hidden();
        #[expect(
            clippy::disallowed_methods,
            reason = "how long a person waits; nothing that is printed depends on it"
        )]
        let since = Instant::now();
        Self {
            drawn: ProgressBar::with_draw_target(Some(0), hidden).with_style(style),
            since,
            shown: AtomicBool::new(false),
        }
    }
}

impl Progress for Bar {
    fn begin(&self, what: &'static str, steps: usize) {
        self.drawn.set_position(0);
        self.drawn.set_length(steps as u64);
        self.drawn.set_message(what);
    }

    fn step(&self) {
        self.drawn.inc(1);
        let due = self.since.elapsed() >= PATIENCE;
        if due && !self.shown.swap(true, Ordering::Relaxed) {
            // Where standard error is no terminal this target stays silent.
            self.drawn.set_draw_target(ProgressDrawTarget::stderr());
        }
    }
}

impl Drop for Bar {
    fn drop(&mut self) {
        self.drawn.finish_and_clear();
    }
}
