//! Where a zone lies: its side of the board in characters, with its pads picked out.

use std::io::{self, Write};

use gapbook::book::Board;
use gapbook::record::Side;
use gapbook::units::Rect;

use crate::cli::find::canvas::{Canvas, Ink};
use crate::cli::text::line;

/// Most columns of the drawing: it is drawn again for each zone, and is to leave room for the question.
const MOST_COLUMNS: usize = 64;

/// A pad of this zone.
const HERE: char = '█';

/// A pad of another.
const ELSEWHERE: char = '·';

/// Draws where a zone's pads lie; nothing where the outline or the side is not known.
pub(super) fn print(
    out: &mut dyn Write,
    board: &Board,
    (zone, others): (usize, &[usize]),
    width: usize,
) -> io::Result<()> {
    let (Some(size), Some(side)) = (board.record.board.outline_mm, board.zones[zone].side) else {
        return Ok(());
    };
    let is_back = side == Side::Back;
    let outline = Rect::of_size(size);
    let mut canvas = Canvas::new(size, &outline, width.min(MOST_COLUMNS), is_back);
    let beside = others
        .iter()
        .map(|&other| &board.zones[other])
        .filter(|other| other.side == Some(side));
    for piece in beside.flat_map(|other| &other.pieces) {
        canvas.fill(piece, ELSEWHERE, Ink::Faint, "");
    }
    for piece in &board.zones[zone].pieces {
        canvas.fill(piece, HERE, Ink::Strong, "");
    }
    canvas.print(out)?;
    let seen = if is_back {
        "the back, mirrored: as you see it when the board is turned over"
    } else {
        "the front"
    };
    let name = line(&board.zone_name(zone));
    writeln!(out, "  {HERE} {name}   {ELSEWHERE} other pads   {seen}")
}
