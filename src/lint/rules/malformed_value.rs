use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::lint::wording::{as_text, last_key, tail};
use crate::source::{FaultKind, Wanted};

declare_rule! {
    /// Looks at values that are written in a form of their own: ids, threads, drives, days and the names
    /// of photos.
    ///
    /// ## Why
    ///
    /// Ids become names of pages and anchors, threads and drives are looked up in tables, and photos are
    /// copied by name. Spelt freely they would lead nowhere.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[connector]]
    /// id = "Power_1"
    /// kind = "power"
    /// side = "front"
    /// at = [90.0, 30.0]
    /// ```
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14T09:30:00
    /// bench = "quayside"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[connector]]
    /// id = "power-1"
    /// kind = "power"
    /// side = "front"
    /// at = [90.0, 30.0]
    /// ```
    ///
    /// ## What to do
    ///
    /// Write the value in the form that the finding gives.
    "malformed-value", Reading, Error,
    "a value is not of the form its key needs",
    File(check)
}

/// What the values of a key look like, for each key whose schema has a pattern.
const FORMS: &[(&str, &str)] = &[
    ("bench", ID_FORM),
    ("class", "a strength class, such as `4.8`, `8.8` or `A2-70`"),
    (
        "date",
        "a day alone, as year, month and day without quotes, such as 2026-03-14",
    ),
    (
        "drive",
        "the drive and its size, such as `PH1`, `PZ1`, `T6`, `H1.5` or `SL3`",
    ),
    (
        "file",
        "a file's plain name that ends in `.png`, `.jpg`, `.jpeg` or `.webp`",
    ),
    ("id", ID_FORM),
    (
        "thread",
        "`M2.5` or `M2.5x0.45`, `#4-40`, or `self-tapping 2.2`",
    ),
];

const ID_FORM: &str = "lower-case letters and digits, in groups joined by single hyphens";

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        match &fault.kind {
            FaultKind::Unfit {
                found,
                wanted: Wanted::Form(_),
            } => {
                let key = last_key(&fault.spot).unwrap_or_default();
                let message = format!(
                    "`{}` is `{found}`, which is not how `{key}` is written",
                    tail(&fault.spot)
                );
                report
                    .find(file.at(&fault.spot), message)
                    .help(way_out(key, found));
            }
            FaultKind::Refused(why) => {
                report
                    .find(file.at(&fault.spot), format!("this cannot be read: {why}"))
                    .help("an editor that reads the `#:schema` line shows what belongs here");
            }
            _ => {}
        }
    }
}

fn way_out(key: &str, found: &str) -> String {
    let Ok(at) = FORMS.binary_search_by_key(&key, |&(key, _)| key) else {
        return "an editor that reads the `#:schema` line shows the form".into();
    };
    let form = FORMS[at].1;
    let spelt = as_text(found).map(|text| kebab(&text)).unwrap_or_default();
    if form == ID_FORM && !spelt.is_empty() {
        format!("write `{spelt}`: {form}")
    } else {
        format!("write {form}")
    }
}

/// Returns a text as an id would spell it.
fn kebab(text: &str) -> String {
    let lower = text.to_lowercase();
    let words = lower.split(|letter: char| !letter.is_ascii_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("-")
}

#[cfg(test)]
mod tests {
    use serde_json::Value;

    use super::*;
    use crate::record::schema::Kind;

    /// Gathers the keys whose values, or whose lists' values, have a pattern.
    fn keys_with_patterns(schema: &Value, keys: &mut Vec<String>) {
        if let Some(properties) = schema["properties"].as_object() {
            let formed = properties.iter().filter(|(_, value)| {
                value["pattern"].is_string() || value["items"]["pattern"].is_string()
            });
            keys.extend(formed.map(|(key, _)| key.clone()));
        }
        let below = schema
            .as_object()
            .into_iter()
            .flat_map(|object| object.values());
        for value in below.filter(|value| value.is_object()) {
            keys_with_patterns(value, keys);
        }
    }

    #[test]
    fn every_form_is_told_in_words() {
        assert!(FORMS.is_sorted(), "in order, to be searched");
        let mut keys = Vec::new();
        for kind in Kind::ALL {
            keys_with_patterns(&kind.schema(), &mut keys);
        }
        assert!(keys.len() > FORMS.len(), "the schemas were searched");
        for key in keys {
            assert!(FORMS.iter().any(|&(known, _)| known == key), "{key}");
        }
    }

    #[test]
    fn an_id_is_offered() {
        assert_eq!(kebab("Mem Front_2"), "mem-front-2", "words joined");
    }
}
