use super::{Cubic, Response};
use crate::stack::Domain;
use crate::stack::domain::{not_negative, positive};

/// How far below the last secant the slope beyond the last point may come, as a fraction.
///
/// A table that levels off would otherwise end in a flat line: a pad that takes any strain at one
/// pressure and cannot balance a load. The half is a choice, not a measurement.
const LEAST_END_SLOPE: f64 = 0.5;

/// A pad material's pressure over strain: a monotone cubic through its deflection table.
///
/// Zero at zero strain is understood, and there is no tension. Beyond the last point the slope
/// there goes on, also past a strain of 1, where the number only says "crushed".
///
/// # References
/// Fritsch and Carlson (1980), SIAM J. Numer. Anal. 17(2), p. 238: the conditions under which a
/// cubic between rising points rises. The slopes are the weighted harmonic means of Fritsch and
/// Butland (1984), SIAM J. Sci. Stat. Comput. 5(2), p. 300, which meet them, as in `SciPy`'s
/// `PchipInterpolator`.
#[derive(Clone, Debug)]
pub struct PadCurve {
    knots: Vec<Knot>,
}

/// A point of the table, and the cubic from there to the next:
/// `pressure + slope·u + second·u² + third·u³`, with `u` the strain above this one.
#[derive(Clone, Copy, Debug)]
struct Knot {
    strain: f64,
    pressure: f64,
    slope: f64,
    second: f64,
    third: f64,
    /// Integral of the pressure over the strain up to here, kPa.
    energy: f64,
}

/// A pad of one material and free thickness.
#[derive(Clone, Copy, Debug)]
pub struct PadLaw<'a> {
    curve: &'a PadCurve,
    thickness_mm: f64,
    /// One over the thickness, 1/mm: strain per gap closed.
    per_mm: f64,
    /// The fraction of the table's pressure that is there: 1 at assembly.
    remaining: f64,
}

impl PadCurve {
    /// Returns the curve through a deflection table of `[strain, pressure_kpa]`.
    ///
    /// # Errors
    /// [`Domain::TableEmpty`]; [`Domain::TableNotRising`] unless strain and pressure rise from zero
    /// at zero to every point; [`Domain::Unfit`] for a value that is not finite.
    pub fn new(table: &[[f64; 2]]) -> Result<Self, Domain> {
        if table.is_empty() {
            return Err(Domain::TableEmpty);
        }
        let mut points = vec![[0.0; 2]];
        for (point, &[strain, pressure]) in table.iter().enumerate() {
            let [strain_before, pressure_before] = points[point];
            not_negative("strain", strain)?;
            not_negative("pressure (kPa)", pressure)?;
            if strain <= strain_before || pressure <= pressure_before {
                return Err(Domain::TableNotRising { point });
            }
            points.push([strain, pressure]);
        }
        let slopes = slopes(&points);
        if let Some(&slope) = slopes.iter().find(|slope| !slope.is_finite()) {
            return Err(Domain::Unfit {
                what: "slope of the deflection table (kPa)",
                value: slope,
            });
        }
        Ok(Self {
            knots: knots(&points, &slopes),
        })
    }

    /// Returns the cubic that holds at a strain, and the strain where the next begins.
    ///
    /// Tables have a handful of points: going through them is faster than halving them.
    fn piece(&self, strain: f64) -> (&Knot, f64) {
        let later = &self.knots[1..];
        let below = later
            .iter()
            .take_while(|knot| knot.strain <= strain)
            .count();
        let end = later.get(below).map_or(f64::INFINITY, |knot| knot.strain);
        (&self.knots[below], end)
    }
}

/// Returns the cubics' slopes at the points.
fn slopes(points: &[[f64; 2]]) -> Vec<f64> {
    let steps: Vec<[f64; 2]> = points
        .windows(2)
        .map(|pair| {
            let width = pair[1][0] - pair[0][0];
            [width, (pair[1][1] - pair[0][1]) / width]
        })
        .collect();
    let [_, last_secant] = steps[steps.len() - 1];
    let [first, last] = match &*steps {
        [first, second, ..] => [
            end_slope(*first, *second),
            end_slope(steps[steps.len() - 1], steps[steps.len() - 2]),
        ],
        _ => [last_secant; 2],
    };
    let mut slopes = vec![first.max(0.0)];
    slopes.extend(steps.windows(2).map(|pair| inner_slope(pair[0], pair[1])));
    slopes.push(last.max(LEAST_END_SLOPE * last_secant));
    slopes
}

