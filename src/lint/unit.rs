/// A unit that a key's name ends in.
#[derive(Debug)]
pub(super) struct Unit {
    /// How keys spell it.
    pub(super) suffix: &'static str,
    /// Its symbol.
    pub(super) symbol: &'static str,
    /// Its name, in the plural.
    pub(super) name: &'static str,
}

/// The units of records; those that another one ends in come after it.
const UNITS: &[Unit] = &[
    unit("w_mk", "W/(m·K)", "watts per metre and kelvin"),
    unit("mm", "mm", "millimetres"),
    unit("nm", "N·m", "newton metres"),
    unit("kpa", "kPa", "kilopascals"),
    unit("pa", "Pa", "pascals"),
    unit("rpm", "1/min", "turns per minute"),
    unit("c", "°C", "degrees Celsius"),
    unit("w", "W", "watts"),
    unit("n", "N", "newtons"),
    unit("g", "g", "grams"),
];

/// Units that people measure in and no key of a record ends in.
const FOREIGN: &[&str] = &[
    "bar",
    "celsius",
    "cm",
    "cnm",
    "deg",
    "degc",
    "degf",
    "degrees",
    "f",
    "fahrenheit",
    "gf",
    "gram",
    "grams",
    "in",
    "inch",
    "inches",
    "k",
    "kelvin",
    "kg",
    "kgf",
    "kn",
    "kw",
    "lb",
    "lbf",
    "lbin",
    "lbs",
    "m",
    "mbar",
    "mg",
    "mic",
    "micron",
    "microns",
    "mil",
    "mils",
    "mpa",
    "mw",
    "ncm",
    "nmm",
    "oz",
    "ozin",
    "psi",
    "thou",
    "um",
    "watt",
    "watts",
    "wmk",
];

const fn unit(suffix: &'static str, symbol: &'static str, name: &'static str) -> Unit {
    Unit {
        suffix,
        symbol,
        name,
    }
}

/// Splits a key into its stem and its unit, where it has one: `pad_mm` into `pad` and millimetres.
pub(super) fn split(key: &str) -> Option<(&str, &'static Unit)> {
    UNITS.iter().find_map(|unit| {
        let stem = key.strip_suffix(unit.suffix)?.strip_suffix('_')?;
        Some((stem, unit))
    })
}

/// Returns the unit of a key's values, where they have one; places are millimetres.
pub(super) fn of_key(key: &str) -> Option<&'static Unit> {
    if key == "at" {
        return UNITS.iter().find(|unit| unit.suffix == "mm");
    }
    split(key).map(|(_, unit)| unit)
}

/// Returns the known key that an unknown one would be if it had the right unit.
pub(super) fn meant<'a>(
    key: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<(&'a str, &'static Unit)> {
    let key = key.to_lowercase();
    known.into_iter().find_map(|name| {
        let (stem, unit) = split(name)?;
        let rest = key.strip_prefix(stem)?;
        let says_another = rest.strip_prefix('_').is_some_and(is_unit);
        (rest.is_empty() || says_another).then_some((name, unit))
    })
}

/// Returns the number and the unit of a text such as "2.0 mm".
pub(super) fn quantity(text: &str) -> Option<(&str, &str)> {
    let is_of_number = |character: char| character.is_ascii_digit() || "+-.,".contains(character);
    let end = text.find(|character| !is_of_number(character))?;
    let (number, unit) = (&text[..end], text[end..].trim());
    let has_digit = number.contains(|digit: char| digit.is_ascii_digit());
    let is_short = unit.chars().count() <= LONGEST_UNIT && !unit.contains(char::is_whitespace);
    (has_digit && is_short && !unit.is_empty()).then_some((number, unit))
}

/// Most characters of what may be a unit after a number: those of "fahrenheit".
const LONGEST_UNIT: usize = 10;

fn is_unit(word: &str) -> bool {
    FOREIGN.contains(&word) || UNITS.iter().any(|unit| unit.suffix == word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_unit_or_none_still_tells_the_key() {
        let known = ["id", "pad", "pad_mm", "conductivity_w_mk", "torque_nm"];
        let meant = |key| meant(key, known).map(|(name, _)| name);
        assert_eq!(meant("pad_um"), Some("pad_mm"), "another unit");
        assert_eq!(meant("torque_ncm"), Some("torque_nm"), "another unit");
        assert_eq!(meant("conductivity"), Some("conductivity_w_mk"), "no unit");
        assert_eq!(meant("pad_colour"), None, "no unit at all");
        assert_eq!(meant("padding_mm"), None, "another word");
    }

    #[test]
    fn a_quantity_is_a_number_and_one_word() {
        assert_eq!(quantity("2.0 mm"), Some(("2.0", "mm")), "spaced");
        assert_eq!(quantity("90°C"), Some(("90", "°C")), "closed up");
        assert_eq!(quantity("2.0"), None, "no unit");
        assert_eq!(quantity("about 2 mm"), None, "not first");
        assert_eq!(quantity("2 small ones"), None, "a sentence");
    }
}
