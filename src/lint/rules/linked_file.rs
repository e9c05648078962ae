use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::FaultKind;

declare_rule! {
    /// Looks for symbolic links, to files as to folders. None is followed.
    ///
    /// ## Why
    ///
    /// A link can lead anywhere on the machine that compiles the book, and put what it finds there into
    /// a page for everybody. A book holds its own files only.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside.toml
    /// # link to: ../../other/jobs/2026-03-14-quayside.toml
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
    /// Put a copy of the file in the link's place. Two boards that share one record are one board with
    /// two `markings`.
    "linked-file", Reading, Error,
    "a symbolic link, which is not followed",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        if fault.kind == FaultKind::Link {
            let message = format!("`{}` is a symbolic link, which is not followed", file.name);
            report
                .find(file.at(&fault.spot), message)
                .help("put a copy of what it leads to in its place");
        }
    }
}
