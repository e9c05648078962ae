use std::collections::BTreeSet;

use gapbook::book::{Board, Book, Role};
use gapbook::record::schema::Kind;

/// How alike two names are at least, from 0 to 1, for one to be offered for the other: two letters
/// wrong in a name of six or seven.
const ALIKE: f64 = 0.7;

/// Returns the boards that have every word, in the book's order.
///
/// Words that are exactly a board's id or marking mean that board alone. Words that begin a word of a
/// board's names are preferred to such as stand within one.
pub(super) fn matching<'a>(book: &'a Book, words: &[String]) -> Vec<&'a Board> {
    let wanted = words.join(" ").to_lowercase();
    let exactly = |board: &&Board| {
        let head = &board.record.board;
        let mut names = std::iter::once(&head.id).chain(&head.markings);
        names.any(|name| name.to_lowercase() == wanted)
    };
    let exact: Vec<&Board> = book.boards.iter().filter(exactly).collect();
    if !exact.is_empty() {
        return exact;
    }
    let parts: Vec<&str> = wanted.split_whitespace().collect();
    let having = |has: fn(&str, &str) -> bool| -> Vec<&Board> {
        let has_all = |board: &&Board| {
            let names = names(board).join("\n");
            parts.iter().all(|part| has(&names, part))
        };
        book.boards.iter().filter(has_all).collect()
    };
    let beginning = having(begins_a_word);
    if beginning.is_empty() {
        having(|names, part| names.contains(part))
    } else {
        beginning
    }
}

/// Returns the record of a board that cannot be read and whose folder, which asks for its id, has every word.
pub(super) fn unread<'a>(book: &'a Book, words: &[String]) -> Option<&'a str> {
    let wanted = words.join(" ").to_lowercase();
    let is_unread = |name: &str| {
        let mut read = book.boards.iter();
        !read.any(|board| book.file(board.file).name == name)
    };
    let has_all = |name: &str| {
        let folder = name.trim_end_matches("/board.toml");
        let id = folder.replace('/', "-");
        let mut parts = wanted.split_whitespace();
        parts.all(|part| id.contains(part) || part.ends_with(&format!("/{folder}")))
    };
    let records = book.files.iter();
    let records = records.filter(|file| file.role == Role::Record(Kind::Board));
    let mut names = records.map(|file| &*file.name);
    names.find(|name| has_all(name) && is_unread(name))
}

/// Tells whether one of the words in a text begins with `part`: "tern" is not meant by "bittern".
fn begins_a_word(text: &str, part: &str) -> bool {
    let mut places = text.match_indices(part);
    places.any(|(at, _)| !text[..at].ends_with(char::is_alphanumeric))
}

/// Returns the boards whose names are like the words, the likest first.
pub(super) fn nearest<'a>(book: &'a Book, words: &[String]) -> Vec<&'a Board> {
    let wanted = words.join(" ").to_lowercase();
    let mut near: Vec<(f64, &Board)> = book
        .boards
        .iter()
        .map(|board| (likeness(board, &wanted), board))
        .filter(|&(likeness, _)| likeness >= ALIKE)
        .collect();
    near.sort_by(|(left, _), (right, _)| right.total_cmp(left));
    near.into_iter().map(|(_, board)| board).collect()
}

/// Returns what a board is found by, in lower case.
fn names(board: &Board) -> Vec<String> {
    let head = &board.record.board;
    let named = [&head.id, &head.maker, &head.model];
    let mut names: Vec<String> = named.map(|name| name.to_lowercase()).to_vec();
    names.push(head.class.to_string());
    names.extend(head.markings.iter().map(|name| name.to_lowercase()));
    names
}

/// Returns how like a board's names are to the words, from 0 to 1: as a whole, or word by word.
fn likeness(board: &Board, wanted: &str) -> f64 {
    let head = &board.record.board;
    let mut names = names(board);
    names.push(format!("{} {}", head.maker, head.model).to_lowercase());
    let words: BTreeSet<&str> = names.iter().flat_map(|name| split(name)).collect();
    let by_word = |word: &str| best(word, words.iter().copied());
    let parts: Vec<f64> = split(wanted).map(by_word).collect();
    // A set of words is as near as the one that fits least.
    let apart = parts.iter().copied().fold(1.0, f64::min);
    best(wanted, names.iter().map(String::as_str)).max(apart)
}

fn split(name: &str) -> impl Iterator<Item = &str> {
    name.split([' ', '-', '_', '/'])
        .filter(|word| !word.is_empty())
}

fn best<'a>(word: &str, names: impl Iterator<Item = &'a str>) -> f64 {
    names
        .map(|name| strsim::normalized_damerau_levenshtein(word, name))
        .fold(0.0, f64::max)
}
