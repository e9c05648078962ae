//! One value from several that each have an uncertainty: the weighted mean, what tells whether they agree,
//! and the random-effects estimates where they do not.

use super::sample::as_f64;

/// A value as somebody reports it.
///
/// # Units
/// Both the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reported {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty; more than zero.
    pub standard: f64,
}

/// How well reported values agree about their weighted mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Cochran's Q: the weighted squares about the weighted mean; near its degrees where they agree.
    pub q: f64,
    /// How many values it has more than one.
    pub degrees: f64,
}

impl Agreement {
    /// Returns the Birge ratio: how many times further apart the values are than they claim.
    pub fn birge_ratio(&self) -> f64 {
        (self.q / self.degrees).sqrt()
    }
}

/// Returns the mean of values weighted by `1 / (u² + between²)`, and its standard uncertainty.
///
/// `between` is the spread between the values beyond their own uncertainty: zero gives the plain weighted
/// mean, an estimate of it the random-effects mean.
pub fn weighted_mean(values: &[Reported], between: f64) -> Reported {
    let weights = || weights(values, between * between);
    let whole: f64 = weights().sum();
    // About the first value: values with many leading digits in common lose none, whatever their order.
    let first = values.first().map_or(0.0, |one| one.value);
    let moved: f64 = weights()
        .zip(values)
        .map(|(weight, one)| weight * (one.value - first))
        .sum();
    Reported {
        value: first + moved / whole,
        standard: whole.sqrt().recip(),
    }
}

/// Tells how well values agree.
///
/// # References
/// Cochran (1954); Birge (1932).
pub fn agreement(values: &[Reported]) -> Agreement {
    let (q, _) = squares(values, 0.0);
    Agreement {
        q,
        degrees: as_f64(values.len()) - 1.0,
    }
}

/// Returns the spread between values beyond their own uncertainty, by Mandel and Paule: the one with which
/// the weighted squares come to their degrees of freedom. Zero where they agree within what they claim.
///
/// Values in several groups, each about its own mean, share one spread: such as jobs of one bench about
/// the bench's mean.
///
/// # Accuracy
/// The authors' iteration is Newton's on a falling convex function, begun left of its root: it approaches
/// it from one side. It ends when a step changes nothing in twelve digits.
/// # References
/// Paule and Mandel (1982), J. Res. NBS 87, 377.
pub fn mandel_paule(groups: &[&[Reported]]) -> f64 {
    let degrees: f64 = groups.iter().map(|group| as_f64(group.len()) - 1.0).sum();
    let mut variance = 0.0;
    for _ in 0..100 {
        let (mut excess, mut slope) = (-degrees, 0.0);
        for group in groups {
            let (squares, falls) = squares(group, variance);
            excess += squares;
            slope += falls;
        }
        if excess <= 0.0 || slope <= 0.0 {
            break;
        }
        let step = excess / slope;
        variance += step;
        if step <= 1e-12 * variance {
            break;
        }
    }
    variance.sqrt()
}

/// Returns the weighted squares about the weighted mean, and how fast they fall with `between_squared`.
fn squares(values: &[Reported], between_squared: f64) -> (f64, f64) {
    let mean = weighted_mean(values, between_squared.sqrt()).value;
    weights(values, between_squared).zip(values).fold(
        (0.0, 0.0),
        |(squares, falls), (weight, one)| {
            let weighted = weight * (one.value - mean).powi(2);
            (squares + weighted, falls + weight * weighted)
        },
    )
}

fn weights(values: &[Reported], between_squared: f64) -> impl Iterator<Item = f64> {
    values
        .iter()
        .map(move |one| (one.standard * one.standard + between_squared).recip())
}
