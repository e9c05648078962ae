use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::SCHEMA_VERSION;
use crate::source::FaultKind;

declare_rule! {
    /// Looks for records whose `schema` is a version that this program does not read.
    ///
    /// ## Why
    ///
    /// Another version may mean something else by the same key. To read it as if it were this one could
    /// put a wrong thickness into a guide.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// schema = 2
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// ```
    ///
    /// ## What to do
    ///
    /// Write `schema = 1`. If the record was made for a later version, take the program that made it.
    "unknown-schema-version", Reading, Error,
    "a record of a version that is not known",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        if let FaultKind::UnknownVersion(written) = &fault.kind {
            let message =
                format!("the record is of version {written}; this program reads {SCHEMA_VERSION}");
            report.find(file.at(&fault.spot), message).help(format!(
                "write `schema = {SCHEMA_VERSION}`, or take the program that made the record"
            ));
        }
    }
}
