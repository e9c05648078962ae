//! What tells a drawing's size: the outline's dimensions, and a bar to check a print with a ruler.

use super::map::Map;
use super::marks::{line, text, text_box};
use super::svg::{Element, number};
use super::view::View;
use crate::units::{Point, Rect};

impl Map<'_> {
    pub(super) fn dimensions(&mut self, pcb: &Rect) -> Element {
        let [width, height] = self.board.record.board.outline_mm.unwrap_or_default();
        let (upper, right) = (pcb.y - 14.0, pcb.right() + 14.0);
        let middle = pcb.centre();
        let across = Point {
            x: middle.x,
            y: upper,
        };
        let up = Point {
            x: right,
            y: middle.y,
        };
        let mut group = Element::new("g");
        group.push(line(
            "dimension",
            Point { x: pcb.x, y: upper },
            Point {
                x: pcb.right(),
                y: upper,
            },
        ));
        group.push(line(
            "dimension",
            Point { x: right, y: pcb.y },
            Point {
                x: right,
                y: pcb.top(),
            },
        ));
        for x in [pcb.x, pcb.right()] {
            group.push(line(
                "dimension",
                Point { x, y: pcb.y - 1.5 },
                Point { x, y: upper - 2.0 },
            ));
        }
        for y in [pcb.y, pcb.top()] {
            group.push(line(
                "dimension",
                Point {
                    x: pcb.right() + 1.5,
                    y,
                },
                Point { x: right + 2.0, y },
            ));
        }
        group.push(arrow(Point { x: pcb.x, y: upper }, 4.0, 0.0));
        group.push(arrow(
            Point {
                x: pcb.right(),
                y: upper,
            },
            -4.0,
            0.0,
        ));
        group.push(arrow(Point { x: right, y: pcb.y }, 0.0, 4.0));
        group.push(arrow(
            Point {
                x: right,
                y: pcb.top(),
            },
            0.0,
            -4.0,
        ));
        group.push(text("measure", across, &number(width)));
        group.push(text("measure", up, &number(height)).with(
            "transform",
            format!("rotate(-90 {} {})", number(up.x), number(up.y)),
        ));
        for (at, length) in [(across, width), (up, height)] {
            self.room.take(text_box(at, &number(length)));
        }
        group
    }
}

/// Returns an arrow head whose tip is at a point and whose shaft leads away from it.
fn arrow(tip: Point, dx: f64, dy: f64) -> Element {
    let (ax, ay) = (tip.x + dx, tip.y + dy);
    let (nx, ny) = (dy * 0.28, -dx * 0.28);
    Element::classed("path", "arrow").with(
        "d",
        format!(
            "M{} {}L{} {}L{} {}z",
            number(tip.x),
            number(tip.y),
            number(ax + nx),
            number(ay + ny),
            number(ax - nx),
            number(ay - ny)
        ),
    )
}

/// Returns a bar of a round length, by which a print can be checked with a ruler.
pub(super) fn scale_bar(view: &View, height: f64) -> Element {
    let length_mm = if view.scale >= 2.0 { 10.0 } else { 50.0 };
    let length = length_mm * view.scale;
    let (x, y) = (4.0, height - 4.0);
    Element::classed("g", "scale").holding([
        Element::classed("path", "dimension").with(
            "d",
            format!(
                "M{} {}v-2M{} {}h{}M{} {}v-2",
                number(x),
                number(y),
                number(x),
                number(y),
                number(length),
                number(x + length),
                number(y)
            ),
        ),
        Element::classed("text", "measure start")
            .lengths([("x", x + length + 2.0), ("y", y - 1.0)])
            .text(format!("{length_mm} mm")),
    ])
}
