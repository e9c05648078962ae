//! The marks that drawings are made of.

use super::place::around;
use super::svg::Element;
use crate::units::{Point, Rect};

/// Height of lettering, drawing units.
pub(super) const LETTER: f64 = 4.2;

/// Mean width of a letter as a share of its height, for reserving room.
const LETTER_WIDTH: f64 = 0.58;

/// Returns how wide a text of letters of a height is, drawing units.
pub(super) fn width(text: &str, letter: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "labels are a few dozen letters")]
    let letters = text.chars().count() as f64;
    letters * letter * LETTER_WIDTH
}

/// Returns the room that a text takes round its centre.
pub(super) fn text_box(centre: Point, text: &str) -> Rect {
    around(centre, width(text, LETTER) + 1.0, LETTER + 0.6)
}

/// Distance between two lines of one label, drawing units.
pub(super) const LINE: f64 = LETTER * 1.2;

/// Returns the room that lines of text take round their centre.
pub(super) fn lines_box(centre: Point, lines: &[String]) -> Rect {
    let boxes = lines.iter().map(|words| text_box(centre, words));
    let (width, height) = boxes.fold((0.0_f64, -LINE), |(width, height), one| {
        (width.max(one.width), (height + LINE).max(one.height))
    });
    around(centre, width, height.max(0.0))
}

pub(super) fn rect(class: &'static str, rect: &Rect) -> Element {
    Element::classed("rect", class).lengths([
        ("x", rect.x),
        ("y", rect.y),
        ("width", rect.width),
        ("height", rect.height),
    ])
}

pub(super) fn circle(class: &'static str, at: Point, radius: f64) -> Element {
    Element::classed("circle", class).lengths([("cx", at.x), ("cy", at.y), ("r", radius)])
}

pub(super) fn line(class: &'static str, from: Point, to: Point) -> Element {
    Element::classed("line", class).lengths([
        ("x1", from.x),
        ("y1", from.y),
        ("x2", to.x),
        ("y2", to.y),
    ])
}

pub(super) fn text(class: &'static str, at: Point, words: &str) -> Element {
    Element::classed("text", class)
        .lengths([("x", at.x), ("y", at.y)])
        .text(words)
}
