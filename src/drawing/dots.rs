//! Values with their intervals, one above the other, and what they come to.

use super::marks::{circle, line, text};
use super::svg::{Element, number};
use crate::units::Point;

/// A value with its interval, mm.
#[derive(Clone, Copy, Debug)]
pub struct Ranged {
    /// The value.
    pub value_mm: f64,
    /// How far off it may be, either way.
    pub off_mm: f64,
}

/// One value of a dot plot, in a row of its own.
#[derive(Clone, Debug)]
pub struct Dot {
    /// Whose value it is.
    pub name: String,
    /// The value.
    pub ranged: Ranged,
    /// Whether it lies too far from the others: its dot is hollow.
    pub outlying: bool,
}

/// Width of the names and of the plot beside them, drawing units; a phone shows them as wide as the page.
const NAMES: f64 = 50.0;
const PLOT: f64 = 64.0;

/// Letters that a name has room for.
const LONGEST: usize = 22;

/// Height of a row, drawing units.
const ROW: f64 = 7.0;

/// Half height of a dot and of an interval's end, drawing units.
const DOT: f64 = 1.3;
const END: f64 = 1.1;

/// Steps between the figures of the axis, mm: the first that leaves room for them.
const STEPS_MM: [f64; 7] = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0];

/// Figures on the axis at most.
const MOST_FIGURES: f64 = 5.0;

/// The part of the number line that is drawn, mm.
struct Axis {
    from: f64,
    to: f64,
    step: f64,
}

/// Draws values with their intervals below one another on one axis, mm, and their consensus as a band
/// through all of them, with a row of its own. `in_words` says it for those who cannot see it.
pub fn dot_plot(rows: &[Dot], consensus: Option<Ranged>, in_words: &str) -> Element {
    let all = rows.iter().map(|row| row.ranged).chain(consensus);
    let axis = Axis::over(all);
    let mut svg = Element::new("g");
    #[expect(clippy::cast_precision_loss, reason = "a few dozen jobs")]
    let height_of = |rows: usize| rows as f64 * ROW;
    let bottom = height_of(rows.len() + usize::from(consensus.is_some()));
    svg.push(axis.figures(bottom));
    if let Some(consensus) = consensus {
        svg.push(axis.band(consensus, bottom));
    }
    for (index, row) in rows.iter().enumerate() {
        let y = height_of(index) + ROW / 2.0;
        svg.push(name(&row.name, y));
        let class = if row.outlying { "dot hollow" } else { "dot" };
        let x = axis.x(row.ranged.value_mm);
        svg.push(axis.interval(row.ranged, y));
        svg.push(circle(class, Point { x, y }, DOT));
    }
    if let Some(consensus) = consensus {
        let y = bottom - ROW / 2.0;
        svg.push(name("consensus", y));
        svg.push(axis.interval(consensus, y));
        svg.push(diamond(Point {
            x: axis.x(consensus.value_mm),
            y,
        }));
    }
    let size = format!("0 0 {} {}", number(NAMES + PLOT), number(bottom + ROW));
    Element::classed("svg", "dots")
        .with("viewBox", size)
        .with("role", "img")
        .with("aria-label", in_words)
        .holding([svg])
}

impl Axis {
    fn over(all: impl Iterator<Item = Ranged> + Clone) -> Self {
        let least = all.clone().map(|one| one.value_mm - one.off_mm);
        let greatest = all.map(|one| one.value_mm + one.off_mm);
        let (from, to) = (
            least.fold(f64::INFINITY, f64::min),
            greatest.fold(f64::NEG_INFINITY, f64::max),
        );
        let spread = to - from;
        let fits = |step: &&f64| spread / **step <= MOST_FIGURES;
        let step = STEPS_MM.iter().find(fits).unwrap_or(&2.0);
        Self {
            from: from - 0.04 * spread,
            to: to + 0.04 * spread,
            step: *step,
        }
    }

    fn x(&self, mm: f64) -> f64 {
        NAMES + PLOT * (mm - self.from) / (self.to - self.from)
    }

    /// Draws the axis below, with its figures and a hair line above each.
    fn figures(&self, bottom: f64) -> Element {
        let mut group = Element::new("g");
        let first = (self.from / self.step).ceil();
        let last = (self.to / self.step).floor();
        let mut count = first;
        while count <= last {
            let mm = count * self.step;
            let x = self.x(mm);
            group.push(line("tick", Point { x, y: 0.0 }, Point { x, y: bottom }));
            let at = Point {
                x: x.clamp(NAMES + 5.0, NAMES + PLOT - 5.0),
                y: bottom + ROW / 2.0,
            };
            group.push(text("measure", at, &format!("{mm:.2}")));
            count += 1.0;
        }
        group
    }

    /// Draws the consensus through all rows.
    fn band(&self, consensus: Ranged, bottom: f64) -> Element {
        let (left, right) = (
            self.x(consensus.value_mm - consensus.off_mm),
            self.x(consensus.value_mm + consensus.off_mm),
        );
        let x = self.x(consensus.value_mm);
        let band = Element::classed("rect", "band");
        let middle = line("middle", Point { x, y: 0.0 }, Point { x, y: bottom });
        let lengths = [
            ("x", left),
            ("y", 0.0),
            ("width", right - left),
            ("height", bottom),
        ];
        Element::new("g").holding([band.lengths(lengths), middle])
    }

    /// Draws an interval with its two ends.
    fn interval(&self, ranged: Ranged, y: f64) -> Element {
        let [left, right] = [-1.0, 1.0].map(|sign| Point {
            x: self.x(ranged.value_mm + sign * ranged.off_mm),
            y,
        });
        let upright = |x: f64| line("interval", Point { x, y: y - END }, Point { x, y: y + END });
        let (along, ends) = (
            line("interval", left, right),
            [left, right].map(|end| upright(end.x)),
        );
        Element::new("g").holding([along]).holding(ends)
    }
}

fn name(words: &str, y: f64) -> Element {
    let mut shown: String = words.chars().take(LONGEST).collect();
    if shown.len() < words.len() {
        shown.pop();
        shown.push('…');
    }
    text("start name", Point { x: 0.0, y }, &shown)
}

fn diamond(centre: Point) -> Element {
    let Point { x, y } = centre;
    let reach = 1.4 * DOT;
    let corners = [
        (x - reach, y),
        (x, y - reach),
        (x + reach, y),
        (x, y + reach),
    ];
    let corners = corners.map(|(x, y)| format!("{},{}", number(x), number(y)));
    Element::classed("polygon", "dot").with("points", corners.join(" "))
}
