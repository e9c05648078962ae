//! How far readings spread within a bench, and how far benches spread among themselves.

use super::sample::{Sample, as_f64};

/// The spread of readings by where it arises.
///
/// # Units
/// That of the readings.
/// # References
/// ISO 5725-2:2019, 7.4: one-way analysis of variance with unequal numbers of readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Mean of all readings.
    pub mean: f64,
    /// Repeatability: standard deviation of readings of one bench.
    pub within: f64,
    /// Standard deviation between benches, beyond what repeatability explains; zero where it explains all.
    pub between: f64,
    /// F: how many times the mean square between benches is that within them.
    pub ratio: f64,
}

impl Spread {
    /// Splits the spread of readings, one sample a bench; nothing unless two benches read, and one twice.
    pub fn of(benches: &[Sample]) -> Option<Self> {
        let readings: f64 = benches.iter().map(|one| as_f64(one.count)).sum();
        let groups = as_f64(benches.len());
        if groups < 2.0 || readings <= groups {
            return None;
        }
        let first = benches[0].mean;
        let moved: f64 = benches
            .iter()
            .map(|one| as_f64(one.count) * (one.mean - first))
            .sum();
        let mean = first + moved / readings;
        let apart = |one: &Sample| as_f64(one.count) * (one.mean - mean).powi(2);
        let between = benches.iter().map(apart).sum::<f64>() / (groups - 1.0);
        let within = benches.iter().map(Sample::squares).sum::<f64>() / (readings - groups);
        let squared: f64 = benches.iter().map(|one| as_f64(one.count).powi(2)).sum();
        let usual = (readings - squared / readings) / (groups - 1.0);
        Some(Self {
            mean,
            within: within.sqrt(),
            between: f64::max(0.0, (between - within) / usual).sqrt(),
            ratio: between / within,
        })
    }
}
