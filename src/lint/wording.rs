//! How what is wrong with a text is put into words, for the rules that tell it.

use crate::source::{KeyPath, Spot, Step};

/// Returns the end of a key path from its last key on: `at[2][1]` of `part[0].at[2][1]`.
pub(super) fn tail(spot: &Spot) -> String {
    let (Spot::Value(path) | Spot::Key(path)) = spot else {
        return "value".into();
    };
    let last = path.0.iter().rposition(|step| matches!(step, Step::Key(_)));
    KeyPath(path.0[last.unwrap_or(0)..].to_vec()).to_string()
}

/// Returns the last key of a spot's path.
pub(super) fn last_key(spot: &Spot) -> Option<&str> {
    let (Spot::Value(path) | Spot::Key(path)) = spot else {
        return None;
    };
    path.0.iter().rev().find_map(|step| match step {
        Step::Key(key) => Some(&**key),
        Step::Index(_) => None,
    })
}

/// Returns how a table is headed in a record: `[limits]`, `[[zone]]`, or the record itself.
pub(super) fn heading(path: &KeyPath) -> String {
    match &path.0[..] {
        [] => "the record".into(),
        [Step::Key(table)] => format!("`[{table}]`"),
        [Step::Key(table), Step::Index(_)] => format!("this `[[{table}]]`"),
        _ => format!("`{path}`"),
    }
}

/// Returns a text as it was, from a value as it is written; `None` where it is no text or was cut.
pub(super) fn as_text(found: &str) -> Option<String> {
    serde_json::from_str(found).ok()
}
