//! The bond line over a die: where the paste is thick and where thin, in contours with their values.
//!
//! A rigid cooler's face is a plane, so the bond line is linear over the die and its contours are
//! straight and parallel.

use super::marks::{LETTER, line, rect, text};
use super::section::micrometres;
use super::svg::{Element, number};
use crate::record::Side;
use crate::stack::Plate;
use crate::units::{Point, Rect, UM_PER_MM};

/// Length of the die's longer edge, and room round it, drawing units.
const LONGEST: f64 = 74.0;
const MARGIN: [f64; 2] = [13.0, 8.0];

/// Steps between contours, µm, and how many contours there are at most.
const STEPS_UM: [f64; 12] = [
    0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0,
];
const MOST: f64 = 6.0;

/// Differences below which a bond line is even, µm: less than the roughness of a milled face.
const EVEN_UM: f64 = 1.0;

/// Length that a contour needs to carry its value, drawing units.
const LABELLED: f64 = 12.0;

/// Draws the bond line over a die as it is seen on its side of the board.
pub fn bond_line(die: &Rect, height_mm: f64, plate: &Plate, side: Side) -> Element {
    let map = Bond::new(die, height_mm, plate, side);
    let [width, height] = [0, 1].map(|way| map.size[way] + 2.0 * MARGIN[way]);
    let [least, greatest] = map.range();
    let label = format!(
        "The bond line over the die: {}{}.",
        micrometres(least, greatest),
        if map.is_even() { ", even" } else { "" }
    );
    let mut svg = Element::drawing("map bond", [width, height])
        .with("role", "img")
        .with("aria-label", label);
    let outline = Rect {
        x: MARGIN[0],
        y: MARGIN[1],
        width: map.size[0],
        height: map.size[1],
    };
    svg.push(rect("die", &outline));
    if map.is_even() {
        let mean = f64::midpoint(least, greatest);
        let words = format!("even: {mean:.0} µm");
        svg.push(text("name", outline.centre(), &words));
        return svg;
    }
    for level in map.levels() {
        map.contour(level, &mut svg);
    }
    map.corners(&mut svg);
    svg
}

/// A linear bond line over a drawn rectangle.
struct Bond {
    size: [f64; 2],
    /// The bond line at the corners, µm: upper left, upper right, lower right, lower left, as drawn.
    corners_um: [f64; 4],
}

impl Bond {
    fn new(die: &Rect, height_mm: f64, plate: &Plate, side: Side) -> Self {
        let (left, right) = match side {
            Side::Front => (die.x, die.right()),
            Side::Back => (die.right(), die.x),
        };
        let bond_um = |x: f64, y: f64| UM_PER_MM * (plate.height_at(Point { x, y }) - height_mm);
        let scale = LONGEST / die.width.max(die.height);
        Self {
            size: [die.width * scale, die.height * scale],
            corners_um: [
                bond_um(left, die.top()),
                bond_um(right, die.top()),
                bond_um(right, die.y),
                bond_um(left, die.y),
            ],
        }
    }

    fn range(&self) -> [f64; 2] {
        let corners = self.corners_um;
        [
            corners.into_iter().fold(f64::INFINITY, f64::min),
            corners.into_iter().fold(f64::NEG_INFINITY, f64::max),
        ]
    }

    fn is_even(&self) -> bool {
        let [least, greatest] = self.range();
        greatest - least < EVEN_UM
    }

    /// Returns the values of its contours, µm: round ones.
    fn levels(&self) -> Vec<f64> {
        let [least, greatest] = self.range();
        let fits = |step: &&f64| (greatest - least) / **step <= MOST;
        let step = STEPS_UM.iter().find(fits).copied();
        let step = step.unwrap_or((greatest - least) / MOST);
        let first = (least / step).floor() + 1.0;
        (0..8)
            .map(|index| (first + f64::from(index)) * step)
            .take_while(|level| *level < greatest)
            .collect()
    }

