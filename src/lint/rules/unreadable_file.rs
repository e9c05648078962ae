use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::FaultKind;

declare_rule! {
    /// Looks for files and folders that cannot be opened, and for text or names that are not UTF-8.
    ///
    /// ## Why
    ///
    /// What cannot be read is missing from the book, and nobody who reads the book can tell. Text in
    /// another encoding would come out with the wrong letters.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside.toml
    /// # bytes: 23 20 32 20 b5 6d 0a
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside.toml
    /// schema = 1 # 2 µm
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside"
    /// ```
    ///
    /// ## What to do
    ///
    /// Save the file as UTF-8, without which TOML is not TOML; or give yourself the right to read it.
    "unreadable-file", Reading, Error,
    "a file cannot be read",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        if let FaultKind::Unreadable(why) = &fault.kind {
            report
                .find(
                    file.at(&fault.spot),
                    format!("`{}` cannot be read: {why}", file.name),
                )
                .help("save it as UTF-8, or see to its permissions");
        }
    }
}
