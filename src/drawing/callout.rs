//! What a section says of a gap: lines of lettering in a row above or below it, led to their place.

use super::marks::{self, LETTER, circle, line, text};
use super::svg::Element;
use crate::units::Point;

/// Free room between two callouts, drawing units.
const APART: f64 = 5.0;

/// Height of a deviation's lettering, drawing units, as drawing.css has it.
const SMALL: f64 = 3.0;

/// Distance between two lines: two deviations stand one above the other, drawing units.
const LINE: f64 = LETTER * 1.4;

/// Radius of the dot in which a leader ends on a face, drawing units.
const DOT: f64 = 0.7;

/// Lines of lettering, and the point they speak of.
#[derive(Debug)]
pub(super) struct Callout {
    pub(super) at: Point,
    /// Whether that is a face; a leader to a dimension line has no end mark.
    pub(super) dotted: bool,
    pub(super) lines: Vec<Words>,
}

/// One line of a callout.
#[derive(Debug)]
pub(super) enum Words {
    Name(String),
    Plain(String),
    /// A length with how far it may deviate upwards and downwards.
    Toleranced(String, [String; 2]),
}

/// Where a row of callouts stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    /// Its upper edge, drawing units.
    pub(super) top: f64,
    /// From which of its edges leaders leave.
    pub(super) leaves: f64,
    /// From where to where it reaches.
    pub(super) sheet: [f64; 2],
}

/// Height of a row of three lines, drawing units.
pub(super) const HEIGHT: f64 = 3.0 * LINE;

impl Words {
    fn width(&self) -> f64 {
        match self {
            Self::Name(words) | Self::Plain(words) => marks::width(words, LETTER),
            Self::Toleranced(words, limits) => {
                let [upper, lower] = limits.each_ref().map(|limit| marks::width(limit, SMALL));
                marks::width(words, LETTER) + upper.max(lower) + 1.0
            }
        }
    }

    /// Draws the line, centred.
    fn draw(&self, at: Point, group: &mut Element) {
        match self {
            Self::Name(words) => group.push(text("thickness", at, words)),
            Self::Plain(words) => group.push(text("name", at, words)),
            Self::Toleranced(words, [upper, lower]) => {
                let left = at.x - self.width() / 2.0;
                let after = left + marks::width(words, LETTER) + 1.0;
                group.push(text("name start", Point { x: left, y: at.y }, words));
                for (words, dy) in [(upper, -0.27), (lower, 0.27)] {
                    let at = Point {
                        x: after,
                        y: at.y + dy * LINE,
                    };
                    group.push(text("deviation start", at, words));
                }
            }
        }
    }
}

impl Callout {
    fn width(&self) -> f64 {
        self.lines.iter().map(Words::width).fold(0.0, f64::max)
    }
}

/// Returns how wide a row of callouts is at least, drawing units.
pub(super) fn width(callouts: &[Callout]) -> f64 {
    callouts.iter().map(|one| one.width() + APART).sum()
}

/// Draws callouts in a row, each as near to its point as the others let it.
pub(super) fn draw(mut callouts: Vec<Callout>, row: Row) -> Element {
    callouts.sort_by(|left, right| left.at.x.total_cmp(&right.at.x));
    let wanted: Vec<[f64; 2]> = callouts
        .iter()
        .map(|one| [one.at.x, one.width() + APART])
        .collect();
    let mut group = Element::classed("g", "callouts");
    let centres = spread(&wanted, row.sheet);
    for (callout, &x) in callouts.iter().zip(&centres) {
        group.push(line("leader", Point { x, y: row.leaves }, callout.at));
        if callout.dotted {
            group.push(circle("dot", callout.at, DOT));
        }
    }
    for (callout, x) in callouts.iter().zip(centres) {
        let mut y = row.top + LINE / 2.0;
        for words in &callout.lines {
            words.draw(Point { x, y }, &mut group);
            y += LINE;
        }
    }
    group
}

/// Moves boxes of `[centre, width]` apart within a sheet, keeping their order; the sum of the squares of
/// their ways is least. Returns their centres.
fn spread(wanted: &[[f64; 2]], [first, last]: [f64; 2]) -> Vec<f64> {
    /// Boxes that lie edge to edge.
    struct Block {
        count: usize,
        wanted_starts: f64,
        width: f64,
        start: f64,
    }
    let mut blocks: Vec<Block> = Vec::new();
    for &[centre, width] in wanted {
        let mut block = Block {
            count: 1,
            wanted_starts: centre - width / 2.0,
            width,
            start: 0.0,
        };
        loop {
            #[expect(clippy::cast_precision_loss, reason = "a dozen boxes")]
            let mean = block.wanted_starts / block.count as f64;
            block.start = mean.min(last - block.width).max(first);
            match blocks.pop() {
                Some(before) if before.start + before.width > block.start => {
                    #[expect(clippy::cast_precision_loss, reason = "a dozen boxes")]
                    let moved = before.width * block.count as f64;
                    block = Block {
                        count: before.count + block.count,
                        wanted_starts: before.wanted_starts + block.wanted_starts - moved,
                        width: before.width + block.width,
                        start: 0.0,
                    };
                }
                Some(before) => {
                    blocks.push(before);
                    break;
                }
                None => break,
            }
        }
        blocks.push(block);
    }
    let mut centres = Vec::with_capacity(wanted.len());
    for block in blocks {
        let mut x = block.start;
        for &[_, width] in &wanted[centres.len()..][..block.count] {
            centres.push(x + width / 2.0);
            x += width;
        }
    }
    centres
}

#[cfg(test)]
mod tests {
    use super::spread;

    #[test]
    fn boxes_move_apart_and_keep_their_order() {
        type Case = (&'static [[f64; 2]], &'static [f64], &'static str);
        let cases: [Case; 4] = [
            (&[[20.0, 10.0], [60.0, 10.0]], &[20.0, 60.0], "free"),
            (&[[50.0, 10.0], [50.0, 10.0]], &[45.0, 55.0], "as far each"),
            (&[[1.0, 10.0], [8.0, 10.0]], &[5.0, 15.0], "on the sheet"),
            (
                &[[50.0, 40.0], [50.0, 40.0], [99.0, 20.0]],
                &[20.0, 60.0, 90.0],
                "just room enough",
            ),
        ];
        for (wanted, centres, why) in cases {
            let found = spread(wanted, [0.0, 100.0]);
            let is_same = |(a, b): (&f64, &f64)| (a - b).abs() < 1e-9;
            assert_eq!(found.len(), centres.len(), "{why}");
            assert!(found.iter().zip(centres).all(is_same), "{why}: {found:?}");
        }
    }
}
