//! Which pads to take from a stock: the joint choice over all zones.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use super::assembly::{Assembly, Cooler, DieVerdict, Faces, Fitted, Gap, Moment, Seated, Verdict};
use super::pressure::{force_n, mean_kpa};
use super::reach::{Limits, Reach};
use super::seating::Plate;
use super::window::padded;
use crate::units::{Point, Rect};

/// The strain at which pads are compared where no die says how wide gaps are: the middle of what is
/// aimed at.
const USUAL_STRAIN: f64 = 0.2;

/// Seatings before the search gives up on a proof, and again in a walk.
const MOST_SEATINGS: usize = 20_000;

/// Pieces seated before it gives up: a board of thousands gets fewer seatings.
const MOST_PIECES: usize = 1_000_000;

/// Assignments looked at for each seating that is allowed; most are passed over without one.
const LOOKS_PER_SEATING: usize = 20;

/// Candidates that are copied in the time of one such look.
const COPIES_PER_LOOK: usize = 8;

/// Room for rounding in a balance of forces, as a share of the load.
const ROUNDING: f64 = 1e-6;

/// Zones of one cooler for which a proof is tried at all; a real one has a dozen at most.
const MOST_ZONES: usize = 64;

/// Rounds of trying one zone after the other, where the search has given up.
const ROUNDS: usize = 3;

/// The pads that a stock offers for every zone, chosen together.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The candidate for each zone, by position in its list; nothing where the zone's gap is not known.
    /// Nothing at all where no assignment was found that satisfies every condition.
    pub picks: Option<Vec<Option<usize>>>,
    /// How everything lies with them, just screwed together.
    pub seated: Option<Seated>,
    /// Whether it is proven that there is no better one, or none at all; otherwise the search was cut
    /// short, and `picks` is the best that trying one zone after the other has found.
    pub proven: bool,
    /// The zones for which no candidate can do, wherever the cooler lies.
    pub blocked: Vec<usize>,
    /// How many assignments were seated.
    pub seatings: usize,
}

