//! The measuring form of a board: what its script is told, so that it judges as the program does and
//! writes a record that lints clean.

use std::sync::LazyLock;

use minijinja::value::Value;
use serde::Serialize;

use crate::book::{Board, Book};
use crate::drawing::caliper;
use crate::evidence::{Expected, LIMITS};
use crate::order::peeling;
use crate::record::schema::{Kind, Words as _, most, range};
use crate::record::{Fitted, InstrumentKind, Temperatures};

/// Numbers of a job that the form asks for beside temperatures: their table in the schema, and their key.
const NUMBERS: [(&str, &str); 5] = [
    ("Instrument", "resolution_mm"),
    ("Instrument", "max_error_mm"),
    ("Reading", "edge_mm"),
    ("Reading", "imprint_mm"),
    ("Fitted", "pad_mm"),
];

/// Least and greatest of every number that the form asks for, by its key, as JSON.
static RANGES: LazyLock<String> = LazyLock::new(|| {
    let schema = Kind::Job.schema();
    let temperatures = Temperatures::NUMBERS.map(|(key, _)| ("Temperatures", key));
    let one = |(table, key): (&str, &str)| {
        let range = range(&schema, table, key).expect("invariant: a job's numbers have ranges");
        (key.to_owned(), range.to_vec().into())
    };
    let ranges = NUMBERS.into_iter().chain(temperatures).map(one);
    json(&ranges.collect::<serde_json::Map<String, serde_json::Value>>())
});

/// The most of what has no range: characters of texts, and readings of one place.
#[derive(Clone, Copy, Debug, Serialize)]
struct Most {
    bench: usize,
    reason: usize,
    note: usize,
    readings: usize,
}

static MOST: LazyLock<Most> = LazyLock::new(|| {
    let schema = Kind::Job.schema();
    let most = |definition, key| most(&schema, definition, key).expect("invariant: it is bounded");
    Most {
        bench: most(None, "bench"),
        reason: most(None, "reason"),
        note: most(None, "note"),
        readings: most(Some("Reading"), "edge_mm"),
    }
});

/// What the form of a board needs beside the board's facts.
#[derive(Debug, Serialize)]
pub(super) struct Form<'a> {
    /// Zones in the order their pads come off.
    zones: Vec<Zone>,
    /// From where on a reading is odd, as JSON.
    limits: String,
    /// Least and greatest of each number, by key, as JSON.
    ranges: &'static str,
    most: Most,
    /// How far a fitted pad lies from the record's to be another, mm.
    another_mm: f64,
    materials: Vec<&'a str>,
    pastes: Vec<&'a str>,
    instruments: Vec<&'static str>,
    temperatures: [(&'static str, &'static str); 6],
    questions: [(&'static str, &'static str); 2],
    /// Where the caliper goes, drawn.
    caliper: Value,
}

/// A zone of the form.
#[derive(Debug, Serialize)]
struct Zone {
    /// Its position in the record.
    index: usize,
    /// What its readings are judged by, as JSON.
    expected: String,
    /// The revisions that it is on, as JSON; none is all.
    only: String,
}

impl<'a> Form<'a> {
    /// Gathers what a board's form needs.
    pub(super) fn of(book: &'a Book, board: &Board) -> Self {
        let zones = peeling(board).into_iter().map(|index| Zone {
            index,
            expected: json(&Expected::of(book, board, index)),
            only: json(&board.revisions_of_zone(index).to_vec()),
        });
        let instruments = InstrumentKind::ALL.iter();
        Self {
            zones: zones.collect(),
            limits: json(&LIMITS),
            ranges: &RANGES,
            most: *MOST,
            another_mm: Fitted::ANOTHER_MM,
            materials: book.stock.pads.iter().map(|pad| &*pad.id).collect(),
            pastes: book.stock.pastes.iter().map(|paste| &*paste.id).collect(),
            instruments: instruments.map(|kind| kind.word()).collect(),
            temperatures: Temperatures::NUMBERS,
            questions: Temperatures::QUESTIONS,
            caliper: Value::from_safe_string(caliper("caliper").serialise()),
        }
    }
}

fn json(value: &impl Serialize) -> String {
    serde_json::to_string(value).expect("invariant: plain data")
}
