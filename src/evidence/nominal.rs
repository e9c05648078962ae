//! Which thickness was bought, from what is left of it.

use schemars::JsonSchema;
use serde::Serialize;

use super::distribution::normal_density;
use crate::book::Stock;

/// Tolerance of a pad's free thickness, plus or minus, as a fraction: what makers of pads state, and nineteen
/// in twenty keep (common practice).
pub(crate) const USUAL_TOLERANCE: f64 = 0.1;

/// The grid on which the makers of boards choose, mm. The quarters between are sold, and rarer.
const GRID_MM: f64 = 0.5;

/// How often a thickness off that grid is met, against one on it (common practice).
const OFF_GRID: f64 = 0.2;

/// Standard deviations from a thickness beyond which a pad is none of that thickness: one in 370.
const FARTHEST: f64 = 3.0;

/// Thicknesses that pads are sold in, mm, where the stock lists none (common practice).
const USUAL_MM: [f64; 11] = [0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 2.75, 3.0];

/// A stocked thickness, and how likely it is the one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Nominal {
    /// The thickness as it is sold, mm.
    pub thickness_mm: f64,
    /// The probability that it is the right one.
    pub probability: f64,
}

/// Weighs the stocked thicknesses by a measured free thickness: Bayes' rule, with the pad's tolerance and the
/// measurement's uncertainty as normal, and thicknesses off the half-millimetre grid rarer beforehand.
///
/// Returns them with their probabilities, which add up to one; none where the measured thickness is that of
/// none of them. Where nothing is stocked, what is usually sold is weighed.
///
/// # Units
/// mm.
pub fn weigh(measured_mm: f64, standard_mm: f64, stocked_mm: &[f64]) -> Vec<Nominal> {
    let stocked_mm = if stocked_mm.is_empty() {
        &USUAL_MM
    } else {
        stocked_mm
    };
    let deviation = |mm: f64| standard_mm.hypot(mm * USUAL_TOLERANCE / 2.0);
    let away = |mm: f64| (measured_mm - mm) / deviation(mm);
    if !stocked_mm.iter().any(|&mm| away(mm).abs() < FARTHEST) {
        return Vec::new();
    }
    let mut weighed: Vec<Nominal> = stocked_mm
        .iter()
        .map(|&mm| Nominal {
            thickness_mm: mm,
            probability: commonness(mm) * normal_density(away(mm)) / deviation(mm),
        })
        .collect();
    let whole: f64 = weighed.iter().map(|one| one.probability).sum();
    for one in &mut weighed {
        one.probability /= whole;
    }
    weighed
}

/// Returns the thicknesses that a book's stock lists, mm, each once.
pub(crate) fn stocked_mm(stock: &Stock) -> Vec<f64> {
    let mut stocked_mm: Vec<f64> = stock
        .pads
        .iter()
        .flat_map(|pad| &pad.thickness_mm)
        .copied()
        .collect();
    stocked_mm.sort_by(f64::total_cmp);
    stocked_mm.dedup();
    stocked_mm
}

/// Returns the likeliest of the weighed thicknesses.
pub fn likeliest(weighed: &[Nominal]) -> Option<Nominal> {
    let by_probability = |a: &&Nominal, b: &&Nominal| a.probability.total_cmp(&b.probability);
    weighed.iter().max_by(by_probability).copied()
}

/// Returns the probability that two measured pads were sold as the same thickness, both weighed over the same
/// stock. Where both fit nothing stocked, nothing tells them apart.
pub fn same(left: &[Nominal], right: &[Nominal]) -> f64 {
    if left.is_empty() && right.is_empty() {
        return 1.0;
    }
    let both = left.iter().zip(right);
    both.map(|(a, b)| a.probability * b.probability).sum()
}

/// Returns how common a thickness is before anything is measured.
fn commonness(mm: f64) -> f64 {
    let steps = mm / GRID_MM;
    if (steps - steps.round()).abs() < 1e-6 {
        1.0
    } else {
        OFF_GRID
    }
}