impl Assembly {
    /// Chooses one candidate for each zone so that, just screwed together, no pad floats or is crushed
    /// and no die is worse than `worst`; of all such assignments the one with the least greatest
    /// temperature drop, of those the one with the least total force, then the first in order.
    ///
    /// Conditions are put to the cooler as it comes to rest, tilt and all. Drops and forces are compared
    /// as they are with the cooler level on its dies, its paste thinned by the whole load: the gaps at
    /// rest differ from that by hundredths of a millimetre, by which nobody should choose a material. At
    /// that place a zone's drop depends on its own candidate alone, and only their conductivities set
    /// candidates apart. A conductivity that is not known counts as the worst where another's is known.
    ///
    /// # Method
    /// Candidates that float or are crushed wherever the cooler can lie while every die is pressed on
    /// are dropped first. The rest is gone through best first: by rising greatest drop, at each by rising
    /// total force, zone after zone from a heap; so the first assignment that holds is the best, and
    /// proven to be. What cannot balance is passed over unseated, with all that begins like it: pads that,
    /// wherever the cooler lies, push more than the load leaves for the dies, or further to one side.
    ///
    /// # Limits
    /// Of random boards of eight zones with 24 candidates each, uneven in every way, nearly all are
    /// proven for [`DieVerdict::Seated`], and about half for [`DieVerdict::Uneven`], where the cooler may
    /// tilt much further: so ask for even dies first. Some 20,000 seatings are spent on a proof. Beyond
    /// that `proven` is false, and the answer is the best of a walk, one zone at a time.
    pub fn choose(&self, candidates: &[Vec<Fitted<'_>>], worst: DieVerdict) -> Choice {
        self.choose_within(candidates, worst, MOST_SEATINGS)
    }

    /// Does the same, and gives up on a proof after so many seatings.
    pub(super) fn choose_within(
        &self,
        candidates: &[Vec<Fitted<'_>>],
        worst: DieVerdict,
        seatings: usize,
    ) -> Choice {
        let mut search = Search::new(self, candidates, worst);
        search.most_seatings = search.most_seatings.min(seatings);
        let none = |search: &Search<'_>, proven| Choice {
            picks: None,
            seated: None,
            proven,
            blocked: search.blocked.clone(),
            seatings: search.seatings,
        };
        if !search.blocked.is_empty() {
            return none(&search, true);
        }
        let (found, proven) = match search.best_first() {
            Ending::Found(picks, seated) => (Some((picks, seated)), true),
            Ending::Refuted => (None, true),
            Ending::GivenUp => (search.without_proof(), false),
        };
        match found {
            None => none(&search, proven),
            Some((picks, seated)) => Choice {
                picks: Some(search.by_zone(&picks)),
                seated: Some(seated),
                ..none(&search, proven)
            },
        }
    }

    /// Returns the gap of a zone with the cooler level on its dies, its paste thinned by the whole load,
    /// mm; nothing where no die says.
    fn paper_gap_mm(&self, zone: &Gap) -> Option<f64> {
        if let Some(gap_mm) = self.level_gap_mm(zone) {
            return Some(gap_mm);
        }
        let (Faces::OnCooler { near_mm, recess_mm }, Some(Cooler::Drawn { screws, .. })) =
            (zone.faces, &self.cooler)
        else {
            return None;
        };
        let load_n: f64 = screws.iter().map(|screw| screw.force_n).sum();
        let area: f64 = self.dies.iter().map(|die| die.place.area()).sum();
        let bond_mm = self.paste.law.bond_line_mm(mean_kpa(load_n, area));
        let heights = self.dies.iter().map(|die| die.height_mm);
        let highest_mm = heights.max_by(f64::total_cmp)?;
        Some(highest_mm + bond_mm - near_mm + recess_mm)
    }
}

/// One candidate of a zone that might do.
#[derive(Clone, Copy, Debug)]
struct Entry {
    /// Its position in the zone's list.
    index: usize,
    /// Its greatest drop, K, on paper; zero where no heat is known.
    drop_k: f64,
    /// Its force, N, on paper.
    force_n: f64,
    /// What it takes of each budget at least.
    costs: Costs,
}

/// What the pads together may not exceed wherever the cooler lies while every die is pressed on: force,
/// N, and its moments about the four edges of where the dies can be pressed, N·mm.
///
/// What the load leaves over is for the dies. Its moments about an edge of the area in which their force
/// acts is not negative, whatever that force is: so `Σ f·(x − edge) ≤ load·(x_load − edge)`, and so on
/// round the area. Each sum takes its least term by term, and zones that are still open their least
/// candidate: a bound from below.
type Costs = [f64; 5];

/// Costs of nothing.
const FREE: Costs = [0.0; 5];

/// A zone whose pads are chosen.
#[derive(Clone, Debug)]
struct Slot {
    zone: usize,
    /// Whether its pads push the cooler.
    coupled: bool,
    /// By rising force, then in order.
    entries: Vec<Entry>,
}

/// How a search ends.
enum Ending {
    Found(Vec<usize>, Seated),
    Refuted,
    GivenUp,
}

struct Search<'a> {
    assembly: &'a Assembly,
    candidates: &'a [Vec<Fitted<'a>>],
    worst: DieVerdict,
    slots: Vec<Slot>,
    blocked: Vec<usize>,
    budget: Costs,
    near: Option<Plate>,
    seatings: usize,
    most_seatings: usize,
    looks: usize,
}

