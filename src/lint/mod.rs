//! Rules over the book, giving findings.
//!
//! A rule is one file in `rules/`: its documentation, its name, how grave it is, and one pure
//! function. It looks at the book and adds findings to its [`Report`]; it never prints, never
//! chooses a severity and never sees another rule. Everything else happens here, once.

mod driver;
mod example;
mod finding;
mod nearest;
mod phrase;
pub mod render;
mod rule;
mod rules;
mod stackup;
mod unit;
mod waiting;
mod wording;

pub use driver::{Lint, lint};
pub use example::{Example, Outcome, examples};
pub use finding::{Finding, Mark, Report};
pub use rule::{Check, Family, Rule, Severity};
pub use rules::ALL;
pub use stackup::StackUp;

/// Returns the rule with this name.
pub fn rule(name: &str) -> Option<&'static Rule> {
    ALL.iter().copied().find(|rule| rule.name == name)
}

/// Returns the rule's name that is nearest to a word, if one is near.
pub fn nearest_rule(word: &str) -> Option<&'static str> {
    nearest::nearest(word, ALL.iter().map(|rule| rule.name))
}
