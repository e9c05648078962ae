//! The seven sheets of a board, and the frame that each stands in.

use minijinja::value::Value;
use serde::Serialize;

use super::BookFacts;
use super::cautions::{self, Caution};
use super::facts::{BoardFacts, CuttingFacts};
use super::fit::FitView;
use super::form::Form;
use super::heat::{self, PRACTICE, Practice};
use super::plots::{Plots, plots};
use super::small;
use super::templates::Templates;
use crate::Failure;
use crate::book::{Board, Book};
use crate::cutting::{CutLayout, CutStock};
use crate::drawing::{self, Cut, Element, Layers, View, fifty_mm, map, number, swatch};
use crate::record::schema::Words as _;
use crate::record::{From, NoteKind, Phase, Side};
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

/// Which maps a sheet shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Maps {
    All,
    Screws,
    Pads,
    /// Pads, with the line of the section.
    Cut,
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

/// A drawing on a sheet.
#[derive(Debug, Serialize)]
struct Drawing {
    side: Side,
    svg: Value,
}

/// What one must know of this board before opening it.
#[derive(Debug, Serialize)]
struct Signal {
    kind: NoteKind,
    html: Value,
}

/// A page of the screw sheet.
#[derive(Debug, Serialize)]
struct ScrewSheet {
    side: Side,
    number: usize,
    count: usize,
    svg: Value,
}

#[derive(Serialize)]
struct ScrewContext<'a> {
    book: &'a BookFacts,
    root: &'static str,
    board: Value,
    fifty_mm: Value,
    screw_sheets: &'a [ScrewSheet],
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
    swatches: &'a [Value],
    plots: &'a [Plots<'a>],
    fit: &'a FitView,
    cuttings: &'a Value,
    strip: &'a Option<Value>,
    practice: &'static Practice,
    causes: Vec<heat::CauseFacts>,
    ground: Value,
    small: Vec<Value>,
    screw_sheet: bool,
    doubtful: bool,
    form: Value,
    board: Value,
}

/// Renders every sheet of a board and the drawings that stand alone, giving file names below its
/// folder and their text.
pub(super) fn render(
    templates: &Templates,
    (book, about): (&Book, &BookFacts),
    fit: &Fit<'_>,
    facts: &BoardFacts,
) -> Result<Vec<(String, String)>, Failure> {
    let (cut, view) = FitView::of(fit, &facts.fit);
    let (figures, mut files) = figures(fit.board, cut.as_ref());
    let form = Value::from(minijinja::value::Serde(Form::of(book, fit.board)));
    let board = fit.board;
    let screw_sheets = screw_sheets(board);
    let ground = small::ground(board);
    // Turned into template values once: every sheet shows the same facts.
    let told = Value::from(minijinja::value::Serde(facts));
    let (swatches, plots, signals) = (swatches(facts), plots(facts), signals(facts));
    let cuttings = cuttings(facts);
    let strip = heat::drawn(&facts.heat);
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
            swatches: &swatches,
            plots: &plots,
            fit: &view,
            cuttings: &cuttings,
            strip: &strip,
            practice: &PRACTICE,
            causes: heat::causes(),
            form: form.clone(),
            ground: ground.clone(),
            small: small::beside_moves(board, facts, sheet.phase),
            screw_sheet: !screw_sheets.is_empty(),
            doubtful: facts.is_doubtful(),
            board: told.clone(),
        };
        let page = templates.render(&format!("sheets/{}.html", sheet.stem), context)?;
        files.push((format!("{}.html", sheet.stem), page));
    }
    if !screw_sheets.is_empty() {
        let context = ScrewContext {
            book: about,
            root: "../../",
            board: told,
            fifty_mm: Value::from_safe_string(fifty_mm().serialise()),
            screw_sheets: &screw_sheets,
        };
        let page = templates.render("sheets/screws.html", context)?;
        files.push(("screws.html".to_owned(), page));
    }
    Ok(files)
}

