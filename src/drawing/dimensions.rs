//! What tells a drawing's size: the outline's dimensions, and a bar to check a print with a ruler.

use super::map::Map;
use super::marks::{line, text, text_box};
use super::svg::{Element, number};
use super::view::View;
use crate::units::{Point, Rect};

/// Distance of a dimension line from the outline, drawing units.
const AWAY: f64 = 14.0;

/// How far an extension line begins from the outline, drawing units.
const FREE: f64 = 1.5;

/// How far an extension line passes its dimension line, drawing units.
const PAST: f64 = 2.0;

/// Length of an arrow head, drawing units.
const HEAD: f64 = 4.0;

impl Map<'_> {
    /// Draws the outline's width above it and its height to the right.
    pub(super) fn dimensions(&mut self, pcb: &Rect) -> Element {
        let [width, height] = self.board.record.board.outline_mm.unwrap_or_default();
        let at = |x, y| Point { x, y };
        let (left, right, upper, lower) = (pcb.x, pcb.right(), pcb.y, pcb.top());
        let (above, beyond) = (upper - AWAY, right + AWAY);
        let mut group = Element::new("g");
        for x in [left, right] {
            group.push(line("dimension", at(x, upper - FREE), at(x, above - PAST)));
        }
        for y in [upper, lower] {
            group.push(line("dimension", at(right + FREE, y), at(beyond + PAST, y)));
        }
        group.push(line("dimension", at(left, above), at(right, above)));
        group.push(arrow(at(left, above), HEAD, 0.0));
        group.push(arrow(at(right, above), -HEAD, 0.0));
        group.push(line("dimension", at(beyond, upper), at(beyond, lower)));
        group.push(arrow(at(beyond, upper), 0.0, HEAD));
        group.push(arrow(at(beyond, lower), 0.0, -HEAD));

        let (across, up) = (at(pcb.centre().x, above), at(beyond, pcb.centre().y));
        group.push(text("measure", across, &number(width)));
        let turned = format!("rotate(-90 {} {})", number(up.x), number(up.y));
        group.push(text("measure", up, &number(height)).with("transform", turned));
        for (place, length) in [(across, width), (up, height)] {
            self.room.take(text_box(place, &number(length)));
        }
        group
    }
}

/// Returns an arrow head whose tip is at a point and whose shaft leads away from it.
pub(super) fn arrow(tip: Point, dx: f64, dy: f64) -> Element {
    let (ax, ay) = (tip.x + dx, tip.y + dy);
    let (nx, ny) = (dy * 0.28, -dx * 0.28);
    let [tip_x, tip_y, one_x, one_y, other_x, other_y] =
        [tip.x, tip.y, ax + nx, ay + ny, ax - nx, ay - ny].map(number);
    Element::classed("path", "arrow").with(
        "d",
        format!("M{tip_x} {tip_y}L{one_x} {one_y}L{other_x} {other_y}z"),
    )
}

/// Returns a bar of a round length, by which a print can be checked with a ruler.
pub(super) fn scale_bar(view: &View, height: f64) -> Element {
    let length_mm = if view.scale >= 2.0 { 10.0 } else { 50.0 };
    let at = Point {
        x: 4.0,
        y: height - 4.0,
    };
    bar(at, length_mm, length_mm * view.scale)
}

/// Returns a bar that says its length in millimetres, from a point to the right.
pub(super) fn bar(at: Point, length_mm: f64, length: f64) -> Element {
    let [left, right, level, drawn] = [at.x, at.x + length, at.y, length].map(number);
    Element::classed("g", "scale").holding([
        Element::classed("path", "dimension").with(
            "d",
            format!("M{left} {level}v-2M{left} {level}h{drawn}M{right} {level}v-2"),
        ),
        Element::classed("text", "measure start")
            .lengths([("x", at.x + length + 2.0), ("y", at.y - 1.0)])
            .text(format!("{length_mm} mm")),
    ])
}
