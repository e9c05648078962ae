//! The screw sheet: a board's outline at its own size, to lay each screw at its place.

use super::map::head_radius;
use super::marks::{LETTER, circle, line, text};
use super::svg::{Element, number};
use super::view::View;
use crate::book::Board;
use crate::order::{screw_numbers, tray_letter};
use crate::record::Side;
use crate::units::{Point, Rect};

/// What a page takes, mm: upright A4 without its margins, a heading, and a millimetre for rounding to pixels.
const PAGE: [f64; 2] = [187.0, 262.0];

/// Space round the outline, mm, for what stands beyond it.
const MARGIN: f64 = 9.0;

/// How much two pages show of the same, mm, to be laid together.
const OVERLAP: f64 = 12.0;

/// Returns the sheets of the screws that come out on a side, each for one page, at their own size. A board
/// that is too wide for a page stands on its end. None where the outline is not known.
pub fn screw_sheets(board: &Board, side: Side) -> Vec<Element> {
    let Some(outline) = board.record.board.outline_mm else {
        return Vec::new();
    };
    let sheet = Sheet::new(side, outline);
    let drawn = sheet.drawn(board);
    let mut pages = Vec::new();
    for y in sheet.cuts(1) {
        for x in sheet.cuts(0) {
            let size = [x, y]
                .into_iter()
                .zip(PAGE)
                .zip(sheet.size)
                .map(|((from, page), whole)| page.min(whole - from));
            let size: Vec<f64> = size.collect();
            pages.push(page([x, y], [size[0], size[1]], side, &drawn));
        }
    }
    pages
}

fn page(from: [f64; 2], size: [f64; 2], side: Side, drawn: &[Element]) -> Element {
    let [x, y, width, height] = [from[0], from[1], size[0], size[1]].map(number);
    Element::classed("svg", "screw-sheet")
        .with("viewBox", format!("{x} {y} {width} {height}"))
        .with("width", format!("{width}mm"))
        .with("height", format!("{height}mm"))
        .with("role", "img")
        .with(
            "aria-label",
            format!("The board's {side} at its own size, with a circle for each screw."),
        )
        .holding(drawn.iter().cloned())
}

/// How a side lies on paper.
struct Sheet {
    view: View,
    /// Whether the board stands on its end.
    is_turned: bool,
    /// Width and height of the whole drawing, mm.
    size: [f64; 2],
}

impl Sheet {
    fn new(side: Side, outline: [f64; 2]) -> Self {
        let view = View::at_own_size(side, outline, MARGIN);
        let [width, height] = view.size();
        let is_turned = width > PAGE[0] && width > height;
        let size = if is_turned {
            [height, width]
        } else {
            [width, height]
        };
        Self {
            view,
            is_turned,
            size,
        }
    }

    /// Returns where the pages begin in one direction, mm.
    fn cuts(&self, direction: usize) -> Vec<f64> {
        let (whole, page) = (self.size[direction], PAGE[direction]);
        let starts = std::iter::successors(Some(0.0), |from| Some(from + page - OVERLAP));
        let mut cuts: Vec<f64> = starts.take_while(|from| from + OVERLAP < whole).collect();
        if cuts.is_empty() {
            cuts.push(0.0);
        }
        cuts
    }

    /// Returns where a point of the board is on the sheet.
    fn point(&self, point: Point) -> Point {
        let Point { x, y } = self.view.point(point);
        if self.is_turned {
            Point {
                x: self.size[0] - y,
                y: x,
            }
        } else {
            Point { x, y }
        }
    }

    fn drawn(&self, board: &Board) -> Vec<Element> {
        let [width, height] = self.size.map(|length| length - 2.0 * MARGIN);
        let pcb = Rect {
            x: MARGIN,
            y: MARGIN,
            width,
            height,
        };
        let whole = Rect::of_size(self.size);
        let mut drawn = vec![super::marks::rect("pcb", &pcb)];
        let numbers = screw_numbers(board);
        for (index, group) in board.record.fasteners.iter().enumerate() {
            if group.from.seen_on() != self.view.side {
                continue;
            }
            let radius = head_radius(group);
            for (&at, number) in group.at.iter().zip(&numbers[index]) {
                let at = self.point(at);
                if whole.distance_to(at) > 0.0 {
                    continue;
                }
                let arm = 0.6 * radius;
                let across = |dx, dy| Point {
                    x: at.x + dx,
                    y: at.y + dy,
                };
                let tag = format!("{}{number}", tray_letter(index));
                drawn.push(circle("screw", at, radius));
                drawn.push(line("slot", across(-arm, 0.0), across(arm, 0.0)));
                drawn.push(line("slot", across(0.0, -arm), across(0.0, arm)));
                // Towards the middle, where there is paper.
                let up = if at.y > self.size[1] / 2.0 { -1.0 } else { 1.0 };
                drawn.push(text("tag", across(0.0, up * (radius + 0.8 * LETTER)), &tag));
            }
        }
        drawn
    }
}

/// Returns a line of 50 mm, by which a print is checked.
pub fn fifty_mm() -> Element {
    let mark = "M1 4v-3M1 2.5h50M51 4v-3";
    Element::classed("svg", "screw-sheet")
        .with("viewBox", "0 0 52 5")
        .with("width", "52mm")
        .with("height", "5mm")
        .with("aria-hidden", "true")
        .holding([Element::classed("path", "slot").with("d", mark)])
}
