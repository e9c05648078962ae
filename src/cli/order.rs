//! `gapbook order`: in what order a board is opened and closed.

use std::io::{self, Write};

use gapbook::Failure;
use gapbook::book::Board;
use gapbook::guide::{Act, Move, NoteFacts, OrderFacts};
use gapbook::record::Phase;
use gapbook::record::schema::Words as _;
use serde::Serialize;

use super::find::{one_board, warnings};
use super::output::BOLD;
use super::text::{self, Table, line};
use super::{Context, Form, Outcome, output};

/// Stands where nothing needs to be said.
const NOTHING: &str = "";

/// Say in what order a board comes apart and goes together
///
/// Works out, from what holds, hides and ties what, the order that turns the board over least and then
/// changes the bit least; then the reverse, and how the screws are tightened.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook order osk-tern-240              its moves
  gapbook order tern 240 --as json        the same as one JSON object

Exit status: 0 there is an order, 1 something waits for itself, 2 could not run.")]
pub(super) struct Options {
    /// The board's id, or other words that mean it alone
    #[arg(value_name = "BOARD", required = true)]
    board: Vec<String>,

    /// Print text for people, or one JSON object
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,
}

/// What is answered to a program.
#[derive(Serialize)]
struct Answer<'a> {
    board: &'a str,
    #[serde(flatten)]
    order: &'a OrderFacts,
    /// The notes of the record; moves name those told with them by position.
    notes: &'a [NoteFacts],
}

/// Prints in what order a board is opened and closed.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let (book, bar) = context.load()?;
    drop(bar);
    let board = one_board(&book, &options.board.join(" "))?;
    let (order, notes) = OrderFacts::with_notes(board);
    output::print(|out| match options.form {
        Form::Json => {
            let answer = Answer {
                board: board.id(),
                order: &order,
                notes: &notes,
            };
            text::write_json(out, &answer)
        }
        Form::Text => print(out, board, &order, output::width()),
    })?;
    Ok(if order.stuck.is_empty() {
        Outcome::Clean
    } else {
        Outcome::Findings
    })
}

fn print(out: &mut dyn Write, board: &Board, order: &OrderFacts, width: usize) -> io::Result<()> {
    writeln!(out, "{}  {}", text::heading(board), line(board.id()))?;
    warnings(out, board, Phase::Open, width)?;
    let how = |said: String| match &order.opening[..] {
        [] => String::new(),
        _ => format!("  {said}"),
    };
    writeln!(out, "\n{BOLD}Open{BOLD:#}{}", how(opening(order)))?;
    moves(out, board, &order.opening, width)?;
    stuck(out, order, width)?;
    writeln!(out, "\n{BOLD}Close{BOLD:#}{}", how(closing(order)))?;
    warnings(out, board, Phase::Close, width)?;
    moves(out, board, &order.closing, width)?;
    tightening(out, order, width)
}

/// Says how often the board is turned over and the bit changed while it is opened.
pub(super) fn opening(order: &OrderFacts) -> String {
    how_good(order.turn_overs, order.bit_changes, order.is_exact)
}

/// Says the same of closing.
fn closing(order: &OrderFacts) -> String {
    let told = how_good(
        order.closing_turn_overs,
        order.closing_bit_changes,
        order.closing_is_exact,
    );
    if order.closing_turn_overs > order.turn_overs {
        told + ", the heavier body lying on the bench"
    } else {
        told
    }
}

/// Says how often the board is turned over and the bit changed, and whether that is proven least.
fn how_good(turn_overs: usize, bit_changes: usize, is_exact: bool) -> String {
    let proof = if is_exact {
        "no order has fewer"
    } else {
        "not proven: the board has too many ways to come apart"
    };
    let turn_overs = text::count(turn_overs, "turn-over");
    let bit_changes = text::count(bit_changes, "change");
    format!("{turn_overs}, {bit_changes} of bit; {proof}")
}

/// Prints numbered moves, with the side that is up, the trays and the bit.
pub(super) fn moves(
    out: &mut dyn Write,
    board: &Board,
    moves: &[Move],
    width: usize,
) -> io::Result<()> {
    if moves.is_empty() {
        return writeln!(
            out,
            "  not known: the record says nothing of what holds what"
        );
    }
    let mut rows = Table::new(&[NOTHING, "up", "move", "tray", "bit"]);
    let caution = |rows: &mut Table, said: &Option<String>| {
        if let Some(said) = said {
            let nothing = || NOTHING.to_owned();
            rows.row(vec![nothing(), nothing(), line(said), nothing(), nothing()]);
        }
    };
    for (index, one) in moves.iter().enumerate() {
        caution(&mut rows, &one.hold);
        let turn = if one.turn_over { "turn, " } else { NOTHING };
        let up = one.side_up.map_or("", |side| side.word());
        rows.row(vec![
            (index + 1).to_string(),
            format!("{turn}{up}"),
            line(&in_words(board, one)),
            one.trays.join(", "),
            one.bit.as_deref().map_or_else(String::new, line),
        ]);
        caution(&mut rows, &one.loose);
    }
    for row in rows.lines(width.saturating_sub(2)) {
        writeln!(out, "  {row}")?;
    }
    Ok(())
}

/// Says a move in a few words, screws by name.
fn in_words(board: &Board, one: &Move) -> String {
    if one.act != Act::Screws {
        return one.short.clone();
    }
    let names: Vec<String> = one.ids.iter().map(|id| board.name(id)).collect();
    match &names[..] {
        [name] => format!("{name} {}", one.short),
        // Together: their springs are on one body.
        _ => format!("{}: {}", names.join("; "), one.short),
    }
}

/// Says what no order takes off, and why.
pub(super) fn stuck(out: &mut dyn Write, order: &OrderFacts, width: usize) -> io::Result<()> {
    if order.stuck.is_empty() {
        return Ok(());
    }
    let mut said = vec![format!("no order takes off: {}", order.stuck.join(", "))];
    said.extend(order.cycles.iter().map(|cycle| format!("because {cycle}")));
    for sentence in said {
        for row in text::wrap(&line(&sentence), width.saturating_sub(2)) {
            writeln!(out, "  {row}")?;
        }
    }
    Ok(())
}

/// Says how tight, once for all trays where it is the same.
fn how_tight(one: &Move, of_trays: &[String]) -> String {
    match of_trays {
        [first, others @ ..] if others.iter().all(|other| other == first) => first.clone(),
        _ => {
            let of_trays = one.trays.iter().zip(of_trays);
            let told = of_trays.map(|(tray, how)| format!("{tray}: {how}"));
            told.collect::<Vec<_>>().join(" ")
        }
    }
}

fn tightening(out: &mut dyn Write, order: &OrderFacts, width: usize) -> io::Result<()> {
    writeln!(out, "\n{BOLD}Tighten{BOLD:#}")?;
    let mut is_none = true;
    for one in &order.closing {
        let Some(tightening) = &one.tightening else {
            continue;
        };
        is_none = false;
        let sequence = tightening.sequence.join(" ");
        let how_tight = how_tight(one, &tightening.how_tight);
        let said = format!("{sequence}: {}. {how_tight}", tightening.passes);
        for (index, row) in text::wrap(&line(&said), width.saturating_sub(4))
            .iter()
            .enumerate()
        {
            let mark = if index == 0 { "- " } else { "  " };
            writeln!(out, "  {mark}{row}")?;
        }
    }
    if is_none {
        writeln!(out, "  no screws are recorded")?;
    }
    Ok(())
}
