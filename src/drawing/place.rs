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
    /// Where, from a point, a label is tried.
    offsets: Vec<[f64; 2]>,
}

/// Directions that are tried round a point.
const DIRECTIONS: u32 = 24;

/// Distances that are tried, drawing units.
const DISTANCES: [f64; 4] = [9.0, 12.5, 16.0, 21.0];

/// Most things near a place among which room is sought: a real board has a few dozen, and where there
/// are more the drawing is crowded wherever its lettering lies.
const MOST: usize = 300;

impl Room {
    /// Returns the room on a sheet; labels prefer to lie away from `centre`.
    pub(super) fn new(sheet: Rect, centre: Point) -> Self {
        let round = |distance: f64| {
            (0..DIRECTIONS).map(move |step| {
                let angle = f64::from(step) * std::f64::consts::TAU / f64::from(DIRECTIONS);
                [distance * angle.cos(), distance * angle.sin()]
            })
        };
        let offsets = DISTANCES.into_iter().flat_map(round).collect();
        Self {
            sheet,
            taken: Vec::new(),
            busy: Vec::new(),
            centre,
            offsets,
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
        let farthest = DISTANCES.into_iter().fold(0.0, f64::max);
        let reach = around(anchor, 2.0 * farthest + width, 2.0 * farthest + height);
        let within = |list: &[Rect]| -> Vec<Rect> {
            list.iter()
                .filter(|rect| rect.shared_area(&reach) > 0.0)
                .copied()
                .collect()
        };
        let (taken, busy) = (within(&self.taken), within(&self.busy));
        let is_crowded = taken.len() + busy.len() > MOST;
        let tried = if is_crowded { 1 } else { self.offsets.len() };
        let candidates = self.offsets.iter().take(tried).map(|[dx, dy]| Point {
            x: anchor.x + dx,
            y: anchor.y + dy,
        });
        let best = candidates
            .map(|at| {
                let rect = around(at, width, height);
                let covered = 60.0 * shared(&taken, &rect) + 6.0 * shared(&busy, &rect);
                (covered / rect.area() + self.drawback(anchor, at, &rect), at)
            })
            .min_by(|left, right| left.0.total_cmp(&right.0))
            .map_or(anchor, |(_, at)| at);
        self.take(around(best, width, height));
        best
    }

    /// Tells whether a box is free of everything that must not be covered.
    pub(super) fn is_free(&self, rect: &Rect) -> bool {
        self.sheet.holds(rect, 0.0)
            && self
                .taken
                .iter()
                .all(|taken| taken.shared_area(rect) <= 0.0)
    }

    /// Tells whether a box is free, and covers nothing that is better not covered either.
    pub(super) fn is_clear(&self, rect: &Rect) -> bool {
        self.is_free(rect) && self.busy.iter().all(|busy| busy.shared_area(rect) <= 0.0)
    }

    /// Weighs a place apart from what it covers: leaving the sheet is worst, then distance, then
    /// lying towards the centre. The weights are a matter of looks.
    fn drawback(&self, anchor: Point, at: Point, rect: &Rect) -> f64 {
        let off_sheet = 1.0 - self.sheet.shared_area(rect) / rect.area();
        let distance = (at.x - anchor.x).hypot(at.y - anchor.y);
        let outward = [at, anchor].map(|p| (p.x - self.centre.x).hypot(p.y - self.centre.y));
        let inward = (outward[1] - outward[0]) / distance;
        60.0 * off_sheet + 0.25 * distance + 0.8 * inward
    }
}

/// Returns the area that a rectangle shares with others, each counted whole.
fn shared(others: &[Rect], rect: &Rect) -> f64 {
    others.iter().map(|other| other.shared_area(rect)).sum()
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
