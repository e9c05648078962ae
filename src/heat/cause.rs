//! Where to look when the temperatures are wrong: which fault explains all of them at once.
//!
//! Each hypothesis says how the die's mean, the hotspot's distance from it and the memory would change.
//! The readings do not say how bad a fault is, so each is taken at the degree that suits it best, and judged
//! by what it then leaves unexplained.

use schemars::JsonSchema;
use serde::Serialize;

use crate::evidence::distribution::student_log_density;
use crate::record::schema::{Words, words};

/// How far a prediction may be off at its own size, as a fraction: the solver knows no die's hot places,
/// no bent plate and no spreading of heat. Our own choice.
const MODEL_SHARE: f64 = 0.35;

/// How far a prediction may be off however small it is, K: die and memory warm each other through the board,
/// which the solver does not know. Our own choice: what a sensor may be off.
const MODEL_K: f64 = 1.0;

/// The least degree of a fault that is tried, beside the one predicted.
const LEAST_DEGREE: f64 = 0.1;

/// In how many even steps of a ratio degrees are tried.
const STEPS: i32 = 60;

/// How surprising a degree is that is `e` times the predicted one, in standard deviations. Our own choice:
/// a screw may be a turn loose or missing, a corner dry or half the die.
const DEGREE_SPREAD: f64 = 1.2;

words! {
    /// What can be wrong with a board that was closed.
    #[derive(PartialOrd, Ord)]
    pub enum Cause {
        /// Pads too thick or too hard keep the cooler from the die.
        HeldOff = "pads hold the cooler off the die",
        /// A screw pulls less than the others: the bond line is a wedge.
        Wedge = "a screw is loose or the cooler tilts",
        /// Part of the die has no paste.
        Dry = "part of the die has no paste",
        /// A pad is missing, or too thin to touch.
        Floats = "a pad is missing or floats",
        /// Too little air: the fan, its cable, dust.
        Air = "fan, cable or dust",
    }
}

impl Cause {
    /// Says what the sensors show where it is so.
    pub fn signs(self) -> &'static str {
        match self {
            Self::HeldOff => "die up, hotspot over it up, memory well",
            Self::Wedge => "die a little up, hotspot over it up, memory well",
            Self::Dry => "die well, hotspot over it far up, memory well",
            Self::Floats => "die and hotspot well, memory up",
            Self::Air => "die and memory up, hotspot over the die well",
        }
    }

    /// Says what reading or look would confirm it, the cheapest first.
    pub fn confirm(self) -> &'static str {
        match self {
            Self::HeldOff => {
                "open it and look at the paste: a print that is thick all over, or a thin crescent, says that \
                 pads carry the cooler; measure their imprints"
            }
            Self::Wedge => {
                "switch it off, let it cool, and see that each of the cooler's screws is as tight as *Close* \
                 says, crosswise; then read the hotspot again under the same load: it is lower"
            }
            Self::Dry => {
                "switch it off, let it cool, and see first that each screw is as tight as *Close* says, \
                 crosswise: if the hotspot is as high when you read it again, open it and look for a dry place \
                 in the print of the paste"
            }
            Self::Floats => {
                "read the memory again at half its load: it falls far more than the die; then open it and look \
                 for the pad without an imprint"
            }
            Self::Air => {
                "read the fan's speed, blow out the fins, and read again on the open bench: everything falls \
                 together"
            }
        }
    }
}

words! {
    /// Where a prediction is from.
    pub enum Whence {
        /// The pads that this job wrote down, seated by the solver.
        Fitted = "the pads this job fitted",
        /// A fault put into the record's stack-up, seated by the solver.
        Solved = "the solved stack-up",
        /// Common practice: no solver was needed or possible.
        Practice = "common practice",
    }
}

/// How three readings would change if a fault were there, K at the load of the readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Hypothesis {
    /// The fault.
    pub cause: Cause,
    /// Where, in words: a zone, a group of screws.
    pub place: Option<String>,
    /// How the die's mean, the hotspot above it and the memory would change, K.
    pub change_k: [f64; 3],
    /// How many times as bad it can be.
    pub most: f64,
    /// Where the prediction is from.
    pub from: Whence,
    /// How much likelier than another one it is before the readings are looked at.
    pub odds: f64,
}

