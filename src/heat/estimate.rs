//! A value with its standard uncertainty, carried through differences and quotients.

use crate::evidence::uncertainty::rectangular;
use crate::stack::{Domain, positive};

/// Coverage factor of an expanded uncertainty: about 95 % (JCGM 100, 6.3.3).
const COVERAGE_FACTOR: f64 = 2.0;

/// A value and its standard uncertainty, in one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty.
    pub standard: f64,
}

impl Estimate {
    /// Returns a value that lies anywhere within plus or minus `half_width`.
    pub fn rectangular(value: f64, half_width: f64) -> Self {
        Self {
            value,
            standard: rectangular(half_width),
        }
    }

    /// Returns the difference of two independent values.
    ///
    /// # References
    /// JCGM 100:2008, eq. (10).
    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        Self {
            value: self.value - other.value,
            standard: self.standard.hypot(other.standard),
        }
    }

    /// Returns the quotient of two values with a coefficient of correlation, −1 to 1.
    ///
    /// # Errors
    /// [`Domain::Unfit`] where the divisor is not a positive number.
    /// # References
    /// JCGM 100:2008, 5.1.6 and eq. (16). It is to first order: a divisor should be known to a tenth.
    pub fn over(self, other: Self, correlation: f64) -> Result<Self, Domain> {
        let divisor = positive("divisor", other.value)?;
        let value = self.value / divisor;
        let (of_self, of_other) = (self.standard / divisor, value * other.standard / divisor);
        let together = 2.0 * correlation * of_self * of_other;
        let variance = of_self.powi(2) + of_other.powi(2) - together;
        Ok(Self {
            value,
            standard: variance.max(0.0).sqrt(),
        })
    }

    /// Returns the product of two independent values.
    ///
    /// # References
    /// JCGM 100:2008, 5.1.6.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        let parts = (self.standard * other.value, other.standard * self.value);
        Self {
            value: self.value * other.value,
            standard: parts.0.hypot(parts.1),
        }
    }

    /// Returns the expanded uncertainty, within which it lies 19 times in 20.
    pub fn expanded(self) -> f64 {
        COVERAGE_FACTOR * self.standard
    }
}

#[cfg(test)]
mod tests {
    use super::Estimate;

    fn near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
    }

    /// JCGM 100:2008, H.2: the impedance `Z = V / I` of five simultaneous readings, correlated by −0.36;
    /// 254.260 Ω, u = 0.236 Ω. Inputs and results from memory, the inputs recomputed from the readings.
    #[test]
    fn a_quotient_is_that_of_the_guide() {
        let volt = Estimate {
            value: 4.9990,
            standard: 0.003_209,
        };
        let ampere = Estimate {
            value: 0.019_661,
            standard: 0.000_009_471,
        };
        let impedance = volt.over(ampere, -0.355).expect("a current");
        near(impedance.value, 254.26, 0.01);
        near(impedance.standard, 0.236, 0.001);
    }

    /// JCGM 100:2008, 5.1.6: in a product or a quotient, relative variances add.
    #[test]
    fn relative_variances_add() {
        let one = Estimate {
            value: 48.0,
            standard: 0.48,
        };
        let other = Estimate {
            value: 240.0,
            standard: 4.8,
        };
        let relative = 0.01_f64.hypot(0.02);
        let quotient = one.over(other, 0.0).expect("positive");
        near(quotient.standard / quotient.value, relative, 1e-12);
        let product = one.times(other);
        near(product.standard / product.value, relative, 1e-12);
    }

    #[test]
    fn nothing_is_divided_by_nothing() {
        let one = Estimate {
            value: 1.0,
            standard: 0.1,
        };
        let none = Estimate { value: 0.0, ..one };
        assert!(one.over(none, 0.0).is_err(), "zero");
        // A numerator of zero has an uncertainty all the same.
        near(none.over(one, 0.0).expect("one").standard, 0.1, 1e-12);
    }
}
