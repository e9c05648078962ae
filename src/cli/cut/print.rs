//! A cutting plan as text for people.

use std::io::{self, Write};

use gapbook::cutting::{CutFacts, CutLayout, CutStock};
use gapbook::drawing::number;

use crate::cli::output::{BOLD, DIM};
use crate::cli::text::{self, Table, points, title};

/// Prints everything: what to buy first, then each stock.
pub(super) fn all(out: &mut dyn Write, facts: &CutFacts, width: usize) -> io::Result<()> {
    let boards = facts.boards.iter().map(|board| match &board.revision {
        Some(revision) => format!("{}, {}", text::line(&board.id), text::line(revision)),
        None => text::line(&board.id),
    });
    let boards: Vec<String> = boards.collect();
    writeln!(out, "{BOLD}Cutting for {}{BOLD:#}", boards.join("; "))?;
    title(out, "Buy")?;
    buy(out, facts, width)?;
    for one in &facts.stocks {
        stock(out, one, facts.boards.len() > 1, width)?;
    }
    let unknown = facts.unknown.iter().map(|zone| {
        format!(
            "`{}` of {}: how thick its pads are is not known",
            zone.zone, zone.board
        )
    });
    let unknown: Vec<String> = unknown.collect();
    list(out, "Not planned", &unknown, width)?;
    list(out, "Assumed", &facts.assumed, width)
}

fn list(out: &mut dyn Write, head: &str, lines: &[String], width: usize) -> io::Result<()> {
    if lines.is_empty() {
        return Ok(());
    }
    title(out, head)?;
    points(out, lines, width)
}

fn buy(out: &mut dyn Write, facts: &CutFacts, width: usize) -> io::Result<()> {
    if facts.stocks.is_empty() {
        return writeln!(out, "  nothing: no pad of a known thickness is fitted");
    }
    if facts.stocks.iter().all(|stock| stock.sheets == Some(0)) {
        writeln!(out, "  nothing: the offcuts give every piece")?;
    } else {
        let mut table = Table::new(&["material", "thickness", "sheets", "of, mm", "offcuts used"]);
        for stock in &facts.stocks {
            table.row(row(stock));
        }
        let lines = table.without_empty_last().lines(width);
        lines.iter().try_for_each(|line| writeln!(out, "{line}"))?;
    }
    let told = facts
        .stocks
        .iter()
        .filter_map(|stock| stock.unknown_stock.clone());
    points(out, &told.collect::<Vec<_>>(), width)
}

/// Says what of one material and thickness is bought, and what is taken from the shop's own.
fn row(stock: &CutStock) -> Vec<String> {
    let offcuts = stock.layouts.iter().filter(|layout| layout.offcut).count();
    let (sheets, of) = match stock.sheets {
        None => ("not planned".to_owned(), size(stock.sheet_mm)),
        Some(0) => ("none".to_owned(), String::new()),
        Some(sheets) => (sheets.to_string(), size(stock.sheet_mm)),
    };
    vec![
        material(stock),
        format!("{:.2} mm", stock.thickness_mm),
        sheets,
        of,
        if offcuts > 0 {
            offcuts.to_string()
        } else {
            String::new()
        },
    ]
}

fn material(stock: &CutStock) -> String {
    match (&stock.name, &stock.pad) {
        (Some(name), Some(pad)) => format!("{} ({})", text::line(name), text::line(pad)),
        _ => "material not known".to_owned(),
    }
}

fn size([width, height]: [f64; 2]) -> String {
    format!("{} × {}", number(width), number(height))
}

fn stock(
    out: &mut dyn Write,
    stock: &CutStock,
    names_boards: bool,
    width: usize,
) -> io::Result<()> {
    title(
        out,
        &format!("{}, {:.2} mm", material(stock), stock.thickness_mm),
    )?;
    for piece in &stock.pieces {
        let board = if names_boards {
            format!(" of {}", text::line(&piece.of.board))
        } else {
            String::new()
        };
        let strip = match piece.places {
            1 => String::new(),
            places => format!(", a strip over {places} places"),
        };
        let letter = &piece.letter;
        let (count, size, zone) = (piece.count, size(piece.size_mm), text::line(&piece.of.zone));
        writeln!(
            out,
            "  {letter}  {count} of {size} mm for {zone}{board}{strip}"
        )?;
    }
    for said in stock.direction.iter().chain([&stock.verdict]) {
        for line in text::wrap(&text::line(said), width.saturating_sub(2)) {
            writeln!(out, "  {DIM}{line}{DIM:#}")?;
        }
    }
    let count = stock.layouts.len();
    for (index, one) in stock.layouts.iter().enumerate() {
        layout(out, (index + 1, count), one, width)?;
    }
    Ok(())
}

fn layout(
    out: &mut dyn Write,
    (number, count): (usize, usize),
    layout: &CutLayout,
    width: usize,
) -> io::Result<()> {
    let what = if layout.offcut { "offcut" } else { "new sheet" };
    let size_mm = size(layout.size_mm);
    writeln!(
        out,
        "  {BOLD}{number} of {count}: {what}, {size_mm} mm{BOLD:#}"
    )?;
    for step in &layout.steps {
        let numbers = if step.first == step.last {
            format!("{:>5}", step.first)
        } else {
            format!("{:>5}", format!("{}-{}", step.first, step.last))
        };
        for (index, line) in text::wrap(&step.says, width.saturating_sub(7))
            .iter()
            .enumerate()
        {
            let head = if index == 0 { &*numbers } else { "     " };
            writeln!(out, "{head}  {line}")?;
        }
    }
    let kept = layout.remnants.iter().filter(|remnant| remnant.keep);
    let kept: Vec<String> = kept
        .map(|remnant| size([remnant.at_mm[2], remnant.at_mm[3]]))
        .collect();
    if kept.is_empty() {
        writeln!(out, "       nothing worth keeping is left")
    } else {
        writeln!(out, "       keep {} mm", kept.join(", "))
    }
}
