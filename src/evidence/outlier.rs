//! Values that lie too far from the others to be of their kind.

use super::consensus::{Reported, mandel_paule, weighted_mean};
use super::distribution::student_quantile;
use super::robust::algorithm_a;
use super::sample::{Sample, as_f64};

/// Fewest values that the generalised ESD test is put to; below that, ζ scores are.
const FEWEST_TO_TEST: usize = 6;

/// Level of that test.
const LEVEL: f64 = 0.05;

/// ζ scores that call for action, and that make a value questionable.
///
/// # References
/// ISO 13528:2015, 9.6.2.
const ACTION: f64 = 3.0;
const QUESTIONABLE: f64 = 2.0;

/// One step of the generalised ESD test: the value furthest out of those left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Furthest {
    /// Its position among the values given.
    pub index: usize,
    /// How many standard deviations it is from the mean of those left.
    pub statistic: f64,
    /// How many it may be.
    pub critical: f64,
}

/// Returns the value furthest from the mean, by position, with Grubbs's statistic: how many standard
/// deviations it is away. Nothing of fewer than three values, or of values that are all alike.
///
/// # References
/// NIST/SEMATECH e-Handbook, 1.3.5.17.1.
pub fn grubbs(values: &[f64]) -> Option<(usize, f64)> {
    let sample = Sample::of(values).filter(|sample| sample.count > 2 && sample.deviation > 0.0)?;
    let away = values
        .iter()
        .map(|one| (one - sample.mean).abs() / sample.deviation);
    away.enumerate()
        .max_by(|left, right| left.1.total_cmp(&right.1))
}

/// Returns what Grubbs's statistic of `count` values exceeds with the probability `level`, where there is no
/// outlier; `level` halved tests both sides.
pub fn grubbs_critical(count: usize, level: f64) -> f64 {
    let n = as_f64(count);
    let t = student_quantile(1.0 - level / n, n - 2.0);
    (n - 1.0) * t / ((n - 2.0 + t * t) * n).sqrt()
}

/// Finds up to `most` outliers by the generalised extreme Studentised deviate: each step takes out the value
/// furthest from the mean, and the last step that exceeds its critical value says how many are outliers,
/// since two that lie together hide each other at first.
///
/// Returns every step, and how many of them are outliers.
///
/// # References
/// Rosner (1983); NIST/SEMATECH e-Handbook, 1.3.5.17.3. It is meant for 25 values and more, and reasonable
/// from 15; with six its level is only roughly the stated one.
pub fn generalised_esd(values: &[f64], most: usize, level: f64) -> (Vec<Furthest>, usize) {
    let mut left: Vec<usize> = (0..values.len()).collect();
    let mut steps = Vec::new();
    for _ in 0..most {
        let those: Vec<f64> = left.iter().map(|&index| values[index]).collect();
        let Some((at, statistic)) = grubbs(&those) else {
            break;
        };
        steps.push(Furthest {
            index: left.remove(at),
            statistic,
            critical: grubbs_critical(those.len(), level / 2.0),
        });
    }
    let last = steps
        .iter()
        .rposition(|step| step.statistic > step.critical);
    (steps, last.map_or(0, |last| last + 1))
}

/// Returns the ζ score of a value: how many times the combined standard uncertainty it is from the one
/// assigned. From 2 it is questionable, from 3 it calls for action.
///
/// # References
/// ISO 13528:2015, 9.6.
pub fn zeta(difference: f64, standard: f64, assigned_standard: f64) -> f64 {
    difference / standard.hypot(assigned_standard)
}

/// Tells of each of several values whether it lies too far from the others.
///
/// From six values on the generalised ESD test says so, unless its ζ score against the robust mean shows that
/// its own uncertainty excuses it. Below that, its ζ score against the consensus of the others does: a robust
/// mean of so few still follows the one that is out. Of two, none can be told to be the wrong one.
pub fn outlying(values: &[Reported]) -> Vec<bool> {
    match values.len() {
        0..=2 => vec![false; values.len()],
        3..FEWEST_TO_TEST => (0..values.len())
            .map(|index| {
                let mut others = values.to_vec();
                let one = others.remove(index);
                let consensus = weighted_mean(&others, mandel_paule(&[&others]));
                let off = one.value - consensus.value;
                zeta(off, one.standard, consensus.standard).abs() >= ACTION
            })
            .collect(),
        _ => tested(values),
    }
}

fn tested(values: &[Reported]) -> Vec<bool> {
    let plain: Vec<f64> = values.iter().map(|one| one.value).collect();
    let (steps, outliers) = generalised_esd(&plain, values.len() / 3, LEVEL);
    let robust = algorithm_a(&plain);
    let is_excused = |one: &Reported| {
        robust.is_none_or(|robust| {
            let standard = robust.standard(values.len());
            zeta(one.value - robust.mean, one.standard, standard).abs() < QUESTIONABLE
        })
    };
    let mut found = vec![false; values.len()];
    for step in &steps[..outliers] {
        found[step.index] = !is_excused(&values[step.index]);
    }
    found
}
