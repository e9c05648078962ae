//! A seating problem in the form in which it is searched.
//!
//! The unknowns are the height of the plate under the load, and how much further it is away at one
//! `reach` to the right and upwards: three lengths. Seen from the load's point the load has no moment,
//! and with plan lengths in units of the reach, forces and moments are both newtons and can be compared.

use super::action::Action;
use super::balance::outside;
use super::law::Law;
use super::seating::{Plate, Problem, Reaction, Stop, Support};
use super::slices::Wedge;
use super::symmetric::Symmetric;
use super::{Domain, positive};
use crate::units::{Point, Rect};

/// A newton is a thousand kilopascals on a square millimetre.
const NEWTON_PER_KPA_MM2: f64 = 1e-3;

/// How far inside its supports the load must pass, as a fraction of their reach, to count as carried.
///
/// Nearer to the edge the contact would be narrower than rounding.
const EDGE: f64 = 1e-9;

/// Where a plate's unknowns are counted from, and in which units of length.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) centre: Point,
    pub(super) reach_mm: f64,
}

/// A support, seen from the frame.
#[derive(Clone, Copy, Debug)]
struct Layer<'a> {
    law: Law<'a>,
    face_mm: f64,
    at: [f64; 2],
    half: [f64; 2],
    newton_per_kpa: f64,
}

/// A stop, seen from the frame.
#[derive(Clone, Copy, Debug)]
struct Peg {
    at: [f64; 2],
    stop: Stop,
}

/// The problem, seen from its load.
#[derive(Debug)]
pub(super) struct Model<'a> {
    frame: Frame,
    pub(super) load_n: f64,
    layers: Vec<Layer<'a>>,
    pegs: Vec<Peg>,
    /// A height at which something presses with the whole load, mm.
    pressed_mm: f64,
    /// The range of heights in which the balance is decided, mm.
    pub(super) travel_mm: f64,
}

/// The energy and its derivatives at one position of the plate.
#[derive(Clone, Copy, Debug)]
pub(super) struct State {
    pub(super) unknowns: [f64; 3],
    /// N·mm.
    pub(super) energy: f64,
    /// Force and moments that are out of balance, N.
    pub(super) gradient: [f64; 3],
    /// N/mm.
    pub(super) hessian: Symmetric,
}

impl Frame {
    fn seen(&self, point: Point) -> [f64; 2] {
        [
            (point.x - self.centre.x) / self.reach_mm,
            (point.y - self.centre.y) / self.reach_mm,
        ]
    }

    pub(super) fn unknowns(&self, plate: &Plate) -> [f64; 3] {
        let [a, b] = plate.tilt;
        [
            plate.height_at(self.centre),
            a * self.reach_mm,
            b * self.reach_mm,
        ]
    }

    pub(super) fn plate(&self, [height, a, b]: [f64; 3], origin: Point) -> Plate {
        let [x, y] = self.seen(origin);
        Plate {
            origin,
            separation_mm: height + a * x + b * y,
            tilt: [a / self.reach_mm, b / self.reach_mm],
        }
    }
}

impl<'a> Layer<'a> {
    fn new(support: &Support<'a>, frame: &Frame) -> Self {
        let Rect { width, height, .. } = support.place;
        let reach = frame.reach_mm;
        Self {
            law: support.law,
            face_mm: support.face_mm,
            at: frame.seen(support.place.centre()),
            half: [width / (2.0 * reach), height / (2.0 * reach)],
            newton_per_kpa: NEWTON_PER_KPA_MM2 * reach * reach,
        }
    }

    fn wedge(&self, [height, a, b]: [f64; 3]) -> Wedge {
        let [x, y] = self.at;
        Wedge {
            half: self.half,
            centre: height + a * x + b * y - self.face_mm,
            tilt: [a, b],
        }
    }

    fn reaction(&self, unknowns: [f64; 3]) -> Reaction {
        let wedge = self.wedge(unknowns);
        let [least_gap_mm, greatest_gap_mm] = wedge.gaps();
        let [force, ..] = Action::of(&self.law, &wedge).push;
        Reaction {
            force_n: force * self.newton_per_kpa,
            mean_kpa: force / (4.0 * self.half[0] * self.half[1]),
            gap_mm: wedge.centre,
            least_gap_mm,
            greatest_gap_mm,
            strain: self.law.strain_at(wedge.centre),
        }
    }

