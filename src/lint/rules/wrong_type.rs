use super::wrong_unit::spelt_out;
use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::lint::wording::{as_text, tail};
use crate::source::{Fault, FaultKind, Spot, Step, Wanted};

declare_rule! {
    /// Looks for values of the wrong type: a text where a number belongs, a number where a list belongs.
    ///
    /// ## Why
    ///
    /// To guess what was meant would sometimes guess wrong, and a guide cannot say which of its numbers
    /// were guessed.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [limits]
    /// die_c = "ninety"
    /// ```
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = "2026-03-14"
    /// bench = "quayside"
    /// ```
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// why = 2026-03-14
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [limits]
    /// die_c = 90.0
    /// source = "maker's sheet"
    /// ```
    ///
    /// ## What to do
    ///
    /// Numbers and days stand bare, text in double quotes, lists in square brackets; what there can be
    /// several of is headed in double brackets, such as `[[zone]]`.
    "wrong-type", Reading, Error,
    "a value of the wrong type",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        let FaultKind::Unfit {
            found,
            wanted: wanted @ Wanted::Type(types),
        } = &fault.kind
        else {
            continue;
        };
        // A number with its unit in the text is told as that.
        if spelt_out(found, wanted).is_some() || file.faults.iter().any(|one| is_before(one, fault))
        {
            continue;
        }
        let names: Vec<&str> = types.iter().map(|name| type_name(name)).collect();
        let key = tail(&fault.spot);
        let message = format!(
            "`{key}` is {}, `{found}`, where {} belongs",
            found_type(found),
            names.join(" or ")
        );
        report
            .find(file.at(&fault.spot), message)
            .help(way_out(&key, found, types));
    }
}

/// Tells whether a fault is that of the first item of the list in which this one is another item:
/// a forgotten pair of brackets is one mistake.
fn is_before(first: &Fault, this: &Fault) -> bool {
    let (Spot::Value(first_path), Spot::Value(path)) = (&first.spot, &this.spot) else {
        return false;
    };
    let (Some((Step::Index(0), first_list)), Some((Step::Index(1..), list))) =
        (first_path.0.split_last(), path.0.split_last())
    else {
        return false;
    };
    let wanted = |fault: &Fault| match &fault.kind {
        FaultKind::Unfit { wanted, .. } => Some(wanted.clone()),
        _ => None,
    };
    first_list == list && wanted(first) == wanted(this)
}

/// Returns a type's name in words, from the schema's.
fn type_name(name: &str) -> &str {
    match name {
        "string" => "a text",
        "array" => "a list",
        "object" => "a table",
        "boolean" => "true or false",
        "integer" => "a whole number",
        "number" => "a number",
        "day" => "a day",
        other => other,
    }
}

/// Returns the type of a value as it is written, in words.
fn found_type(found: &str) -> &'static str {
    match found.as_bytes().first() {
        Some(b'"') => "a text",
        Some(b'[') => "a list",
        Some(b'{') => "a table",
        Some(b't' | b'f') => "true or false",
        _ if is_time(found) => "a day or time",
        _ => "a number",
    }
}

/// Tells whether a value is written as TOML writes days and times.
fn is_time(found: &str) -> bool {
    let year = found.split('-').next().unwrap_or_default();
    let is_day = found.len() > year.len() && year.len() == 4 && year.parse::<u16>().is_ok();
    is_day || found.contains(':')
}

fn way_out(key: &str, found: &str, types: &[String]) -> String {
    let wanted = types.first().map_or("", String::as_str);
    match (wanted, found_type(found)) {
        ("array", "a table") => {
            format!("head it `[[{key}]]`, in double brackets: there can be several")
        }
        ("array", _) if key.ends_with(']') => {
            "this is a list of lists: put another pair of brackets round the whole".into()
        }
        (_, "a day or time") if wanted != "string" => "a day or time has no place here".into(),
        ("array", _) => format!("put it in brackets: `[{found}]`"),
        ("day", _) => "write the day without quotes, such as 2026-03-14".into(),
        ("string", _) => "put it in double quotes".into(),
        ("number" | "integer", "a text") => {
            let bare = as_text(found).map(|text| text.trim().replace(',', "."));
            match bare.filter(|bare| bare.parse::<f64>().is_ok()) {
                Some(bare) => format!("write {bare}, without quotes"),
                None => "write a bare number, or leave the key out if it is not known".into(),
            }
        }
        ("boolean", _) => "write true or false, without quotes".into(),
        _ => "an editor that reads the `#:schema` line shows what belongs here".into(),
    }
}
