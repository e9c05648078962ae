//! What a board's screws go through and into, as far as its record tells.

use super::engagement::{ALUMINIUM, BRASS, Ceiling, Material, PLASTIC, STEEL, ceiling};
use super::torque::USUAL_CLASS;
use super::{Strength, Thread};
use crate::book::Board;
use crate::record::{Body, Engages, FastenerKind, Fasteners, Seat};

/// A group of screws whose thread is known.
#[derive(Clone, Copy, Debug)]
pub struct Fastening {
    /// Their thread.
    pub thread: Thread,
    /// Their strength: of their class, or of the usual one.
    pub strength: &'static Strength,
    /// Whether the record gives their class.
    pub has_class: bool,
    /// What their thread engages, where the record says.
    pub material: Option<&'static Material>,
    /// How far they reach into it, mm, where the record tells.
    pub engaged_mm: Option<f64>,
}

impl Fastening {
    /// Returns what is known of a group, where it has a thread with a known profile.
    pub fn of(board: &Board, group: &Fasteners) -> Option<Self> {
        let thread = Thread::of(group.thread.as_deref()?)?;
        let class = group.class.as_deref().and_then(Strength::of);
        let usual = || Strength::of(USUAL_CLASS).expect("invariant: the usual class is listed");
        Some(Self {
            thread,
            strength: class.unwrap_or_else(usual),
            has_class: class.is_some(),
            material: group.engages.map(material),
            engaged_mm: reach_mm(board, group).filter(|reach| *reach > 0.0),
        })
    }

    /// Returns the torque that these screws and what they engage stand.
    pub fn ceiling(&self) -> Ceiling {
        ceiling(&self.thread, self.strength, self.material, self.engaged_mm)
    }
}

fn material(engages: Engages) -> &'static Material {
    match engages {
        Engages::Steel => &STEEL,
        Engages::Brass => &BRASS,
        Engages::Aluminium => &ALUMINIUM,
        Engages::Plastic => &PLASTIC,
    }
}

/// Returns how far screws reach beyond what they clamp, mm: their length less the bodies under their
/// heads and, where they hold a body on the other side, the board. A spring or a captive shoulder takes up a
/// length that no record gives, and at the edge there is no saying what lies between.
pub fn reach_mm(board: &Board, group: &Fasteners) -> Option<f64> {
    if group.kind != FastenerKind::Screw || group.sprung || group.captive {
        return None;
    }
    let side = group.from.side()?;
    let (near, far): (Vec<&Body>, Vec<&Body>) =
        held(board, group).partition(|body| body.side == side);
    let bodies: Option<f64> = near.iter().map(|body| body.thickness_mm).sum();
    let through = if far.is_empty() {
        Some(0.0)
    } else {
        board.record.board.thickness_mm
    };
    Some(group.length_mm? - bodies? - through?)
}

/// Returns how deep screws can go before they come out on the other side of the board, mm: the standoff of
/// the body they hold, and the board. None where they hold a body there, or the record is silent.
pub fn depth_mm(board: &Board, group: &Fasteners) -> Option<f64> {
    let side = group.from.side()?;
    let mut standoff = None;
    for body in held(board, group) {
        let seats = body.seats_on(Seat::Standoffs);
        let height = seats.and_then(|seats| seats.height_mm);
        if body.side != side || standoff.is_some() {
            return None;
        }
        standoff = Some(height?);
    }
    Some(standoff? + board.record.board.thickness_mm?)
}

fn held<'a>(board: &'a Board, group: &'a Fasteners) -> impl Iterator<Item = &'a Body> {
    let bodies = group.holds.iter().filter_map(|id| board.body(id));
    bodies.map(|(_, body)| body)
}
