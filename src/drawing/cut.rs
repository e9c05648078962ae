//! Where a board is cut for its section: the line, and its marks on a map.

use super::dimensions::arrow;
use super::marks::{line, text};
use super::svg::{Element, number};
use super::view::View;
use crate::record::Side;
use crate::units::{Point, Rect};

/// Rectangles among which a line is sought, at most: a real board has a few hundred.
const MOST: usize = 400;

/// A straight cut through a board, upright to it and parallel to an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// The way it runs.
    pub way: Way,
    /// How far it lies from the left edge where it runs up, from the lower one where it runs across, mm.
    pub at_mm: f64,
}

/// Which way a cut runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// From left to right; seen from the lower edge.
    Across,
    /// From the lower edge up; seen from the right one.
    Up,
}

/// Something a cut should pass through: a zone or a die.
#[derive(Clone, Copy, Debug)]
pub(super) struct Target {
    /// What it is; pieces of one thing share it.
    pub(super) thing: usize,
    /// Where it is.
    pub(super) place: Rect,
}

impl Way {
    /// Returns the ends of a rectangle along the cut.
    pub(super) fn along(self, place: &Rect) -> [f64; 2] {
        match self {
            Self::Across => [place.x, place.right()],
            Self::Up => [place.y, place.top()],
        }
    }

    /// Returns the ends of a rectangle at a right angle to the cut.
    fn beside(self, place: &Rect) -> [f64; 2] {
        match self {
            Self::Across => Self::Up.along(place),
            Self::Up => Self::Across.along(place),
        }
    }
}

impl Cut {
    /// Finds the line that passes through `within` (a die, or the whole board) and through most of the
    /// things; among equals the one that is farthest from every edge it might miss.
    pub(super) fn through(within: &Rect, targets: &[Target]) -> Option<Self> {
        let targets = &targets[..targets.len().min(MOST)];
        let across = best(Way::Across, within, targets);
        let up = best(Way::Up, within, targets);
        let (found, cut) = match (across, up) {
            (Some(across), Some(up)) if up.0 > across.0 => up,
            (Some(across), _) => across,
            (None, up) => up?,
        };
        (found > 0).then_some(cut)
    }

    /// Returns the ends of what it cuts of a rectangle, where it does.
    pub(super) fn of(&self, place: &Rect) -> Option<[f64; 2]> {
        let [low, high] = self.way.beside(place);
        (low < self.at_mm && self.at_mm < high).then(|| self.way.along(place))
    }

    /// Returns a point on the cut.
    pub(super) fn point(&self, along_mm: f64) -> Point {
        match self.way {
            Way::Across => Point {
                x: along_mm,
                y: self.at_mm,
            },
            Way::Up => Point {
                x: self.at_mm,
                y: along_mm,
            },
        }
    }

    /// Returns its marks on a map, as ISO 128-40 has them: ends drawn wide, arrows the way one looks,
    /// and its letter at both.
    pub fn marks(&self, view: &View, outline_mm: [f64; 2]) -> Element {
        let far = match self.way {
            Way::Across => outline_mm[0],
            Way::Up => outline_mm[1],
        };
        let [first, last] = [0.0, far].map(|along_mm| view.point(self.point(along_mm)));
        let (dx, dy) = unit(first, last);
        // One looks up the board, or to its left.
        let looks = match self.way {
            Way::Across => (0.0, -1.0),
            Way::Up if view.side == Side::Front => (-1.0, 0.0),
            Way::Up => (1.0, 0.0),
        };
        let moved = |from: Point, [x, y]: [f64; 2]| Point {
            x: from.x + x,
            y: from.y + y,
        };
        let mut group = Element::classed("g", "cut").holding([line("chain", first, last)]);
        for (end, out) in [(first, -1.0), (last, 1.0)] {
            let near = moved(end, [out * NEAR * dx, out * NEAR * dy]);
            let outer = moved(end, [out * FAR * dx, out * FAR * dy]);
            let tip = moved(outer, [looks.0 * SHAFT, looks.1 * SHAFT]);
            let letter = moved(outer, [out * BESIDE * dx, out * BESIDE * dy]);
            group.push(line("cut-end", near, outer));
            group.push(line("dimension", outer, tip));
            group.push(arrow(tip, -looks.0 * HEAD, -looks.1 * HEAD));
            group.push(text("cut-letter", letter, "A"));
        }
        group
    }

