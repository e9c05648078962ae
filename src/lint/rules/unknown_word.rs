use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::nearest::did_you_mean;
use crate::lint::rule::declare_rule;
use crate::lint::wording::{as_text, tail};
use crate::source::{FaultKind, Wanted};

declare_rule! {
    /// Looks for words that are not in a key's vocabulary, such as a `kind` that no body has.
    ///
    /// ## Why
    ///
    /// These words decide how a thing is drawn and what is checked about it. A word of one's own would
    /// be a thing that no rule knows.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "frnot"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// ```
    ///
    /// ## What to do
    ///
    /// Use one of the words listed; take `other` where there is one and nothing fits, and say in `name`
    /// what it is.
    "unknown-word", Reading, Error,
    "a word that is not in the key's vocabulary",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        let FaultKind::Unfit {
            found,
            wanted: Wanted::Word(words),
        } = &fault.kind
        else {
            continue;
        };
        // What is not a text at all is told as a wrong type.
        if !found.starts_with('"') {
            continue;
        }
        let word = as_text(found).unwrap_or_else(|| found.clone());
        let hint = did_you_mean(&word, words.iter().map(String::as_str));
        let message = format!("`{word}` is no word for `{}`{hint}", tail(&fault.spot));
        report
            .find(file.at(&fault.spot), message)
            .help(format!("the words here are {}", words.join(", ")));
    }
}
