//! The geometry of a screw's thread, from its designation.

use std::f64::consts::PI;

use crate::units::{INCH_MM, nominal_mm};

/// Coarse pitches, mm, by nominal diameter, mm: ISO 261 (from memory).
const COARSE: &[(f64, f64)] = &[
    (1.0, 0.25),
    (1.2, 0.25),
    (1.4, 0.3),
    (1.6, 0.35),
    (1.8, 0.35),
    (2.0, 0.4),
    (2.2, 0.45),
    (2.5, 0.45),
    (3.0, 0.5),
    (3.5, 0.6),
    (4.0, 0.7),
    (5.0, 0.8),
    (6.0, 1.0),
    (8.0, 1.25),
    (10.0, 1.5),
    (12.0, 1.75),
];

/// Height of the fundamental triangle per pitch: half the square root of three.
const TRIANGLE: f64 = 0.866_025_403_784_438_6;

/// A screw thread with the 60° profile that metric and unified threads share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thread {
    /// Nominal diameter `d`, mm.
    pub nominal_mm: f64,
    /// Pitch `P`, mm.
    pub pitch_mm: f64,
}

impl Thread {
    /// Reads "M2.5", "M3x0.35" or "#4-40"; a self-tapping screw has no such profile, and a metric one
    /// of a diameter that ISO 261 does not list has no usual pitch.
    pub fn of(designation: &str) -> Option<Self> {
        let nominal_mm = nominal_mm(designation)?;
        let pitch_mm = if let Some(metric) = designation.strip_prefix('M') {
            match metric.split_once('x') {
                Some((_, pitch)) => pitch.parse().ok()?,
                None => coarse_mm(nominal_mm)?,
            }
        } else {
            let (_, turns) = designation.strip_prefix('#')?.split_once('-')?;
            INCH_MM / turns.parse::<f64>().ok()?
        };
        let thread = Self {
            nominal_mm,
            pitch_mm,
        };
        let is_thread = pitch_mm > 0.0 && thread.root_mm() > 0.0;
        (pitch_mm.is_finite() && is_thread).then_some(thread)
    }

    /// Returns the pitch diameter `d2`, mm (ISO 724).
    pub fn pitch_diameter_mm(&self) -> f64 {
        self.nominal_mm - 0.75 * TRIANGLE * self.pitch_mm
    }

    /// Returns the basic minor diameter `d1`, mm (ISO 724).
    pub fn minor_mm(&self) -> f64 {
        self.nominal_mm - 1.25 * TRIANGLE * self.pitch_mm
    }

    /// Returns the diameter at the root `d3`, mm: `d1 − H / 6`.
    pub fn root_mm(&self) -> f64 {
        self.minor_mm() - TRIANGLE * self.pitch_mm / 6.0
    }

    /// Returns the stress area, mm².
    ///
    /// # References
    /// ISO 898-1: `As = (π / 4) ((d2 + d3) / 2)²` (from memory).
    pub fn stress_area_mm2(&self) -> f64 {
        let mean = f64::midpoint(self.pitch_diameter_mm(), self.root_mm());
        PI / 4.0 * mean * mean
    }

    /// Returns the area over which an internal thread strips, mm², for a length of engagement, mm.
    ///
    /// # References
    /// `A = π d (m / P) (P / 2 + (d − D2) / √3)` (from memory).
    pub fn stripping_area_mm2(&self, engaged_mm: f64) -> f64 {
        let (d, pitch) = (self.nominal_mm, self.pitch_mm);
        let thickness = pitch / 2.0 + (d - self.pitch_diameter_mm()) / 3.0_f64.sqrt();
        PI * d * engaged_mm / pitch * thickness
    }

    /// Returns the nut factor, from the friction in the thread and under the head.
    ///
    /// # Accuracy
    /// A head's mean radius is taken as five eighths of the nominal diameter.
    ///
    /// # References
    /// Shigley's Mechanical Engineering Design, eq. (8-26) (from memory):
    /// `K = (dm / 2d) (tan λ + f sec α) / (1 − f tan λ sec α) + 0.625 fc`, α = 30°.
    pub fn nut_factor(&self, mean_mm: f64, thread_friction: f64, head_friction: f64) -> f64 {
        let lead = self.pitch_mm / (PI * mean_mm);
        let friction = thread_friction / (PI / 6.0).cos();
        let of_thread = (lead + friction) / (1.0 - friction * lead);
        mean_mm / (2.0 * self.nominal_mm) * of_thread + 0.625 * head_friction
    }
}

fn coarse_mm(nominal_mm: f64) -> Option<f64> {
    let same = |listed: f64| (listed - nominal_mm).abs() < 1e-6;
    let found = COARSE.iter().find(|(listed, _)| same(*listed));
    found.map(|&(_, pitch_mm)| pitch_mm)
}
