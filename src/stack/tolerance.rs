//! Lengths that are not known exactly, and what adds up of them.

use std::ops::Neg;

/// A length and how far it may be off, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Length {
    /// The nominal length, mm.
    pub nominal_mm: f64,
    /// The tolerance, plus or minus, mm; not negative.
    pub tolerance_mm: f64,
}

/// The lengths from one to another, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The least, mm.
    pub low_mm: f64,
    /// The greatest, mm.
    pub high_mm: f64,
}

/// What a chain of lengths adds up to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stack {
    /// The sum of the nominal lengths, mm.
    pub nominal_mm: f64,
    /// The sum of the tolerances, mm: how far off it is where everything is off the same way.
    pub worst_case_mm: f64,
    /// The root of the sum of their squares, mm: how far off it hardly ever is, where the
    /// deviations are independent and each tolerance is as likely to be exceeded as the result.
    pub root_sum_square_mm: f64,
}

impl Length {
    /// Returns a length with a tolerance, mm.
    pub fn new(nominal_mm: f64, tolerance_mm: f64) -> Self {
        Self {
            nominal_mm,
            tolerance_mm,
        }
    }

    /// Returns the lengths within tolerance.
    pub fn interval(&self) -> Interval {
        Interval::about(self.nominal_mm, self.tolerance_mm)
    }
}

/// The same length, counted the other way in a chain.
impl Neg for Length {
    type Output = Self;

    fn neg(self) -> Self {
        Self {
            nominal_mm: -self.nominal_mm,
            ..self
        }
    }
}

impl Interval {
    /// Returns what lies within `off_mm` of a length, mm.
    pub fn about(middle_mm: f64, off_mm: f64) -> Self {
        Self {
            low_mm: middle_mm - off_mm,
            high_mm: middle_mm + off_mm,
        }
    }

    /// Returns what two intervals share, if they do; a single length counts.
    pub fn shared_with(&self, other: &Self) -> Option<Self> {
        let (low_mm, high_mm) = (
            self.low_mm.max(other.low_mm),
            self.high_mm.min(other.high_mm),
        );
        (low_mm <= high_mm).then_some(Self { low_mm, high_mm })
    }
}

impl Stack {
    /// Adds a chain of lengths up; one counted backwards goes in negated.
    pub fn of(lengths: impl IntoIterator<Item = Length>) -> Self {
        let (mut nominal_mm, mut worst_case_mm, mut squares) = (0.0, 0.0, 0.0);
        for length in lengths {
            nominal_mm += length.nominal_mm;
            worst_case_mm += length.tolerance_mm;
            squares += length.tolerance_mm * length.tolerance_mm;
        }
        Self {
            nominal_mm,
            worst_case_mm,
            root_sum_square_mm: f64::sqrt(squares),
        }
    }

    /// Returns the interval in worst case.
    pub fn worst_case(&self) -> Interval {
        Interval::about(self.nominal_mm, self.worst_case_mm)
    }
}
