//! Small maps: one thing drawn strong on the outline, to be seen beside a sentence.

use super::marks::{circle, rect};
use super::svg::{Element, number};
use super::view::View;
use crate::book::{Board, Thing};
use crate::record::Side;
use crate::units::Rect;

/// How much of a map's margin a small one leaves out, drawing units: it has no lettering.
const CUT: f64 = 10.0;

/// Radius of a screw, drawing units: larger than it is, so that it is seen.
const SCREW: f64 = 4.5;

/// Returns what all small maps of a side have in common, once for a page.
pub fn ground(board: &Board, side: Side) -> Option<Element> {
    let outline = board.record.board.outline_mm?;
    let view = View::new(side, outline);
    let record = &board.record;
    let mut group = Element::new("g").with("id", format!("ground-{side}"));
    group.push(rect("pcb", &view.rect(&Rect::of_size(outline))));
    for part in record.part.iter().filter(|part| part.side == side) {
        let places = part.at.iter().map(|place| rect("part", &view.rect(place)));
        group = group.holding(places);
    }
    let svg = Element::classed("svg", "ground").with("aria-hidden", "true");
    Some(svg.holding([Element::new("defs").holding([group])]))
}

/// Returns the map of a side with these things strong, and nothing else than [`ground`] beside them.
pub fn small(board: &Board, side: Side, things: &[Thing]) -> Option<Element> {
    let outline = board.record.board.outline_mm?;
    let view = View::new(side, outline);
    let [width, height] = view.size().map(|length| length - 2.0 * CUT);
    let seen = format!(
        "{} {} {} {}",
        number(CUT),
        number(CUT),
        number(width),
        number(height)
    );
    let ground = Element::new("use").with("href", format!("#ground-{side}"));
    let mut svg = Element::classed("svg", "small")
        .with("viewBox", seen)
        .with("aria-hidden", "true")
        .holding([ground]);
    for &thing in things {
        svg = svg.holding(strong(board, &view, thing));
    }
    Some(svg)
}

/// Returns the side on which a thing is seen.
pub fn side_of(board: &Board, thing: Thing) -> Side {
    let record = &board.record;
    match thing {
        Thing::Body(index) => record.body[index].side,
        Thing::Part(index) => record.part[index].side,
        Thing::Zone(index) => board.zones[index].side.unwrap_or(Side::Front),
        Thing::Connector(index) => record.connector[index].side,
        Thing::Fasteners(index) => record.fasteners[index].from.seen_on(),
    }
}

fn strong(board: &Board, view: &View, thing: Thing) -> Vec<Element> {
    let record = &board.record;
    let places = |class: &'static str, places: &[Rect]| -> Vec<Element> {
        let drawn = places.iter().map(|place| rect(class, &view.rect(place)));
        drawn.collect()
    };
    match thing {
        // A body of unknown outline may be anywhere: the whole board is meant.
        Thing::Body(index) if record.body[index].at.is_empty() => board
            .outline()
            .map_or_else(Vec::new, |outline| places("strong", &[outline])),
        Thing::Body(index) => places("strong", &record.body[index].at),
        Thing::Part(index) => places("strong", &record.part[index].at),
        Thing::Zone(index) => places("strong full", &board.zones[index].pieces),
        Thing::Fasteners(index) => {
            let screws = record.fasteners[index].at.iter();
            let drawn = screws.map(|&at| circle("strong full", view.point(at), SCREW));
            drawn.collect()
        }
        Thing::Connector(index) => {
            let at = view.point(record.connector[index].at);
            vec![rect("strong full", &super::place::around(at, 14.0, 8.0))]
        }
    }
}
