//! From the demo book's boards to pieces, strips, sheets and offcuts.

use std::path::Path;

use gapbook::book::Book;
use gapbook::cutting::{CutFacts, CutStock, Effort};
use gapbook::progress::Silent;
use gapbook::record::Offcut;
use gapbook::stack::{Fit, Trial, TriedPad};

fn demo() -> Book {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
    Book::load(&root, &Silent).expect("the demo book loads")
}

fn facts(book: &Book, trial: &Trial<'_>, offcuts: &[Offcut]) -> CutFacts {
    let board = book.board("osk-tern-240").expect("the example board");
    let fits = [Fit::of(book, board, trial)];
    CutFacts::of(&fits, &book.cutting, offcuts, Effort::BRIEF)
}

fn stock<'a>(facts: &'a CutFacts, pad: &str, thickness_mm: f64) -> &'a CutStock {
    let mut stocks = facts.stocks.iter();
    let found = stocks.find(|one| {
        one.pad.as_deref() == Some(pad) && (one.thickness_mm - thickness_mm).abs() < 1e-9
    });
    found.expect("it is fitted")
}

#[test]
fn every_board_of_the_demo_book_is_planned_to_the_end() {
    let book = demo();
    for board in &book.boards {
        let fits = [Fit::of(&book, board, &Trial::default())];
        let facts = CutFacts::of(&fits, &book.cutting, &[], Effort::BRIEF);
        for stock in &facts.stocks {
            let id = board.id();
            assert!(stock.sheets.is_some(), "{id}: {}", stock.verdict);
            assert_eq!(stock.sheets, stock.least_sheets, "{id}: proven fewest");
            let placed: usize = stock.layouts.iter().map(|one| one.pieces.len()).sum();
            let wanted: u32 = stock.pieces.iter().map(|piece| piece.count).sum();
            assert_eq!(placed, wanted as usize, "{id}: all of them");
        }
    }
}

#[test]
fn power_stages_in_a_column_take_one_strip() {
    let book = demo();
    let facts = facts(&book, &Trial::default(), &[]);
    let pieces = &stock(&facts, "soft", 3.0).pieces;
    let said: Vec<_> = pieces
        .iter()
        .map(|piece| (&*piece.of.zone, piece.size_mm, piece.count, piece.places))
        .collect();
    // Seven places 10.5 mm apart, the last 5 mm high; and five, 11 mm apart.
    let expected = [
        ("vrm-left", [6.0, 68.0], 1, 7),
        ("vrm-right", [6.0, 49.0], 1, 5),
    ];
    assert_eq!(said, expected, "a strip each");
}

#[test]
fn what_is_tried_is_what_is_cut() {
    let book = demo();
    let board = book.board("osk-tern-240").expect("the example board");
    let zones = board.record.zone.iter();
    let zone = zones.clone().position(|zone| zone.id == "mem-front");
    let trial = Trial {
        pads: vec![TriedPad {
            zone: zone.expect("a zone"),
            thickness_mm: 1.5,
            pad: book.stock.pad("medium"),
        }],
        ..Trial::default()
    };
    let facts = facts(&book, &trial, &[]);
    let memory: u32 = stock(&facts, "medium", 1.5)
        .pieces
        .iter()
        .map(|one| one.count)
        .sum();
    assert_eq!(memory, 8, "the memory's pieces");
}

#[test]
fn pieces_that_may_turn_are_of_one_kind() {
    let mut book = demo();
    let kinds = |book: &Book| -> Vec<([f64; 2], u32)> {
        let facts = facts(book, &Trial::default(), &[]);
        let pieces = stock(&facts, "soft", 2.0).pieces.iter();
        pieces.map(|piece| (piece.size_mm, piece.count)).collect()
    };
    // Six packages beside the die stand upright, two under it lie across.
    assert_eq!(kinds(&book), [([12.0, 14.0], 8)], "all alike");
    let soft = book.stock.pads.iter_mut().find(|pad| pad.id == "soft");
    soft.expect("it is stocked").directional = true;
    let apart = [([12.0, 14.0], 6), ([14.0, 12.0], 2)];
    assert_eq!(kinds(&book), apart, "as they will lie");
    let facts = facts(&book, &Trial::default(), &[]);
    let told = &stock(&facts, "soft", 2.0).direction;
    assert!(told.is_some(), "which way is up is told");
}

#[test]
fn what_cannot_be_bought_is_told_with_what_can() {
    let book = demo();
    let board = book.board("osk-tern-240").expect("the example board");
    let zone = board.record.zone.iter().position(|zone| zone.id == "coils");
    for (thickness_mm, nearest) in [
        (1.5, None),
        (1.7, Some(vec![1.5, 2.0])),
        (8.0, Some(vec![3.0])),
    ] {
        let trial = Trial {
            pads: vec![TriedPad {
                zone: zone.expect("a zone"),
                thickness_mm,
                pad: None,
            }],
            ..Trial::default()
        };
        let facts = facts(&book, &trial, &[]);
        let stock = stock(&facts, "putty", thickness_mm);
        assert_eq!(stock.nearest_mm, nearest, "{thickness_mm} mm");
        assert!(
            stock.sheets.is_some(),
            "{thickness_mm} mm is planned all the same"
        );
    }
}

#[test]
fn an_offcut_of_its_stock_saves_the_sheet() {
    let book = demo();
    let offcut = |pad: &str, thickness_mm| Offcut {
        pad: pad.to_owned(),
        thickness_mm,
        size_mm: [60.0, 40.0],
    };
    // 8 pieces of 12 × 14 mm: five by two lie on 60 × 40.
    let cases = [
        (vec![], 1, 0),
        (vec![offcut("soft", 2.0)], 0, 1),
        (vec![offcut("soft", 1.5), offcut("firm", 2.0)], 1, 0),
    ];
    for (offcuts, sheets, used) in cases {
        let facts = facts(&book, &Trial::default(), &offcuts);
        let memory = stock(&facts, "soft", 2.0);
        assert_eq!(memory.sheets, Some(sheets), "{offcuts:?}");
        let found = memory.layouts.iter().filter(|layout| layout.offcut).count();
        assert_eq!(found, used, "{offcuts:?}");
    }
}

#[test]
fn cuts_are_told_as_a_person_makes_them() {
    let book = demo();
    let facts = facts(&book, &Trial::default(), &[]);
    let layout = &stock(&facts, "soft", 2.0).layouts[0];
    let said: Vec<&str> = layout.steps.iter().map(|step| &*step.says).collect();
    let expected = [
        "from the left edge, cut at 14.0, full height",
        "in the 14.0 × 100.0 part, from its lower edge, cut 8 times at 12.0, each from the new edge, \
         full width",
    ];
    assert_eq!(said, expected, "a strip, then its pieces");
    let steps: Vec<_> = layout
        .steps
        .iter()
        .map(|step| (step.first, step.last))
        .collect();
    assert_eq!(steps, [(1, 1), (2, 9)], "numbered as in the drawing");
}
