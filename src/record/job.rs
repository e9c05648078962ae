//! One job: one opening of one board by one bench.

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Zone;
use super::schema::{Words, words};

/// One opening of one board by one bench, and what it measured.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// The version of this record's form; 1.
    pub schema: u32,
    /// The board's id.
    pub board: String,
    /// The day of the job.
    pub date: Date,
    /// Who measured, by pseudonym.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub bench: String,
    /// The revision printed on this board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revision: Option<String>,
    /// Why the board was opened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 300))]
    pub reason: Option<String>,
    /// The paste fitted, a key of stock/pastes.toml.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub paste: Option<String>,
    /// What else the bench saw, in Markdown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 4000))]
    pub note: Option<String>,
    /// What it measured with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<Instrument>,
    /// Temperatures before the board was opened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<Temperatures>,
    /// Old pads, measured as they came off.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 200))]
    pub reading: Vec<Reading>,
    /// Pads that were fitted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 200))]
    pub fitted: Vec<Fitted>,
    /// Temperatures after the board was closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<Temperatures>,
    /// How the bench says it ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended: Option<Ended>,
}

words! {
    /// How a job ended, as its bench says.
    pub enum Ended {
        /// The board does what it should.
        Well = "well",
        /// It does not.
        Failed = "failed",
    }
}

words! {
    /// What somebody saw a board do under load.
    pub enum Symptom {
        /// It switches off.
        ShutsDown = "shuts-down",
        /// It shows faults in the picture, or memory errors.
        Artefacts = "artefacts",
        /// A fan does not turn.
        FanStands = "fan-stands",
        /// There is dust in the fins.
        Dusty = "dusty",
    }
}

impl Job {
    /// Returns the record as its file's text, its keys in the schema's order.
    pub fn written(&self) -> String {
        let mut table = toml::Table::try_from(self).expect("invariant: a job is plain data");
        // A day is text in JSON, and a type of its own in TOML.
        let day = toml::Value::Datetime(self.date.0.into());
        table.insert("date".to_owned(), day);
        let keys = toml::to_string(&table).expect("invariant: a table is TOML");
        format!("#:schema ../../../../schema/job.schema.json\n{keys}")
    }
}

words! {
    /// A kind of length gauge.
    pub enum InstrumentKind {
        /// A caliper.
        Caliper = "caliper",
        /// A micrometer.
        Micrometer = "micrometer",
        /// A thickness gauge.
        Gauge = "gauge",
    }
}

/// What a bench measured with.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// Its kind.
    pub kind: InstrumentKind,
    /// The smallest step it shows, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0001, max = 1.0))]
    pub resolution_mm: Option<f64>,
    /// Its maximum permissible error, plus or minus, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0001, max = 1.0))]
    pub max_error_mm: Option<f64>,
}

/// Temperatures under load.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Temperatures {
    /// Of the room, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -30.0, max = 60.0))]
    pub ambient_c: Option<f64>,
    /// Heat of the board, W.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.1, max = 3000.0))]
    pub heat_w: Option<f64>,
    /// Of the die's mean sensor, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -30.0, max = 150.0))]
    pub die_c: Option<f64>,
    /// Of the die's hottest sensor, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -30.0, max = 150.0))]
    pub hotspot_c: Option<f64>,
    /// Of the memory's sensor, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -30.0, max = 150.0))]
    pub memory_c: Option<f64>,
    /// Fan speed, 1/min.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 30000.0))]
    pub fan_rpm: Option<f64>,
    /// Whether it lowered its clock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub throttling: Option<bool>,
    /// Whether it stopped working.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crashing: Option<bool>,
    /// What else was seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 4))]
    pub symptoms: Vec<Symptom>,
}

impl Temperatures {
    /// The keys of its numbers, each with what it is in words.
    pub const NUMBERS: [(&'static str, &'static str); 6] = [
        ("ambient_c", "room, °C"),
        ("heat_w", "heat of the board, W"),
        ("die_c", "die, °C"),
        ("hotspot_c", "hotspot, °C"),
        ("memory_c", "memory, °C"),
        ("fan_rpm", "fan, 1/min"),
    ];

    /// The keys of what is so or not, each with its question.
    pub const QUESTIONS: [(&'static str, &'static str); 2] = [
        ("throttling", "does it lower its clock?"),
        ("crashing", "does it crash?"),
    ];
}

