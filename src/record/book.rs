//! The book itself: `boards/gapbook.toml`.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::schema::{Words, words};

/// The book: its title, its publisher, and which rules it raises or lowers.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Book {
    /// The version of this record's form; 1.
    pub schema: u32,
    /// Title and publisher.
    pub book: BookHead,
    /// Rules by name, each raised, lowered or switched off; errors of reading and identity stay errors.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub rules: BTreeMap<String, Level>,
    /// From where on a pad or a die counts as ill fitted.
    #[serde(default)]
    pub thresholds: Thresholds,
    /// How pads are cut.
    #[serde(default)]
    pub cutting: Cutting,
}

/// Title and publisher of a book.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BookHead {
    /// The book's title.
    #[schemars(length(min = 1, max = 120))]
    pub title: String,
    /// Who publishes it.
    #[schemars(length(min = 1, max = 120))]
    pub publisher: String,
    /// The licence of its records.
    #[schemars(length(min = 1, max = 120))]
    pub licence: String,
    /// What the book is for, in Markdown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 4000))]
    pub about: Option<String>,
}

words! {
    /// How a book judges a rule.
    pub enum Level {
        /// It cannot be true, or would harm.
        Error = "error",
        /// It is likely wrong.
        Warning = "warning",
        /// It is not known yet.
        Advice = "advice",
        /// The rule is not run.
        Off = "off",
    }
}

/// From where on a pad or a die counts as ill fitted, and what is assumed where a record is silent.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Thresholds {
    /// Strain below which a pad counts as floating.
    #[schemars(range(min = 0.0, max = 0.5))]
    pub floating: f64,
    /// Strain below which a pad presses lightly.
    #[schemars(range(min = 0.0, max = 0.5))]
    pub light: f64,
    /// Strain above which a pad presses hard.
    #[schemars(range(min = 0.05, max = 0.9))]
    pub hard: f64,
    /// Strain above which a pad is crushed, where its material gives no limit.
    #[schemars(range(min = 0.05, max = 0.9))]
    pub crushed: f64,
    /// Mean pressure below which pads hold the cooler off a die, kPa.
    #[schemars(range(min = 0.0, max = 2000.0))]
    pub least_die_kpa: f64,
    /// Mean pressure above which a die is overloaded, kPa.
    #[schemars(range(min = 10.0, max = 20000.0))]
    pub greatest_die_kpa: f64,
    /// Bond line above which pads hold the cooler off a die, µm.
    #[schemars(range(min = 5.0, max = 1000.0))]
    pub greatest_bond_um: f64,
    /// Pressure over the die, kPa, that the clamp is taken to make where no force is known.
    #[schemars(range(min = 10.0, max = 2000.0))]
    pub usual_die_kpa: f64,
}

/// Common practice for pads: a tenth to three tenths of squeeze is aimed at, a half is the end. The
/// pressures are common practice too: 10 psi is the least at which greases are rated, 40 psi the middle
/// of what sprung coolers make; makers of bare dies allow 100 to 150 psi at rest.
impl Default for Thresholds {
    fn default() -> Self {
        Self {
            floating: 0.05,
            light: 0.10,
            hard: 0.30,
            crushed: 0.50,
            least_die_kpa: 70.0,
            greatest_die_kpa: 1000.0,
            greatest_bond_um: 100.0,
            usual_die_kpa: 275.0,
        }
    }
}

/// How pads are cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Cutting {
    /// What the blade takes away at each cut, mm.
    #[schemars(range(min = 0.0, max = 5.0))]
    pub blade_mm: f64,
    /// The shorter side from which on a remnant is worth keeping, mm.
    #[schemars(range(min = 0.0, max = 200.0))]
    pub keep_mm: f64,
}

/// A knife parts a pad and takes nothing away. Ten millimetres is the narrower side of a memory package:
/// less than that covers no whole part. Common practice.
impl Default for Cutting {
    fn default() -> Self {
        Self {
            blade_mm: 0.0,
            keep_mm: 10.0,
        }
    }
}
