//! The mean of a power of a gap over a rectangle, and how it changes with the tilt.

/// The mean of a falling power over a wedge, as a multiple of the power at its centre, with its
/// derivatives by the two rises.
#[derive(Clone, Copy, Debug)]
pub(super) struct PowerMean {
    pub(super) value: f64,
    /// By the rise to the right and by the one upwards.
    pub(super) first: [f64; 2],
    /// By right and right, right and up, up and up.
    pub(super) second: [f64; 3],
}

/// The rise from the centre to the highest corner, as a share of the gap at the centre, up to which
/// the series is summed. A term shrinks as the square of the share: here some 250 are taken, of a die
/// that seats well a dozen.
const STEEPEST: f64 = 0.9;

/// A term that is this small a share of the sum ends it: less than a rounding.
const LAST_TERM: f64 = 1e-17;

/// Terms at most; no wedge up to [`STEEPEST`] takes as many.
const MOST_TERMS: u32 = 600;

impl PowerMean {
    /// Returns the mean of `(1 + αu + βv)^−q` over `−1 ≤ u, v ≤ 1`, unless the wedge is so steep that
    /// its series converges slowly or not at all.
    ///
    /// Odd terms of the binomial series vanish. Of an even one, the mean of `(αu + βv)^2n` is
    /// `2 / ((2n + 1)(2n + 2)) · Σ sᵐ·dⁿ⁻ᵐ` with `s = (α + β)²` and `d = (α − β)²`: all terms are
    /// positive, so nothing cancels, however flat the wedge.
    ///
    /// # Units
    /// None: `alpha` and `beta` are rises from the centre to the sides, as shares of the gap there.
    ///
    /// # Accuracy
    /// About 1e-15, relative.
    ///
    /// # References
    /// NIST, *Digital Library of Mathematical Functions*, 4.6.7, for the binomial series (from memory);
    /// the mean of its terms is our own, and tested against the closed form by the four corners.
    pub(super) fn of(q: f64, [alpha, beta]: [f64; 2]) -> Option<Self> {
        let converges = alpha.abs() + beta.abs() <= STEEPEST; // Not what is no number, either.
        if !converges {
            return None;
        }
        let (sum, difference) = (alpha + beta, alpha - beta);
        let mean = series(q, sum * sum, difference * difference);
        let (by_sum, by_difference) = (2.0 * sum * mean.s, 2.0 * difference * mean.d);
        let sum_twice = 2.0 * mean.s + 4.0 * sum * sum * mean.ss;
        let difference_twice = 2.0 * mean.d + 4.0 * difference * difference * mean.dd;
        let mixed = 4.0 * sum * difference * mean.sd;
        Some(Self {
            value: mean.value,
            first: [by_sum + by_difference, by_sum - by_difference],
            second: [
                sum_twice + 2.0 * mixed + difference_twice,
                sum_twice - difference_twice,
                sum_twice - 2.0 * mixed + difference_twice,
            ],
        })
    }
}

/// A number and its derivatives by `s` and `d`.
#[derive(Clone, Copy, Debug, Default)]
struct Jet {
    value: f64,
    s: f64,
    d: f64,
    ss: f64,
    sd: f64,
    dd: f64,
}

/// Sums the series of the mean.
fn series(q: f64, s: f64, d: f64) -> Jet {
    let (mut total, mut weight) = (Jet::default(), 1.0);
    // `Σ sᵐ·dⁿ⁻ᵐ`, and `dⁿ` with its derivatives.
    let mut term = Jet {
        value: 1.0,
        ..Jet::default()
    };
    let mut power = [1.0, 0.0, 0.0];
    for n in 0..MOST_TERMS {
        total.add(weight, &term);
        // The second derivatives converge last; they begin with the third term.
        let last = weight * (term.ss + term.dd);
        if n > 1 && last <= LAST_TERM * (total.ss + total.dd) {
            break;
        }
        let twice = f64::from(2 * n);
        weight *= (q + twice) * (q + twice + 1.0) / ((twice + 3.0) * (twice + 4.0));
        let [value, first, second] = power;
        power = [d * value, value + d * first, 2.0 * first + d * second];
        term = term.next(s, power);
    }
    total
}

impl Jet {
    fn add(&mut self, weight: f64, term: &Self) {
        self.value += weight * term.value;
        self.s += weight * term.s;
        self.d += weight * term.d;
        self.ss += weight * term.ss;
        self.sd += weight * term.sd;
        self.dd += weight * term.dd;
    }

    /// Returns `s` times this, plus a power of `d`.
    fn next(&self, s: f64, [power, first, second]: [f64; 3]) -> Self {
        Self {
            value: s * self.value + power,
            s: self.value + s * self.s,
            d: s * self.d + first,
            ss: 2.0 * self.s + s * self.ss,
            sd: self.d + s * self.sd,
            dd: s * self.dd + second,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The mean by corners, where both rises are far from zero:
    /// `Σ ±corner^(2−q) / (4·αβ·(q − 1)(q − 2))`.
    #[test]
    fn agrees_with_the_closed_form() {
        for (q, [alpha, beta]) in [
            (5.0, [0.3, 0.2]),
            (7.024, [0.15, -0.4]),
            (3.5, [-0.35, -0.44]),
        ] {
            let corner = |u: f64, v: f64| f64::powf(1.0 + alpha * u + beta * v, 2.0 - q);
            let sum = corner(1.0, 1.0) - corner(1.0, -1.0) - corner(-1.0, 1.0) + corner(-1.0, -1.0);
            let wanted = sum / (4.0 * alpha * beta * (q - 1.0) * (q - 2.0));
            let found = PowerMean::of(q, [alpha, beta]).expect("converges").value;
            assert!(
                (found / wanted - 1.0).abs() < 1e-12,
                "{q} {alpha} {beta}: {found} is not {wanted}"
            );
        }
    }

    #[test]
    fn derivatives_agree_with_differences() {
        let step = 1e-4;
        for rises in [[0.0, 0.0], [0.1, 0.0], [0.02, -0.3], [0.4, 0.39]] {
            let at = |right: f64, up: f64| {
                let [alpha, beta] = rises;
                PowerMean::of(5.0, [alpha + right * step, beta + up * step]).expect("converges")
            };
            let here = at(0.0, 0.0);
            let [right, left, up, down] =
                [at(1.0, 0.0), at(-1.0, 0.0), at(0.0, 1.0), at(0.0, -1.0)];
            let across = |one: f64, other: f64| (one - other) / (2.0 * step);
            for (found, wanted) in [
                (here.first[0], across(right.value, left.value)),
                (here.first[1], across(up.value, down.value)),
                (here.second[0], across(right.first[0], left.first[0])),
                (here.second[1], across(up.first[0], down.first[0])),
                (here.second[2], across(up.first[1], down.first[1])),
            ] {
                assert!(
                    (found - wanted).abs() < 1e-4 * wanted.abs().max(1.0),
                    "{rises:?}: {found} is not {wanted}"
                );
            }
        }
    }

    #[test]
    fn refuses_what_closes_nearly_or_is_no_number() {
        for rises in [
            [0.5, 0.5],
            [1.0, 0.0],
            [f64::NAN, 0.1],
            [0.0, f64::INFINITY],
        ] {
            assert!(PowerMean::of(5.0, rises).is_none(), "{rises:?}");
        }
    }
}
