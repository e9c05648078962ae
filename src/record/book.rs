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