/// Returns the slope between two steps of `[width, secant]`: Fritsch and Butland's weighted
/// harmonic mean.
fn inner_slope([width, secant]: [f64; 2], [next_width, next_secant]: [f64; 2]) -> f64 {
    let (weight, next_weight) = (2.0 * next_width + width, next_width + 2.0 * width);
    (weight + next_weight) / (weight / secant + next_weight / next_secant)
}

/// Returns the slope at an end: that of the parabola through three points.
fn end_slope([width, secant]: [f64; 2], [next_width, next_secant]: [f64; 2]) -> f64 {
    ((2.0 * width + next_width) * secant - width * next_secant) / (width + next_width)
}

fn knots(points: &[[f64; 2]], slopes: &[f64]) -> Vec<Knot> {
    let mut knots: Vec<Knot> = Vec::with_capacity(points.len());
    for (index, (&[strain, pressure], &slope)) in points.iter().zip(slopes).enumerate() {
        let energy = knots
            .last()
            .map_or(0.0, |before| before.energy_at(strain - before.strain));
        let (mut second, mut third) = (0.0, 0.0);
        if let (Some([end, end_pressure]), Some(end_slope)) =
            (points.get(index + 1), slopes.get(index + 1))
        {
            let width = end - strain;
            let secant = (end_pressure - pressure) / width;
            second = (3.0 * secant - 2.0 * slope - end_slope) / width;
            third = (slope + end_slope - 2.0 * secant) / (width * width);
        }
        knots.push(Knot {
            strain,
            pressure,
            slope,
            second,
            third,
            energy,
        });
    }
    knots
}

impl Knot {
    fn energy_at(&self, u: f64) -> f64 {
        let rest = self.slope / 2.0 + u * (self.second / 3.0 + u * self.third / 4.0);
        self.energy + u * (self.pressure + u * rest)
    }

    fn pressure_at(&self, u: f64) -> f64 {
        self.pressure + u * (self.slope + u * (self.second + u * self.third))
    }

    fn slope_at(&self, u: f64) -> f64 {
        self.slope + u * (2.0 * self.second + u * 3.0 * self.third)
    }
}

impl<'a> PadLaw<'a> {
    /// Returns the law of a pad of this free thickness at assembly.
    ///
    /// # Units
    /// `thickness_mm`: mm.
    /// # Errors
    /// [`Domain::Unfit`] unless positive and finite.
    pub fn new(curve: &'a PadCurve, thickness_mm: f64) -> Result<Self, Domain> {
        let thickness_mm = positive("pad thickness (mm)", thickness_mm)?;
        Ok(Self {
            curve,
            thickness_mm,
            per_mm: thickness_mm.recip(),
            remaining: 1.0,
        })
    }

    /// Returns the same pad after it has relaxed to a fraction of its pressure.
    ///
    /// # Errors
    /// [`Domain::Unfit`] unless positive and finite.
    pub fn relaxed(self, fraction: f64) -> Result<Self, Domain> {
        Ok(Self {
            remaining: positive("remaining fraction of the pressure", fraction)?,
            ..self
        })
    }

    /// Returns the strain in a gap, mm: `1 − gap / thickness`; negative where the pad floats.
    pub fn strain_at(&self, gap_mm: f64) -> f64 {
        1.0 - gap_mm * self.per_mm
    }

    /// Returns pressure, slope and energy at a gap, mm; zero or less is crushed, and finite.
    pub fn at(&self, gap_mm: f64) -> Response {
        let strain = self.strain_at(gap_mm);
        if strain <= 0.0 {
            return Response::default();
        }
        let (knot, _) = self.curve.piece(strain);
        self.response(knot, strain - knot.strain)
    }

