//! One job: one opening of one board by one bench.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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

/// A calendar day, written as TOML writes one: 2026-03-14.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date(toml::value::Date);

impl Date {
    /// Returns the day that is so many days after 1970-01-01; nothing where its year has no four digits.
    ///
    /// # References
    /// Years are taken to begin in March, so that the leap day is their last (Richards 2013).
    pub fn of_days(days: i64) -> Option<Self> {
        let days = days + 719_468; // since 0000-03-01
        let (era, of_era) = (days.div_euclid(146_097), days.rem_euclid(146_097));
        let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year + year / 4 - year / 100);
        let from_march = (5 * of_year + 2) / 153;
        let day = of_year - (153 * from_march + 2) / 5 + 1;
        let month = (from_march + 2) % 12 + 1;
        let year = 400 * era + year + i64::from(month <= 2);
        Some(Self(toml::value::Date {
            year: u16::try_from(year).ok().filter(|year| *year < 10_000)?,
            month: u8::try_from(month).ok()?,
            day: u8::try_from(day).ok()?,
        }))
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
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
        match written {
            toml::value::Datetime {
                date: Some(date),
                time: None,
                offset: None,
            } => Ok(Self(date)),
            _ => Err(serde::de::Error::custom(
                "expected a day alone, such as 2026-03-14",
            )),
        }
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
    use super::Date;

    #[test]
    fn days_are_counted_over_leap_years() {
        let cases = [
            (0, "1970-01-01"),
            (11_016, "2000-02-29"),
            (20_454, "2026-01-01"),
            (47_540, "2100-02-28"),
            (47_541, "2100-03-01"),
        ];
        for (days, wanted) in cases {
            let found = Date::of_days(days).map(|date| date.to_string());
            assert_eq!(found.as_deref(), Some(wanted), "{days}");
        }
        assert!(Date::of_days(3_000_000).is_none(), "after 9999");
    }
}
