//! What is typed, as values of a record; what it cannot be is refused in a sentence.

use gapbook::evidence::{Expected, Quantity};
use gapbook::heat::{Limits, Normal, Read, Readings, fahrenheit, odd};
use gapbook::record::schema::{Kind, most};
use gapbook::source::is_hidden;
use toml::{Table, Value};

use crate::cli::text;

/// What a question wants.
#[derive(Clone, Debug)]
pub(super) enum Wanted {
    /// A text of at most so many characters.
    Text(usize),
    /// One of some words.
    Word(Vec<String>),
    /// A number in a range.
    Number([f64; 2]),
    /// What a running board shows, in a range.
    Shown {
        range: [f64; 2],
        beside: Box<Beside>,
    },
    /// Yes or no.
    YesOrNo,
    /// Thicknesses, each in a range, mm.
    Readings {
        at: Quantity,
        range: [f64; 2],
        most: usize,
        expected: Expected,
        /// The edge readings of the same pad, where an imprint is asked for.
        edge_mm: Vec<f64>,
    },
    /// A pad's thickness in a range, mm, and perhaps its material.
    Pad {
        range: [f64; 2],
        materials: Vec<String>,
        expected: Expected,
        /// The record's own, which `=` stands for.
        recorded: Option<(f64, Option<String>)>,
    },
}

/// What a reading of a running board is judged beside.
#[derive(Clone, Debug)]
pub(super) struct Beside {
    /// Which reading it is.
    pub(super) read: Read,
    /// What else was read with it.
    pub(super) readings: Readings,
    pub(super) limits: Limits,
    pub(super) normal: Normal,
}

impl Beside {
    fn doubt(&self, answer: f64) -> Option<String> {
        let mut readings = self.readings.clone();
        *readings.slot(self.read) = Some(answer);
        odd(self.read, &readings, (&self.limits, &self.normal))
    }
}

impl Wanted {
    /// Reads an answer as what a record holds; of a pad it is a table of its keys.
    ///
    /// # Errors
    /// With a sentence, where the answer is none to this question.
    pub(super) fn read(&self, typed: &str) -> Result<Value, String> {
        let typed = typed.trim();
        match self {
            Self::Text(most) => words(typed, *most).map(Value::from),
            Self::Word(known) => one_of(typed, known).map(Value::from),
            Self::Number(range) => within(number(typed)?, *range).map(Value::from),
            Self::Shown { range, beside } => {
                if let Some(celsius) = celsius(typed).filter(|_| beside.read != Read::Heat) {
                    return Err(format!("a record holds °C: this is {celsius:.1} °C"));
                }
                let shown = number(typed)?;
                within(shown, *range)
                    .map(Value::from)
                    .map_err(|why| beside.doubt(shown).unwrap_or(why))
            }
            Self::YesOrNo => match &*typed.to_lowercase() {
                "y" | "yes" => Ok(true.into()),
                "n" | "no" => Ok(false.into()),
                _ => Err("answer y or n".to_owned()),
            },
            Self::Readings { range, most, .. } => {
                let readings = thicknesses(typed, *range)?;
                if readings.len() > *most {
                    return Err(format!("a record holds at most {most} readings"));
                }
                Ok(readings.into())
            }
            Self::Pad {
                recorded: Some((pad_mm, pad)),
                ..
            } if typed == "=" => Ok(pad_table(*pad_mm, pad.as_deref()).into()),
            Self::Pad {
                range, materials, ..
            } => {
                let (thickness, material) = match typed.split_once(char::is_whitespace) {
                    Some((thickness, material)) => (thickness, Some(material)),
                    None => (typed, None),
                };
                let material = material.map(|material| one_of(material.trim(), materials));
                let pad_mm = within(number(thickness)?, *range)?;
                Ok(pad_table(pad_mm, material.transpose()?.as_deref()).into())
            }
        }
    }

    /// Says what looks like a slip in an answer that can be read.
    pub(super) fn doubts(&self, answer: &Value) -> Vec<String> {
        match self {
            Self::Shown { beside, .. } => {
                let shown = answer.as_float();
                shown
                    .and_then(|shown| beside.doubt(shown))
                    .into_iter()
                    .collect()
            }
            Self::Readings {
                at,
                expected,
                edge_mm,
                ..
            } => {
                let readings = millimetres(answer);
                let doubt = |mm: &f64| Some(expected.odd(*mm, *at, edge_mm)?.told(*mm));
                readings.iter().filter_map(doubt).collect()
            }
            Self::Pad { expected, .. } => {
                let pad_mm = answer.get("pad_mm").and_then(Value::as_float);
                let doubt = |mm: f64| Some(expected.odd(mm, Quantity::Edge, &[])?.told(mm));
                pad_mm.and_then(doubt).into_iter().collect()
            }
            Self::Text(_) | Self::Word(_) | Self::Number(_) | Self::YesOrNo => Vec::new(),
        }
    }

