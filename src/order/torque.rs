//! What a torque does to a screw, and how much one stands. Plain numbers.

use std::f64::consts::PI;

use super::Thread;

/// The band of the nut factor: from a lubricated thread to a dry, black one (Shigley, table 8-15, and
/// other printed tables, which disagree on what plating does; from memory).
pub const NUT_FACTORS: [f64; 2] = [0.15, 0.30];

/// The class that a screw is taken to be of where none is recorded: the weakest that is usual on
/// boards (common practice; the heads of such small screws bear no mark).
pub const USUAL_CLASS: &str = "4.8";

/// What a screw is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strength {
    /// Its class, as marked: "8.8", "A2-70".
    pub class: &'static str,
    /// Stress that leaves it as it was, `MPa`: the proof stress of steel, the 0.2 % yield of stainless.
    pub proof_mpa: f64,
    /// Least tensile strength, `MPa`.
    pub tensile_mpa: f64,
    /// Shear strength in torsion per tensile strength, where ISO 898-7 gives it.
    torsion: Option<f64>,
    /// Least breaking torque, N·m, of M1.6, M2, M2.5, M3 and M4, where ISO 3506-1 prints it.
    breaking_nm: Option<[f64; 5]>,
}

const fn steel(
    class: &'static str,
    proof_mpa: f64,
    tensile_mpa: f64,
    torsion: Option<f64>,
) -> Strength {
    Strength {
        class,
        proof_mpa,
        tensile_mpa,
        torsion,
        breaking_nm: None,
    }
}

const fn stainless(
    class: &'static str,
    proof_mpa: f64,
    tensile_mpa: f64,
    breaking_nm: [f64; 5],
) -> Strength {
    Strength {
        class,
        proof_mpa,
        tensile_mpa,
        torsion: None,
        breaking_nm: Some(breaking_nm),
    }
}

/// Strengths by class: ISO 898-1:2013, table 3, torsion by ISO 898-7; ISO 3506-1, with the yield in
/// place of the proof stress.
pub const STRENGTHS: &[Strength] = &[
    steel("4.6", 225.0, 400.0, None),
    steel("4.8", 310.0, 420.0, None),
    steel("5.6", 280.0, 500.0, None),
    steel("5.8", 380.0, 520.0, None),
    steel("6.8", 440.0, 600.0, None),
    steel("8.8", 580.0, 800.0, Some(0.84)),
    steel("9.8", 650.0, 900.0, None),
    steel("10.9", 830.0, 1040.0, None),
    steel("12.9", 970.0, 1220.0, None),
    stainless("A2-50", 210.0, 500.0, [0.15, 0.30, 0.60, 1.1, 2.7]),
    stainless("A2-70", 450.0, 700.0, [0.20, 0.40, 0.90, 1.6, 3.8]),
    stainless("A4-80", 600.0, 800.0, [0.24, 0.48, 0.96, 1.8, 4.3]),
];

/// The threads of the breaking torques of ISO 3506-1, by nominal diameter, mm.
const PRINTED_MM: [f64; 5] = [1.6, 2.0, 2.5, 3.0, 4.0];

impl Strength {
    /// Returns the strength of a class.
    pub fn of(class: &str) -> Option<&'static Self> {
        STRENGTHS.iter().find(|strength| strength.class == class)
    }

    /// Returns the load that leaves a screw as it was, N.
    pub fn proof_n(&self, thread: &Thread) -> f64 {
        self.proof_mpa * thread.stress_area_mm2()
    }

    /// Returns the torque at which a screw may twist off, N·m, where a standard gives it.
    ///
    /// # References
    /// ISO 898-7: `M = τ π / 16 d3min³` (from memory); ISO 3506-1 as printed.
    pub fn breaking_nm(&self, thread: &Thread) -> Option<f64> {
        if let Some(torsion) = self.torsion {
            let root = least_root_mm(thread)?;
            return Some(torsion * self.tensile_mpa * PI / 16.0 * root.powi(3) / 1000.0);
        }
        let same = |listed: &f64| (listed - thread.nominal_mm).abs() < 1e-6;
        let column = PRINTED_MM.iter().position(same)?;
        self.breaking_nm.map(|printed| printed[column])
    }
}

/// Fundamental deviation `es` of position g and tolerance of the pitch diameter of grade 6, mm, by
/// pitch, mm: ISO 965-1 (from memory).
const TOLERANCES_6G: &[(f64, f64, f64)] = &[
    (0.35, 0.019, 0.063),
    (0.4, 0.019, 0.067),
    (0.45, 0.020, 0.071),
    (0.5, 0.020, 0.075),
    (0.6, 0.021, 0.085),
    (0.7, 0.022, 0.090),
];

/// Returns the least root diameter of a thread of tolerance 6g, mm, its root rounded by an eighth of the
/// pitch.
fn least_root_mm(thread: &Thread) -> Option<f64> {
    let pitch = thread.pitch_mm;
    let mut listed = TOLERANCES_6G.iter();
    let &(_, deviation, tolerance) = listed.find(|(of, _, _)| (of - pitch).abs() < 1e-6)?;
    let least_pitch_diameter = thread.pitch_diameter_mm() - deviation - tolerance;
    let depth = 3.0_f64.sqrt() / 2.0 * pitch - 2.0 * 0.125 * pitch;
    Some(least_pitch_diameter - depth)
}

/// Returns the torque that gives a preload, N·m: `T = K F d`.
///
/// # Units
/// `preload_n`: N; `nominal_mm`: mm.
///
/// # References
/// Shigley's Mechanical Engineering Design, eq. (8-27) (from memory).
pub fn torque_nm(nut_factor: f64, preload_n: f64, nominal_mm: f64) -> f64 {
    nut_factor * preload_n * nominal_mm / 1000.0
}

/// Returns the least and the greatest preload that a torque may give, N: nobody knows how slippery a
/// thread is, so there is no one figure.
pub fn preload_n(torque_nm: f64, nominal_mm: f64) -> [f64; 2] {
    let [slippery, dry] = NUT_FACTORS;
    [dry, slippery].map(|factor| torque_nm * 1000.0 / (factor * nominal_mm))
}

/// Returns the torque that a screw stands in any case, N·m: it brings it to its proof load where the thread
/// is as slippery as the band allows.
pub fn ceiling_nm(thread: &Thread, strength: &Strength) -> f64 {
    torque_nm(NUT_FACTORS[0], strength.proof_n(thread), thread.nominal_mm)
}
