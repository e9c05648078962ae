//! Finding room for balloons and labels among what is already drawn.

use crate::units::{Point, Rect};

/// What is drawn already, in drawing units.
#[derive(Debug)]
pub(super) struct Room {
    sheet: Rect,
    /// What must not be covered: screws, balloons, lettering.
    taken: Vec<Rect>,
    /// What is better not covered: pads and parts.
    busy: Vec<Rect>,
    centre: Point,
}

/// Directions that are tried round a point.
const DIRECTIONS: u32 = 24;

/// Distances that are tried, drawing units.
const DISTANCES: [f64; 4] = [9.0, 12.5, 16.0, 21.0];

/// Most things among which room is sought: a real board has a few hundred a side, and beyond that a
/// drawing is crowded wherever its lettering lies.
const MOST: usize = 1000;

impl Room {
    /// Returns the room on a sheet; labels prefer to lie away from `centre`.
    pub(super) fn new(sheet: Rect, centre: Point) -> Self {
        Self {
            sheet,
            taken: Vec::new(),
            busy: Vec::new(),
            centre,
        }
    }

    /// Notes that a rectangle must not be covered.
    pub(super) fn take(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// Notes that a rectangle is better not covered.
    pub(super) fn avoid(&mut self, rect: Rect) {
        self.busy.push(rect);
    }

    /// Finds the best place near `anchor` for a box of this size, takes it, and returns its centre.
    pub(super) fn near(&mut self, anchor: Point, width: f64, height: f64) -> Point {
        let mut candidates = DISTANCES.iter().flat_map(|&distance| {
            (0..DIRECTIONS).map(move |step| {
                let angle = f64::from(step) * std::f64::consts::TAU / f64::from(DIRECTIONS);
                Point {
                    x: anchor.x + distance * angle.cos(),
                    y: anchor.y + distance * angle.sin(),
                }
            })
        });
        let best = if self.is_crowded() {
            candidates.next()
        } else {
            candidates
                .map(|at| (self.cost(anchor, at, width, height), at))
                .min_by(|(left, _), (right, _)| left.total_cmp(right))
                .map(|(_, at)| at)
        };
        let best = best.unwrap_or(anchor);
        self.take(around(best, width, height));
        best
    }

    /// Tells whether a box is free of everything that must not be covered.
    pub(super) fn is_free(&self, rect: &Rect) -> bool {
        let covers_nothing = || {
            let mut taken = self.taken.iter();
            taken.all(|taken| taken.shared_area(rect) <= 0.0)
        };
        self.sheet.holds(rect, 0.0) && (self.is_crowded() || covers_nothing())
    }

    /// Tells whether there is so much that to seek room for more would take too long.
    fn is_crowded(&self) -> bool {
        self.taken.len() + self.busy.len() > MOST
    }

    /// Weighs a place: covering lettering is worst, then leaving the sheet, pads, and distance.
    fn cost(&self, anchor: Point, at: Point, width: f64, height: f64) -> f64 {
        let rect = around(at, width, height);
        let covered = |list: &[Rect]| -> f64 {
            list.iter()
                .map(|other| other.shared_area(&rect))
                .sum::<f64>()
                / rect.area()
        };
        let off_sheet = 1.0 - self.sheet.shared_area(&rect) / rect.area();
        let distance = (at.x - anchor.x).hypot(at.y - anchor.y);
        let outward = [at, anchor].map(|p| (p.x - self.centre.x).hypot(p.y - self.centre.y));
        let inward = (outward[1] - outward[0]) / distance;
        60.0 * covered(&self.taken)
            + 60.0 * off_sheet
            + 6.0 * covered(&self.busy)
            + 0.25 * distance
            + 0.8 * inward
    }
}

/// Returns the box of a size round a centre.
pub(super) fn around(centre: Point, width: f64, height: f64) -> Rect {
    Rect {
        x: centre.x - width / 2.0,
        y: centre.y - height / 2.0,
        width,
        height,
    }
}
