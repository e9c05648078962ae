/// A symmetric 3 by 3 matrix, upper triangle by rows: 00, 01, 02, 11, 12, 22.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Symmetric(pub(super) [f64; 6]);

/// The pivot, as a fraction of the largest diagonal element, below which a matrix counts as
/// singular.
///
/// A few thousand roundings of a double: less than that is not known to differ from zero.
const LEAST_PIVOT: f64 = 1e-12;

impl Symmetric {
    /// Adds a number to each diagonal element.
    pub(super) fn plus_diagonal(mut self, number: f64) -> Self {
        for index in [0, 3, 5] {
            self.0[index] += number;
        }
        self
    }

    /// Tells whether the matrix is safely positive definite.
    pub(super) fn is_definite(&self) -> bool {
        self.solve([0.0; 3]).is_some()
    }

    /// Solves `self · x = right` by `L·D·Lᵀ`, if the matrix is safely positive definite.
    pub(super) fn solve(&self, right: [f64; 3]) -> Option<[f64; 3]> {
        let [a00, a01, a02, a11, a12, a22] = self.0;
        let least = LEAST_PIVOT * a00.max(a11).max(a22);
        let safe = |pivot: f64| (pivot > least && pivot.is_finite()).then_some(pivot);

        let d0 = safe(a00)?;
        let (l10, l20) = (a01 / d0, a02 / d0);
        let d1 = safe(a11 - l10 * a01)?;
        let rest = a12 - l10 * a02;
        let l21 = rest / d1;
        let d2 = safe(a22 - l20 * a02 - l21 * rest)?;

        let y1 = right[1] - l10 * right[0];
        let y2 = right[2] - l20 * right[0] - l21 * y1;
        let x2 = y2 / d2;
        let x1 = y1 / d1 - l21 * x2;
        Some([right[0] / d0 - l10 * x1 - l20 * x2, x1, x2])
    }
}

/// Returns the inner product of two vectors.
pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Returns `from + length · along`.
pub(super) fn moved(from: [f64; 3], length: f64, along: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|index| from[index] + length * along[index])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_what_was_multiplied_out() {
        let matrix = Symmetric([4.0, 1.0, -2.0, 3.0, 0.5, 5.0]);
        // (1, −2, 3) times the matrix.
        let solution = matrix.solve([-4.0, -3.5, 12.0]).expect("positive definite");
        for (found, wanted) in solution.into_iter().zip([1.0, -2.0, 3.0]) {
            assert!((found - wanted).abs() < 1e-14, "{found} is not {wanted}");
        }
    }

    #[test]
    fn refuses_a_singular_matrix() {
        let rank_one = Symmetric([1.0, 2.0, 3.0, 4.0, 6.0, 9.0]);
        assert_eq!(rank_one.solve([1.0, 2.0, 3.0]), None, "one column thrice");
        assert_eq!(Symmetric::default().solve([1.0, 0.0, 0.0]), None, "zero");
        assert_eq!(
            rank_one.plus_diagonal(f64::NAN).solve([1.0; 3]),
            None,
            "not a number"
        );
    }
}
