//! How a rigid plate seats on layers that push it away and screws that pull it down.

use super::Domain;
use super::domain::{finite, not_negative, positive};
use super::law::Law;
use super::layer::reactions_to;
use super::model::{Model, State};
use super::newton::settle;
use crate::units::{Point, Rect};

/// The fraction of the load that is out of balance, below which a start is surely a good one: something
/// presses there, and no harder than twice the load.
const NEAR: f64 = 0.9;

/// A rigid plate as a plane: its height is `separation + a·(x − x0) + b·(y − y0)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// `(x0, y0)`, where the separation is counted: the die's centre, say.
    pub origin: Point,
    /// Height of the plate's datum face there, mm above the board's surface.
    pub separation_mm: f64,
    /// `[a, b]`: how it rises to the right and upwards, mm/mm.
    pub tilt: [f64; 2],
}

/// A layer between the board and the plate, over a rectangle: a pad, or a die's paste.
#[derive(Clone, Copy, Debug)]
pub struct Support<'a> {
    /// Where it lies.
    pub place: Rect,
    /// The plate's height at which the layer's gap would be zero, mm: the near face's height, less
    /// the far face's recess.
    pub face_mm: f64,
    /// How hard it pushes.
    pub law: Law<'a>,
}

/// A screw, which pulls the plate to the board at a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Screw {
    /// Where it pulls.
    pub at: Point,
    /// How hard, N; not negative.
    pub force_n: f64,
}

/// A standoff: the plate cannot go much below its height at that point, and may leave it upwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Where it stands.
    pub at: Point,
    /// Its height, mm.
    pub height_mm: f64,
    /// How little it gives, N/mm.
    pub stiffness_n_mm: f64,
}

/// A plate, what carries it and what pulls it down.
#[derive(Clone, Debug)]
pub struct Problem<'a> {
    /// Where the answer's separation is to be counted.
    pub origin: Point,
    /// What pushes the plate away, over areas.
    pub supports: Vec<Support<'a>>,
    /// What pulls it down.
    pub screws: Vec<Screw>,
    /// What stops it, at points.
    pub stops: Vec<Stop>,
}

/// What one support does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reaction {
    /// The force it gets, N.
    pub force_n: f64,
    /// Its mean pressure over the whole rectangle, kPa.
    pub mean_kpa: f64,
    /// The gap at its centre, mm.
    pub gap_mm: f64,
    /// The least gap, mm, at a corner; of paste, the least bond line.
    pub least_gap_mm: f64,
    /// The greatest gap, mm, at the opposite corner.
    pub greatest_gap_mm: f64,
    /// The strain at its centre, where it is a pad; negative where the pad floats there.
    pub strain: Option<f64>,
}

/// How a plate seats.
#[derive(Clone, Debug, PartialEq)]
pub struct Seating {
    /// Where it comes to rest.
    pub plate: Plate,
    /// What each support does, in the problem's order.
    pub supports: Vec<Reaction>,
    /// The force of each stop, N, in the problem's order; zero where the plate does not touch it.
    pub stops_n: Vec<f64>,
    /// Force and moments out of balance, as a fraction of the load, or of the load times the
    /// supports' reach.
    pub residual: f64,
}

impl Plate {
    /// Returns the plate's height at a point, mm.
    pub fn height_at(&self, point: Point) -> f64 {
        let [a, b] = self.tilt;
        self.separation_mm + a * (point.x - self.origin.x) + b * (point.y - self.origin.y)
    }
}

