//! The demo book is one that its own linter has nothing to say about.

use std::path::Path;

use gapbook::book::Book;
use gapbook::lint::lint;
use gapbook::lint::render::text;
use gapbook::progress::Silent;

#[test]
fn the_demo_book_has_no_open_findings() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
    let book = Book::load(&root, &Silent).expect("the book is there");
    assert!(book.boards.len() > 10, "its boards are read");
    let found = lint(&book, &Silent);
    let open: Vec<String> = found.open().map(|one| text(&book, one, false)).collect();
    assert!(open.is_empty(), "open findings:\n\n{}", open.join("\n\n"));
}