    fn response(&self, knot: &Knot, u: f64) -> Response {
        // The derivative by the gap is that by the strain, times −1 / thickness.
        Response {
            energy_kpa_mm: self.remaining * self.thickness_mm * knot.energy_at(u),
            pressure_kpa: self.remaining * knot.pressure_at(u),
            slope_kpa_mm: -self.remaining * knot.slope_at(u) * self.per_mm,
        }
    }

    pub(super) fn cubic(&self, gap_mm: f64) -> Cubic {
        let (strain, thickness) = (self.strain_at(gap_mm), self.thickness_mm);
        if strain <= 0.0 {
            let response = Response::default();
            let (least_mm, greatest_mm) = (thickness, f64::INFINITY);
            return Cubic {
                response,
                second: 0.0,
                third: 0.0,
                least_mm,
                greatest_mm,
            };
        }
        let (knot, end) = self.curve.piece(strain);
        let u = strain - knot.strain;
        let once = -self.per_mm;
        let [second, third] = [once * once, once * once * once];
        Cubic {
            response: self.response(knot, u),
            second: self.remaining * second * (2.0 * knot.second + 6.0 * knot.third * u),
            third: self.remaining * third * 6.0 * knot.third,
            least_mm: self.gap_at(end),
            greatest_mm: self.gap_at(knot.strain),
        }
    }

    fn gap_at(&self, strain: f64) -> f64 {
        self.thickness_mm * (1.0 - strain)
    }

    pub(super) fn next_cut(&self, above_mm: f64) -> f64 {
        let mut cuts = self
            .curve
            .knots
            .iter()
            .rev()
            .map(|knot| self.gap_at(knot.strain));
        cuts.find(|&cut| cut > above_mm).unwrap_or(f64::INFINITY)
    }

