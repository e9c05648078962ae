//! The maps on a board's sheets, and each side as a drawing of its own.

use minijinja::value::Value;
use serde::Serialize;

use crate::book::Board;
use crate::drawing::{self, Cut, Element, Layers, View, map, number};
use crate::record::Side;
use crate::record::schema::Words as _;

/// Millimetres of a drawing that stands alone for each of its units: larger than on any page, so that it
/// can be moved under the finger, and sharp at any zoom.
const ENLARGED: f64 = 2.0;

/// Which maps a sheet shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Maps {
    All,
    Screws,
    Pads,
    /// Pads, with the line of the section.
    Cut,
}

/// A drawing on a sheet.
#[derive(Debug, Serialize)]
pub(super) struct Drawing {
    side: Side,
    svg: Value,
}

/// The drawings of the sheets.
pub(super) type Figures = Vec<(Maps, Vec<Drawing>)>;

/// Draws a board's maps for its sheets, each kind once, and each side whole as a file of its own, to
/// be enlarged.
pub(super) fn figures(board: &Board, cut: Option<&Cut>) -> (Figures, Vec<(String, String)>) {
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
