use std::collections::BTreeMap;
use std::io::{self, Write};

use gapbook::book::{Board, Book};
use gapbook::guide::OrderFacts;
use gapbook::order::tray_letter;
use gapbook::record::schema::Words as _;
use gapbook::record::{Fasteners, NoteKind, Phase, Removal, Side};
use gapbook::units::{self, Rect};

use super::map::Map;
use crate::cli::order;
use crate::cli::output::{BOLD, ERROR, WARNING};
use crate::cli::text::{Table, heading, line, markdown};

/// Stands where a record is silent.
const UNKNOWN: &str = "not known";

/// Columns below which no map is drawn: the smallest parts would fall together.
const LEAST_FOR_MAP: usize = 80;

/// Columns that a note's text stands in.
const INDENT: usize = 2;

/// Prints what a technician needs to know of a board, in so many columns.
pub(super) fn print(
    out: &mut dyn Write,
    book: &Book,
    board: &Board,
    width: usize,
) -> io::Result<()> {
    head(out, board)?;
    warnings(out, board, Phase::Open, width)?;
    pads(out, book, board, width)?;
    screws(out, board, width)?;
    order(out, board, width)?;
    connectors(out, board, width)?;
    maps(out, board, width)
}

fn title(out: &mut dyn Write, text: &str) -> io::Result<()> {
    writeln!(out, "\n{BOLD}{text}{BOLD:#}")
}

fn table(out: &mut dyn Write, table: Table, width: usize) -> io::Result<()> {
    let lines = table.without_empty_last().lines(width);
    lines.iter().try_for_each(|line| writeln!(out, "{line}"))
}

fn head(out: &mut dyn Write, board: &Board) -> io::Result<()> {
    let head = &board.record.board;
    writeln!(out, "{}  {}", heading(board), line(&head.id))?;
    let size = match (head.outline_mm, head.thickness_mm) {
        (None, _) => "size not known".to_owned(),
        (Some([width, height]), None) => format!("{width} × {height} mm"),
        (Some([width, height]), Some(thickness)) => {
            format!("{width} × {height} × {thickness} mm")
        }
    };
    let heat = head
        .heat_w
        .map_or_else(|| "heat not known".to_owned(), |heat| format!("{heat} W"));
    writeln!(out, "{}, {size}, {heat}", head.class)?;
    writeln!(out, "markings   {}", listed(&head.markings))?;
    writeln!(out, "revisions  {}", listed(&head.revisions))
}

fn listed(words: &[String]) -> String {
    if words.is_empty() {
        UNKNOWN.to_owned()
    } else {
        line(&words.join(", "))
    }
}

/// Prints what could hurt in a phase: while the board is opened, say, or closed.
pub(in crate::cli) fn warnings(
    out: &mut dyn Write,
    board: &Board,
    when: Phase,
    width: usize,
) -> io::Result<()> {
    let grave = [
        (NoteKind::Warning, "WARNING", ERROR),
        (NoteKind::Caution, "CAUTION", WARNING),
    ];
    for (kind, word, style) in grave {
        let notes = board.record.note.iter();
        for note in notes.filter(|note| note.when == when && note.kind == kind) {
            let on = line(&board.name(&note.on));
            writeln!(out, "\n{style}{word}{style:#}  {on}")?;
            for text in markdown::lines(&note.text, width.saturating_sub(INDENT)) {
                writeln!(out, "{:INDENT$}{text}", "")?;
            }
        }
    }
    Ok(())
}

fn pads(out: &mut dyn Write, book: &Book, board: &Board, width: usize) -> io::Result<()> {
    title(out, "Pads")?;
    if board.zones.is_empty() {
        return writeln!(out, "  {UNKNOWN}");
    }
    let mut rows = Table::new(&[
        "zone",
        "id",
        "pad",
        "material",
        "pieces",
        "between",
        "removal",
        "revisions",
    ])
    .faint("id");
    let mut materials: BTreeMap<&str, String> = BTreeMap::new();
    for (index, written, zone) in board.zones() {
        let near_and_far = written
            .between
            .each_ref()
            .map(|face| face_name(board, face));
        rows.row(vec![
            line(&board.zone_name(index)),
            line(&written.id),
            millimetres(written.pad_mm),
            written
                .pad
                .as_deref()
                .map_or_else(|| UNKNOWN.to_owned(), line),
            sizes(&zone.pieces),
            near_and_far.join(" and "),
            match written.removal {
                Some(Removal::RollsOff) => "rolls off".to_owned(),
                Some(Removal::Scrape) => "scrape".to_owned(),
                None => UNKNOWN.to_owned(),
            },
            line(&board.revisions_of_zone(index).join(", ")),
        ]);
        if let Some(pad) = written.pad.as_deref().and_then(|pad| book.stock.pad(pad)) {
            let maker = pad
                .maker
                .as_ref()
                .map_or_else(String::new, |maker| format!(", {maker}"));
            let what = format!("{}{maker}, {} W/(m·K)", pad.name, pad.conductivity_w_mk);
            materials.insert(&pad.id, line(&what));
        }
    }
    table(out, rows, width)?;
    for (id, what) in materials {
        writeln!(out, "  {}: {what}", line(id))?;
    }
    Ok(())
}