    /// Returns how far the plate can go along a step before a corner of this layer is closed.
    fn room(&self, unknowns: [f64; 3], step: [f64; 3]) -> f64 {
        let [x, y] = self.at;
        let [width, height] = self.half;
        let corners = [
            (-width, -height),
            (width, -height),
            (-width, height),
            (width, height),
        ];
        let until_closed = corners.map(|(right, up)| {
            let along = |[s, a, b]: [f64; 3]| s + a * (x + right) + b * (y + up);
            let opening = along(step);
            if opening < 0.0 {
                (along(unknowns) - self.face_mm) / -opening
            } else {
                f64::INFINITY
            }
        });
        until_closed.into_iter().fold(f64::INFINITY, f64::min)
    }
}

impl<'a> Model<'a> {
    /// Looks at a problem from its load, if that passes between the supports.
    pub(super) fn new(problem: &Problem<'a>) -> Result<Self, Domain> {
        let (load_n, centre) = load(problem)?;
        let frame = Frame {
            centre,
            reach_mm: reach(problem, centre)?,
        };
        carried(problem, &frame)?;
        let layers: Vec<_> = problem
            .supports
            .iter()
            .map(|support| Layer::new(support, &frame))
            .collect();
        let pegs = problem.stops.iter().map(|stop| Peg {
            at: frame.seen(stop.at),
            stop: *stop,
        });
        let mut model = Self {
            frame,
            load_n,
            layers,
            pegs: pegs.collect(),
            pressed_mm: f64::NEG_INFINITY,
            travel_mm: 0.0,
        };
        model.estimate();
        Ok(model)
    }

    /// Finds between which heights the balance is decided.
    ///
    /// Where one support alone would carry the whole load, all together carry at least that much; the
    /// highest such height is a start from which the search has only to let the plate rise.
    fn estimate(&mut self) {
        let (mut lowest, mut softest) = (f64::INFINITY, 0.0_f64);
        for layer in &self.layers {
            let pressure =
                self.load_n / (4.0 * layer.half[0] * layer.half[1] * layer.newton_per_kpa);
            let gap = layer.law.gap_pressed(pressure);
            let response = layer.law.at(gap);
            softest = softest.max(-response.pressure_kpa / response.slope_kpa_mm);
            lowest = lowest.min(layer.face_mm + gap);
            self.pressed_mm = self.pressed_mm.max(layer.face_mm + gap);
        }
        for Peg { stop, .. } in &self.pegs {
            let closed = self.load_n / stop.stiffness_n_mm;
            softest = softest.max(closed);
            lowest = lowest.min(stop.height_mm - closed);
            self.pressed_mm = self.pressed_mm.max(stop.height_mm - closed);
        }
        self.travel_mm = self.pressed_mm - lowest + softest;
    }

    /// Returns the start that needs no guess: the plate level, where something carries the whole load.
    pub(super) fn start(&self) -> [f64; 3] {
        [self.pressed_mm, 0.0, 0.0]
    }

    /// Returns a plate as unknowns, lifted where paste would otherwise be closed.
    pub(super) fn start_at(&self, plate: &Plate) -> [f64; 3] {
        let mut unknowns = self.frame.unknowns(plate);
        for layer in self.pastes() {
            let [least, _] = layer.wedge(unknowns).gaps();
            if least <= 0.0 {
                unknowns[0] += self.pressed_mm - layer.face_mm - least;
            }
        }
        unknowns
    }

