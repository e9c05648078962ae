//! What a candidate does on paper, and what it takes at least of what the load leaves for pads.

use crate::stack::assembly::{Assembly, Cooler, Faces, Fitted, Gap, Moment, Verdict};
use crate::stack::pressure::{force_n, mean_kpa};
use crate::stack::reach::{Limits, Reach};
use crate::units::{Point, Rect};

/// The strain at which pads are compared where no die says how wide gaps are: the middle of what is
/// aimed at.
const USUAL_STRAIN: f64 = 0.2;

/// Room for rounding in a balance of forces, as a share of the load.
const ROUNDING: f64 = 1e-6;

/// One candidate of a zone that might do.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    /// Its position in the zone's list.
    pub(super) index: usize,
    /// Its greatest drop, K, on paper; zero where no heat is known.
    pub(super) drop_k: f64,
    /// Its force, N, on paper.
    pub(super) force_n: f64,
    /// What it takes of each budget at least.
    pub(super) costs: Costs,
}

/// What the pads together may not exceed wherever the cooler lies while every die is pressed on: force,
/// N, and its moments about the four edges of where the dies can be pressed, N·mm.
///
/// What the load leaves over is for the dies. Its moments about an edge of the area in which their force
/// acts is not negative, whatever that force is: so `Σ f·(x − edge) ≤ load·(x_load − edge)`, and so on
/// round the area. Each sum takes its least term by term, and zones that are still open their least
/// candidate: a bound from below.
pub(super) type Costs = [f64; 5];

/// Costs of nothing.
pub(super) const FREE: Costs = [0.0; 5];

/// A zone whose pads are chosen.
#[derive(Clone, Debug)]
pub(super) struct Slot {
    pub(super) zone: usize,
    /// Whether its pads push the cooler.
    pub(super) coupled: bool,
    /// By rising force, then in order.
    pub(super) entries: Vec<Entry>,
}