/// How far a reading is from what is normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// How far, K.
    pub kelvin: f64,
    /// Its standard uncertainty, K.
    pub standard: f64,
    /// The degrees of freedom of that: infinite where it is not from a few values' scatter.
    pub freedom: f64,
}

impl Difference {
    /// Returns how likely it is where so much is expected, as a logarithm.
    ///
    /// The prediction's own error joins the reading's, and the more it is of both, the less matters how few
    /// values the other is from.
    ///
    /// # References
    /// JCGM 100:2008, G.4.1, eq. (G.2b): the Welch–Satterthwaite formula.
    fn log_likelihood(self, expected_k: f64) -> f64 {
        let own = self.standard.powi(2);
        let variance = own + MODEL_K.powi(2) + (MODEL_SHARE * expected_k).powi(2);
        let freedom = self.freedom * (variance / own).powi(2);
        let off = (self.kelvin - expected_k) / variance.sqrt();
        student_log_density(off, freedom) - 0.5 * variance.ln()
    }
}

/// A place to look.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Suspect {
    /// The fault.
    pub cause: Cause,
    /// Where, the likeliest place first.
    pub places: Vec<String>,
    /// Its share of what the readings say for any of these faults; not a probability of nature.
    pub weight: f64,
    /// What its prediction is from.
    pub from: Whence,
    /// What reading or look would confirm it.
    pub confirm: &'static str,
}

/// Ranks faults by how well they explain how the die's mean, the hotspot above it and the memory differ
/// from what is normal; what was not read is left out.
///
/// Nothing is ranked from fewer than two readings: one can be explained by everything.
pub fn rank(differ_k: &[Option<Difference>; 3], hypotheses: &[Hypothesis]) -> Vec<Suspect> {
    if differ_k.iter().flatten().count() < 2 {
        return Vec::new();
    }
    let support = |one: &Hypothesis| one.odds * likelihood(differ_k, one);
    let mut judged: Vec<(f64, &Hypothesis)> =
        hypotheses.iter().map(|one| (support(one), one)).collect();
    judged.sort_by(|(left, _), (right, _)| right.total_cmp(left));
    let best = |cause| {
        let mut of_cause = judged.iter().filter(move |(_, one)| one.cause == cause);
        of_cause.next().map(|&(support, one)| (support, one.from))
    };
    let found: Vec<_> = Cause::ALL
        .iter()
        .filter_map(|&cause| best(cause).map(|(support, from)| (cause, support, from)))
        .collect();
    let total: f64 = found.iter().map(|(_, support, _)| support).sum();
    let suspect = |&(cause, support, from): &(Cause, f64, Whence)| Suspect {
        cause,
        places: places(&judged, cause, support),
        weight: support / total.max(f64::MIN_POSITIVE),
        from,
        confirm: cause.confirm(),
    };
    let mut suspects: Vec<Suspect> = found.iter().map(suspect).collect();
    suspects.sort_by(|left, right| right.weight.total_cmp(&left.weight));
    suspects
}

/// Returns the places of a cause that explain the readings nearly as well as the best of them.
fn places(judged: &[(f64, &Hypothesis)], cause: Cause, best: f64) -> Vec<String> {
    /// A place with a tenth of the best one's support is not worth the look.
    const WORTH: f64 = 0.1;
    let of_cause = judged.iter().filter(|(_, one)| one.cause == cause);
    let mut places: Vec<String> = Vec::new();
    for (_, one) in of_cause.filter(|(support, _)| *support >= WORTH * best) {
        if let Some(place) = one.place.as_ref().filter(|place| !places.contains(place)) {
            places.push(place.clone());
        }
    }
    places
}