    /// Says where it runs and from where it is seen.
    pub fn in_words(&self) -> String {
        let (edge, seen) = match self.way {
            Way::Across => ("lower", "lower"),
            Way::Up => ("left", "right"),
        };
        let at = number(self.at_mm);
        format!("{at} mm from the {edge} edge of the front, seen from the {seen} edge")
    }
}

/// Where a wide end begins and ends beyond the outline, drawing units.
const NEAR: f64 = 1.5;
const FAR: f64 = 7.0;

/// Length of the arrow that tells the way one looks, and of its head, drawing units.
const SHAFT: f64 = 7.0;
const HEAD: f64 = 3.6;

/// How far from the wide end its letter stands, drawing units.
const BESIDE: f64 = 4.0;

fn unit(from: Point, to: Point) -> (f64, f64) {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = dx.hypot(dy).max(f64::MIN_POSITIVE);
    (dx / length, dy / length)
}

/// Returns the best line that runs one way, with the number of things that it passes through.
fn best(way: Way, within: &Rect, targets: &[Target]) -> Option<(usize, Cut)> {
    let [low, high] = way.beside(within);
    let mut edges: Vec<f64> = targets
        .iter()
        .flat_map(|target| way.beside(&target.place))
        .filter(|edge| low < *edge && *edge < high)
        .chain([low, high])
        .collect();
    edges.sort_by(f64::total_cmp);
    let mut best: Option<(usize, f64, Cut)> = None;
    for pair in edges.windows(2) {
        let (at_mm, room) = (f64::midpoint(pair[0], pair[1]), pair[1] - pair[0]);
        let cut = Cut { way, at_mm };
        let mut things: Vec<usize> = targets
            .iter()
            .filter(|target| cut.of(&target.place).is_some())
            .map(|target| target.thing)
            .collect();
        things.sort_unstable();
        things.dedup();
        let found = things.len();
        let better = best.is_none_or(|(most, widest, _)| {
            found > most || (found == most && room > widest + 1e-9)
        });
        if better && room > 0.0 {
            best = Some((found, room, cut));
        }
    }
    best.map(|(found, _, cut)| (found, cut))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn target(thing: usize, place: [f64; 4]) -> Target {
        Target {
            thing,
            place: place.into(),
        }
    }

    /// A die with memory left and right of it, the right one lower, and one piece above.
    #[test]
    fn the_line_passes_through_the_die_and_most_things() {
        let die = Rect::from([40.0, 20.0, 20.0, 20.0]);
        let targets = [
            target(0, [10.0, 24.0, 10.0, 12.0]),
            target(1, [80.0, 16.0, 10.0, 10.0]),
            target(2, [45.0, 60.0, 10.0, 10.0]),
        ];
        let cut = Cut::through(&die, &targets).expect("a line");
        assert_eq!(
            cut,
            Cut {
                way: Way::Across,
                at_mm: 25.0
            },
            "24 to 26"
        );
        assert_eq!(cut.of(&die), Some([40.0, 60.0]), "through the die");
        assert_eq!(cut.of(&targets[2].place), None, "beside it");
        let up = Cut::through(&die, &targets[2..]).expect("a line");
        assert_eq!(
            up,
            Cut {
                way: Way::Up,
                at_mm: 50.0
            },
            "the other way"
        );
        assert_eq!(Cut::through(&die, &[]), None, "nothing to show");
    }
}
