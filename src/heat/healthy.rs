//! Where the next healthy board of a build will be, from the few that were measured.

use schemars::JsonSchema;
use serde::Serialize;

use crate::evidence::distribution::student_quantile;
use crate::evidence::uncertainty::COVERAGE;

/// How many standard uncertainties of one reading a range is wide at least, to each side: a scatter that
/// is smaller by chance does not make readings better than they are.
const LEAST_WIDTH: f64 = 2.0;

/// The range in which the next healthy board is expected.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Range {
    /// The mean of the healthy jobs.
    pub mean: f64,
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
    /// Standard uncertainty of where the next one reads.
    pub standard: f64,
    /// Its degrees of freedom; null where it is a reading's own, which is taken as known.
    pub degrees: Option<usize>,
    /// From how many jobs.
    pub jobs: usize,
}

impl Range {
    /// Returns the degrees of freedom of its standard uncertainty: infinite where that is a reading's own.
    pub fn freedom(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a few hundred jobs at most")]
        self.degrees.map_or(f64::INFINITY, |degrees| degrees as f64)
    }
}

/// Returns the range in which the next value is expected, 19 times in 20: a prediction interval by
/// Student's t, and not narrower than the readings' own uncertainty. One value has no spread and gives none.
///
/// It takes the boards for a sample of one normal distribution; with two of them it is very wide.
///
/// # Units
/// `values` and `standard`, the standard uncertainty of one of them, in one unit.
pub fn predict(values: &[f64], standard: f64) -> Option<Range> {
    if values.len() < 2 {
        return None;
    }
    #[expect(clippy::cast_precision_loss, reason = "a few hundred jobs at most")]
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    let scatter = (squares / (count - 1.0)).sqrt();
    let t = student_quantile(f64::midpoint(1.0, COVERAGE), count - 1.0);
    // The next one scatters as these did, and so does their mean.
    let spread = (1.0 + 1.0 / count).sqrt();
    let half = (t * scatter).max(LEAST_WIDTH * standard) * spread;
    Some(Range {
        mean,
        low: mean - half,
        high: mean + half,
        standard: scatter.max(standard) * spread,
        degrees: (scatter > standard).then(|| values.len() - 1),
        jobs: values.len(),
    })
}

#[cfg(test)]
mod tests {
    use super::predict;

    /// t quantiles at 0.975 of a general library (mpmath, 17 digits; the statistics reference data):
    /// 12.706205 (1 degree of freedom), 4.302653 (2), 3.182446 (3), 2.776445 (4).
    #[test]
    fn it_is_student_s() {
        let cases: [(&[f64], f64); 4] = [
            (&[1.0, 3.0], 12.706_204_736_174_7),
            (&[1.0, 2.0, 3.0], 4.302_652_729_749_46),
            (&[1.0, 2.0, 3.0, 4.0], 3.182_446_305_283_71),
            (&[1.0, 2.0, 3.0, 4.0, 5.0], 2.776_445_105_197_79),
        ];
        // Standard deviations worked by hand: √2, 1, √(5/3), √(5/2).
        let scatters = [2.0_f64, 1.0, 5.0 / 3.0, 2.5].map(f64::sqrt);
        for ((values, t), scatter) in cases.into_iter().zip(scatters) {
            let range = predict(values, 0.0).expect("two or more");
            #[expect(clippy::cast_precision_loss, reason = "at most five")]
            let count = values.len() as f64;
            let half = t * scatter * (1.0 + 1.0 / count).sqrt();
            assert!(
                (range.high - range.mean - half).abs() < 1e-9 * half,
                "{range:?}"
            );
            assert!(
                (range.mean - range.low - half).abs() < 1e-9 * half,
                "{range:?}"
            );
            // The interval is the standard uncertainty times Student's quantile, whatever the number of jobs.
            assert!((t * range.standard - half).abs() < 1e-9 * half, "{range:?}");
            assert_eq!(range.degrees, Some(values.len() - 1), "{range:?}");
        }
    }

    #[test]
    fn chance_does_not_make_readings_better() {
        let range = predict(&[0.2, 0.2, 0.2], 0.005).expect("three");
        assert!(
            (range.high - 0.2 - 0.01 * (4.0_f64 / 3.0).sqrt()).abs() < 1e-12,
            "{range:?}"
        );
        assert!(
            (range.standard - 0.005 * (4.0_f64 / 3.0).sqrt()).abs() < 1e-12,
            "{range:?}"
        );
        assert!(range.freedom().is_infinite(), "a reading's own: {range:?}");
    }

    #[test]
    fn one_board_has_no_spread() {
        assert_eq!(predict(&[0.2], 0.005), None, "one");
        assert_eq!(predict(&[], 0.005), None, "none");
    }
}
