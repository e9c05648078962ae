/// A tilted plane over a rectangle, both seen from the rectangle's centre.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wedge {
    /// Half the rectangle's width and height.
    pub(super) half: [f64; 2],
    /// Gap at the centre, mm.
    pub(super) centre: f64,
    /// How the gap grows to the right and upwards, per unit of length.
    pub(super) tilt: [f64; 2],
}

/// A thin slice of the rectangle along a line of equal gap.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slice {
    pub(super) gap: f64,
    pub(super) area: f64,
    /// The slice's middle.
    pub(super) at: [f64; 2],
    /// Its second moments about the middle, per area: xx, xy, yy.
    pub(super) spread: [f64; 3],
}

/// Gauss and Legendre's points and weights over −1…1, each standing for itself and its mirror
/// image.
pub(super) type Rule = &'static [[f64; 2]];

/// Three points: exact to the fifth degree, and a cubic pressure times a slice's length times its
/// middle (or a quadratic slope times its length and its second moment) is no more.
pub(super) const CUBIC: Rule = &[[0.0, 8.0 / 9.0], [0.774_596_669_241_483_4, 5.0 / 9.0]];

/// Eight points: for powers of the gap, cut where the gap has grown by [`POWER_CUT`].
///
/// The nearest singularity then lies six half-widths from the middle of a cut, and what is left of
/// `z^−7` is below 1e-12; by a factor of two it would be 4e-8.
pub(super) const POWER: Rule = &[
    [0.183_434_642_495_649_8, 0.362_683_783_378_362],
    [0.525_532_409_916_329, 0.313_706_645_877_887_3],
    [0.796_666_477_413_626_7, 0.222_381_034_453_374_5],
    [0.960_289_856_497_536_3, 0.101_228_536_290_376_26],
];

/// By which factor the gap grows, at most, from one cut of a power of it to the next.
pub(super) const POWER_CUT: f64 = std::f64::consts::SQRT_2;

impl Wedge {
    /// Returns the least and the greatest gap, mm: they lie at corners.
    pub(super) fn gaps(&self) -> [f64; 2] {
        let swing = (self.tilt[0] * self.half[0]).abs() + (self.tilt[1] * self.half[1]).abs();
        [self.centre - swing, self.centre + swing]
    }

    /// Returns how much the gap rises from the centre to the right side and to the upper one, as shares
    /// of the gap at the centre.
    pub(super) fn rises(&self) -> [f64; 2] {
        [0, 1].map(|axis| self.tilt[axis] * self.half[axis] / self.centre)
    }

    /// Cuts the rectangle into slices of equal gap and hands each to `visit`.
    ///
    /// Across the lines of equal gap the rectangle is a trapezium: its chords grow, stay and shrink
    /// linearly. So an integral over the area is three integrals over one line, each cut again
    /// where `next_cut` (given a gap, the next one above it) says that the integrand changes its
    /// form.
    pub(super) fn slice(
        &self,
        rule: Rule,
        next_cut: impl Fn(f64) -> f64,
        visit: impl FnMut(Slice),
    ) {
        self.slice_between(self.gaps(), rule, next_cut, visit);
    }

    /// Does the same with what of the rectangle lies between two gaps, mm.
    pub(super) fn slice_between(
        &self,
        [low, high]: [f64; 2],
        rule: Rule,
        next_cut: impl Fn(f64) -> f64,
        mut visit: impl FnMut(Slice),
    ) {
        let [least, greatest] = self.gaps();
        let slope = Slope::of(self.tilt);
        let [reach_x, reach_y] = [0, 1].map(|axis| (slope.across[axis] * self.half[axis]).abs());
        let (outer, inner) = (reach_x + reach_y, (reach_x - reach_y).abs());
        // Also outside where something is not a number.
        let distance = |gap: f64, outside: f64| {
            if least < gap && gap < greatest {
                (gap - self.centre) / slope.steep
            } else {
                outside
            }
        };

        let (mut from, end) = (distance(low, -outer), distance(high, outer));
        let mut cut = low;
        while from < end {
            cut = next_cut(cut);
            let to = distance(cut, outer).min(end);
            for [low, high] in [[-outer, -inner], [-inner, inner], [inner, outer]] {
                let (low, high) = (low.max(from), high.min(to));
                if low < high {
                    self.strip(rule, [low, high], &slope, &mut visit);
                }
            }
            from = to;
        }
    }

    /// Hands the slices of one strip, between two distances from the centre, to `visit`.
    fn strip(
        &self,
        rule: Rule,
        [low, high]: [f64; 2],
        slope: &Slope,
        visit: &mut impl FnMut(Slice),
    ) {
        let (middle, half_width) = (f64::midpoint(low, high), (high - low) / 2.0);
        for &[point, weight] in rule {
            let mirrored = if point > 0.0 { 2 } else { 1 };
            for side in [point, -point].into_iter().take(mirrored) {
                visit(self.at(middle + half_width * side, half_width * weight, slope));
            }
        }
    }

