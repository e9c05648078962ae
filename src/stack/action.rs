use super::law::{Cubic, Law, PasteLaw, Response};
use super::power::PowerMean;
use super::slices::{CUBIC, POWER, Rule, Slice, Wedge};
use super::symmetric::Symmetric;

/// What a layer does to the plate, integrated over its rectangle against 1, x and y.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Action {
    /// `∫ W dA`.
    pub(super) energy: f64,
    /// `∫ p·(1, x, y) dA`: force and moments.
    pub(super) push: [f64; 3],
    /// `∫ −p′·(1, x, y)⊗(1, x, y) dA`.
    pub(super) stiffness: Symmetric,
}

impl Action {
    /// Integrates a law over a wedge, about the rectangle's centre.
    ///
    /// Nearly every pad of a board lies within one cubic of its curve, and paste is seldom closed on
    /// one side; thousands of boards are solved for one guide, so both are worth their closed forms.
    pub(super) fn of(law: &Law<'_>, wedge: &Wedge) -> Self {
        match (law, law.cubic(wedge.centre)) {
            (Law::Paste(paste), _) => {
                Self::of_paste(*paste, wedge).unwrap_or_else(|| Self::of_slices(law, POWER, wedge))
            }
            (_, Some(cubic)) if is_most_of(&cubic, wedge) => {
                let mut action = Self::of_cubic(&cubic, wedge);
                action.add_beyond(&cubic, law, wedge);
                action
            }
            _ => Self::of_slices(law, CUBIC, wedge),
        }
    }

    /// Adds what a law differs from one of its cubics, where the wedge reaches beyond that.
    fn add_beyond(&mut self, cubic: &Cubic, law: &Law<'_>, wedge: &Wedge) {
        let [least, greatest] = wedge.gaps();
        let mut add = |between| {
            wedge.slice_between(
                between,
                CUBIC,
                |gap| law.next_cut(gap),
                |slice| {
                    let differs = law.at(slice.gap).less(&cubic.at(slice.gap - wedge.centre));
                    self.add(&differs, &slice);
                },
            );
        };
        if least < cubic.least_mm {
            add([least, cubic.least_mm]);
        }
        if cubic.greatest_mm < greatest {
            add([cubic.greatest_mm, greatest]);
        }
    }

    fn of_slices(law: &Law<'_>, rule: Rule, wedge: &Wedge) -> Self {
        let mut action = Self::default();
        wedge.slice(
            rule,
            |gap| law.next_cut(gap),
            |slice| action.add(&law.at(slice.gap), &slice),
        );
        action
    }

    /// Integrates paste: its energy is a power of the gap, all else that energy's derivatives by height
    /// and tilt. Nothing where the wedge is too steep for the series.
    fn of_paste(paste: PasteLaw, wedge: &Wedge) -> Option<Self> {
        const Q: f64 = PasteLaw::ENERGY_POWER;
        let (rises, centre, [x, y]) = (wedge.rises(), wedge.centre, wedge.half);
        let mean = PowerMean::of(Q, rises)?;
        let energy = 4.0 * x * y * paste.at(centre).energy_kpa_mm;

        let [by_right, by_up] = mean.first;
        let [right_twice, right_up, up_twice] = mean.second;
        // How first and second derivatives change as the gap at the centre, and with it each rise, does.
        let once = rises[0] * by_right + rises[1] * by_up;
        let [right_again, up_again] = [
            rises[0] * right_twice + rises[1] * right_up,
            rises[0] * right_up + rises[1] * up_twice,
        ];
        let twice = rises[0] * right_again + rises[1] * up_again;
        let (force, stiffness) = (energy / centre, energy / (centre * centre));
        Some(Self {
            energy: energy * mean.value,
            push: [
                force * (Q * mean.value + once),
                -force * x * by_right,
                -force * y * by_up,
            ],
            stiffness: Symmetric([
                stiffness * (Q * (Q + 1.0) * mean.value + 2.0 * (Q + 1.0) * once + twice),
                -stiffness * x * ((Q + 1.0) * by_right + right_again),
                -stiffness * y * ((Q + 1.0) * by_up + up_again),
                stiffness * x * x * right_twice,
                stiffness * x * y * right_up,
                stiffness * y * y * up_twice,
            ]),
        })
    }