/// Draws the screws of each side at their own size.
fn screw_sheets(board: &Board) -> Vec<ScrewSheet> {
    let of_side = |side: Side| {
        let pages = drawing::screw_sheets(board, side);
        let count = pages.len();
        let sheet = move |(index, svg): (usize, Element)| ScrewSheet {
            side,
            number: index + 1,
            count,
            svg: Value::from_safe_string(svg.serialise()),
        };
        pages.into_iter().enumerate().map(sheet)
    };
    let has_screws = |side: Side| {
        let mut groups = board.record.fasteners.iter();
        groups.any(|group| match group.from {
            From::Back => side == Side::Back,
            From::Front | From::Edge => side == Side::Front,
        })
    };
    let sides = Side::ALL.iter().copied().filter(|&side| has_screws(side));
    sides.flat_map(of_side).collect()
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

/// The drawings of the sheets.
type Figures = Vec<(Maps, Vec<Drawing>)>;

/// Draws a board's maps for its sheets, each kind once, and each side whole as a file of its own, to
/// be enlarged.
fn figures(board: &Board, cut: Option<&Cut>) -> (Figures, Vec<(String, String)>) {
    let style = Element::new("style").text(drawing::STYLE);
    let mut files = Vec::new();
    let mut figures = Vec::new();
    for (maps, layers) in [
        (Maps::All, Layers::ALL),
        (Maps::Screws, Layers::SCREWS),
        (Maps::Pads, Layers::PADS),
    ] {
        let (mut drawings, mut marked) = (Vec::new(), Vec::new());
        for &side in Side::ALL.iter().filter(|side| is_used(board, **side)) {
            let Some(mut svg) = map(board, side, layers, side.word()) else {
                continue;
            };
            drawings.push(drawing(side, &svg));
            if maps == Maps::All {
                svg.push(style.clone());
                let alone = enlarged(svg, board, side);
                files.push((format!("{side}.svg"), alone.serialise()));
            } else if maps == Maps::Pads {
                svg.push(marks(board, side, cut));
                marked.push(drawing(side, &svg));
            }
        }
        figures.push((maps, drawings));
        if maps == Maps::Pads {
            figures.push((Maps::Cut, marked));
        }
    }
    (figures, files)
}

fn drawing(side: Side, svg: &Element) -> Drawing {
    Drawing {
        side,
        svg: Value::from_safe_string(svg.serialise()),
    }
}

/// Draws the line of the section.
fn marks(board: &Board, side: Side, cut: Option<&Cut>) -> Element {
    let outline = board.record.board.outline_mm;
    let marks = cut.zip(outline);
    marks.map_or(Element::new("g"), |(cut, outline)| {
        cut.marks(&View::new(side, outline), outline)
    })
}

/// Millimetres of a drawing that stands alone for each of its units: larger than on any page, so that it
/// can be moved under the finger, and sharp at any zoom.
const ENLARGED: f64 = 2.0;

/// Gives a drawing a size of its own.
fn enlarged(svg: Element, board: &Board, side: Side) -> Element {
    let outline = board.record.board.outline_mm.unwrap_or_default();
    let [width, height] = View::new(side, outline).size();
    let size = |units: f64| format!("{}mm", number(units * ENLARGED));
    svg.with("width", size(width)).with("height", size(height))
}

/// Tells whether there is anything to draw on a side.
fn is_used(board: &Board, side: Side) -> bool {
    let record = &board.record;
    side == Side::Front
        || record.part.iter().any(|part| part.side == side)
        || record.connector.iter().any(|plug| plug.side == side)
        || record.body.iter().any(|body| body.side == side)
        || record
            .fasteners
            .iter()
            .any(|group| group.from.word() == side.word())
}

fn swatches(facts: &BoardFacts) -> Vec<Value> {
    facts
        .zones
        .iter()
        .enumerate()
        .map(|(index, zone)| {
            let svg = zone
                .pad_mm
                .map(|pad_mm| swatch(pad_mm, &format!("w{index}")).serialise());
            Value::from_safe_string(svg.unwrap_or_default())
        })
        .collect()
}

/// Draws how the pads are cut: by plan, by stock, by sheet.
fn cuttings(facts: &BoardFacts) -> Value {
    let sheet =
        |layout: &CutLayout| Value::from_safe_string(drawing::cutting([layout]).serialise());
    let stock = |stock: &CutStock| -> Value { stock.layouts.iter().map(sheet).collect() };
    let plan = |plan: &CuttingFacts| -> Value { plan.cut.stocks.iter().map(stock).collect() };
    let plans = facts.cutting.iter();
    // As the sheet shows them.
    let plans = plans.filter(|plan| !plan.cut.stocks.is_empty());
    plans.map(plan).collect()
}
