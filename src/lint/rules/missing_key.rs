use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::nearest::nearest;
use crate::lint::rule::declare_rule;
use crate::lint::unit::meant;
use crate::lint::wording::heading;
use crate::source::{Fault, FaultKind, KeyPath, Spot};

declare_rule! {
    /// Looks for keys that every record of the kind must have.
    ///
    /// ## Why
    ///
    /// Most keys may be left out: the guide then says what is not known. Only those without which
    /// nothing can be said are asked for, such as the side of a keep-out.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
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
    /// Add the key. If you do not know its value, leave the whole table out and say what you saw in a
    /// `[[note]]`.
    "missing-key", Reading, Error,
    "a key that must be there is not",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        if let (FaultKind::MissingKey(key), Spot::Value(path)) = (&fault.kind, &fault.spot) {
            if file.faults.iter().any(|other| is_slip(other, path, key)) {
                continue;
            }
            report
                .find(
                    file.at(&fault.spot),
                    format!("{} has no `{key}`", heading(path)),
                )
                .help(format!(
                    "add `{key}`; without it nothing can be said about the rest"
                ));
        }
    }
}

/// Tells whether a fault is an unknown key of the same table that was meant to be this one: it is
/// told there, and once is enough.
fn is_slip(fault: &Fault, table: &KeyPath, missing: &str) -> bool {
    let (FaultKind::UnknownKey { key, known }, Spot::Key(path)) = (&fault.kind, &fault.spot) else {
        return false;
    };
    let known = || known.iter().map(String::as_str);
    let intended = meant(key, known()).map(|(name, _)| name);
    path.0
        .split_last()
        .is_some_and(|(_, above)| above == table.0)
        && intended.or_else(|| nearest(key, known())) == Some(missing)
}
