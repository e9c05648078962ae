//! Newton's method on a convex energy, with a line search that stays within its domain.

use super::Domain;
use super::model::{Model, State};
use super::symmetric::{dot, moved};

/// The force or moment left over, as a fraction of the load, above which nothing counts as
/// balanced.
const BALANCED: f64 = 1e-9;

/// The fraction at which the search stops trying to do better.
const SETTLED: f64 = 1e-11;

/// The steepest that a plate may lie, mm/mm: the model counts tilts as small, and at 45° it has
/// fallen.
const STEEPEST: f64 = 1.0;

/// Newton steps before the search gives up; a board takes five to ten, its worst start a few dozen.
const MOST_STEPS: usize = 200;

/// Attempts at the length of one step; each at least halves it.
const MOST_ATTEMPTS: usize = 60;

/// How near to a closed bond line one step may go, as a fraction of the way there.
const TOWARDS_CLOSED: f64 = 0.9;

/// Finds the plate's balance from a start; the residual, not the number of steps, proves it.
pub(super) fn settle(model: &Model<'_>, start: State) -> Result<State, Domain> {
    let mut here = start;
    let mut residual = model.residual(&here);
    for _ in 0..MOST_STEPS {
        if residual <= SETTLED {
            break;
        }
        let Some(next) = advance(model, &here) else {
            break;
        };
        let next_residual = model.residual(&next);
        let rounding_only = residual <= BALANCED && next_residual > residual / 2.0;
        if rounding_only {
            break;
        }
        (here, residual) = (next, next_residual);
    }
    let slope = model.slope(&here);
    if slope > STEEPEST {
        Err(Domain::Tips { slope })
    } else if residual <= BALANCED {
        // Where the stiffness is singular, another position balances as well.
        if here.hessian.is_definite() {
            Ok(here)
        } else {
            Err(Domain::Rocks)
        }
    } else {
        Err(Domain::Unresolved { residual })
    }
}

/// Takes one step downhill, or none where there is none to take.
fn advance(model: &Model<'_>, here: &State) -> Option<State> {
    let step = newton_step(model, here)?;
    let slope = dot(here.gradient, step);
    let rounding = 1e3 * f64::EPSILON * (here.energy.abs() + model.load_n * model.travel_mm);

    let mut length = (TOWARDS_CLOSED * model.room(here.unknowns, step)).min(1.0);
    for _ in 0..MOST_ATTEMPTS {
        let next = model.state(moved(here.unknowns, length, step));
        let next_slope = dot(next.gradient, step);
        // The energy is convex, so the slope along the step only rises, and tells down to the last
        // digit whether the step went too far. The energy alone would drown in rounding near the
        // end; it is asked only so that no step can climb.
        if next_slope <= -slope / 2.0 && next.energy <= here.energy + rounding {
            return Some(next);
        }
        let level = slope / (slope - next_slope);
        length *= if level.is_finite() {
            level.clamp(0.1, 0.5)
        } else {
            0.5
        };
    }
    None
}

/// Returns Newton's step, softened where the stiffness is singular.
///
/// There, gaps are open; the added stiffness lets an unbalanced load move the plate by about the
/// range of heights that matters, and the line search stops it where it touches.
fn newton_step(model: &Model<'_>, here: &State) -> Option<[f64; 3]> {
    let downhill = here.gradient.map(|part| -part);
    let plain = here.hessian.solve(downhill);
    let step = plain.or_else(|| {
        here.hessian
            .plus_diagonal(model.load_n / model.travel_mm)
            .solve(downhill)
    })?;
    (dot(here.gradient, step) < 0.0).then_some(step)
}