impl Slot {
    pub(super) fn new(
        assembly: &Assembly,
        zone: usize,
        candidates: &[Fitted<'_>],
        reach: Option<&Reach>,
    ) -> Self {
        let gap = &assembly.zones[zone];
        let entries = candidates.iter().enumerate();
        let mut entries: Vec<Entry> = entries
            .filter_map(|(index, pad)| entry(assembly, gap, index, pad, reach))
            .collect();
        let known = |entry: &Entry| entry.drop_k.is_finite();
        if !entries.iter().any(known) {
            for entry in &mut entries {
                entry.drop_k = 0.0;
            }
        }
        entries.sort_by(|one, other| {
            let lighter = one.force_n.total_cmp(&other.force_n);
            lighter.then(one.index.cmp(&other.index))
        });
        Self {
            zone,
            coupled: assembly.level_gap_mm(gap).is_none(),
            entries,
        }
    }

    /// Returns the entry in the middle of the forces.
    pub(super) fn middle(&self) -> Entry {
        self.entries[self.entries.len() / 2]
    }
}

/// Returns what a candidate does on paper, unless it cannot do wherever the cooler lies.
fn entry(
    assembly: &Assembly,
    gap: &Gap,
    index: usize,
    pad: &Fitted<'_>,
    reach: Option<&Reach>,
) -> Option<Entry> {
    let law = pad.law(Moment::Assembly).ok()?;
    let (mm, material) = (pad.thickness_mm, pad.material);
    if let Some(gap_mm) = assembly.level_gap_mm(gap) {
        let level = assembly.level(gap, pad, gap_mm, Moment::Assembly).ok()?;
        if level.verdict >= Verdict::Floating {
            return None;
        }
    } else if let Some(reach) = reach {
        let limits = Limits::of(&assembly.thresholds, material);
        let fits = reach.thicknesses(gap, &limits)?;
        if mm < fits.low_mm || fits.high_mm < mm {
            return None;
        }
    }
    let gap_mm = assembly
        .paper_gap_mm(gap)
        .unwrap_or(mm * (1.0 - USUAL_STRAIN));
    let drop = |piece: &Rect| match gap.heat_w {
        None => 0.0,
        heat_w => material
            .drop_k(heat_w, piece, gap_mm)
            .unwrap_or(f64::INFINITY),
    };
    let force_n = |piece: &Rect| force_n(law.at(gap_mm).pressure_kpa, piece.area());
    Some(Entry {
        index,
        drop_k: gap.pieces.iter().map(drop).fold(0.0, f64::max),
        force_n: gap.pieces.iter().map(force_n).sum(),
        costs: costs(assembly, gap, pad, reach)?,
    })
}

/// Returns what a candidate takes of each budget at least.
fn costs(assembly: &Assembly, gap: &Gap, pad: &Fitted<'_>, reach: Option<&Reach>) -> Option<Costs> {
    let area = reach.and_then(Reach::pressed);
    let (Some(reach), Some(area), Faces::OnCooler { .. }) = (reach, area, gap.faces) else {
        return Some(FREE);
    };
    let law = pad.law(Moment::Assembly).ok()?;
    let crushed = Limits::of(&assembly.thresholds, pad.material).crushed();
    let tightest_mm = pad.thickness_mm * (1.0 - crushed);
    let mut costs = FREE;
    for piece in &gap.pieces {
        let gaps = reach.corner_gaps(gap, piece)?;
        let force_n = |gap_mm| force_n(law.at(gap_mm).pressure_kpa, piece.area());
        let least_n = force_n(gaps.high_mm);
        let most_n = force_n(gaps.low_mm.max(tightest_mm)).max(least_n);
        // A lever is the least within the piece: where on it the force acts is not known.
        let levers = [
            1.0,
            piece.x - area.x,
            area.right() - piece.right(),
            piece.y - area.y,
            area.top() - piece.top(),
        ];
        for (cost, lever) in costs.iter_mut().zip(levers) {
            *cost += lever * if lever < 0.0 { most_n } else { least_n };
        }
    }
    Some(costs)
}

/// Returns what pads may take: the load's force, less the least of each die, and its moments.
pub(super) fn budget(assembly: &Assembly, reach: Option<&Reach>) -> Costs {
    let mut budget = [f64::INFINITY; 5];
    let Some(cooler @ Cooler::Drawn { screws, stops, .. }) = &assembly.cooler else {
        return budget;
    };
    let load_n = cooler.load_n();
    let dies_n = force_n(assembly.thresholds.least_die_kpa, assembly.dies_mm2());
    budget[0] = load_n * (1.0 + ROUNDING) - dies_n;
    // A standoff may push anywhere.
    if let (Some(area), true) = (reach.and_then(Reach::pressed), stops.is_empty()) {
        let moment = |lever: &dyn Fn(Point) -> f64| -> f64 {
            let moments = screws.iter().map(|screw| screw.force_n * lever(screw.at));
            let slack: f64 = load_n * (area.width + area.height) * ROUNDING;
            moments.sum::<f64>() + slack
        };
        budget[1] = moment(&|at| at.x - area.x);
        budget[2] = moment(&|at| area.right() - at.x);
        budget[3] = moment(&|at| at.y - area.y);
        budget[4] = moment(&|at| area.top() - at.y);
    }
    budget
}

impl Assembly {
    /// Returns the gap of a zone with the cooler level on its dies, its paste thinned by the whole load,
    /// mm; nothing where no die says.
    fn paper_gap_mm(&self, zone: &Gap) -> Option<f64> {
        if let Some(gap_mm) = self.level_gap_mm(zone) {
            return Some(gap_mm);
        }
        let (Faces::OnCooler { near_mm, recess_mm }, Some(cooler @ Cooler::Drawn { .. })) =
            (zone.faces, &self.cooler)
        else {
            return None;
        };
        let pressed_kpa = mean_kpa(cooler.load_n(), self.dies_mm2());
        let bond_mm = self.paste.law.bond_line_mm(pressed_kpa);
        let heights = self.dies.iter().map(|die| die.height_mm);
        let highest_mm = heights.max_by(f64::total_cmp)?;
        Some(highest_mm + bond_mm - near_mm + recess_mm)
    }
}
