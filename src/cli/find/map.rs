use std::io::{self, Write};

use gapbook::book::{Board, is_on};
use gapbook::order::tray_letter;
use gapbook::record::{From, PartKind, Side};
use gapbook::units::{Point, Rect};

use super::canvas::{Canvas, Ink};
use super::sheet::millimetres;
use crate::cli::text::{count, line, wrap};

/// What pads are filled with, the thicker the darker: a board uses as many as it needs from the end,
/// and if they are too few, its thinnest pads share the first.
const FILLS: [char; 7] = ['-', '+', ':', '░', '▒', '▓', '█'];

/// A pad whose thickness is not known.
const UNKNOWN_FILL: char = '?';

/// A place of a part that no pad touches, too small to be drawn as a box.
const PART: char = '·';

/// A connector.
const PLUG: char = '#';

/// How far beyond the board's edge screws are drawn, mm: those of an I/O bracket.
const BEYOND_MM: f64 = 12.0;

/// One side of a board, drawn in characters.
#[derive(Debug)]
pub(super) struct Map<'a> {
    board: &'a Board,
    side: Side,
    revision: Option<&'a str>,
    canvas: Canvas,
    /// What each character means, in the order of drawing.
    legend: Vec<String>,
    width: usize,
}

impl<'a> Map<'a> {
    /// Draws a side of a board in so many columns: nothing if there is nothing on it, or if the
    /// size of the board is not known.
    pub(super) fn of(board: &'a Board, side: Side, width: usize) -> Option<Self> {
        let size = board.record.board.outline_mm?;
        let revision = revision(board);
        let reach = reach(board, side, Rect::of_size(size));
        let canvas = Canvas::new(size, &reach, width, side == Side::Back);
        let mut map = Self {
            board,
            side,
            revision,
            canvas,
            legend: Vec::new(),
            width,
        };
        map.parts();
        map.pads();
        map.plugs();
        map.screws();
        (side == Side::Front || !map.legend.is_empty()).then_some(map)
    }

    /// Returns the revision that is drawn, where revisions differ, to end a title with.
    pub(super) fn revision(&self) -> String {
        self.revision.map_or_else(String::new, |revision| {
            format!(", revision {}", line(revision))
        })
    }

    /// Prints the drawing and what its characters mean.
    pub(super) fn print(&self, out: &mut dyn Write) -> io::Result<()> {
        self.canvas.print(out)?;
        // No entry is broken: its spaces, and two more before it, are such as do not break.
        let whole = |entry: &String| format!("  {entry}").replace(' ', "\u{a0}");
        let entries: Vec<String> = self.legend.iter().map(whole).collect();
        for text in wrap(&entries.join(" "), self.width) {
            writeln!(out, "{}", text.replace('\u{a0}', " "))?;
        }
        Ok(())
    }

    fn is_drawn(&self, only: &[String]) -> bool {
        is_on(only, self.revision)
    }

    /// Draws the parts where no pad will lie.
    fn parts(&mut self) {
        let zones = self.board.zones();
        let pieces: Vec<&Rect> = zones
            .filter(|(index, _, zone)| {
                let only = self.board.revisions_of_zone(*index);
                zone.side == Some(self.side) && self.is_drawn(only)
            })
            .flat_map(|(_, _, zone)| &zone.pieces)
            .collect();
        let mut any_filled = false;
        for part in &self.board.record.part {
            if part.side != self.side || !self.is_drawn(&part.only) {
                continue;
            }
            let name = match part.kind {
                PartKind::Die => line(part.name.as_deref().unwrap_or(&part.id)),
                _ => String::new(),
            };
            let bare = |place: &&Rect| !pieces.iter().any(|piece| piece.shared_area(place) > 0.0);
            for place in part.at.iter().filter(bare) {
                any_filled |= self.canvas.outline(place, PART, &name);
            }
        }
        if any_filled {
            self.legend.push(format!("{PART} part without a pad"));
        }
    }

