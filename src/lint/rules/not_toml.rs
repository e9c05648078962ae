use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::FaultKind;

declare_rule! {
    /// Looks for text that is not TOML, such as a quote or bracket that is never closed.
    ///
    /// ## Why
    ///
    /// Nothing in the file can be trusted: what stands after the slip may belong to something else. So
    /// none of it is read, and the board has no guide.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// ```
    ///
    /// ```toml fails
    /// [[keepout]]
    /// at = [[40.0, 20.0, 6.0, 10.0]
    /// side = "front"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// ```
    ///
    /// ## What to do
    ///
    /// Look at the place marked and at the line above it. Text stands in double quotes, lists in square
    /// brackets with commas between, decimals with a point.
    "not-toml", Reading, Error,
    "the text is not TOML",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        let (message, help) = match &fault.kind {
            FaultKind::Syntax(why) => (
                format!("this is not TOML: {why}"),
                "look here and at the line above for a missing quote, bracket or comma",
            ),
            FaultKind::Unclosed(bracket) => (
                format!("this `{bracket}` is never closed"),
                "close it before the next value or key begins",
            ),
            _ => continue,
        };
        report.find(file.at(&fault.spot), message).help(help);
    }
}