    pub(super) fn gap_pressed(&self, pressure_kpa: f64) -> f64 {
        let pressure = pressure_kpa / self.remaining;
        let knots = &self.curve.knots;
        let above = knots.partition_point(|knot| knot.pressure < pressure);
        let strain = knots.get(above).map_or_else(
            || {
                let last = knots[knots.len() - 1];
                last.strain + (pressure - last.pressure) / last.slope
            },
            |knot| knot.strain,
        );
        self.gap_at(strain)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: [[f64; 2]; 4] = [[0.10, 20.0], [0.20, 48.0], [0.35, 130.0], [0.50, 340.0]];

    fn curve() -> PadCurve {
        PadCurve::new(&TABLE).expect("rises")
    }

    /// Computed with `scipy.interpolate.PchipInterpolator` 1.17 through zero and the table.
    #[test]
    fn agrees_with_another_implementation() {
        let (curve, thickness) = (curve(), 1.7);
        let pad = PadLaw::new(&curve, thickness).expect("positive");
        let at = |strain: f64| pad.at(thickness * (1.0 - strain));
        let printed = [
            (0.03, 5.202),
            (0.07, 13.258),
            (0.15, 32.385_087_719_298_24),
            (0.22, 55.613_313_637_213_28),
            (0.30, 95.295_447_141_445_69),
            (0.42, 208.347_096_905_124_3),
            (0.50, 340.0),
        ];
        for (strain, pressure) in printed {
            let found = at(strain).pressure_kpa;
            assert!(
                (found - pressure).abs() < 1e-11,
                "{strain}: {found} is not {pressure}"
            );
        }
        let energy = at(0.42).energy_kpa_mm / thickness;
        assert!((energy - 28.373_526_880_824_585).abs() < 1e-12, "{energy}");
        let slope = -thickness * at(0.50).slope_kpa_mm;
        assert!((slope - 1_826.666_666_666_666_5).abs() < 1e-9, "{slope}");
    }

    /// Energy, pressure and slope belong together, and pressure never rises with the gap.
    #[test]
    fn derivatives_agree_with_differences() {
        let curve = curve();
        let pad = PadLaw::new(&curve, 2.0)
            .expect("positive")
            .relaxed(0.5)
            .expect("positive");
        let step = 1e-5;
        let mut before = f64::INFINITY;
        for gap in (-200_i32..=220).map(|hundredths| 0.01 * f64::from(hundredths) + 0.0031) {
            let (here, [less, more]) =
                (pad.at(gap), [gap - step, gap + step].map(|gap| pad.at(gap)));
            let pressure = (less.energy_kpa_mm - more.energy_kpa_mm) / (2.0 * step);
            let slope = (more.pressure_kpa - less.pressure_kpa) / (2.0 * step);
            assert!(
                (here.pressure_kpa - pressure).abs() < 1e-5,
                "pressure at {gap}: {pressure}"
            );
            assert!(
                (here.slope_kpa_mm - slope).abs() < 1e-4,
                "slope at {gap}: {slope}"
            );
            assert!(
                here.pressure_kpa <= before && here.slope_kpa_mm <= 0.0,
                "rises at {gap}"
            );
            before = here.pressure_kpa;
        }
    }

    #[test]
    fn floats_without_tension_and_is_crushed_without_limit() {
        let curve = curve();
        let pad = PadLaw::new(&curve, 2.0).expect("positive");
        assert_eq!(pad.at(2.3), Response::default(), "floats");
        let last = pad.at(1.0);
        for gap in [0.5, 0.0, -3.0] {
            let on_the_line = last.pressure_kpa + (gap - 1.0) * last.slope_kpa_mm;
            assert!(
                (pad.at(gap).pressure_kpa - on_the_line).abs() < 1e-9,
                "crushed to {gap}"
            );
        }
    }

    /// Otherwise the parabola at the end would be flat, and nothing would stop the plate.
    #[test]
    fn a_table_that_levels_off_still_stiffens_nothing_away() {
        let curve = PadCurve::new(&[[0.1, 100.0], [0.2, 150.0], [0.3, 151.0]]).expect("rises");
        let pad = PadLaw::new(&curve, 1.0).expect("positive");
        let slope = -pad.at(0.5).slope_kpa_mm;
        assert!(
            (slope - 5.0).abs() < 1e-9,
            "half of the last secant, not {slope}"
        );
    }

    #[test]
    fn a_gap_that_presses_enough_is_found() {
        let curve = curve();
        let pad = PadLaw::new(&curve, 1.5)
            .expect("positive")
            .relaxed(0.4)
            .expect("positive");
        for pressure in [0.1, 8.0, 8.1, 60.0, 136.0, 1e4] {
            let gap = pad.gap_pressed(pressure);
            let found = pad.at(gap).pressure_kpa;
            assert!(
                found >= pressure * (1.0 - 1e-12),
                "{found} at {gap} is less than {pressure}"
            );
        }
    }

    #[test]
    fn refuses_tables_that_are_none() {
        let refused = |table: &[[f64; 2]]| PadCurve::new(table).expect_err("refused");
        assert_eq!(refused(&[]), Domain::TableEmpty, "empty");
        let at = |point| Domain::TableNotRising { point };
        assert_eq!(
            refused(&[[0.0, 0.0], [0.1, 5.0]]),
            at(0),
            "zero at zero is understood"
        );
        assert_eq!(refused(&[[0.1, 5.0], [0.2, 5.0]]), at(1), "level");
        assert_eq!(
            refused(&[[0.1, 5.0], [0.1, 6.0]]),
            at(1),
            "one strain twice"
        );
        assert_eq!(
            refused(&[[0.1, 5.0], [0.3, 7.0], [0.2, 9.0]]),
            at(2),
            "backwards"
        );
        for value in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(
                matches!(refused(&[[value, 5.0]]), Domain::Unfit { .. }),
                "strain {value}"
            );
            assert!(
                matches!(refused(&[[0.1, value]]), Domain::Unfit { .. }),
                "pressure {value}"
            );
        }
        let steep = [[1e-300, 1e300], [0.1, 1.1e300]];
        assert!(
            matches!(refused(&steep), Domain::Unfit { .. }),
            "a slope beyond all numbers"
        );
        let curve = curve();
        assert!(PadLaw::new(&curve, 0.0).is_err(), "no thickness");
        assert!(PadLaw::new(&curve, f64::NAN).is_err(), "not a number");
    }
}
