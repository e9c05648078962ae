//! `gapbook` alone: a friendly start.

use std::path::Path;

use gapbook::Failure;

use super::output::{BOLD, print};
use super::{Context, Outcome, text};

/// Examples and exit status, below the program's help.
pub(super) const EXAMPLES: &str = "\
Examples:
  gapbook find tern 240          look a board up
  gapbook fit tern-240           say whether its pads let the die touch the cooler
  gapbook intake tern-240        write down what you measure while it is open
  gapbook lint                   check the whole book
  gapbook lint boards/osk        check one maker's boards
  gapbook compile                write the guides into site/
  gapbook rules                  list what is checked

Exit status: 0 clean or advice alone, 1 errors or warnings, 2 could not run.
Colour is used on a terminal only; NO_COLOR=1 switches it off.";

/// What a newcomer needs first: a command line, and what it does.
const FIRST: [(&str, &str); 11] = [
    (
        "gapbook find tern 240",
        "look a board up: pads, screws, order, map",
    ),
    (
        "gapbook triage tern-240",
        "say whether it needs opening at all",
    ),
    (
        "gapbook fit tern-240",
        "say whether its pads let the die touch the cooler",
    ),
    (
        "gapbook order tern-240",
        "in which order it is opened and closed",
    ),
    (
        "gapbook cut tern-240",
        "which pads to buy, and where to cut",
    ),
    (
        "gapbook intake tern-240",
        "write down what you measure while it is open",
    ),
    (
        "gapbook prove tern-240",
        "say whether its newest job has helped",
    ),
    (
        "gapbook lint",
        "check the records and say what cannot be true",
    ),
    ("gapbook compile", "write the guides as a site of pages"),
    ("gapbook rules", "what is checked, and why"),
    ("gapbook schema", "the form of a record, for editors"),
];

/// Says what this is, what to try first and which book is here.
pub(super) fn run(context: &Context) -> Result<Outcome, Failure> {
    let here = match context.root(None) {
        Ok(root) => format!("The book here is {}.", name(&root)),
        Err(failure) if context.book.is_some() => return Err(failure),
        Err(_) => "There is no book in this folder or above it. Go to one, name one with \
                   `--book DIR`,\nor begin one: `gapbook lint` says how."
            .to_owned(),
    };
    print(|out| {
        writeln!(
            out,
            "{BOLD}gapbook{BOLD:#} reads a book of pad-cooled boards: what holds what, which pad goes"
        )?;
        writeln!(
            out,
            "in which gap, and what was measured. It is plain TOML, checked by rules.\n"
        )?;
        for (line, what) in FIRST {
            writeln!(out, "  {BOLD}{line:<25}{BOLD:#}{what}")?;
        }
        writeln!(
            out,
            "\n{here}\n\nMore: `gapbook --help`, and `--help` after any command."
        )
    })?;
    Ok(Outcome::Clean)
}

fn name(root: &Path) -> String {
    match root.strip_prefix(".").unwrap_or(root) {
        here if here.as_os_str().is_empty() => "this folder".to_owned(),
        folder => format!("`{}`", text::line(&folder.display().to_string())),
    }
}