/// Returns a face's or body's name in words.
fn face_name(board: &Board, id: &str) -> String {
    if id == "pcb" {
        "board".to_owned()
    } else {
        line(&board.name(id))
    }
}

/// Returns a thickness, with one decimal at least, or that it is not known.
pub(super) fn millimetres(thickness: Option<f64>) -> String {
    thickness.map_or_else(
        || UNKNOWN.to_owned(),
        |thickness| format!("{thickness:?} mm"),
    )
}

/// Returns how many pieces there are of each size; a piece turned by a right angle is the same.
fn sizes(pieces: &[Rect]) -> String {
    if pieces.is_empty() {
        return UNKNOWN.to_owned();
    }
    let one = |([short, long], count): ([f64; 2], usize)| format!("{count} × {short} × {long} mm");
    let counted = units::sizes(pieces).into_iter();
    counted.map(one).collect::<Vec<String>>().join(", ")
}

fn screws(out: &mut dyn Write, board: &Board, width: usize) -> io::Result<()> {
    title(out, "Screws")?;
    if board.record.fasteners.is_empty() {
        return writeln!(out, "  {UNKNOWN}");
    }
    let mut rows = Table::new(&[
        "tray",
        "screws",
        "size",
        "drive",
        "from",
        "hold",
        "hidden by",
        "revisions",
    ]);
    for (index, group) in board.record.fasteners.iter().enumerate() {
        let names = |ids: &[String]| {
            ids.iter()
                .map(|id| face_name(board, id))
                .collect::<Vec<_>>()
        };
        let sprung = if group.sprung { ", sprung" } else { "" };
        rows.row(vec![
            tray_letter(index),
            format!("{}{sprung}", line(&board.name(&group.id))),
            screw_size(group),
            group
                .drive
                .as_deref()
                .map_or_else(|| UNKNOWN.to_owned(), line),
            group.from.to_string(),
            names(&group.holds).join(", "),
            names(&group.under).join(", "),
            line(&board.revisions_of_fasteners(index).join(", ")),
        ]);
    }
    table(out, rows, width)
}

fn screw_size(group: &Fasteners) -> String {
    let count = group.at.len();
    match (group.thread.as_deref().map(line), group.length_mm) {
        (Some(thread), Some(length)) => format!("{count} × {thread} × {length} mm"),
        (Some(thread), None) => format!("{count} × {thread}, length {UNKNOWN}"),
        (None, Some(length)) => format!("{count} × {length} mm, thread {UNKNOWN}"),
        (None, None) => format!("{count}, size {UNKNOWN}"),
    }
}

/// Prints the moves that open the board.
fn order(out: &mut dyn Write, board: &Board, width: usize) -> io::Result<()> {
    title(out, "Order")?;
    let facts = OrderFacts::of(board);
    if !facts.opening.is_empty() {
        writeln!(out, "  {}", order::opening(&facts))?;
    }
    order::moves(out, board, &facts.opening, width)?;
    order::stuck(out, &facts, width)
}

fn connectors(out: &mut dyn Write, board: &Board, width: usize) -> io::Result<()> {
    if board.record.connector.is_empty() {
        return Ok(());
    }
    title(out, "Connectors")?;
    let mut rows = Table::new(&[
        "connector",
        "kind",
        "side",
        "latch",
        "ties",
        "slack",
        "revisions",
    ]);
    for plug in &board.record.connector {
        let slack = plug.slack_mm.map(|slack| format!("{slack} mm"));
        let (ties, slack) = match &plug.ties {
            Some(body) => (
                face_name(board, body),
                slack.unwrap_or_else(|| UNKNOWN.to_owned()),
            ),
            None => ("no body".to_owned(), slack.unwrap_or_default()),
        };
        rows.row(vec![
            line(&board.name(&plug.id)),
            plug.kind.to_string(),
            plug.side.to_string(),
            plug.latch.map_or_else(
                || UNKNOWN.to_owned(),
                |latch| latch.word().replace('-', " "),
            ),
            ties,
            slack,
            line(&plug.only.join(", ")),
        ]);
    }
    table(out, rows, width)
}

fn maps(out: &mut dyn Write, board: &Board, width: usize) -> io::Result<()> {
    if width < LEAST_FOR_MAP {
        return writeln!(
            out,
            "\nThe map needs {LEAST_FOR_MAP} columns; here are {width}."
        );
    }
    for side in [Side::Front, Side::Back] {
        let Some(map) = Map::of(board, side, width) else {
            continue;
        };
        let how = match side {
            Side::Front => "Front",
            Side::Back => "Back, mirrored: as it lies when the board is turned over sideways",
        };
        title(out, &format!("{how}{}", map.revision()))?;
        map.print(out)?;
    }
    if board.outline().is_none() {
        writeln!(out, "\nNo map: the size of the board is {UNKNOWN}.")?;
    }
    Ok(())
}
