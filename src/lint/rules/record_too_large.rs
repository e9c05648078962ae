use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::{FaultKind, LARGEST_RECORD};

declare_rule! {
    /// Looks for records of more than 1 MiB.
    ///
    /// ## Why
    ///
    /// The largest board that can be believed needs a hundredth of that. A larger file is something else
    /// under a record's name, or is meant to keep the machine busy; it is not read.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside.toml
    /// # size: 1048577
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside"
    /// ```
    ///
    /// ## What to do
    ///
    /// Keep one board, or one job, to a file. Pictures belong in the board's `photos` folder.
    "record-too-large", Reading, Error,
    "a record is larger than any can be",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        if let FaultKind::TooLarge(bytes) = fault.kind {
            let message = format!(
                "`{}` has {bytes} bytes, more than the {LARGEST_RECORD} a record may have",
                file.name
            );
            report
                .find(file.at(&fault.spot), message)
                .help("keep one board, or one job, to a file");
        }
    }
}
