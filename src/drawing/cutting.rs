//! How a sheet is cut up, at 1:1: a unit is a millimetre.

use super::dimensions::bar;
use super::marks::{line, rect, text};
use super::svg::{Element, number};
use crate::cutting::{CutLayout, CutLine};
use crate::units::{Point, Rect};

/// Space round a sheet, for numbers beside it, mm.
const MARGIN: f64 = 5.0;

/// Space under it for the bar, mm.
const FOOT: f64 = 9.0;

/// Space between two sheets of one drawing, mm.
const BETWEEN: f64 = 6.0;

/// How far within a part the number of its cut stands, mm.
const INSET: f64 = 2.2;

/// Height under which a rectangle has no room for its size, mm.
const LEAST_ROOM: [f64; 2] = [22.0, 4.5];

/// Draws sheets and offcuts one above the other at 1:1, with a bar to check a print with.
pub fn cutting<'a>(layouts: impl IntoIterator<Item = &'a CutLayout>) -> Element {
    let (mut sheets, mut width, mut height) = (Vec::new(), 0.0_f64, MARGIN);
    for layout in layouts {
        sheets.push(sheet(layout, height));
        width = width.max(layout.size_mm[0] + 2.0 * MARGIN);
        height += layout.size_mm[1] + BETWEEN;
    }
    let height = height - BETWEEN + FOOT;
    let foot = Point {
        x: MARGIN,
        y: height - 2.0,
    };
    // Wide enough for the bar and its words.
    let width = width.max(75.0);
    Element::drawing("cutting", [width, height])
        .with("width", format!("{}mm", number(width)))
        .with("height", format!("{}mm", number(height)))
        .with("role", "img")
        .holding([Element::new("title").text("How the sheets are cut")])
        .holding(sheets)
        .holding([bar(foot, 50.0, 50.0)])
}

/// One sheet or offcut on its drawing.
struct Sheet {
    upper: f64,
    height_mm: f64,
}

impl Sheet {
    /// Returns where a rectangle of the sheet is on the drawing.
    fn rect(&self, [x, y, width, height]: [f64; 4]) -> Rect {
        Rect {
            x: MARGIN + x,
            y: self.upper + self.height_mm - y - height,
            width,
            height,
        }
    }

    /// Draws a cut over its whole length, its number at one end.
    fn cut(&self, (index, cut): (usize, &CutLine)) -> Element {
        let part = self.rect(cut.part_mm);
        let (from, to, number) = if cut.from_left {
            let x = part.x + cut.at_mm;
            let at = |y| Point { x, y };
            (
                at(part.y),
                at(part.top()),
                at(part.y + INSET.min(part.height / 2.0)),
            )
        } else {
            let y = part.top() - cut.at_mm;
            let at = |x| Point { x, y };
            (
                at(part.x),
                at(part.right()),
                at(part.x + INSET.min(part.width / 2.0)),
            )
        };
        let words = (index + 1).to_string();
        Element::new("g").holding([line("cut", from, to), text("number", number, &words)])
    }
}

fn sheet(layout: &CutLayout, upper: f64) -> Element {
    let [width, height] = layout.size_mm;
    let sheet = Sheet {
        upper,
        height_mm: height,
    };
    let pieces = layout.pieces.iter().map(|piece| {
        let at = sheet.rect(piece.at_mm);
        let letter = text("letter", at.centre(), &piece.letter);
        Element::new("g").holding([rect("pad", &at), letter])
    });
    let remnants = layout.remnants.iter().map(|remnant| {
        let at = sheet.rect(remnant.at_mm);
        let class = if remnant.keep { "kept" } else { "waste" };
        let mut group = Element::new("g").holding([rect(class, &at)]);
        if remnant.keep && at.width >= LEAST_ROOM[0] && at.height >= LEAST_ROOM[1] {
            let words = format!("keep {} × {}", number(at.width), number(at.height));
            group.push(text("measure", at.centre(), &words));
        }
        group
    });
    let whole = rect("stock", &sheet.rect([0.0, 0.0, width, height]));
    Element::new("g")
        .holding([whole])
        .holding(remnants)
        .holding(pieces)
        .holding(layout.cuts.iter().enumerate().map(|cut| sheet.cut(cut)))
}