impl Problem<'_> {
    /// Finds where the plate comes to rest.
    ///
    /// The position minimises one convex energy in three unknowns, so it is the only one, and is
    /// found by Newton's method with exact derivatives. Layers are integrated over their area, so
    /// that tilt within a piece counts: exactly where a law is piecewise cubic, and paste to about
    /// 1e-12.
    ///
    /// # Errors
    /// [`Domain::Unfit`] for a value that makes no sense; [`Domain::NoLoad`],
    /// [`Domain::NoSupport`]; [`Domain::CannotBalance`] where the load passes beside the supports,
    /// [`Domain::Tips`] where it passes so near their edge that the plate falls over;
    /// [`Domain::Rocks`] where it rests on too few points; [`Domain::Unresolved`] where the values
    /// lie too far apart.
    /// # Accuracy
    /// Force and moments out of balance stay below 1e-9 of the load, and mostly below 1e-13.
    pub fn solve(&self) -> Result<Seating, Domain> {
        self.check()?;
        let model = Model::new(self)?;
        let start = model.state(model.start());
        self.seated(&model, start)
    }

    /// Finds the same, from a position near which it is expected; the answer does not depend on it.
    ///
    /// # Errors
    /// As [`Problem::solve`].
    pub fn solve_from(&self, start: &Plate) -> Result<Seating, Domain> {
        self.check()?;
        check_plate(start)?;
        let model = Model::new(self)?;
        let near = model.state(model.start_at(start));
        if model.residual(&near) < NEAR {
            return self.seated(&model, near);
        }
        let plain = model.state(model.start());
        // Of a convex energy the lower point is the nearer one; far up, where hardly anything touches,
        // no slope says which way to go.
        self.seated(
            &model,
            if near.energy < plain.energy {
                near
            } else {
                plain
            },
        )
    }

    fn seated(&self, model: &Model<'_>, start: State) -> Result<Seating, Domain> {
        let state = settle(model, start)?;
        let seating = Seating {
            plate: model.plate(&state, self.origin),
            supports: model.reactions(&state),
            stops_n: model.stops_n(&state),
            residual: model.residual(&state),
        };
        // A support next to nothing in size carries nothing, but its mean pressure is no number.
        let mut means = seating.supports.iter().map(|reaction| reaction.mean_kpa);
        if means.all(f64::is_finite) {
            Ok(seating)
        } else {
            Err(Domain::Unresolved {
                residual: seating.residual,
            })
        }
    }

    fn check(&self) -> Result<(), Domain> {
        check_point(self.origin)?;
        check_supports(&self.supports)?;
        for screw in &self.screws {
            check_point(screw.at)?;
            not_negative("screw's force (N)", screw.force_n)?;
        }
        for stop in &self.stops {
            check_point(stop.at)?;
            finite("standoff's height (mm)", stop.height_mm)?;
            positive("standoff's stiffness (N/mm)", stop.stiffness_n_mm)?;
        }
        Ok(())
    }
}

/// Returns what supports do to a plate that standoffs hold where it is.
///
/// # Errors
/// [`Domain::Unfit`] for a value that makes no sense; [`Domain::NoBondLine`] where paste has no
/// room.
pub fn held(supports: &[Support<'_>], plate: &Plate) -> Result<Vec<Reaction>, Domain> {
    check_plate(plate)?;
    check_supports(supports)?;
    for (index, support) in supports.iter().enumerate() {
        let gap_mm = support.least_gap(plate);
        if matches!(support.law, Law::Paste(_)) && gap_mm <= 0.0 {
            return Err(Domain::NoBondLine {
                support: index,
                gap_mm,
            });
        }
    }
    Ok(reactions_to(supports, plate))
}

impl Support<'_> {
    fn least_gap(&self, plate: &Plate) -> f64 {
        let [a, b] = plate.tilt;
        let swing = (a * self.place.width).abs() + (b * self.place.height).abs();
        plate.height_at(self.place.centre()) - self.face_mm - swing / 2.0
    }
}

fn check_plate(plate: &Plate) -> Result<(), Domain> {
    check_point(plate.origin)?;
    finite("plate's height (mm)", plate.separation_mm)?;
    finite("plate's tilt to the right", plate.tilt[0])?;
    finite("plate's tilt upwards", plate.tilt[1])?;
    Ok(())
}

fn check_point(point: Point) -> Result<(), Domain> {
    finite("x of a point (mm)", point.x)?;
    finite("y of a point (mm)", point.y)?;
    Ok(())
}

fn check_supports(supports: &[Support<'_>]) -> Result<(), Domain> {
    for support in supports {
        let Rect {
            x,
            y,
            width,
            height,
        } = support.place;
        check_point(Point { x, y })?;
        positive("support's width (mm)", width)?;
        positive("support's height (mm)", height)?;
        finite("support's face (mm)", support.face_mm)?;
        if let Law::Foundation(foundation) = support.law {
            positive("foundation's modulus (kPa/mm)", foundation.modulus_kpa_mm)?;
            finite("foundation's free gap (mm)", foundation.free_mm)?;
        }
    }
    Ok(())
}