/// Returns how likely the readings are under a hypothesis at its best degree, up to a constant factor.
fn likelihood(differ_k: &[Option<Difference>; 3], hypothesis: &Hypothesis) -> f64 {
    let ratio = (hypothesis.most / LEAST_DEGREE).ln() / f64::from(STEPS);
    let degree = |step: i32| LEAST_DEGREE * (ratio * f64::from(step)).exp();
    let at = |degree: f64| {
        let surprise = (degree.ln() / DEGREE_SPREAD).powi(2);
        let terms = differ_k
            .iter()
            .zip(&hypothesis.change_k)
            .filter_map(|(differ, change)| Some((*differ)?.log_likelihood(degree * change)));
        terms.sum::<f64>() - 0.5 * surprise
    };
    let best = (0..=STEPS)
        .map(degree)
        .map(at)
        .fold(f64::NEG_INFINITY, f64::max);
    best.exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hypothesis(cause: Cause, change_k: [f64; 3]) -> Hypothesis {
        Hypothesis {
            cause,
            place: None,
            change_k,
            most: 4.0,
            from: Whence::Practice,
            odds: 1.0,
        }
    }

    fn all() -> Vec<Hypothesis> {
        vec![
            hypothesis(Cause::HeldOff, [10.0, 8.0, 1.0]),
            hypothesis(Cause::Wedge, [2.0, 8.0, 0.0]),
            hypothesis(Cause::Dry, [1.0, 20.0, 0.0]),
            hypothesis(Cause::Floats, [0.0, 0.0, 25.0]),
            hypothesis(Cause::Air, [15.0, 0.0, 17.0]),
        ]
    }

    /// A difference that is known to 2 K.
    fn known(kelvin: f64) -> Difference {
        Difference {
            kelvin,
            standard: 2.0,
            freedom: f64::INFINITY,
        }
    }

    fn first(differ_k: [f64; 3]) -> Cause {
        rank(&differ_k.map(|kelvin| Some(known(kelvin))), &all())[0].cause
    }

    /// Planted: each fault at half and at twice its size is found again.
    #[test]
    fn a_planted_fault_is_found() {
        for one in all() {
            for degree in [0.7, 1.0, 2.0] {
                let differ = one.change_k.map(|change| degree * change);
                assert_eq!(first(differ), one.cause, "{degree} times");
            }
        }
    }

    #[test]
    fn one_reading_ranks_nothing() {
        assert!(
            rank(&[Some(known(20.0)), None, None], &all()).is_empty(),
            "one"
        );
        assert!(rank(&[None; 3], &all()).is_empty(), "none");
    }

    #[test]
    fn weights_are_shares_and_fall() {
        let suspects = rank(&[8.0, 9.0, 2.0].map(|kelvin| Some(known(kelvin))), &all());
        let sum: f64 = suspects.iter().map(|one| one.weight).sum();
        assert!((sum - 1.0).abs() < 1e-12, "{sum}");
        assert!(
            suspects.is_sorted_by(|left, right| left.weight >= right.weight),
            "{suspects:?}"
        );
    }

    /// Two healthy boards that agree by chance say little of a third: Student's tails are heavy.
    #[test]
    fn few_healthy_boards_leave_more_doubt() {
        let weight = |freedom: f64| {
            let differ = |kelvin| Difference {
                freedom,
                ..known(kelvin)
            };
            let differ_k = [0.0, 0.0, 10.0].map(|kelvin| Some(differ(kelvin)));
            rank(&differ_k, &all())[0].weight
        };
        let weights = [1.0, 2.0, 8.0, f64::INFINITY].map(weight);
        assert!(weights.is_sorted(), "{weights:?}");
        assert!(weights[3] - weights[0] > 0.01, "{weights:?}");
    }

    /// The prediction's error joins the reading's: variances add, and one degree of freedom becomes
    /// `1 · (variance / own)²`.
    #[test]
    fn a_difference_is_judged_by_its_degrees_of_freedom() {
        let differ = Difference {
            kelvin: 3.0,
            standard: 1.0,
            freedom: 1.0,
        };
        let expected = student_log_density(3.0 / 2.0_f64.sqrt(), 4.0) - 0.5 * 2.0_f64.ln();
        assert!(
            (differ.log_likelihood(0.0) - expected).abs() < 1e-12,
            "none expected"
        );
        let variance: f64 = 2.0 + (2.0 * 0.35_f64).powi(2);
        let density = student_log_density(1.0 / variance.sqrt(), variance.powi(2));
        let expected = density - 0.5 * variance.ln();
        assert!(
            (differ.log_likelihood(2.0) - expected).abs() < 1e-12,
            "two expected"
        );
    }
}