    /// Returns the slice at a distance from the centre, with a width.
    fn at(&self, distance: f64, width: f64, slope: &Slope) -> Slice {
        // The chord's points are distance·(x, y) + along·(−y, x), within the half sides.
        let [x, y] = slope.across;
        let [inverse_x, inverse_y] = slope.inverse;
        let [from_x, to_x] = chord(distance * x, inverse_y, self.half[0]);
        let [from_y, to_y] = chord(-distance * y, inverse_x, self.half[1]);
        let (from, to) = (from_x.max(from_y), to_x.min(to_y));
        let (length, along) = ((to - from).max(0.0), f64::midpoint(from, to));
        let spread = length * length / 12.0;
        Slice {
            gap: self.centre + slope.steep * distance,
            area: length * width,
            at: [distance * x - along * y, distance * y + along * x],
            spread: [spread * y * y, -spread * x * y, spread * x * x],
        }
    }
}

/// How steep a plane is, and the direction across its lines of equal height.
#[derive(Clone, Copy, Debug)]
struct Slope {
    steep: f64,
    across: [f64; 2],
    /// One over each of `across`; infinite for zero.
    inverse: [f64; 2],
}

impl Slope {
    fn of([a, b]: [f64; 2]) -> Self {
        let steep = a.hypot(b);
        let across = if steep > 0.0 {
            [a / steep, b / steep]
        } else {
            [1.0, 0.0]
        };
        Self {
            steep,
            across,
            inverse: across.map(f64::recip),
        }
    }
}

/// Returns between which parameters `|middle − parameter / inverse| ≤ half`: all of them where the
/// inverse is infinite, for a slice's middle lies inside.
fn chord(middle: f64, inverse: f64, half: f64) -> [f64; 2] {
    let (one, other) = ((middle - half) * inverse, (middle + half) * inverse);
    [one.min(other), one.max(other)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums area, first and second moments of the slices.
    fn moments(wedge: &Wedge, rule: Rule, next_cut: impl Fn(f64) -> f64) -> [f64; 6] {
        let mut sums = [0.0; 6];
        wedge.slice(rule, next_cut, |slice| {
            let ([x, y], [xx, xy, yy]) = (slice.at, slice.spread);
            let parts = [1.0, x, y, x * x + xx, x * y + xy, y * y + yy];
            for (sum, part) in sums.iter_mut().zip(parts) {
                *sum += slice.area * part;
            }
        });
        sums
    }

    const TILTS: [[f64; 2]; 8] = [
        [0.0, 0.0],
        [0.1, 0.0],
        [0.0, 0.1],
        [-0.0, -0.1],
        [0.1, -0.15],
        [-1e-9, 1e-13],
        [1e-17, 0.2],
        [-0.3, -0.2],
    ];

    #[test]
    fn slices_add_up_to_the_rectangle() {
        let half = [3.0, 2.0];
        for tilt in TILTS {
            let wedge = Wedge {
                half,
                centre: 1.0,
                tilt,
            };
            for every in [f64::INFINITY, 0.3, 0.01] {
                for rule in [CUBIC, POWER] {
                    let found = moments(&wedge, rule, |gap| gap + every);
                    let wanted = [24.0, 0.0, 0.0, 72.0, 0.0, 32.0];
                    let mut off = found
                        .into_iter()
                        .zip(wanted)
                        .map(|(found, wanted)| found - wanted);
                    assert!(
                        off.all(|off| off.abs() < 1e-12),
                        "{tilt:?} {every}: {found:?}"
                    );
                }
            }
        }
    }

    /// `∫ z^−7` over the rectangle, against its closed form by corners.
    #[test]
    fn powers_of_the_gap_come_out_to_eleven_digits() {
        for (centre, tilt) in [
            (0.04, [1e-3, 2e-3]),
            (0.04, [8e-3, 7.9e-3]),
            (5.0, [1.5, 0.2]),
        ] {
            let wedge = Wedge {
                half: [3.0, 2.0],
                centre,
                tilt,
            };
            let mut found = 0.0;
            wedge.slice(
                POWER,
                |gap| POWER_CUT * gap,
                |slice| found += slice.area * slice.gap.powi(-7),
            );
            let corner = |x: f64, y: f64| (centre + tilt[0] * x + tilt[1] * y).powi(-5);
            let sum = corner(3.0, 2.0) - corner(3.0, -2.0) - corner(-3.0, 2.0) + corner(-3.0, -2.0);
            let wanted = sum / (30.0 * tilt[0] * tilt[1]);
            assert!(
                (found / wanted - 1.0).abs() < 1e-11,
                "{centre} {tilt:?}: {found} is not {wanted}"
            );
        }
    }

    #[test]
    fn slices_end_where_nothing_is_a_number() {
        let wedge = Wedge {
            half: [1.0, 1.0],
            centre: f64::NAN,
            tilt: [0.1, 0.2],
        };
        let mut count = 0;
        wedge.slice(CUBIC, |gap| gap, |_| count += 1);
        assert!(count < 100, "{count} slices");
    }
}