    fn pastes(&self) -> impl Iterator<Item = &Layer<'a>> {
        self.layers
            .iter()
            .filter(|layer| matches!(layer.law, Law::Paste(_)))
    }

    /// Returns how far the plate can go along a step before paste is closed somewhere.
    pub(super) fn room(&self, unknowns: [f64; 3], step: [f64; 3]) -> f64 {
        self.pastes()
            .map(|layer| layer.room(unknowns, step))
            .fold(f64::INFINITY, f64::min)
    }

    /// Returns the energy `∫ W dA + F·z + ½·k·(h − z)²` and its derivatives.
    pub(super) fn state(&self, unknowns: [f64; 3]) -> State {
        let mut sum = Action::default();
        for layer in &self.layers {
            let action = Action::of(&layer.law, &layer.wedge(unknowns)).about(layer.at);
            sum.plus(&action, layer.newton_per_kpa);
        }
        for peg in &self.pegs {
            sum.plus(&peg.action(unknowns), 1.0);
        }
        let [force, push_x, push_y] = sum.push;
        State {
            unknowns,
            energy: sum.energy + self.load_n * unknowns[0],
            gradient: [self.load_n - force, -push_x, -push_y],
            hessian: sum.stiffness,
        }
    }

    /// Returns the largest force or moment out of balance, as a fraction of the load and its moment over
    /// one reach.
    pub(super) fn residual(&self, state: &State) -> f64 {
        // Not `f64::max`, which would drop what is not a number.
        state
            .gradient
            .map(f64::abs)
            .into_iter()
            .fold(
                0.0,
                |largest, force| {
                    if force <= largest { largest } else { force }
                },
            )
            / self.load_n
    }

    /// Returns how steep the plate lies, mm/mm.
    pub(super) fn slope(&self, state: &State) -> f64 {
        let [_, a, b] = state.unknowns;
        a.hypot(b) / self.frame.reach_mm
    }

    pub(super) fn plate(&self, state: &State, origin: Point) -> Plate {
        self.frame.plate(state.unknowns, origin)
    }

    pub(super) fn reactions(&self, state: &State) -> Vec<Reaction> {
        self.layers
            .iter()
            .map(|layer| layer.reaction(state.unknowns))
            .collect()
    }

    pub(super) fn stops_n(&self, state: &State) -> Vec<f64> {
        self.pegs
            .iter()
            .map(|peg| peg.action(state.unknowns).push[0])
            .collect()
    }
}

impl Peg {
    fn action(&self, [height, a, b]: [f64; 3]) -> Action {
        let closed = self.stop.height_mm - (height + a * self.at[0] + b * self.at[1]);
        if closed <= 0.0 {
            return Action::default();
        }
        let stiffness = self.stop.stiffness_n_mm;
        Action {
            energy: stiffness * closed * closed / 2.0,
            push: [stiffness * closed, 0.0, 0.0],
            stiffness: Symmetric([stiffness, 0.0, 0.0, 0.0, 0.0, 0.0]),
        }
        .about(self.at)
    }
}

