//! A pressure on an area, and the force that it makes.

/// Kilopascals of a newton on a square millimetre.
const KPA_PER_N_MM2: f64 = 1000.0;

/// Returns the force of an even pressure on an area, N: `p·A`.
///
/// # Units
/// `pressure_kpa`: kPa; `area_mm2`: mm².
/// # Accuracy
/// About 1e-15, relative.
/// # References
/// SI Brochure, 9th edition (2019), table 4: a pascal is a newton on a square metre.
pub(super) fn force_n(pressure_kpa: f64, area_mm2: f64) -> f64 {
    pressure_kpa * area_mm2 / KPA_PER_N_MM2
}

/// Returns the mean pressure of a force on an area, kPa: `F / A`; not finite where there is no area.
///
/// # Units
/// `force_n`: N; `area_mm2`: mm².
/// # Accuracy
/// About 1e-15, relative.
/// # References
/// As of [`force_n`].
pub(super) fn mean_kpa(force_n: f64, area_mm2: f64) -> f64 {
    force_n * KPA_PER_N_MM2 / area_mm2
}
