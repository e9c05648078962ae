use std::fmt;

use crate::units::Point;

/// What a kernel was asked that has no answer. It knows no place in a record; the caller adds it.
#[derive(Clone, Debug, PartialEq)]
pub enum Domain {
    /// A quantity is not finite, or not positive where it must be.
    Unfit {
        /// The quantity, with its unit.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// A deflection table has no point.
    TableEmpty,
    /// A deflection table does not rise from a point to the next, in strain or in pressure.
    TableNotRising {
        /// The point that is not above the one before it (before the first, zero at zero), from 0.
        point: usize,
    },
    /// Nothing pushes the plate away from the board.
    NoSupport,
    /// Nothing pulls the plate to the board.
    NoLoad,
    /// The screws' resultant does not pass between the supports, so the plate would tip.
    CannotBalance {
        /// Where the resultant acts.
        at: Point,
        /// How far outside the supports that is, mm; zero on their edge.
        outside_mm: f64,
    },
    /// A paste layer is closed to nothing: the faces would have to pass through each other.
    NoBondLine {
        /// The support, from 0.
        support: usize,
        /// Its least gap, mm.
        gap_mm: f64,
    },
    /// The load is carried so near to the supports' edge that the plate would fall over.
    Tips {
        /// How steep it would stand, mm/mm, as far as it was followed.
        slope: f64,
    },
    /// The load is carried, but by too few points to say how the plate lies.
    Rocks,
    /// The numbers are too far apart to balance in double precision.
    Unresolved {
        /// The force or moment left over, as a fraction of the load.
        residual: f64,
    },
}

impl fmt::Display for Domain {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unfit { what, value } => write!(f, "the {what} cannot be {value}"),
            Self::TableEmpty => write!(f, "the deflection table has no point"),
            Self::TableNotRising { point } => {
                write!(
                    f,
                    "the deflection table does not rise at point {}",
                    point + 1
                )
            }
            Self::NoSupport => write!(f, "cannot balance: nothing carries the cooler"),
            Self::NoLoad => write!(f, "cannot balance: nothing presses the cooler down"),
            Self::CannotBalance { at, outside_mm } => write!(
                f,
                "cannot balance: the screws pull at ({:.2}, {:.2}) mm, {outside_mm:.2} mm outside \
                 what carries the cooler",
                at.x, at.y
            ),
            Self::NoBondLine { support, gap_mm } => write!(
                f,
                "no room for paste at support {}: the gap is {gap_mm:.3} mm",
                support + 1
            ),
            Self::Tips { slope } => {
                write!(
                    f,
                    "cannot balance: the cooler would tip over, to a slope of {slope:.1} or more"
                )
            }
            Self::Rocks => write!(f, "cannot balance: the cooler is free to rock"),
            Self::Unresolved { residual } => write!(
                f,
                "cannot balance: {residual:.1e} of the load is left over; the values lie too far apart"
            ),
        }
    }
}

impl std::error::Error for Domain {}

/// Passes a quantity on if it is finite and positive.
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, Domain> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(Domain::Unfit { what, value })
    }
}

/// Passes a quantity on if it is finite and not negative.
pub(crate) fn not_negative(what: &'static str, value: f64) -> Result<f64, Domain> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(Domain::Unfit { what, value })
    }
}

/// Passes a quantity on if it is finite.
pub(super) fn finite(what: &'static str, value: f64) -> Result<f64, Domain> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(Domain::Unfit { what, value })
    }
}