    fn corner(&self, index: usize) -> Point {
        let [width, height] = self.size;
        let (x, y) = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)][index];
        Point {
            x: MARGIN[0] + x,
            y: MARGIN[1] + y,
        }
    }

    /// Draws the line along which the bond line has a value.
    fn contour(&self, level: f64, svg: &mut Element) {
        let crossing = |edge: usize| {
            let (one, other) = (edge, (edge + 1) % 4);
            let (from, to) = (self.corners_um[one], self.corners_um[other]);
            let share = (level - from) / (to - from);
            let (start, end) = (self.corner(one), self.corner(other));
            (0.0..=1.0).contains(&share).then_some(Point {
                x: start.x + share * (end.x - start.x),
                y: start.y + share * (end.y - start.y),
            })
        };
        let crossings: Vec<Point> = (0..4).filter_map(crossing).collect();
        let length = |to: &Point, from: &Point| (to.x - from.x).hypot(to.y - from.y);
        let Some(first) = crossings.first().copied() else {
            return;
        };
        let farthest = |a: &&Point, b: &&Point| length(a, &first).total_cmp(&length(b, &first));
        let Some(last) = crossings.iter().max_by(farthest).copied() else {
            return;
        };
        let middle = Point {
            x: f64::midpoint(first.x, last.x),
            y: f64::midpoint(first.y, last.y),
        };
        svg.push(line("contour", first, last).lengths([("data-um", level)]));
        let inside = Rect {
            x: MARGIN[0],
            y: MARGIN[1],
            width: self.size[0],
            height: self.size[1],
        };
        let is_clear = inside.grown(-LETTER).distance_to(middle) <= 0.0;
        if is_clear && length(&last, &first) >= LABELLED {
            svg.push(text("name", middle, &number(level)));
        }
    }

    /// Writes the bond line at each corner, outside of the die.
    fn corners(&self, svg: &mut Element) {
        for (index, value) in self.corners_um.into_iter().enumerate() {
            let corner = self.corner(index);
            let out = if index < 2 { -4.0 } else { 4.6 };
            let at = Point {
                y: corner.y + out,
                ..corner
            };
            svg.push(text("thickness", at, &format!("{value:.0} µm")));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plate(tilt: [f64; 2]) -> Plate {
        Plate {
            origin: Point { x: 15.0, y: 10.0 },
            separation_mm: 2.04,
            tilt,
        }
    }

    /// 1 mrad over a die 20 mm wide: from 30 to 50 µm, rising to the right; on the back to the left.
    #[test]
    fn contours_are_where_the_plane_has_their_values() {
        let die = Rect::from([5.0, 0.0, 20.0, 20.0]);
        let front = Bond::new(&die, 2.0, &plate([0.001, 0.0]), Side::Front);
        let found = front.corners_um.map(number);
        assert_eq!(found, ["30", "50", "50", "30"], "rises to the right");
        let levels: Vec<String> = front.levels().into_iter().map(number).collect();
        assert_eq!(levels, ["35", "40", "45"], "every 5 µm");
        let svg = bond_line(&die, 2.0, &plate([0.001, 0.0]), Side::Front).serialise();
        let wanted = format!("x1=\"{0}\" y1=\"8\" x2=\"{0}\"", number(13.0 + 74.0 / 2.0));
        assert!(svg.contains(&wanted), "40 µm in the middle: {svg}");
        let back = Bond::new(&die, 2.0, &plate([0.001, 0.0]), Side::Back);
        let found = back.corners_um.map(number);
        assert_eq!(found, ["50", "30", "30", "50"], "mirrored");
    }

    #[test]
    fn a_level_cooler_has_no_contours() {
        let die = Rect::from([5.0, 0.0, 20.0, 20.0]);
        let svg = bond_line(&die, 2.0, &plate([0.0, 0.0]), Side::Front).serialise();
        assert!(svg.contains("even: 40 µm"), "{svg}");
        assert!(!svg.contains("contour"), "{svg}");
    }
}
