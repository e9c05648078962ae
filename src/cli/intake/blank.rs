//! A job's skeleton, to fill in with an editor.

use std::fmt::Write as _;

use gapbook::Failure;
use gapbook::record::Date;

use super::question::zones;
use super::{Subject, dialogue, draft, job};
use crate::cli::Outcome;
use crate::cli::text::line;

/// What may be filled in before the zones: commented out, so that what is not known is not there.
const BEFORE: &str = "\
# revision = \"…\"                # as printed on the board
# reason = \"…\"                  # why it was opened
# paste = \"…\"                   # a key of stock/pastes.toml
# note = \"\"\"…\"\"\"

# [instrument]
# kind = \"caliper\"              # caliper, micrometer, gauge
# resolution_mm = 0.01
# max_error_mm = 0.03

# [before]                      # under steady load, before it is opened
# ambient_c = 23.0
# heat_w = 230.0
# die_c = 80.0
# hotspot_c = 95.0
# memory_c = 88.0
# throttling = false
# crashing = false
";

/// What may be filled in after the zones.
const AFTER: &str = "
# [after]                       # the same load, after it is closed
# ambient_c = 23.0
# heat_w = 230.0
# die_c = 70.0
# hotspot_c = 82.0
# memory_c = 80.0
# throttling = false
";

/// Writes a skeleton and says where it is.
pub(super) fn run(subject: &Subject<'_>, date: Date, bench: &str) -> Result<Outcome, Failure> {
    let name = draft::free_name(&subject.jobs, date, bench)?;
    let path = draft::write(&subject.jobs, &name, &skeleton(subject, date, bench))?;
    dialogue::declare(subject, &path, "Take the `#` from the lines you fill in.")
}

fn skeleton(subject: &Subject<'_>, date: Date, bench: &str) -> String {
    let board = subject.board;
    let mut text = job::begun(subject, date, bench).written();
    text.push_str(BEFORE);
    let zones = zones(board, None);
    let name = |zone: usize| line(&board.zone_name(zone));
    for &zone in &zones {
        let written = &board.record.zone[zone];
        let expected = written
            .pad_mm
            .map_or_else(|| "not known".to_owned(), |pad_mm| format!("{pad_mm:?} mm"));
        let only = match board.revisions_of_zone(zone) {
            [] => String::new(),
            only => format!(", {} only", line(&only.join(", "))),
        };
        write!(
            text,
            "\n# {}; expected: {expected}{only}\n# [[reading]]\n# zone = \"{}\"\n\
             # edge_mm = []                  # where nothing squeezed it\n\
             # imprint_mm = []               # where the part did\n",
            name(zone),
            written.id
        )
        .expect("invariant: a string takes any text");
    }
    for &zone in &zones {
        let written = &board.record.zone[zone];
        let id = &written.id;
        let pad_mm = written
            .pad_mm
            .map_or_else(|| "…".to_owned(), |pad_mm| format!("{pad_mm:?}"));
        write!(
            text,
            "\n# {}\n# [[fitted]]\n# zone = \"{id}\"\n# pad_mm = {pad_mm}\n# pad = \"…\"\n",
            name(zone)
        )
        .expect("invariant: a string takes any text");
    }
    text + AFTER
}
