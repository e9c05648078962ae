use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::nearest::did_you_mean;
use crate::lint::rule::declare_rule;
use crate::lint::unit::meant;
use crate::source::FaultKind;

declare_rule! {
    /// Looks for keys that the record's kind does not have at that place.
    ///
    /// ## Why
    ///
    /// A misspelt key would be passed over in silence, and the fact it carries would be missing from the
    /// guide without anybody noticing.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// att = [[40.0, 20.0, 6.0, 10.0]]
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// ```
    ///
    /// ```toml fails
    /// [[keepout]]
    /// sides = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
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
    /// Spell the key as the schema does; an editor that reads the `#:schema` line offers the names. What
    /// has no key of its own belongs in a `[[note]]`.
    "unknown-key", Reading, Error,
    "a key that no record of this kind has",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        if let FaultKind::UnknownKey { key, known } = &fault.kind {
            let known_keys = || known.iter().map(String::as_str);
            // A known key in another unit is told as that.
            if meant(key, known_keys()).is_some() {
                continue;
            }
            let hint = did_you_mean(key, known_keys());
            report
                .find(
                    file.at(&fault.spot),
                    format!("`{key}` is not a key here{hint}"),
                )
                .help(format!("the keys here are {}", known.join(", ")));
        }
    }
}
