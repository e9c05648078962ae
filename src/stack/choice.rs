//! Which pads to take from a stock: the joint choice over all zones.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use super::assembly::{Assembly, Cooler, DieVerdict, Faces, Fitted, Gap, Moment, Seated, Verdict};
use super::reach::{Limits, Reach};
use super::seating::Plate;
use super::window::padded;
use crate::units::Rect;

/// Kilopascals of a newton on a square millimetre.
const KPA_PER_N_MM2: f64 = 1000.0;

/// The strain at which pads are compared where no die says how wide gaps are: the middle of what is
/// aimed at.
const USUAL_STRAIN: f64 = 0.2;

/// Seatings before the search gives up on a proof; a third of a second.
const MOST_SEATINGS: usize = 20_000;

/// Pieces seated before it gives up: a board of thousands gets fewer seatings.
const MOST_PIECES: usize = 1_000_000;

/// Assignments looked at for each seating that is allowed; most are passed over without one.
const LOOKS_PER_SEATING: usize = 20;

/// Room for rounding in a balance of forces, as a share of the load.
const ROUNDING: f64 = 1e-6;

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
    /// total force, from a heap; so the first assignment that holds is the best, and proven to be. An
    /// assignment whose pads carry more than the load leaves for the dies wherever the cooler lies is
    /// passed over unseated.
    ///
    /// # Limits
    /// Eight zones of twenty candidates are proven where the best holds and few of those that look
    /// better do not, which is the usual case; some 20,000 seatings are spent. Beyond that, `proven` is
    /// false and the answer is the best of a walk, one zone at a time.
    pub fn choose(&self, candidates: &[Vec<Fitted<'_>>], worst: DieVerdict) -> Choice {
        let mut search = Search::new(self, candidates, worst);
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
            Ending::GivenUp => (search.walk(), false),
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
        let bond_mm = self.paste.law.bond_line_mm(load_n * KPA_PER_N_MM2 / area);
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
    /// The least it pushes the cooler with, N, wherever the dies let that lie.
    least_n: f64,
}

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
    /// What the pads may push with, N, for every die to get its least.
    capacity_n: f64,
    near: Option<Plate>,
    seatings: usize,
    most_seatings: usize,
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
            capacity_n: capacity_n(assembly),
            near: None,
            seatings: 0,
            most_seatings: MOST_SEATINGS.min(MOST_PIECES / pieces.max(1)),
        }
    }

    /// Goes through the assignments best first, until one holds.
    fn best_first(&mut self) -> Ending {
        for (number, level_k) in self.levels().into_iter().enumerate() {
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
    fn parts(&self, level_k: f64, lowest: bool) -> Vec<Vec<Vec<Entry>>> {
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
            return vec![part.collect()];
        }
        let firsts = (0..self.slots.len()).filter(|&first| self.slots[first].coupled);
        let part = |first: usize| -> Vec<Vec<Entry>> {
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
            entries.collect()
        };
        firsts.map(part).collect()
    }

    /// Goes through the assignments of some parts by rising force.
    fn through(&mut self, parts: &[Vec<Vec<Entry>>]) -> Ending {
        let mut heap = BinaryHeap::new();
        for (part, lists) in parts.iter().enumerate() {
            let least_n: f64 = lists.iter().map(|list| least(list)).sum();
            if lists.iter().all(|list| !list.is_empty()) && least_n <= self.capacity_n {
                heap.push(Reverse(Node::new(part, lists, vec![0; lists.len()], 0)));
            }
        }
        let mut looks = 0;
        while let Some(Reverse(node)) = heap.pop() {
            let lists = &parts[node.part];
            looks += 1;
            if looks > self.most_seatings.saturating_mul(LOOKS_PER_SEATING) {
                return Ending::GivenUp;
            }
            let steps = node.ranks.iter().zip(lists);
            let least_n: f64 = steps.map(|(&rank, list)| list[rank].least_n).sum();
            if least_n <= self.capacity_n {
                if self.seatings >= self.most_seatings {
                    return Ending::GivenUp;
                }
                if let Some(seated) = self.seat(&node.order) {
                    return Ending::Found(node.order, seated);
                }
            }
            for changed in node.changed..lists.len() {
                if node.ranks[changed] + 1 < lists[changed].len() {
                    let mut ranks = node.ranks.clone();
                    ranks[changed] += 1;
                    heap.push(Reverse(Node::new(node.part, lists, ranks, changed)));
                }
            }
        }
        Ending::Refuted
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

    /// Tries one zone after the other, first for fewer troubles, then for a better assignment.
    fn walk(&mut self) -> Option<(Vec<usize>, Seated)> {
        let mut here: Vec<usize> = self.slots.iter().map(|slot| slot.middle().index).collect();
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
    let force_n =
        |piece: &Rect, gap_mm: f64| law.at(gap_mm).pressure_kpa * piece.area() / KPA_PER_N_MM2;
    let least_n = |piece: &Rect| match reach {
        // Nowhere wider than at its widest corner.
        Some(reach) => force_n(piece, reach.widest_mm(gap, piece)),
        None => 0.0,
    };
    Some(Entry {
        index,
        drop_k: gap.pieces.iter().map(drop).fold(0.0, f64::max),
        force_n: gap.pieces.iter().map(|piece| force_n(piece, gap_mm)).sum(),
        least_n: gap.pieces.iter().map(least_n).sum(),
    })
}

/// Returns what pads may push a drawn cooler with for every die to get its least pressure, N.
fn capacity_n(assembly: &Assembly) -> f64 {
    let Some(Cooler::Drawn { screws, .. }) = &assembly.cooler else {
        return f64::INFINITY;
    };
    let load_n: f64 = screws.iter().map(|screw| screw.force_n).sum();
    let area: f64 = assembly.dies.iter().map(|die| die.place.area()).sum();
    let dies_n = assembly.thresholds.least_die_kpa * area / KPA_PER_N_MM2;
    load_n * (1.0 + ROUNDING) - dies_n
}

fn least(entries: &[Entry]) -> f64 {
    let least = entries.iter().map(|entry| entry.least_n);
    least.fold(f64::INFINITY, f64::min)
}

/// An assignment on its way to be looked at: the least of the order is the best.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Node {
    force_n: Key,
    /// The candidates, by their positions in the zones' lists.
    order: Vec<usize>,
    part: usize,
    /// The same, by their positions in the part's lists.
    ranks: Vec<usize>,
    /// The zone that was changed last: later ones alone are changed next, so that each assignment is
    /// come by once.
    changed: usize,
}

impl Node {
    fn new(part: usize, lists: &[Vec<Entry>], ranks: Vec<usize>, changed: usize) -> Self {
        let entries = || ranks.iter().zip(lists).map(|(&rank, list)| list[rank]);
        Self {
            force_n: Key(entries().map(|entry| entry.force_n).sum()),
            order: entries().map(|entry| entry.index).collect(),
            part,
            changed,
            ranks,
        }
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