impl<'a> Search<'a> {
    fn new(assembly: &'a Assembly, candidates: &'a [Vec<Fitted<'a>>], worst: DieVerdict) -> Self {
        let reach = Reach::of(assembly, worst);
        let mut slots = Vec::new();
        let mut blocked = Vec::new();
        for (zone, gap) in assembly.zones.iter().enumerate() {
            let level = assembly.level_gap_mm(gap).is_some();
            if gap.faces == Faces::Unknown || (!level && assembly.cooler.is_none()) {
                continue;
            }
            let own = candidates.get(zone).map_or(&[][..], Vec::as_slice);
            let slot = Slot::new(assembly, zone, own, reach.as_ref());
            if slot.entries.is_empty() {
                blocked.push(zone);
            }
            slots.push(slot);
        }
        let pieces: usize = assembly.zones.iter().map(|zone| zone.pieces.len()).sum();
        Self {
            assembly,
            candidates,
            worst,
            slots,
            blocked,
            budget: budget(assembly, reach.as_ref()),
            near: None,
            seatings: 0,
            most_seatings: MOST_SEATINGS.min(MOST_PIECES / pieces.max(1)),
            looks: 0,
        }
    }

    /// Goes through the assignments best first, until one holds.
    fn best_first(&mut self) -> Ending {
        if self.slots.len() > MOST_ZONES {
            return Ending::GivenUp;
        }
        let entries: usize = self.slots.iter().map(|slot| slot.entries.len()).sum();
        for (number, level_k) in self.levels().into_iter().enumerate() {
            // Parting costs time as well.
            self.looks += self.slots.len() * entries / COPIES_PER_LOOK;
            if self.spent() {
                return Ending::GivenUp;
            }
            let parts = self.parts(level_k, number == 0);
            match self.through(&parts) {
                Ending::Refuted => {}
                ending => return ending,
            }
        }
        Ending::Refuted
    }

    /// Returns the greatest drops that an assignment can have, rising, as far as they come from zones
    /// that push the cooler: only those can make a difference to what holds.
    fn levels(&self) -> Vec<f64> {
        let least = |slot: &Slot| {
            let drops = slot.entries.iter().map(|entry| entry.drop_k);
            drops.min_by(f64::total_cmp).unwrap_or(0.0)
        };
        let floor_k = self.slots.iter().map(least).fold(0.0, f64::max);
        let coupled = self.slots.iter().filter(|slot| slot.coupled);
        let drops = coupled.flat_map(|slot| slot.entries.iter().map(|entry| entry.drop_k));
        let mut levels: Vec<f64> = drops.filter(|&drop_k| drop_k > floor_k).collect();
        levels.push(floor_k);
        levels.sort_by(f64::total_cmp);
        levels.dedup();
        levels
    }

    /// Parts the assignments with one greatest drop by the first zone that has it, so that none is gone
    /// through twice.
    fn parts(&self, level_k: f64, lowest: bool) -> Vec<Part> {
        let within = |slot: &Slot, keep: &dyn Fn(f64) -> bool| -> Vec<Entry> {
            let entries = slot.entries.iter().copied();
            let mut kept = entries.filter(|entry| keep(entry.drop_k));
            if slot.coupled {
                kept.collect()
            } else {
                // Whatever lies between fixed faces, the least force of those is best.
                kept.next().into_iter().collect()
            }
        };
        if lowest {
            let part = self
                .slots
                .iter()
                .map(|slot| within(slot, &|drop| drop <= level_k));
            return vec![Part::of(part.collect())];
        }
        let firsts = (0..self.slots.len()).filter(|&first| self.slots[first].coupled);
        let part = |first: usize| {
            let slots = self.slots.iter().enumerate();
            let entries = slots.map(|(number, slot)| {
                if number == first {
                    within(slot, &|drop| drop.total_cmp(&level_k).is_eq())
                } else if number < first && slot.coupled {
                    within(slot, &|drop| drop < level_k)
                } else {
                    within(slot, &|drop| drop <= level_k)
                }
            });
            Part::of(entries.collect())
        };
        firsts.map(part).collect()
    }

    /// Goes through the assignments of some parts by rising force, zone after zone.
    fn through(&mut self, parts: &[Part]) -> Ending {
        let mut heap = BinaryHeap::new();
        for (number, part) in parts.iter().enumerate() {
            if part.lists.iter().all(|list| !list.is_empty()) {
                heap.push(Reverse(Node::root(number, part)));
            }
        }
        while let Some(Reverse(node)) = heap.pop() {
            let part = &parts[node.part];
            self.looks += 1;
            if self.spent() {
                return Ending::GivenUp;
            }
            heap.extend(node.sibling(part).map(Reverse));
            if !self.affordable(&node.costs(part)) {
                continue;
            }
            if node.order.len() < part.lists.len() {
                heap.push(Reverse(node.child(part)));
                continue;
            }
            if let Some(seated) = self.seat(&node.order) {
                return Ending::Found(node.order, seated);
            }
        }
        Ending::Refuted
    }

    fn spent(&self) -> bool {
        self.seatings >= self.most_seatings
            || self.looks >= self.most_seatings.saturating_mul(LOOKS_PER_SEATING)
    }

    fn affordable(&self, costs: &Costs) -> bool {
        let mut each = costs.iter().zip(&self.budget);
        each.all(|(cost, budget)| cost <= budget)
    }

    /// Seats an assignment; returns how everything lies if every condition holds.
    fn seat(&mut self, order: &[usize]) -> Option<Seated> {
        let seated = self.lay(order)?;
        self.holds(&seated).then_some(seated)
    }

    fn lay(&mut self, order: &[usize]) -> Option<Seated> {
        self.seatings += 1;
        let mut fitted = padded(&[], self.assembly.zones.len());
        for (slot, &index) in self.slots.iter().zip(order) {
            fitted[slot.zone] = Some(self.candidates[slot.zone][index]);
        }
        let seated = self
            .assembly
            .seat_near(&fitted, Moment::Assembly, self.near.as_ref())
            .ok()?;
        self.near = seated.plate;
        Some(seated)
    }

    fn holds(&self, seated: &Seated) -> bool {
        seated.holds() && seated.dies.iter().all(|die| die.verdict <= self.worst)
    }

    /// Walks from the best assignment with even dies, which is easier to find, or else from the middle.
    fn without_proof(&mut self) -> Option<(Vec<usize>, Seated)> {
        let mut start: Vec<usize> = self.slots.iter().map(|slot| slot.middle().index).collect();
        if self.worst > DieVerdict::Seated {
            let mut even = Search::new(self.assembly, self.candidates, DieVerdict::Seated);
            if even.blocked.is_empty()
                && let Ending::Found(picks, _) = even.best_first()
            {
                start = picks;
            }
            self.seatings += even.seatings;
        }
        self.walk(start)
    }

    /// Tries one zone after the other, first for fewer troubles, then for a better assignment.
    fn walk(&mut self, mut here: Vec<usize>) -> Option<(Vec<usize>, Seated)> {
        let most_seatings = self.seatings + self.most_seatings;
        let mut best = self.rank(&here);
        for _ in 0..ROUNDS {
            let before = here.clone();
            let slots = self.slots.iter().enumerate();
            let steps: Vec<(usize, usize)> = slots
                .flat_map(|(number, slot)| {
                    slot.entries.iter().map(move |entry| (number, entry.index))
                })
                .collect();
            for (number, index) in steps {
                if self.seatings >= most_seatings {
                    break;
                }
                let mut there = here.clone();
                there[number] = index;
                let rank = self.rank(&there);
                if rank < best {
                    (here, best) = (there, rank);
                }
            }
            if here == before {
                break;
            }
        }
        let seated = self.seat(&here)?;
        Some((here, seated))
    }

    /// Ranks an assignment: by what fails, by drop, by force.
    fn rank(&mut self, order: &[usize]) -> (usize, Key, Key) {
        let (mut drop_k, mut force_n) = (0.0_f64, 0.0);
        for (slot, &index) in self.slots.iter().zip(order) {
            if let Some(entry) = slot.entries.iter().find(|entry| entry.index == index) {
                drop_k = drop_k.max(entry.drop_k);
                force_n += entry.force_n;
            }
        }
        let failing = match self.lay(order) {
            None => usize::MAX,
            Some(seated) => {
                let uneven = seated.dies.iter().filter(|die| die.verdict > self.worst);
                seated.troubles().len() + uneven.count()
            }
        };
        (failing, Key(drop_k), Key(force_n))
    }

    fn by_zone(&self, order: &[usize]) -> Vec<Option<usize>> {
        let mut picks = vec![None; self.assembly.zones.len()];
        for (slot, &index) in self.slots.iter().zip(order) {
            picks[slot.zone] = Some(index);
        }
        picks
    }
}

impl Slot {
    fn new(
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
    fn middle(&self) -> Entry {
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
fn budget(assembly: &Assembly, reach: Option<&Reach>) -> Costs {
    let mut budget = [f64::INFINITY; 5];
    let Some(Cooler::Drawn { screws, stops, .. }) = &assembly.cooler else {
        return budget;
    };
    let load_n: f64 = screws.iter().map(|screw| screw.force_n).sum();
    let area: f64 = assembly.dies.iter().map(|die| die.place.area()).sum();
    let dies_n = force_n(assembly.thresholds.least_die_kpa, area);
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

/// Some of the assignments: a list of candidates for each zone.
struct Part {
    lists: Vec<Vec<Entry>>,
    /// The least costs of the zones from each on.
    open: Vec<Costs>,
}

impl Part {
    fn of(lists: Vec<Vec<Entry>>) -> Self {
        let mut open = vec![FREE; lists.len() + 1];
        for (number, list) in lists.iter().enumerate().rev() {
            let least = |cost: usize| {
                let costs = list.iter().map(|entry| entry.costs[cost]);
                costs.fold(f64::INFINITY, f64::min)
            };
            let later = open[number + 1];
            open[number] = std::array::from_fn(|cost| later[cost] + least(cost));
        }
        Self { lists, open }
    }
}

/// An assignment on its way to be looked at, as far as zones are assigned: the least of the order is the
/// best.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Node {
    /// The force, N, with the lightest candidate in each open zone.
    force_n: Key,
    /// The candidates, by their positions in the zones' lists.
    order: Vec<usize>,
    part: usize,
    /// The same, by their positions in the part's lists.
    ranks: Vec<usize>,
}

impl Node {
    fn root(number: usize, part: &Part) -> Self {
        Self::new(number, part, Vec::new())
    }

    fn new(number: usize, part: &Part, ranks: Vec<usize>) -> Self {
        let lightest = ranks.iter().copied().chain(std::iter::repeat(0));
        let entries = part.lists.iter().zip(lightest);
        let force_n = entries.map(|(list, rank)| list[rank].force_n).sum();
        let assigned = ranks.iter().zip(&part.lists);
        Self {
            force_n: Key(force_n),
            order: assigned.map(|(&rank, list)| list[rank].index).collect(),
            part: number,
            ranks,
        }
    }

    /// Returns the same with the next candidate in the zone that was assigned last.
    fn sibling(&self, part: &Part) -> Option<Self> {
        let mut ranks = self.ranks.clone();
        let last = ranks.last_mut()?;
        *last += 1;
        let exists = *last < part.lists[ranks.len() - 1].len();
        exists.then(|| Self::new(self.part, part, ranks))
    }

    /// Returns the same with the lightest candidate in the next zone.
    fn child(&self, part: &Part) -> Self {
        let mut ranks = self.ranks.clone();
        ranks.push(0);
        Self::new(self.part, part, ranks)
    }

    fn costs(&self, part: &Part) -> Costs {
        let mut costs = part.open[self.ranks.len()];
        for (&rank, list) in self.ranks.iter().zip(&part.lists) {
            for (sum, cost) in costs.iter_mut().zip(list[rank].costs) {
                *sum += cost;
            }
        }
        costs
    }
}

/// A number in its total order.
#[derive(Clone, Copy, Debug)]
struct Key(f64);

impl Ord for Key {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl PartialOrd for Key {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Key {}
