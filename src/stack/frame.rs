use super::balance::outside;
use super::seating::{Plate, Problem, Support};
use super::{Domain, positive};
use crate::units::{Point, Rect};

/// How far inside its supports the load must pass, as a fraction of their reach, to count as
/// carried.
///
/// Nearer to the edge the contact would be narrower than rounding.
const EDGE: f64 = 1e-9;

/// Where a plate's unknowns are counted from, and in which units of length.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) centre: Point,
    pub(super) reach_mm: f64,
}

impl Frame {
    /// Returns the load of a problem, N, and the frame in which it has no moment, if the load
    /// passes between the supports.
    pub(super) fn under_load(problem: &Problem<'_>) -> Result<(f64, Self), Domain> {
        let (load_n, centre) = load(problem)?;
        let frame = Self {
            centre,
            reach_mm: reach(problem, centre)?,
        };
        carried(problem, &frame)?;
        Ok((load_n, frame))
    }

    /// Returns a point as seen from the frame.
    pub(super) fn seen(&self, point: Point) -> [f64; 2] {
        [
            (point.x - self.centre.x) / self.reach_mm,
            (point.y - self.centre.y) / self.reach_mm,
        ]
    }

    /// Returns a plate as unknowns.
    pub(super) fn unknowns(&self, plate: &Plate) -> [f64; 3] {
        let [a, b] = plate.tilt;
        [
            plate.height_at(self.centre),
            a * self.reach_mm,
            b * self.reach_mm,
        ]
    }

    /// Returns unknowns as a plate.
    pub(super) fn plate(&self, [height, a, b]: [f64; 3], origin: Point) -> Plate {
        let [x, y] = self.seen(origin);
        Plate {
            origin,
            separation_mm: height + a * x + b * y,
            tilt: [a / self.reach_mm, b / self.reach_mm],
        }
    }
}

/// Returns the screws' resultant and where it acts.
fn load(problem: &Problem<'_>) -> Result<(f64, Point), Domain> {
    let sum = |part: fn(Point) -> f64| {
        problem
            .screws
            .iter()
            .map(|screw| screw.force_n * part(screw.at))
            .sum::<f64>()
    };
    let load_n = sum(|_| 1.0);
    if load_n <= 0.0 {
        return Err(Domain::NoLoad);
    }
    let centre = Point {
        x: sum(|at| at.x) / load_n,
        y: sum(|at| at.y) / load_n,
    };
    Ok((positive("sum of the screws' forces (N)", load_n)?, centre))
}

/// Returns how far from the load the farthest support is, mm.
fn reach(problem: &Problem<'_>, centre: Point) -> Result<f64, Domain> {
    let corners = problem.supports.iter().map(|Support { place, .. }| {
        let far_x = (centre.x - place.x)
            .abs()
            .max((place.right() - centre.x).abs());
        let far_y = (centre.y - place.y)
            .abs()
            .max((place.top() - centre.y).abs());
        [far_x, far_y]
    });
    let stops = problem.stops.iter();
    let stops = stops.map(|stop| [stop.at.x - centre.x, stop.at.y - centre.y]);
    // The farthest by the square, so that only one root is drawn.
    let square = |[x, y]: &[f64; 2]| x * x + y * y;
    let [x, y] = corners
        .chain(stops)
        .max_by(|one, other| square(one).total_cmp(&square(other)))
        .ok_or(Domain::NoSupport)?;
    let reach_mm = x.hypot(y);
    if reach_mm <= 0.0 {
        return Err(Domain::Rocks); // One stop right under the load.
    }
    positive("distance of the supports from the load (mm)", reach_mm)
}

/// Checks that the load passes between the supports.
fn carried(problem: &Problem<'_>, frame: &Frame) -> Result<(), Domain> {
    let margin_mm = EDGE * frame.reach_mm;
    let over = |place: Rect| place.grown(-margin_mm).distance_to(frame.centre) <= 0.0;
    if problem.supports.iter().any(|support| over(support.place)) {
        return Ok(()); // The usual case, without a hull: the die lies under the load.
    }
    let corners = problem.supports.iter().flat_map(|Support { place, .. }| {
        let (right, top) = (place.right(), place.top());
        [
            [place.x, place.y],
            [right, place.y],
            [right, top],
            [place.x, top],
        ]
        .map(Point::from)
    });
    let points = corners
        .chain(problem.stops.iter().map(|stop| stop.at))
        .collect();
    match outside(frame.centre, points, margin_mm) {
        None => Ok(()),
        Some(outside_mm) => Err(Domain::CannotBalance {
            at: frame.centre,
            outside_mm,
        }),
    }
}
