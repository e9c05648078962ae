use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::lint::unit::{Unit, meant, of_key, quantity};
use crate::lint::wording::{as_text, last_key, tail};
use crate::source::{Fault, FaultKind, Wanted};

declare_rule! {
    /// Looks for values in another unit than the record's: a key such as `die_f` or `height`, where the
    /// book has `die_c` and `height_mm`, or a text such as `"2.0 mm"` where a number belongs.
    ///
    /// ## Why
    ///
    /// Units stand in the keys and nowhere else, so that no value can be taken for what it is not. A
    /// thickness in thousandths of an inch, read as millimetres, crushes a die.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [limits]
    /// die_f = 194.0
    /// ```
    ///
    /// ```toml fails
    /// [limits]
    /// die_c = "90 °C"
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
    /// Convert the value to the unit of the book's key, and write the bare number.
    "wrong-unit", Reading, Error,
    "a value in another unit than its key's",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        match &fault.kind {
            FaultKind::UnknownKey { key, known } => {
                if let Some((name, unit)) = meant(key, known.iter().map(String::as_str)) {
                    let message = format!("`{key}` is kept in {}, as `{name}`", unit.name);
                    report.find(file.at(&fault.spot), message).help(format!(
                        "convert the value to {} and write `{name}`",
                        unit.symbol
                    ));
                }
            }
            FaultKind::Unfit { found, wanted } => {
                if let Some((number, unit)) = spelt_out(found, wanted) {
                    look_at_text(file, fault, (&number, &unit), report);
                }
            }
            _ => {}
        }
    }
}

/// Returns the number and unit of a text that stands where a number is wanted.
pub(super) fn spelt_out(found: &str, wanted: &Wanted) -> Option<(String, String)> {
    let Wanted::Type(types) = wanted else {
        return None;
    };
    if !types
        .iter()
        .any(|name| name == "number" || name == "integer")
    {
        return None;
    }
    let text = as_text(found)?;
    let (number, unit) = quantity(text.trim())?;
    Some((number.replace(',', "."), unit.to_owned()))
}

fn look_at_text(
    file: &SourceFile,
    fault: &Fault,
    (number, unit): (&str, &str),
    report: &mut Report<'_>,
) {
    let wanted = last_key(&fault.spot).and_then(of_key);
    let help = match wanted {
        Some(Unit { symbol, .. }) if *symbol == unit => {
            format!("the key says the unit: write {number}, without quotes")
        }
        Some(Unit { symbol, .. }) => format!("write the bare number, in {symbol}, without quotes"),
        None => "write the bare number, without quotes".into(),
    };
    let message = format!(
        "`{}` says its unit, `{unit}`, in the value",
        tail(&fault.spot)
    );
    report.find(file.at(&fault.spot), message).help(help);
}
