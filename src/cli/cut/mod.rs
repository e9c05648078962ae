//! `gapbook cut`: which sheets to buy, and where to cut them.

mod print;

use clap::ValueEnum;
use gapbook::Failure;
use gapbook::book::{Board, Book, Role};
use gapbook::cutting::{CutFacts, CutLayout, CutStock, Effort};
use gapbook::drawing;
use gapbook::record::schema::Kind;
use gapbook::record::{Cutting, Offcut};
use gapbook::stack::{Fit, Trial};

use super::find::one_board;
use super::{Context, Outcome, fit, output, text};

/// Widest blade that is planned for, mm: what a book may say.
const WIDEST_BLADE_MM: f64 = 5.0;

/// How far lengths may differ and still be the same, mm: a hundredth, in which plans count.
const SAME_MM: f64 = 0.005;

/// Longest offcut, mm: what a book may say.
const LONGEST_OFFCUT_MM: f64 = 1000.0;

/// Plan how to cut the pads of one or several boards
///
/// Adds up the pads by material and thickness, and says how to cut them with a ruler and a blade: which
/// cuts in which order, which remnants to keep, what to buy. Fewest sheets, then the largest single
/// remnant, then few cuts; and how far that is proven.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook cut osk-tern-240                             what the record says is fitted
  gapbook cut osk-tern-240 osk-tern-180                for two boards at once
  gapbook cut osk-tern-240 --offcut 60x40x2.0:soft     with what is left of an earlier sheet
  gapbook cut osk-tern-240 --pad mem-front=1.5         with another thickness in one zone
  gapbook cut osk-tern-240 --choose                    what `gapbook fit --choose` would fit
  gapbook cut osk-tern-240 --as svg > cutting.svg      drawn at 1:1

Exit status: 0 planned, 1 something cannot be cut from its sheets, 2 could not run.")]
pub(super) struct Options {
    /// The boards, each by its id or another name that means it alone
    #[arg(value_name = "BOARD", required = true)]
    boards: Vec<String>,

    /// An offcut at hand: width, height and thickness in mm, and its material
    #[arg(long, value_name = "WxHxMM:PAD", allow_hyphen_values = true)]
    offcut: Vec<String>,

    /// Use no offcuts of the book's `stock/offcuts.toml`
    #[arg(long)]
    new_sheets: bool,

    /// Try a pad in a zone of the one board: its thickness in mm, and its material where that changes too
    #[arg(long, value_name = "ZONE=MM[:PAD]")]
    pad: Vec<String>,

    /// Choose the pads of all other zones from the stock, as `gapbook fit` does
    #[arg(long)]
    choose: bool,

    /// What the blade takes away, mm; left out, what the book says
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    blade: Option<f64>,

    /// The revision of the one board; left out, the newest
    #[arg(long, value_name = "REVISION")]
    revision: Option<String>,

    /// Print text for people, one JSON object, or a drawing at 1:1
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,
}

/// In what form the plan is given.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Form {
    /// Text for people
    #[default]
    Text,
    /// One JSON object, for programs
    Json,
    /// A drawing at 1:1
    Svg,
}

/// Plans the cutting and prints it.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let (book, bar) = context.load()?;
    let boards = boards(&book, options)?;
    let fits = boards.iter().map(|board| fitted(&book, board, options));
    let fits = fits.collect::<Result<Vec<_>, _>>()?;
    let cutting = cutting(&book, options)?;
    let offcuts = offcuts(&book, options)?;
    let mut facts = CutFacts::of(&fits, &cutting, &offcuts, Effort::THOROUGH);
    let named = &offcuts[..options.offcut.len()];
    facts.assumed.extend(unused(named, &facts));
    facts
        .assumed
        .extend(unread(&book).filter(|_| !options.new_sheets));
    drop(bar);
    output::print(|out| match options.form {
        Form::Json => text::write_json(out, &facts),
        Form::Svg => {
            let layouts = facts.stocks.iter().flat_map(|stock| &stock.layouts);
            let mut svg = drawing::cutting(layouts);
            svg.push(drawing::Element::new("style").text(drawing::STYLE));
            writeln!(out, "{}", svg.serialise())
        }
        Form::Text => print::all(out, &facts, output::width()),
    })?;
    Ok(if facts.is_wrong() {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}

/// Finds the boards, each once.
fn boards<'a>(book: &'a Book, options: &Options) -> Result<Vec<&'a Board>, Failure> {
    let mut boards: Vec<&Board> = Vec::new();
    for name in &options.boards {
        let board = one_board(book, name)?;
        if boards.iter().any(|other| other.id() == board.id()) {
            let id = text::line(board.id());
            return Err(Failure::new(format!("`{id}` is named twice"))
                .help("name each board once; pads of a second one are cut the same way"));
        }
        boards.push(board);
    }
    let is_of_one = !options.pad.is_empty() || options.revision.is_some();
    if is_of_one && boards.len() > 1 {
        return Err(Failure::new("`--pad` and `--revision` are of one board")
            .help("name one board, or leave them out"));
    }
    Ok(boards)
}

