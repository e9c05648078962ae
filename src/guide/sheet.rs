//! The seven sheets of a board, and the frame that each stands in.

use minijinja::value::{Serde, Value};
use serde::Serialize;

use super::cautions::{self, Caution};
use super::facts::BoardFacts;
use super::maps::{Drawing, Maps, figures};
use super::templates::Templates;
use super::views::Views;
use super::{BookFacts, screws, small};
use crate::Failure;
use crate::book::Book;
use crate::record::{NoteKind, Phase};
use crate::stack::Fit;

/// One sheet of a board's drawing set.
#[derive(Clone, Copy, Debug)]
struct Sheet {
    /// Its file, without the ending; its template too.
    stem: &'static str,
    title: &'static str,
    question: &'static str,
    phase: Option<Phase>,
    maps: Option<Maps>,
}

/// The drawing set, in order.
const SHEETS: [Sheet; 7] = [
    Sheet {
        stem: "index",
        title: "At a glance",
        question: "the ten seconds before picking up a driver",
        phase: None,
        maps: Some(Maps::All),
    },
    Sheet {
        stem: "decide",
        title: "Decide",
        question: "does it need opening at all?",
        phase: Some(Phase::Decide),
        maps: None,
    },
    Sheet {
        stem: "open",
        title: "Open",
        question: "what holds what, and in what order?",
        phase: Some(Phase::Open),
        maps: Some(Maps::Screws),
    },
    Sheet {
        stem: "measure",
        title: "Measure",
        question: "what was fitted, before it is lost?",
        phase: Some(Phase::Measure),
        maps: Some(Maps::Pads),
    },
    Sheet {
        stem: "fit",
        title: "Fit",
        question: "which pad goes in which gap?",
        phase: Some(Phase::Fit),
        maps: Some(Maps::Cut),
    },
    Sheet {
        stem: "close",
        title: "Close",
        question: "in what order, and how tight?",
        phase: Some(Phase::Close),
        maps: Some(Maps::Screws),
    },
    Sheet {
        stem: "prove",
        title: "Prove",
        question: "are the temperatures back to normal?",
        phase: Some(Phase::Prove),
        maps: None,
    },
];

/// An entry of the sheet's navigation.
#[derive(Debug, Serialize)]
struct Tab {
    href: String,
    title: &'static str,
    question: &'static str,
    current: bool,
}

/// What one must know of this board before opening it.
#[derive(Debug, Serialize)]
struct Signal {
    kind: NoteKind,
    html: Value,
}

#[derive(Serialize)]
struct Context<'a> {
    book: &'a BookFacts,
    root: &'static str,
    title: &'static str,
    question: &'static str,
    phase: Option<Phase>,
    number: usize,
    count: usize,
    tabs: Vec<Tab>,
    first: &'static str,
    cautions: Vec<Caution>,
    signals: &'a [Signal],
    maps: &'a [Drawing],
    small: Vec<Value>,
    screw_sheet: bool,
    doubtful: bool,
    board: Value,
    #[serde(flatten)]
    views: &'a Views<'a>,
}

/// Renders every sheet of a board and the drawings that stand alone, giving file names below its
/// folder and their text.
pub(super) fn render(
    templates: &Templates,
    (book, about): (&Book, &BookFacts),
    fit: &Fit<'_>,
    facts: &BoardFacts,
) -> Result<Vec<(String, String)>, Failure> {
    let board = fit.board;
    let (cut, views) = Views::of(book, fit, facts);
    let (figures, mut files) = figures(board, cut.as_ref());
    // Turned into template values once: every sheet shows the same facts.
    let told = Value::from(Serde(facts));
    let screws = screws::render(templates, about, board, &told)?;
    let signals = signals(facts);
    for (position, sheet) in SHEETS.iter().enumerate() {
        let figure = figures.iter().find(|(maps, _)| Some(*maps) == sheet.maps);
        let context = Context {
            book: about,
            root: "../../",
            title: sheet.title,
            question: sheet.question,
            phase: sheet.phase,
            number: position + 1,
            count: SHEETS.len(),
            tabs: tabs(position),
            first: cautions::FIRST,
            cautions: sheet.phase.map_or_else(Vec::new, |phase| {
                cautions::of_phase(phase, !facts.pasted.is_empty())
            }),
            signals: &signals,
            maps: figure.map_or(&[], |(_, drawings)| drawings),
            small: small::beside_moves(board, facts, sheet.phase),
            screw_sheet: screws.is_some(),
            doubtful: facts.is_doubtful(),
            board: told.clone(),
            views: &views,
        };
        let page = templates.render(&format!("sheets/{}.html", sheet.stem), context)?;
        files.push((format!("{}.html", sheet.stem), page));
    }
    files.extend(screws.map(|page| ("screws.html".to_owned(), page)));
    Ok(files)
}

/// Returns what is grave about opening a board, the gravest first, and among equals what the record
/// itself tells.
fn signals(facts: &BoardFacts) -> Vec<Signal> {
    let before = (!facts.before_pulling.is_empty()).then(|| Signal {
        kind: NoteKind::Caution,
        html: Value::from(facts.before_pulling.join(" ")),
    });
    let is_grave = |kind| matches!(kind, NoteKind::Warning | NoteKind::Caution);
    let notes = facts.notes.iter();
    let notes = notes.filter(|note| note.when == Phase::Open && is_grave(note.kind));
    let of_notes = notes.map(|note| Signal {
        kind: note.kind,
        html: Value::from_safe_string(note.html.clone()),
    });
    let mut signals: Vec<Signal> = before.into_iter().chain(of_notes).collect();
    signals.sort_by_key(|signal| signal.kind);
    signals
}

fn tabs(current: usize) -> Vec<Tab> {
    let tab = |(position, sheet): (usize, &Sheet)| Tab {
        href: format!("{}.html", sheet.stem),
        title: sheet.title,
        question: sheet.question,
        current: position == current,
    };
    SHEETS.iter().enumerate().map(tab).collect()
}
