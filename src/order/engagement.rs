//! How far a screw must reach into its thread, and when that strips.

use super::torque::{NUT_FACTORS, torque_nm};
use super::{Strength, Thread};

/// What an internal thread is cut into.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// The least engagement that handbooks allow, nominal diameters.
    pub least_diameters: f64,
    /// Shear strength, `MPa`.
    pub shear_mpa: f64,
}

/// 0.8 d into the strongest steel; shear strength of mild steel, six tenths of 400 `MPa` (from memory).
pub const STEEL: Material = Material {
    least_diameters: 0.8,
    shear_mpa: 240.0,
};

/// 1.3 to 1.5 d (Roloff/Matek, as quoted); shear strength about 240 `MPa`.
pub const BRASS: Material = Material {
    least_diameters: 1.3,
    shear_mpa: 240.0,
};

/// 1.5 d and more; shear strength of a soft alloy, six tenths of 180 `MPa` (from memory).
pub const ALUMINIUM: Material = Material {
    least_diameters: 1.5,
    shear_mpa: 110.0,
};

/// 2 to 3 d; shear strength of a filled moulding, about 25 `MPa` (from memory).
pub const PLASTIC: Material = Material {
    least_diameters: 2.0,
    shear_mpa: 25.0,
};

impl Material {
    /// Returns the least engagement of a thread, mm.
    pub fn least_mm(&self, thread: &Thread) -> f64 {
        self.least_diameters * thread.nominal_mm
    }

    /// Returns the load at which the internal thread strips, N.
    pub fn stripping_n(&self, thread: &Thread, engaged_mm: f64) -> f64 {
        self.shear_mpa * thread.stripping_area_mm2(engaged_mm)
    }

    /// Returns the torque that the internal thread stands in any case, N·m, where the thread is as slippery
    /// as the band allows.
    pub fn ceiling_nm(&self, thread: &Thread, engaged_mm: f64) -> f64 {
        let load = self.stripping_n(thread, engaged_mm);
        torque_nm(NUT_FACTORS[0], load, thread.nominal_mm)
    }
}

/// The torque that a screw and its thread stand, and which of the two gives way first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ceiling {
    /// The torque, N·m.
    pub torque_nm: f64,
    /// Whether the internal thread strips before the screw yields.
    pub strips: bool,
}

/// Returns what a screw stands, its thread engaged in a material that may not be known.
///
/// Where the engagement is not known one nominal diameter is taken, that of a standoff.
pub fn ceiling(
    thread: &Thread,
    strength: &Strength,
    material: Option<&Material>,
    engaged_mm: Option<f64>,
) -> Ceiling {
    let of_screw = super::torque::ceiling_nm(thread, strength);
    let engaged_mm = engaged_mm.unwrap_or(thread.nominal_mm);
    let of_thread = material.map(|material| material.ceiling_nm(thread, engaged_mm));
    match of_thread {
        Some(torque_nm) if torque_nm < of_screw => Ceiling {
            torque_nm,
            strips: true,
        },
        _ => Ceiling {
            torque_nm: of_screw,
            strips: false,
        },
    }
}
