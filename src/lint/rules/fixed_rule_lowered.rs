use crate::book::{Book, MARKER};
use crate::lint::rule::declare_rule;
use crate::lint::{Report, Rule, Severity, rule};
use crate::record::schema::Words as _;
use crate::source::{Spot, keys};

declare_rule! {
    /// Looks at the levels in `gapbook.toml`, for rules that cannot be lowered: the errors of reading and
    /// of identity. Their level there is passed over.
    ///
    /// ## Why
    ///
    /// What breaks such a rule is not read, or races with another record for one page. With the rule off
    /// a board would be missing from the book, and nothing would say why.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// # file: gapbook.toml
    /// schema = 1
    /// [book]
    /// title = "Examples"
    /// publisher = "Bench"
    /// licence = "CC0-1.0"
    /// [rules]
    /// out-of-range = "off"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// # file: gapbook.toml
    /// schema = 1
    /// [book]
    /// title = "Examples"
    /// publisher = "Bench"
    /// licence = "CC0-1.0"
    /// [rules]
    /// shared-marking = "off"
    /// ```
    ///
    /// ## What to do
    ///
    /// Delete the line, and put right what the rule finds. What a record cannot state yet is better left
    /// out of it, or kept in a note.
    "fixed-rule-lowered", Identity, Error,
    "a rule is lowered that cannot be",
    Book(check)
}

fn check(book: &Book, report: &mut Report<'_>) {
    let Some(file) = book.file_named(MARKER) else {
        return;
    };
    for (name, &level) in &book.rules {
        let is_fixed = rule(name).is_some_and(Rule::is_fixed);
        if is_fixed && Severity::of_level(level) != Some(Severity::Error) {
            let message = format!("`{name}` cannot be lowered to \"{}\"", level.word());
            report
                .find(file.at(&Spot::Value(keys!["rules", &**name])), message)
                .help("delete this line, and put right what the rule finds");
        }
    }
}
