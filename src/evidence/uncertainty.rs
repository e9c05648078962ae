//! Uncertainties, their combination, and the interval that holds a stated share, as in JCGM 100.

use super::distribution::{normal_density, normal_probability, normal_quantile, student_quantile};

/// Share of the values that an expanded uncertainty holds, everywhere in the book.
pub const COVERAGE: f64 = 0.95;

/// A standard uncertainty, and how well it is known.
///
/// # Units
/// `standard`: that of the value; `degrees`: degrees of freedom, infinite where it is taken as known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Component {
    /// The standard uncertainty; not negative.
    pub standard: f64,
    /// Its degrees of freedom.
    pub degrees: f64,
}

impl Component {
    /// Returns an uncertainty taken as known.
    pub fn known(standard: f64) -> Self {
        Self {
            standard,
            degrees: f64::INFINITY,
        }
    }

    /// Combines independent uncertainties: the root of the sum of squares, with the effective degrees of
    /// freedom of Welch and Satterthwaite.
    ///
    /// # References
    /// JCGM 100:2008, 5.1.2 and G.4.1.
    pub fn combined(parts: &[Self]) -> Self {
        let variance: f64 = parts.iter().map(|part| part.standard.powi(2)).sum();
        let doubt: f64 = parts
            .iter()
            .map(|part| part.standard.powi(4) / part.degrees)
            .sum();
        let degrees = if doubt > 0.0 {
            variance * variance / doubt
        } else {
            f64::INFINITY
        };
        Self {
            standard: variance.sqrt(),
            degrees,
        }
    }

    /// Returns how far either way the share `coverage` of the values lies, by Student's t.
    ///
    /// # References
    /// JCGM 100:2008, G.3.
    pub fn expanded(&self, coverage: f64) -> f64 {
        self.standard * student_quantile(f64::midpoint(1.0, coverage), self.degrees)
    }
}

/// Returns the standard uncertainty of what lies anywhere within ± `half_width`.
///
/// # References
/// JCGM 100:2008, 4.3.7.
pub fn rectangular(half_width: f64) -> f64 {
    half_width / f64::sqrt(3.0)
}

/// Returns the standard uncertainty that the smallest step of a display leaves.
///
/// # References
/// JCGM 100:2008, F.2.2.1: half a step either way, `d / √12`.
pub fn resolution(step: f64) -> f64 {
    rectangular(step / 2.0)
}

/// Returns how far either way the share `coverage` of the values lies, where one part of the uncertainty
/// is rectangular, within ± `half_width`, and the rest is `rest`.
///
/// A caliper's permissible error is most of the uncertainty of a good job. Student's t, which takes
/// everything together as nearly normal, would claim more room than a rectangle has.
///
/// # Accuracy
/// The rest is taken as normal, with the 95 % limits of its Student's t. Against numerical convolution
/// that is never too narrow; at most 3 % too wide from 5 degrees of freedom on, 7 % from 2.
/// # References
/// The sum of a rectangular and a normal variable, as in JCGM 101:2008; EA-4/02, S10, is the case of a
/// caliper: its trapezoid has a factor of 1.83 where this gives 1.81.
pub fn half_width_beside(half_width: f64, rest: Component, coverage: f64) -> f64 {
    let alone = rest.expanded(coverage);
    let normal = alone / normal_quantile(f64::midpoint(1.0, coverage));
    if half_width <= f64::EPSILON * normal || half_width <= 0.0 {
        return alone;
    }
    if normal <= f64::EPSILON * half_width {
        return coverage * half_width;
    }
    // The share within ± U is the mean, over the rectangle, of the normal's share: the integral of Φ is
    // z Φ(z) + φ(z).
    let integral = |z: f64| z * normal_probability(z) + normal_density(z);
    let share = |limit: f64| {
        let [far, near] =
            [limit + half_width, limit - half_width].map(|one| integral(one / normal));
        normal / half_width * (far - near) - 1.0
    };
    let mut low = 0.0;
    let mut high = coverage * half_width + alone;
    // Halved until no digit of a micrometre is left to find.
    for _ in 0..30 {
        let middle = f64::midpoint(low, high);
        if share(middle) < coverage {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