    /// Says how to answer.
    pub(super) fn how(&self) -> String {
        match self {
            Self::Text(most) => format!("any words, up to {most} characters"),
            Self::Word(known) => known.join(", "),
            Self::Number([least, greatest])
            | Self::Shown {
                range: [least, greatest],
                ..
            } => format!("a number from {least} to {greatest}"),
            Self::YesOrNo => "y or n".to_owned(),
            Self::Readings { .. } => "as many as you like, such as 2.01 1.98 2.02".to_owned(),
            Self::Pad {
                materials,
                recorded,
                ..
            } => {
                let same = recorded
                    .as_ref()
                    .map_or("", |_| "; = stands for the record's");
                let materials = materials.join(", ");
                format!("thickness and material, such as 2.0 soft{same}; materials: {materials}")
            }
        }
    }
}

/// Returns the readings of a list, mm.
pub(super) fn millimetres(list: &Value) -> Vec<f64> {
    let items = list.as_array().into_iter().flatten();
    items.filter_map(Value::as_float).collect()
}

/// Makes sure that a text is a bench's pseudonym.
pub(super) fn bench(typed: &str) -> Result<String, String> {
    let is_plain = |part: &str| {
        let is_letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
        !part.is_empty() && part.chars().all(is_letter)
    };
    let most = most(&Kind::Job.schema(), None, "bench");
    if most.is_none_or(|most| typed.len() <= most) && typed.split('-').all(is_plain) {
        Ok(typed.to_owned())
    } else {
        Err(format!(
            "`{}` is no bench's name: small letters, digits and hyphens, such as quayside-2",
            text::line(typed)
        ))
    }
}

fn words(typed: &str, most: usize) -> Result<String, String> {
    let count = typed.chars().count();
    if typed.chars().any(|c| c.is_control() || is_hidden(c)) {
        Err("there is a character in it that does not show; type it again".to_owned())
    } else if count > most {
        Err(format!(
            "these are {count} characters, and a record holds {most}"
        ))
    } else {
        Ok(typed.to_owned())
    }
}

fn one_of(typed: &str, known: &[String]) -> Result<String, String> {
    let same = |word: &&String| word.to_lowercase() == typed.to_lowercase();
    let beginning = |word: &&String| word.to_lowercase().starts_with(&typed.to_lowercase());
    let begun: Vec<&String> = known.iter().filter(beginning).collect();
    match (known.iter().find(same), &begun[..]) {
        (Some(word), _) | (None, &[word]) => Ok(word.clone()),
        _ => Err(format!(
            "`{}` is none of {}",
            text::line(typed),
            known.join(", ")
        )),
    }
}

fn pad_table(pad_mm: f64, pad: Option<&str>) -> Table {
    let pad = pad.map(|pad| ("pad".to_owned(), Value::from(pad)));
    std::iter::once(("pad_mm".to_owned(), Value::from(pad_mm)))
        .chain(pad)
        .collect()
}

/// Reads numbers that are set apart by spaces, semicolons, or commas with a space or a point about them.
fn thicknesses(typed: &str, range: [f64; 2]) -> Result<Vec<f64>, String> {
    let is_between = |c: char| c.is_whitespace() || c == ';';
    let parts = typed.split(is_between).flat_map(|part| {
        // "2.01,1.98" has points, so its commas are none.
        let commas: &[char] = if part.contains('.') { &[','] } else { &[] };
        part.trim_matches(',').split(commas)
    });
    let numbers = parts.filter(|part| !part.is_empty() && *part != "mm");
    numbers.map(|part| within(number(part)?, range)).collect()
}

/// Reads a number as benches type it: with a point or a comma, with its unit or without.
fn number(typed: &str) -> Result<f64, String> {
    let bare = typed.trim_end_matches(|c: char| c.is_alphabetic() || "°/%".contains(c));
    let plain = bare.trim().replace(',', ".");
    let is_plain = |c: char| c.is_ascii_digit() || "+-.".contains(c);
    let number: Option<f64> = plain.parse().ok();
    match number.filter(|_| plain.chars().all(is_plain)) {
        Some(number) if is_millimetres(typed, bare) => Ok(number),
        _ => Err(format!("`{}` is no number", text::line(typed))),
    }
}

/// Returns in °C what is written in °F.
fn celsius(typed: &str) -> Option<f64> {
    let written = typed.strip_suffix(['F', 'f'])?;
    let written = written.trim_end_matches(['°', ' ']);
    number(written).ok().map(fahrenheit::celsius)
}