/// Returns what is fitted on a board: what its record says, what is tried, or what is chosen.
fn fitted<'a>(book: &'a Book, board: &'a Board, options: &'a Options) -> Result<Fit<'a>, Failure> {
    let stock = &book.stock.pads;
    let pads = options.pad.iter();
    let pads = pads.map(|written| fit::tried_pad(stock, board, written));
    let revision = options.revision.as_deref();
    let mut trial = Trial {
        pads: pads.collect::<Result<_, _>>()?,
        revision: revision
            .map(|name| fit::revision(board, name))
            .transpose()?,
        ..Trial::default()
    };
    let as_written = Fit::of(book, board, &trial);
    if !options.choose {
        return Ok(as_written);
    }
    let held: Vec<usize> = trial.pads.iter().map(|tried| tried.zone).collect();
    let chosen = as_written.choose(stock, &held);
    let words = chosen.facts(&as_written).in_words();
    let Some(pads) = chosen.pads else {
        let id = text::line(board.id());
        return Err(
            Failure::new(format!("nothing was chosen for `{id}`: {words}")).help(format!(
                "`gapbook fit {id} --choose` shows why; `--pad` tries a pad of yours"
            )),
        );
    };
    trial.pads.extend(pads);
    Ok(Fit::of(book, board, &trial))
}

/// Returns how pads are cut, as the book says or the command.
fn cutting(book: &Book, options: &Options) -> Result<Cutting, Failure> {
    let mut cutting = book.cutting.clone();
    if let Some(blade_mm) = options.blade {
        if !(0.0..=WIDEST_BLADE_MM).contains(&blade_mm) {
            let failure = format!("a blade cannot take away {blade_mm} mm");
            let help = format!("give what it takes away, 0 to {WIDEST_BLADE_MM} mm");
            return Err(Failure::new(failure).help(help));
        }
        cutting.blade_mm = blade_mm;
    }
    Ok(cutting)
}

/// Returns the offcuts at hand: those of the command, then the shop's.
fn offcuts(book: &Book, options: &Options) -> Result<Vec<Offcut>, Failure> {
    let written = options.offcut.iter().map(|written| offcut(book, written));
    let mut offcuts = written.collect::<Result<Vec<_>, _>>()?;
    if !options.new_sheets {
        offcuts.extend(book.stock.offcuts.iter().cloned());
    }
    Ok(offcuts)
}

/// Says which offcuts of the command no sheet is cut from, and why.
fn unused(named: &[Offcut], facts: &CutFacts) -> Vec<String> {
    let mut said = Vec::new();
    for (index, one) in named.iter().enumerate() {
        let [width, height] = one.size_mm;
        let what = format!("the offcut of {width} × {height} mm is not used");
        let is_of_stock = |stock: &&CutStock| {
            let is_as_thick = (stock.thickness_mm - one.thickness_mm).abs() < SAME_MM;
            stock.pad.as_deref() == Some(&*one.pad) && is_as_thick
        };
        let Some(stock) = facts.stocks.iter().find(is_of_stock) else {
            let (pad, thickness_mm) = (&one.pad, one.thickness_mm);
            said.push(format!("{what}: no `{pad}` of {thickness_mm} mm is cut"));
            continue;
        };
        let is_same = |layout: &&CutLayout| {
            let mut sides = layout.size_mm.iter().zip(one.size_mm);
            let is_as_large = sides.all(|(one, other)| (one - other).abs() < SAME_MM);
            layout.offcut && is_as_large
        };
        // Of like ones the command's are taken before the shop's.
        let earlier = named[..index].iter().filter(|other| *other == one);
        let taken = stock.layouts.iter().filter(is_same);
        if taken.count() <= earlier.count() {
            said.push(format!("{what}: it saves no sheet"));
        }
    }
    said
}

/// Says that the shop's offcuts cannot be read, where they cannot.
fn unread(book: &Book) -> Option<String> {
    let mut files = book.files.iter();
    let file = files.find(|file| file.role == Role::Record(Kind::Offcuts))?;
    let is_unread = book.stock.offcuts.is_empty() && !file.faults.is_empty();
    is_unread.then(|| {
        let name = text::line(&file.name);
        format!("the shop has no offcuts: `{name}` cannot be read; `gapbook lint` says why")
    })
}

/// Reads `60x40x2.0:soft`.
fn offcut(book: &Book, written: &str) -> Result<Offcut, Failure> {
    let malformed = |what: &str| {
        Failure::new(format!("`--offcut {}` {what}", text::line(written)))
            .help("write its width, height, thickness and material: `--offcut 60x40x2.0:soft`")
    };
    let (lengths, pad) = written
        .split_once(':')
        .ok_or_else(|| malformed("names no material"))?;
    let numbers: Vec<Option<f64>> = lengths
        .split('x')
        .map(|number| number.trim().parse().ok())
        .collect();
    let [Some(width), Some(height), Some(thickness_mm)] = numbers[..] else {
        return Err(malformed("does not give three lengths"));
    };
    let is_length = |length: f64| length > 0.0 && length <= LONGEST_OFFCUT_MM;
    if ![width, height, thickness_mm].into_iter().all(is_length) {
        return Err(malformed(&format!(
            "has a length that is not between 0 and {LONGEST_OFFCUT_MM} mm"
        )));
    }
    fit::material(&book.stock.pads, pad)?;
    Ok(Offcut {
        pad: pad.to_owned(),
        thickness_mm,
        size_mm: [width, height],
    })
}
