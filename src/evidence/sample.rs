//! Readings of one thing: their mean, their scatter, their range.

/// What readings of one thing come to.
///
/// # Units
/// Whatever the readings are in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// How many readings.
    pub count: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation, over n − 1; zero of a single reading.
    pub deviation: f64,
    /// The least.
    pub least: f64,
    /// The greatest.
    pub greatest: f64,
}

impl Sample {
    /// Sums readings up; nothing where there are none, or one is no number.
    ///
    /// # Accuracy
    /// Differences from the first reading are summed, and the squares corrected for what the mean is off
    /// (Chan, Golub and LeVeque 1983), so that readings with many leading digits in common lose none:
    /// the NIST reference data sets are met to what their values in binary allow.
    pub fn of(readings: &[f64]) -> Option<Self> {
        let &first = readings.first()?;
        if !readings.iter().all(|reading| reading.is_finite()) {
            return None;
        }
        let count = as_f64(readings.len());
        let mean = first + readings.iter().map(|one| one - first).sum::<f64>() / count;
        let (off, squares) = readings.iter().fold((0.0, 0.0), |(off, squares), one| {
            let residual = one - mean;
            (off + residual, squares + residual * residual)
        });
        let squares = f64::max(0.0, squares - off * off / count);
        Some(Self {
            count: readings.len(),
            mean: mean + off / count,
            deviation: f64::sqrt(squares / f64::max(1.0, count - 1.0)),
            least: readings.iter().copied().fold(f64::INFINITY, f64::min),
            greatest: readings.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        })
    }

    /// Returns the degrees of freedom of the scatter: one fewer than the readings.
    pub fn degrees(&self) -> f64 {
        as_f64(self.count - 1)
    }

    /// Returns the sum of the squared deviations from the mean.
    pub fn squares(&self) -> f64 {
        self.deviation * self.deviation * self.degrees()
    }
}

/// Returns a count as a number to reckon with.
pub(super) fn as_f64(count: usize) -> f64 {
    #[expect(
        clippy::cast_precision_loss,
        reason = "counts of readings stay far below 2⁵³"
    )]
    let count = count as f64;
    count
}