    fn pads(&mut self) {
        let thicknesses = thicknesses(self.board);
        let mut met = Vec::new();
        for (index, written, zone) in self.board.zones() {
            let only = self.board.revisions_of_zone(index);
            if zone.side != Some(self.side) || !self.is_drawn(only) {
                continue;
            }
            let position = written.pad_mm.and_then(|pad| {
                let known = |&known: &f64| known.total_cmp(&pad).is_eq();
                thicknesses.iter().position(known)
            });
            let first = FILLS.len().saturating_sub(thicknesses.len());
            let spare = thicknesses.len().saturating_sub(FILLS.len());
            let fill = |at: usize| FILLS[first + at.saturating_sub(spare)];
            let fill = position.map_or(UNKNOWN_FILL, fill);
            let word = written
                .pad_mm
                .map_or_else(String::new, |pad| format!("{pad:?}"));
            for piece in &zone.pieces {
                self.canvas.fill(piece, fill, Ink::Plain, &word);
            }
            met.push((position, format!("{fill} {}", millimetres(written.pad_mm))));
        }
        met.sort();
        met.dedup();
        self.legend.extend(met.into_iter().map(|(_, entry)| entry));
    }

    fn plugs(&mut self) {
        let mut any = false;
        for plug in &self.board.record.connector {
            if plug.side == self.side && self.is_drawn(&plug.only) {
                any |= self.canvas.mark(plug.at, &PLUG.to_string(), Ink::Plain);
            }
        }
        if any {
            self.legend.push(format!("{PLUG} connector"));
        }
    }

    fn screws(&mut self) {
        let mut outside = 0;
        for (index, group) in self.board.record.fasteners.iter().enumerate() {
            let only = self.board.revisions_of_fasteners(index);
            if group.from.seen_on() != self.side || !self.is_drawn(only) {
                continue;
            }
            let tray = tray_letter(index);
            for &point in &group.at {
                let drawn = self.canvas.mark(point, &tray, Ink::Strong);
                outside += usize::from(!drawn);
            }
            let edge = if group.from == From::Edge {
                ", from the edge"
            } else {
                ""
            };
            let name = line(&self.board.name(&group.id));
            self.legend.push(format!("{tray} {name}{edge}"));
        }
        if outside > 0 {
            self.legend
                .push(format!("{} outside the drawing", count(outside, "screw")));
        }
    }
}

/// Returns the revision to draw where something differs between them: the last.
fn revision(board: &Board) -> Option<&str> {
    let record = &board.record;
    let differs = record.zone.iter().any(|one| !one.only.is_empty())
        || record.part.iter().any(|one| !one.only.is_empty())
        || record.fasteners.iter().any(|one| !one.only.is_empty())
        || record.connector.iter().any(|one| !one.only.is_empty());
    let last = record.board.revisions.last();
    last.filter(|_| differs).map(String::as_str)
}

/// Returns the rectangle to draw: the board, and the screws a little beyond its edge.
fn reach(board: &Board, side: Side, outline: Rect) -> Rect {
    let most = outline.grown(BEYOND_MM);
    let groups = board.record.fasteners.iter();
    groups
        .filter(|group| group.from.seen_on() == side)
        .flat_map(|group| &group.at)
        .filter(|&&point| most.distance_to(point) <= 0.0)
        .fold(outline, |reach, &Point { x, y }| {
            let (left, low) = (reach.x.min(x), reach.y.min(y));
            let (right, top) = (reach.right().max(x), reach.top().max(y));
            Rect::from([left, low, right - left, top - low])
        })
}

/// Returns the thicknesses of a board's pads, mm, the thinnest first.
fn thicknesses(board: &Board) -> Vec<f64> {
    let mut known: Vec<f64> = board
        .record
        .zone
        .iter()
        .filter_map(|zone| zone.pad_mm)
        .collect();
    known.sort_by(f64::total_cmp);
    known.dedup();
    known
}
