//! A seating problem in the form in which it is searched.
//!
//! The unknowns are the height of the plate under the load, and how much further it is away at one
//! `reach` to the right and upwards: three lengths. Seen from the load's point the load has no
//! moment, and with plan lengths in units of the reach, forces and moments are both newtons and can
//! be compared.

use super::Domain;
use super::action::Action;
use super::frame::Frame;
use super::law::Law;
use super::layer::{Layer, Peg};
use super::seating::{Plate, Problem, Reaction};
use super::symmetric::Symmetric;
use crate::units::Point;

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
#[derive(Clone, Debug)]
pub(super) struct State {
    pub(super) unknowns: [f64; 3],
    /// N·mm.
    pub(super) energy: f64,
    /// Force and moments that are out of balance, N.
    pub(super) gradient: [f64; 3],
    /// N/mm.
    pub(super) hessian: Symmetric,
    /// How hard each layer pushes, N.
    forces_n: Vec<f64>,
}

impl<'a> Model<'a> {
    /// Looks at a problem from its load, if that passes between the supports.
    pub(super) fn new(problem: &Problem<'a>) -> Result<Self, Domain> {
        let (load_n, frame) = Frame::under_load(problem)?;
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
    /// Where one support alone would carry the whole load, all together carry at least that much;
    /// the highest such height is a start from which the search has only to let the plate rise.
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

    /// Returns the start that needs no guess: the plate level, where something carries the whole
    /// load.
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
        let (mut sum, mut forces_n) = (Action::default(), Vec::with_capacity(self.layers.len()));
        for layer in &self.layers {
            let action = Action::of(&layer.law, &layer.wedge(unknowns));
            forces_n.push(layer.newton_per_kpa * action.push[0]);
            sum.plus(&action.about(layer.at), layer.newton_per_kpa);
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
            forces_n,
        }
    }

    /// Returns the force and moments out of balance, added up, as a fraction of the load and of its
    /// moment over one reach.
    pub(super) fn residual(&self, state: &State) -> f64 {
        let [force, moment_x, moment_y] = state.gradient.map(f64::abs);
        (force + moment_x + moment_y) / self.load_n
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
        let layers = self.layers.iter().zip(&state.forces_n);
        layers
            .map(|(layer, &force_n)| layer.reaction(state.unknowns, force_n))
            .collect()
    }

    pub(super) fn stops_n(&self, state: &State) -> Vec<f64> {
        self.pegs
            .iter()
            .map(|peg| peg.action(state.unknowns).push[0])
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::stack::symmetric::moved;
    use crate::stack::{Foundation, PadCurve, PadLaw, PasteLaw, Screw, Stop, Support};
    use crate::units::Rect;

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
        /// Gradient against differences of the energy, Hessian against differences of the gradient,
        /// with the plate anywhere: layers open, half closed, crushed, the stop touched or not.
        #[test]
        fn derivatives_agree_with_differences(
            height in 2.02..2.5_f64,
            right in -0.6..0.6_f64,
            up in -0.6..0.6_f64,
        ) {
            let curve = PadCurve::new(&[[0.1, 20.0], [0.25, 70.0], [0.4, 200.0]]).expect("rises");
            let problem = problem(&curve);
            let model = Model::new(&problem).expect("carried");
            let tilt = [0.05 * right, 0.05 * up];
            let plate = Plate { origin: problem.origin, separation_mm: height, tilt };
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
                    // A difference cannot be finer than the last digits of the two gradients.
                    let rounding = 1e-15 * scale / step;
                    let least = 1e-6 * size(&here.hessian.0) + rounding;
                    prop_assert!((bend - exact).abs() < least, "{bend} is not {exact}");
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
