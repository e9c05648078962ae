//! Pressure laws: how hard a layer pushes when its gap is closed so far.
//!
//! Every law falls or stays as the gap grows, so its energy density `∫ p dz` from the gap outwards
//! is convex, and the plate that lies on any mixture of layers has one equilibrium.

use super::slices::POWER_CUT;

mod pad;
mod paste;

pub use pad::{PadCurve, PadLaw};
pub use paste::PasteLaw;

/// A pressure law over the closing gap.
#[derive(Clone, Copy, Debug)]
pub enum Law<'a> {
    /// A pad of some thickness.
    Pad(PadLaw<'a>),
    /// Paste, thinned under pressure; it needs a gap above zero.
    Paste(PasteLaw),
    /// A one-sided linear foundation.
    Foundation(Foundation),
}

/// What a law answers at one gap.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Response {
    /// The energy it takes to close an area from afar to this gap, kPa·mm.
    pub energy_kpa_mm: f64,
    /// The pressure, kPa; never negative.
    pub pressure_kpa: f64,
    /// How the pressure changes with the gap, kPa/mm; never positive.
    pub slope_kpa_mm: f64,
}

/// The cubic that a law is around one gap, and the gaps between which it is that cubic.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cubic {
    pub(super) response: Response,
    /// Second derivative of the pressure, kPa/mm².
    pub(super) second: f64,
    /// Third derivative of the pressure, kPa/mm³.
    pub(super) third: f64,
    pub(super) least_mm: f64,
    pub(super) greatest_mm: f64,
}

/// Springs side by side that push and do not pull, as under a footing: `p = k·max(0, h − z)`.
///
/// The published cases of partial contact are stated for this law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foundation {
    /// `k`, kPa/mm; positive.
    pub modulus_kpa_mm: f64,
    /// `h`, the gap at which it just touches, mm.
    pub free_mm: f64,
}

impl Cubic {
    /// Returns the cubic's pressure, slope and energy where the gap is so much wider, mm.
    pub(super) fn at(&self, wider_mm: f64) -> Response {
        let Response {
            energy_kpa_mm: energy,
            pressure_kpa: pressure,
            slope_kpa_mm: slope,
        } = self.response;
        let (u, second, third) = (wider_mm, self.second, self.third);
        let released = pressure + u / 2.0 * (slope + u / 3.0 * (second + u / 4.0 * third));
        Response {
            energy_kpa_mm: energy - u * released,
            pressure_kpa: pressure + u * (slope + u / 2.0 * (second + u / 3.0 * third)),
            slope_kpa_mm: slope + u * (second + u / 2.0 * third),
        }
    }
}

impl Response {
    /// Returns what this is more than another.
    pub(super) fn less(&self, other: &Self) -> Self {
        Self {
            energy_kpa_mm: self.energy_kpa_mm - other.energy_kpa_mm,
            pressure_kpa: self.pressure_kpa - other.pressure_kpa,
            slope_kpa_mm: self.slope_kpa_mm - other.slope_kpa_mm,
        }
    }
}

impl Law<'_> {
    /// Returns pressure, slope and energy at a gap, mm; for paste the gap must be above zero.
    pub fn at(&self, gap_mm: f64) -> Response {
        match self {
            Self::Pad(pad) => pad.at(gap_mm),
            Self::Paste(paste) => paste.at(gap_mm),
            Self::Foundation(foundation) => foundation.cubic(gap_mm).response,
        }
    }

    /// Returns the strain at a gap, mm, where the layer is a pad.
    pub fn strain_at(&self, gap_mm: f64) -> Option<f64> {
        match self {
            Self::Pad(pad) => Some(pad.strain_at(gap_mm)),
            Self::Paste(_) | Self::Foundation(_) => None,
        }
    }

    /// Returns the law as a cubic about a gap, mm, if it is piecewise cubic.
    pub(super) fn cubic(&self, gap_mm: f64) -> Option<Cubic> {
        match self {
            Self::Pad(pad) => Some(pad.cubic(gap_mm)),
            Self::Paste(_) => None,
            Self::Foundation(foundation) => Some(foundation.cubic(gap_mm)),
        }
    }

    /// Returns the next gap above this one, mm, at which an integral over the law must be cut:
    /// between two such gaps the law is one cubic, or paste grows by no more than [`POWER_CUT`].
    pub(super) fn next_cut(&self, above_mm: f64) -> f64 {
        match self {
            Self::Pad(pad) => pad.next_cut(above_mm),
            Self::Paste(_) => (POWER_CUT * above_mm).max(f64::MIN_POSITIVE),
            Self::Foundation(foundation) if above_mm < foundation.free_mm => foundation.free_mm,
            Self::Foundation(_) => f64::INFINITY,
        }
    }

    /// Returns a gap, mm, at which the layer presses at least so hard, and not far from it.
    pub(super) fn gap_pressed(&self, pressure_kpa: f64) -> f64 {
        match self {
            Self::Pad(pad) => pad.gap_pressed(pressure_kpa),
            Self::Paste(paste) => paste.bond_line_mm(pressure_kpa),
            Self::Foundation(foundation) => {
                foundation.free_mm - pressure_kpa / foundation.modulus_kpa_mm
            }
        }
    }
}

impl Foundation {
    fn cubic(&self, gap_mm: f64) -> Cubic {
        let closed = self.free_mm - gap_mm;
        let (least_mm, greatest_mm, modulus) = if closed > 0.0 {
            (f64::NEG_INFINITY, self.free_mm, self.modulus_kpa_mm)
        } else {
            (self.free_mm, f64::INFINITY, 0.0)
        };
        let response = Response {
            energy_kpa_mm: modulus * closed * closed / 2.0,
            pressure_kpa: (modulus * closed).max(0.0),
            slope_kpa_mm: -modulus,
        };
        Cubic {
            response,
            second: 0.0,
            third: 0.0,
            least_mm,
            greatest_mm,
        }
    }
}
