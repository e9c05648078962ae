//! A pressure on an area, and the force that it makes.

/// Kilopascals of a newton on a square millimetre.
const KPA_PER_N_MM2: f64 = 1000.0;

/// Returns the force of a pressure, kPa, on an area, mm²; N.
pub(super) fn force_n(pressure_kpa: f64, area_mm2: f64) -> f64 {
    pressure_kpa * area_mm2 / KPA_PER_N_MM2
}

/// Returns the mean pressure of a force, N, on an area, mm²; kPa.
pub(super) fn mean_kpa(force_n: f64, area_mm2: f64) -> f64 {
    force_n * KPA_PER_N_MM2 / area_mm2
}
