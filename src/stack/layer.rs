use super::action::Action;
use super::frame::Frame;
use super::law::Law;
use super::seating::{Plate, Reaction, Stop, Support};
use super::slices::Wedge;
use super::symmetric::Symmetric;
use crate::units::Rect;

/// A newton is a thousand kilopascals on a square millimetre.
const NEWTON_PER_KPA_MM2: f64 = 1e-3;

/// A support, seen from the frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Layer<'a> {
    pub(super) law: Law<'a>,
    pub(super) face_mm: f64,
    pub(super) at: [f64; 2],
    pub(super) half: [f64; 2],
    pub(super) newton_per_kpa: f64,
}

/// A stop, seen from the frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Peg {
    pub(super) at: [f64; 2],
    pub(super) stop: Stop,
}

impl<'a> Layer<'a> {
    pub(super) fn new(support: &Support<'a>, frame: &Frame) -> Self {
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

    pub(super) fn wedge(&self, [height, a, b]: [f64; 3]) -> Wedge {
        let [x, y] = self.at;
        Wedge {
            half: self.half,
            centre: height + a * x + b * y - self.face_mm,
            tilt: [a, b],
        }
    }

    /// Tells what the layer does where it is known how hard it pushes.
    pub(super) fn reaction(&self, unknowns: [f64; 3], force_n: f64) -> Reaction {
        let wedge = self.wedge(unknowns);
        let [least_gap_mm, greatest_gap_mm] = wedge.gaps();
        let area = 4.0 * self.half[0] * self.half[1];
        Reaction {
            force_n,
            mean_kpa: force_n / (self.newton_per_kpa * area),
            gap_mm: wedge.centre,
            least_gap_mm,
            greatest_gap_mm,
            strain: self.law.strain_at(wedge.centre),
        }
    }

    /// Returns how far the plate can go along a step before a corner of this layer is closed.
    pub(super) fn room(&self, unknowns: [f64; 3], step: [f64; 3]) -> f64 {
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

impl Peg {
    pub(super) fn action(&self, [height, a, b]: [f64; 3]) -> Action {
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
    let reaction = |support| {
        let layer = Layer::new(support, &frame);
        let [push, ..] = Action::of(&layer.law, &layer.wedge(unknowns)).push;
        layer.reaction(unknowns, layer.newton_per_kpa * push)
    };
    supports.iter().map(reaction).collect()
}
