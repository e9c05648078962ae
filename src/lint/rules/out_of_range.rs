use crate::book::SourceFile;
use crate::heat;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::lint::unit::{Unit, of_key};
use crate::lint::wording::{last_key, tail};
use crate::source::{FaultKind, Wanted};

declare_rule! {
    /// Looks for numbers beyond what the thing can be, and for lists and texts that are too short or too
    /// long.
    ///
    /// ## Why
    ///
    /// The limits are wide: whatever lies beyond them was mistyped, or measured in another unit. One
    /// such number spoils every sum it enters.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [limits]
    /// die_c = 900.0
    /// ```
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0]]
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
    /// Correct the value; look for a lost decimal point and for another unit.
    "out-of-range", Reading, Error,
    "a value beyond what it can be",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        let FaultKind::Unfit { found, wanted } = &fault.kind else {
            continue;
        };
        let key = last_key(&fault.spot).unwrap_or_default();
        let unit = of_key(key);
        let Some(judged) = judged(found, wanted, unit) else {
            continue;
        };
        report
            .find(
                file.at(&fault.spot),
                format!("`{}` {judged}", tail(&fault.spot)),
            )
            .help(way_out(key, (found, wanted), unit));
    }
}

/// Returns what is wrong with a value's amount, if that is what is wrong.
fn judged(found: &str, wanted: &Wanted, unit: Option<&Unit>) -> Option<String> {
    let unit = unit.map_or(String::new(), |unit| format!(" {}", unit.symbol));
    Some(match wanted {
        Wanted::AtLeast(limit) => {
            format!(
                "is {}{unit}; it must be at least {limit}{unit}",
                number(found)
            )
        }
        Wanted::MoreThan(limit) => {
            format!(
                "is {}{unit}; it must be more than {limit}{unit}",
                number(found)
            )
        }
        Wanted::AtMost(limit) => {
            format!(
                "is {}{unit}; it can be at most {limit}{unit}",
                number(found)
            )
        }
        Wanted::Longer(1) => "is empty".into(),
        Wanted::Longer(least) => format!("has fewer than {}", counted(*least, found)),
        Wanted::Shorter(most) => format!("has more than {}", counted(*most, found)),
        Wanted::Type(_) | Wanted::Word(_) | Wanted::Form(_) => return None,
    })
}

/// Returns a number as short as it can be written.
fn number(found: &str) -> String {
    found
        .parse::<f64>()
        .map_or_else(|_| found.to_owned(), |number| number.to_string())
}

fn counted(count: u64, found: &str) -> String {
    let of_what = if found.starts_with('"') {
        "characters"
    } else {
        "items"
    };
    format!("{count} {of_what}")
}

/// Tells whether a temperature out of range is a believable one in °F.
fn is_fahrenheit(written: f64) -> bool {
    heat::fahrenheit::room(written).is_some() || heat::fahrenheit::chip(written, None).is_some()
}

fn way_out(key: &str, (found, wanted): (&str, &Wanted), unit: Option<&Unit>) -> String {
    let is_list = found.starts_with('[');
    match (key, unit) {
        ("at", _) if is_list => {
            "a rectangle is [x, y, width, height], a point [x, y], in mm; `at` of parts, zones and \
             screws is a list of them"
                .into()
        }
        ("between", _) => "name two faces, the nearer to the board first".into(),
        (_, Some(unit)) if unit.symbol == "°C" && found.parse().is_ok_and(is_fahrenheit) => {
            "it looks like °F: read it again, and write it in °C".into()
        }
        (_, Some(unit)) if !is_list => format!(
            "correct it, and see that it is in {} and has its decimal point",
            unit.name
        ),
        _ if matches!(wanted, Wanted::Shorter(_)) => "say it more briefly, or split it".into(),
        _ if matches!(wanted, Wanted::Longer(_)) => "add what is missing".into(),
        _ => "correct it, or leave the key out if it is not known".into(),
    }
}