/// An old pad, measured as it came off.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// The zone it came from.
    pub zone: String,
    /// Thickness where nothing squeezed it, mm: nearly its free thickness.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100), inner(range(min = 0.02, max = 30.0)))]
    pub edge_mm: Vec<f64>,
    /// Thickness where the part squeezed it, mm: nearly the gap.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100), inner(range(min = 0.02, max = 30.0)))]
    pub imprint_mm: Vec<f64>,
}

/// A pad that was fitted.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fitted {
    /// The zone it went into.
    pub zone: String,
    /// Its free thickness, mm.
    #[schemars(range(min = 0.2, max = 8.0))]
    pub pad_mm: f64,
    /// Its material, a key of stock/pads.toml.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pad: Option<String>,
    /// Why it differs from the record, if it does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 300))]
    pub why: Option<String>,
}

impl Fitted {
    /// How far its thickness lies from another's to be another, mm: less is a rounding, since pads are sold
    /// in steps of a quarter of a millimetre (common practice).
    pub const ANOTHER_MM: f64 = 0.05;

    /// Tells whether it is another pad than a zone's record has: of another thickness, or another material
    /// where both are known.
    pub fn is_another_than(&self, zone: &Zone) -> bool {
        let materials = zone.pad.as_ref().zip(self.pad.as_ref());
        self.is_of_another_thickness_than(zone)
            || materials.is_some_and(|(recorded, pad)| recorded != pad)
    }

    /// Tells whether it is of another thickness than a zone's record has.
    pub fn is_of_another_thickness_than(&self, zone: &Zone) -> bool {
        let apart = |pad_mm: f64| (pad_mm - self.pad_mm).abs() >= Self::ANOTHER_MM;
        zone.pad_mm.is_some_and(apart)
    }
}

/// A calendar day, written as TOML writes one: 2026-03-14.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date(toml::value::Date);

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for Date {
    type Err = NoDay;

    fn from_str(text: &str) -> Result<Self, NoDay> {
        let written: toml::value::Datetime = text.parse().map_err(|_| NoDay)?;
        Self::alone(&written).ok_or(NoDay)
    }
}

/// A text or a moment that is no calendar day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoDay;

impl fmt::Display for NoDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("expected a day alone, such as 2026-03-14")
    }
}

impl std::error::Error for NoDay {}

impl Date {
    /// Returns the day that TOML gives, if it gives nothing but a day.
    fn alone(written: &toml::value::Datetime) -> Option<Self> {
        match *written {
            toml::value::Datetime {
                date: Some(date),
                time: None,
                offset: None,
            } => Some(Self(date)),
            _ => None,
        }
    }
}

impl Serialize for Date {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = toml::value::Datetime::deserialize(deserializer)?;
        Self::alone(&written).ok_or_else(|| serde::de::Error::custom(NoDay))
    }
}

impl JsonSchema for Date {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Date".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "format": "date",
            "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_job_reads_as_it_was_written() {
        let text = "#:schema ../../../../schema/job.schema.json\nschema = 1\nboard = \"osk-demo\"\n\
                    date = 2024-02-29\nbench = \"quayside-2\"\nreason = \"a \\\"hot\\\" die\"\n\n\
                    [instrument]\nkind = \"caliper\"\nmax_error_mm = 0.03\n\n\
                    [[reading]]\nzone = \"mem\"\nedge_mm = [2.0, 1.98]\n";
        let job: Job = toml::from_str(text).expect("a record");
        let again: Job = toml::from_str(&job.written()).expect("still a record");
        assert_eq!(again.written(), job.written(), "the same bytes");
        let lines = |text: &str| -> Vec<String> {
            let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
            lines.map(str::to_owned).collect()
        };
        let written = job.written();
        for line in [
            "date = 2024-02-29",
            "[instrument]",
            "[[reading]]",
            "zone = \"mem\"",
        ] {
            assert!(
                lines(&written).contains(&line.to_owned()),
                "{line} in {written}"
            );
        }
    }

    #[test]
    fn a_day_is_a_day_of_the_calendar() {
        for (text, is_day) in [
            ("2024-02-29", true),
            ("2025-02-29", false),
            ("2026-13-01", false),
            ("2026-3-1", false),
            ("2026-03-14T10:00:00", false),
            ("10:00:00", false),
            ("", false),
        ] {
            assert_eq!(text.parse::<Date>().is_ok(), is_day, "{text}");
        }
    }
}
