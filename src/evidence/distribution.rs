//! Quantiles and densities of the distributions that the statistics rest on; `statrs` computes them.

use statrs::distribution::{ChiSquared, Continuous as _, ContinuousCDF as _, Normal, StudentsT};

/// From so many degrees of freedom on, Student's t is taken as normal: the quantiles differ by less than
/// a millionth there, and the library's own lose digits beyond.
const NORMAL_FROM: f64 = 1e6;

/// Returns the quantile of the standard normal distribution.
///
/// # Accuracy
/// Within 1e-13 of the reference values.
pub fn normal_quantile(probability: f64) -> f64 {
    Normal::standard().inverse_cdf(probability)
}

/// Returns the probability that a standard normal variable is at most this.
pub fn normal_probability(value: f64) -> f64 {
    Normal::standard().cdf(value)
}

/// Returns the density of the standard normal distribution.
pub fn normal_density(value: f64) -> f64 {
    Normal::standard().pdf(value)
}

/// Returns the quantile of Student's t; `degrees` need not be whole and may be infinite.
///
/// # Accuracy
/// Within 1e-9 of the reference values.
pub fn student_quantile(probability: f64, degrees: f64) -> f64 {
    if degrees >= NORMAL_FROM {
        return normal_quantile(probability);
    }
    let student = StudentsT::new(0.0, 1.0, degrees);
    student
        .expect("invariant: degrees of freedom are positive")
        .inverse_cdf(probability)
}

/// Returns the logarithm of Student's t density; `degrees` need not be whole and may be infinite.
///
/// # Accuracy
/// Within 1e-9 of the closed forms for one and two degrees of freedom, and of the normal one.
pub fn student_log_density(value: f64, degrees: f64) -> f64 {
    if degrees >= NORMAL_FROM {
        return Normal::standard().ln_pdf(value);
    }
    let student = StudentsT::new(0.0, 1.0, degrees);
    student
        .expect("invariant: degrees of freedom are positive")
        .ln_pdf(value)
}

/// Returns the quantile of chi-square.
pub fn chi_square_quantile(probability: f64, degrees: f64) -> f64 {
    let chi_square = ChiSquared::new(degrees);
    chi_square
        .expect("invariant: degrees of freedom are positive")
        .inverse_cdf(probability)
}