/// Returns what the supports do to a plate that is held where it is.
pub(super) fn reactions_to(supports: &[Support<'_>], plate: &Plate) -> Vec<Reaction> {
    let frame = Frame {
        centre: plate.origin,
        reach_mm: 1.0,
    };
    let unknowns = frame.unknowns(plate);
    supports
        .iter()
        .map(|support| Layer::new(support, &frame).reaction(unknowns))
        .collect()
}

/// Returns the screws' resultant and where it acts.
fn load(problem: &Problem<'_>) -> Result<(f64, Point), Domain> {
    let sum = |part: fn(Point) -> f64| {
        problem
            .screws
            .iter()
            .map(|screw| screw.force_n * part(screw.at))
            .sum::<f64>()
    };
    let load_n = sum(|_| 1.0);
    if load_n <= 0.0 {
        return Err(Domain::NoLoad);
    }
    let centre = Point {
        x: sum(|at| at.x) / load_n,
        y: sum(|at| at.y) / load_n,
    };
    Ok((positive("sum of the screws' forces (N)", load_n)?, centre))
}

/// Returns how far from the load the farthest support is, mm.
fn reach(problem: &Problem<'_>, centre: Point) -> Result<f64, Domain> {
    let places = problem.supports.iter().map(|support| {
        let Rect { x, y, .. } = support.place;
        let far_x = (centre.x - x)
            .abs()
            .max((support.place.right() - centre.x).abs());
        let far_y = (centre.y - y)
            .abs()
            .max((support.place.top() - centre.y).abs());
        far_x.hypot(far_y)
    });
    let stops = problem
        .stops
        .iter()
        .map(|stop| (stop.at.x - centre.x).hypot(stop.at.y - centre.y));
    let reach_mm = places
        .chain(stops)
        .reduce(f64::max)
        .ok_or(Domain::NoSupport)?;
    if reach_mm <= 0.0 {
        return Err(Domain::Rocks); // One stop right under the load.
    }
    positive("distance of the supports from the load (mm)", reach_mm)
}

/// Checks that the load passes between the supports.
fn carried(problem: &Problem<'_>, frame: &Frame) -> Result<(), Domain> {
    let margin_mm = EDGE * frame.reach_mm;
    let over = |place: Rect| place.grown(-margin_mm).distance_to(frame.centre) <= 0.0;
    if problem.supports.iter().any(|support| over(support.place)) {
        return Ok(()); // The usual case, without a hull: the die lies under the load.
    }
    let corners = problem.supports.iter().flat_map(|Support { place, .. }| {
        let (right, top) = (place.right(), place.top());
        [
            [place.x, place.y],
            [right, place.y],
            [right, top],
            [place.x, top],
        ]
        .map(Point::from)
    });
    let points = corners
        .chain(problem.stops.iter().map(|stop| stop.at))
        .collect();
    match outside(frame.centre, points, margin_mm) {
        None => Ok(()),
        Some(outside_mm) => Err(Domain::CannotBalance {
            at: frame.centre,
            outside_mm,
        }),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::stack::symmetric::moved;
    use crate::stack::{Foundation, PadCurve, PadLaw, PasteLaw, Screw};

    /// A die, a pad, a foundation and a stop: each kind of push, none of them centred.
    fn problem(curve: &PadCurve) -> Problem<'_> {
        let place = |x, y, width, height| Rect {
            x,
            y,
            width,
            height,
        };
        let pad = PadLaw::new(curve, 2.0).expect("positive");
        let foundation = Foundation {
            modulus_kpa_mm: 200.0,
            free_mm: 0.9,
        };
        let support = |place, face_mm, law| Support {
            place,
            face_mm,
            law,
        };
        let paste = PasteLaw::new(100.0).expect("positive");
        Problem {
            origin: Point { x: 0.0, y: 0.0 },
            supports: vec![
                support(place(-10.0, -9.0, 21.0, 19.0), 2.0, Law::Paste(paste)),
                support(place(15.0, -7.0, 12.0, 14.0), 0.5, Law::Pad(pad)),
                support(
                    place(-26.0, 3.0, 10.0, 8.0),
                    1.5,
                    Law::Foundation(foundation),
                ),
            ],
            screws: vec![Screw {
                at: Point { x: 1.0, y: 0.5 },
                force_n: 80.0,
            }],
            stops: vec![Stop {
                at: Point { x: -20.0, y: -20.0 },
                height_mm: 2.1,
                stiffness_n_mm: 400.0,
            }],
        }
    }

    proptest! {
        /// Gradient against differences of the energy, Hessian against differences of the gradient, with
        /// the plate anywhere: layers open, half closed, crushed, the stop touched or not.
        #[test]
        fn derivatives_agree_with_differences(
            height in 2.02..2.5_f64,
            right in -0.6..0.6_f64,
            up in -0.6..0.6_f64,
        ) {
            let curve = PadCurve::new(&[[0.1, 20.0], [0.25, 70.0], [0.4, 200.0]]).expect("rises");
            let problem = problem(&curve);
            let model = Model::new(&problem).expect("carried");
            let plate = Plate { origin: problem.origin, separation_mm: height, tilt: [0.05 * right, 0.05 * up] };
            let unknowns = model.start_at(&plate);
            let here = model.state(unknowns);
            let room = [0, 1, 2]
                .map(|axis| model.room(unknowns, moved([0.0; 3], -1.0, unit(axis))))
                .into_iter()
                .fold(1.0, f64::min);
            let step = 1e-5 * room;
            // Where the stop just touches, its stiffness jumps between the two differences.
            let peg = model.pegs[0];
            let closed = peg.stop.height_mm
                - (unknowns[0] + unknowns[1] * peg.at[0] + unknowns[2] * peg.at[1]);
            prop_assume!(closed.abs() > 10.0 * step);

            for axis in 0..3 {
                let [less, more] =
                    [-step, step].map(|length| model.state(moved(unknowns, length, unit(axis))));
                let scale = size(&here.gradient) + size(&less.gradient);
                let slope = (more.energy - less.energy) / (2.0 * step);
                let rounding = 1e-13 * here.energy.abs() / step;
                prop_assert!((slope - here.gradient[axis]).abs() < 1e-6 * scale + rounding);
                for other in 0..3 {
                    let bend = (more.gradient[other] - less.gradient[other]) / (2.0 * step);
                    let exact = element(&here.hessian, axis, other);
                    let stiffest = size(&here.hessian.0) + scale * 1e-13 / step;
                    prop_assert!((bend - exact).abs() < 1e-6 * stiffest, "{bend} is not {exact}");
                }
            }
        }
    }

    fn unit(axis: usize) -> [f64; 3] {
        std::array::from_fn(|index| if index == axis { 1.0 } else { 0.0 })
    }

    fn size(parts: &[f64]) -> f64 {
        parts.iter().map(|part| part.abs()).sum()
    }

    fn element(matrix: &Symmetric, row: usize, column: usize) -> f64 {
        let [a00, a01, a02, a11, a12, a22] = matrix.0;
        [[a00, a01, a02], [a01, a11, a12], [a02, a12, a22]][row][column]
    }
}
