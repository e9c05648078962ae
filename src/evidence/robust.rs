//! Means that one wild value does not move.

use super::sample::{Sample, as_f64};

/// Times the standard deviation beyond which Algorithm A draws a value in.
const CLIP: f64 = 1.5;

/// Standard deviations of a normal distribution in one median absolute deviation.
///
/// # References
/// ISO 13528:2015, C.3, as printed.
const OF_MEDIAN: f64 = 1.483;

/// What the drawing-in takes off the standard deviation.
///
/// # References
/// ISO 13528:2015, C.3, as printed.
const OF_CLIPPED: f64 = 1.134;

/// A robust mean and standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Robust {
    /// The mean.
    pub mean: f64,
    /// The standard deviation.
    pub deviation: f64,
}

/// Returns the median; nothing of no values.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    match sorted.len() % 2 {
        _ if sorted.is_empty() => None,
        0 => Some(f64::midpoint(sorted[middle - 1], sorted[middle])),
        _ => Some(sorted[middle]),
    }
}

/// Returns the median absolute deviation from the median, unscaled.
pub fn median_deviation(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let away: Vec<f64> = values.iter().map(|one| (one - middle).abs()).collect();
    median(&away)
}

/// Returns the robust mean and standard deviation by Algorithm A: values further out than 1.5 standard
/// deviations are drawn in to there, until nothing moves.
///
/// # References
/// ISO 13528:2015, C.3 (ISO 5725-5:1998, 5), with its rounded constants 1.483 and 1.134.
pub fn algorithm_a(values: &[f64]) -> Option<Robust> {
    let mut mean = median(values)?;
    let mut deviation = OF_MEDIAN * median_deviation(values)?;
    // It converges to a fifth of what is left each time.
    for _ in 0..100 {
        let limit = CLIP * deviation;
        let drawn: Vec<f64> = values
            .iter()
            .map(|one| one.clamp(mean - limit, mean + limit))
            .collect();
        let next = Sample::of(&drawn)?;
        let moved = (next.mean - mean).abs() + (OF_CLIPPED * next.deviation - deviation).abs();
        mean = next.mean;
        deviation = OF_CLIPPED * next.deviation;
        if moved <= 1e-12 * (mean.abs() + deviation) {
            break;
        }
    }
    Some(Robust { mean, deviation })
}

impl Robust {
    /// Returns the standard uncertainty of a robust mean of so many values.
    ///
    /// # References
    /// ISO 13528:2015, 7.7.3: a quarter more than that of a plain mean.
    pub fn standard(&self, count: usize) -> f64 {
        1.25 * self.deviation / as_f64(count).sqrt()
    }
}