/// Tells whether a unit behind a number is the one that records have: inches are not passed over.
fn is_millimetres(typed: &str, bare: &str) -> bool {
    matches!(
        typed[bare.len()..].to_lowercase().as_str(),
        "" | "mm" | "c" | "°c" | "w" | "rpm"
    )
}

fn within(number: f64, [least, greatest]: [f64; 2]) -> Result<f64, String> {
    if (least..=greatest).contains(&number) {
        Ok(number)
    } else {
        Err(format!(
            "{number} is not between {least} and {greatest}: look for the decimal point and the unit"
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: [f64; 2] = [0.02, 30.0];

    #[test]
    fn readings_are_taken_as_benches_type_them() {
        let cases: [(&str, &[f64]); 8] = [
            ("2.01 1.98 2.02", &[2.01, 1.98, 2.02]),
            ("2,01 1,98", &[2.01, 1.98]),
            ("2.01, 1.98; 2", &[2.01, 1.98, 2.0]),
            ("2.01,1.98", &[2.01, 1.98]),
            ("  2.01mm   1.98 mm ", &[2.01, 1.98]),
            ("2,01; 1,98", &[2.01, 1.98]),
            ("2, 3", &[2.0, 3.0]),
            ("", &[]),
        ];
        for (typed, readings) in cases {
            assert_eq!(thicknesses(typed, MM).as_deref(), Ok(readings), "{typed}");
        }
    }

    #[test]
    fn what_is_no_reading_is_refused() {
        for typed in [
            "two", "2.01 x", "0.079in", "-2", "nan", "inf", "1e400", "2.0.1", "2,0,1", "200",
        ] {
            assert!(thicknesses(typed, MM).is_err(), "{typed}");
        }
    }

    #[test]
    fn there_is_a_limit_to_readings_and_words() {
        let wanted = Wanted::Readings {
            at: Quantity::Edge,
            range: MM,
            most: 100,
            expected: Expected {
                free_mm: vec![2.0],
                stocked_mm: vec![2.0],
            },
            edge_mm: Vec::new(),
        };
        assert!(wanted.read(&"2.0 ".repeat(100)).is_ok(), "a hundred");
        assert!(wanted.read(&"2.0 ".repeat(100_000)).is_err(), "too many");
        let reason = Wanted::Text(300);
        assert!(reason.read(&"é".repeat(300)).is_ok(), "in characters");
        assert!(reason.read(&"é".repeat(301)).is_err(), "too long");
        assert!(
            reason.read("hot\u{1b}[2J").is_err(),
            "what drives a terminal"
        );
        assert!(reason.read("hot\u{202e}").is_err(), "what turns the text");
    }

    #[test]
    fn a_word_may_be_begun_and_a_bench_is_plain() {
        let known = ["caliper", "micrometer", "gauge"].map(str::to_owned);
        assert_eq!(one_of("Cal", &known).as_deref(), Ok("caliper"), "begun");
        assert!(one_of("", &known).is_err(), "any of them");
        for (name, is_bench) in [
            ("quayside-2", true),
            ("Quayside", false),
            ("a--b", false),
            ("../x", false),
            ("", false),
        ] {
            assert_eq!(bench(name).is_ok(), is_bench, "{name}");
        }
    }

    #[test]
    fn fahrenheit_is_told_of_temperatures_alone() {
        let told = |read, typed: &str| {
            let wanted = Wanted::Shown {
                range: [0.1, 3000.0],
                beside: Box::new(Beside {
                    read,
                    readings: Readings::default(),
                    limits: Limits::default(),
                    normal: Normal::default(),
                }),
            };
            wanted.read(typed).map_err(|why| why.contains("23.9 °C"))
        };
        assert_eq!(told(Read::Room, "75F"), Err(true), "a room");
        assert_eq!(told(Read::Heat, "75F"), Err(false), "no heat");
        assert_eq!(told(Read::Heat, "75W"), Ok(75.0.into()), "a heat");
    }

    #[test]
    fn a_pad_has_a_thickness_and_perhaps_a_material() {
        let wanted = Wanted::Pad {
            range: [0.2, 8.0],
            materials: vec!["soft".into(), "putty".into()],
            expected: Expected {
                free_mm: vec![2.0],
                stocked_mm: vec![2.0],
            },
            recorded: Some((2.0, Some("soft".into()))),
        };
        let read = |typed: &str| wanted.read(typed).map(|pad| pad.to_string());
        assert_eq!(read("="), read("2.0 soft"), "as recorded");
        assert_eq!(
            read("2.5"),
            Ok("{ pad_mm = 2.5 }".to_owned()),
            "no material"
        );
        assert!(read("2.5 cheese").is_err(), "no such material");
        assert!(read("soft").is_err(), "no thickness");
    }
}