    /// Integrates one cubic exactly: by its Taylor series at the centre and the rectangle's
    /// moments.
    fn of_cubic(cubic: &Cubic, wedge: &Wedge) -> Self {
        let [width, height] = wedge.half;
        let [a, b] = wedge.tilt;
        let area = 4.0 * width * height;
        // Mean squares and fourth powers of the coordinates, and of the gap's deviation from the
        // centre.
        let (xx, yy) = (width * width / 3.0, height * height / 3.0);
        let (xxxx, yyyy, xxyy) = (1.8 * xx * xx, 1.8 * yy * yy, xx * yy);
        let (aa, ab, bb) = (a * a, a * b, b * b);
        let square = aa * xx + bb * yy;
        let fourth = aa * aa * xxxx + 6.0 * aa * bb * xxyy + bb * bb * yyyy;

        let Response {
            energy_kpa_mm: energy,
            pressure_kpa: pressure,
            slope_kpa_mm: slope,
        } = cubic.response;
        let (second, third) = (cubic.second, cubic.third);
        let push_x = a * (slope * xx + third / 6.0 * (aa * xxxx + 3.0 * bb * xxyy));
        let push_y = b * (slope * yy + third / 6.0 * (bb * yyyy + 3.0 * aa * xxyy));
        Self {
            energy: area * (energy - slope * square / 2.0 - third * fourth / 24.0),
            push: [
                area * (pressure + second * square / 2.0),
                area * push_x,
                area * push_y,
            ],
            stiffness: Symmetric([
                -area * (slope + third * square / 2.0),
                -area * second * a * xx,
                -area * second * b * yy,
                -area * (slope * xx + third / 2.0 * (aa * xxxx + bb * xxyy)),
                -area * third * ab * xxyy,
                -area * (slope * yy + third / 2.0 * (aa * xxyy + bb * yyyy)),
            ]),
        }
    }

    fn add(&mut self, response: &Response, slice: &Slice) {
        let [x, y] = slice.at;
        let [xx, xy, yy] = slice.spread;
        let push = response.pressure_kpa * slice.area;
        let stiffness = -response.slope_kpa_mm * slice.area;
        self.energy += response.energy_kpa_mm * slice.area;
        for (sum, lever) in self.push.iter_mut().zip([1.0, x, y]) {
            *sum += push * lever;
        }
        let levers = [1.0, x, y, x * x + xx, x * y + xy, y * y + yy];
        for (sum, lever) in self.stiffness.0.iter_mut().zip(levers) {
            *sum += stiffness * lever;
        }
    }

    /// Returns the action about another point, from which the rectangle's centre lies at `[x, y]`.
    pub(super) fn about(&self, [x, y]: [f64; 2]) -> Self {
        let [force, push_x, push_y] = self.push;
        let [k, kx, ky, kxx, kxy, kyy] = self.stiffness.0;
        Self {
            energy: self.energy,
            push: [force, push_x + x * force, push_y + y * force],
            stiffness: Symmetric([
                k,
                kx + x * k,
                ky + y * k,
                kxx + 2.0 * x * kx + x * x * k,
                kxy + x * ky + y * kx + x * y * k,
                kyy + 2.0 * y * ky + y * y * k,
            ]),
        }
    }

    /// Adds another action, times a factor.
    pub(super) fn plus(&mut self, other: &Self, factor: f64) {
        self.energy += factor * other.energy;
        for (sum, part) in self.push.iter_mut().zip(other.push) {
            *sum += factor * part;
        }
        for (sum, part) in self.stiffness.0.iter_mut().zip(other.stiffness.0) {
            *sum += factor * part;
        }
    }
}

/// Tells whether a law is one cubic over half of a wedge's gaps or more: that cubic then lies near the law
/// all over the wedge.
fn is_most_of(cubic: &Cubic, wedge: &Wedge) -> bool {
    let [least, greatest] = wedge.gaps();
    let shared = greatest.min(cubic.greatest_mm) - least.max(cubic.least_mm);
    2.0 * shared >= greatest - least
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stack::{PadCurve, PadLaw};

    /// A pad of 2 mm under wedges that lie within one cubic of its curve, reach into the next on either
    /// side, or float in part.
    #[test]
    fn a_cubic_and_what_differs_beyond_it_are_the_slices() {
        let curve = PadCurve::new(&[[0.1, 20.0], [0.25, 70.0], [0.4, 200.0]]).expect("rises");
        let law = Law::Pad(PadLaw::new(&curve, 2.0).expect("positive"));
        for centre in [1.2, 1.45, 1.55, 1.79, 1.81, 1.99, 2.01, 2.2] {
            for tilt in [[0.0, 0.0], [0.004, 0.0], [0.02, -0.01], [-0.001, 0.08]] {
                let half = [3.0, 2.0];
                let wedge = Wedge { half, centre, tilt };
                let [found, wanted] = [
                    Action::of(&law, &wedge),
                    Action::of_slices(&law, CUBIC, &wedge),
                ]
                .map(|one| {
                    let parts = [[one.energy], [one.push[0]], [one.push[1]], [one.push[2]]];
                    [parts.concat(), one.stiffness.0.to_vec()].concat()
                });
                for (found, wanted) in found.iter().zip(&wanted) {
                    assert!(
                        (found - wanted).abs() <= 1e-9,
                        "{centre} {tilt:?}: {found} is not {wanted}"
                    );
                }
            }
        }
    }
}
