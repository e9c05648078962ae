//! Where the program prints: standard output for what was asked, standard error for the rest.

use std::io::{self, BufWriter, ErrorKind, Write};

use clap::builder::styling::{AnsiColor, Style};
use gapbook::Failure;
use terminal_size::{Width, terminal_size_of};

use super::text;

/// Headings, and what to look at first.
pub(super) const BOLD: Style = Style::new().bold();

/// What is said only for completeness.
pub(super) const DIM: Style = Style::new().dimmed();

/// What went wrong.
pub(super) const ERROR: Style = AnsiColor::Red.on_default().bold();

/// What could hurt somebody or something.
pub(super) const WARNING: Style = AnsiColor::Yellow.on_default().bold();

/// What comes with advice.
pub(super) const ADVICE: Style = AnsiColor::Cyan.on_default().bold();

/// Columns of an output that is not a terminal and says nothing of its own.
const USUAL_WIDTH: usize = 100;

/// Writes to standard output, with styles where it is a terminal.
///
/// A closed pipe ends the output, not the program: whoever reads has seen enough.
///
/// # Errors
/// When the output cannot be written for another reason.
pub(super) fn print(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
    let mut out = BufWriter::new(anstream::stdout().lock());
    match write(&mut out).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::new(format!("could not write the output: {error}")))
        }
        _ => Ok(()),
    }
}

/// Says something beside the output.
pub(super) fn remark(text: &str) {
    // Nobody is left to tell when standard error is closed.
    writeln!(anstream::stderr(), "{text}").ok();
}

/// Says why the program could not do what it was asked.
pub(super) fn complain(failure: &Failure) {
    remark(&format!(
        "{ERROR}error:{ERROR:#} {}",
        text::rendered(&failure.to_string())
    ));
}

/// Returns the columns there are to write in.
pub(super) fn width() -> usize {
    #[expect(
        clippy::disallowed_methods,
        reason = "the command line is where the environment is read"
    )]
    let columns = || std::env::var("COLUMNS").ok()?.parse().ok();
    terminal_size_of(io::stdout())
        .map(|(Width(columns), _)| usize::from(columns))
        .or_else(columns)
        .unwrap_or(USUAL_WIDTH)
}
