//! Which pads to take from a stock: the joint choice over all zones.

mod assignment;
mod candidate;

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::assembly::{Assembly, DieVerdict, Faces, Fitted, Moment, Seated};
use super::reach::Reach;
use super::seating::Plate;
use super::window::padded;
use assignment::{Key, Node, Part};
use candidate::{Costs, Entry, Slot, budget};

/// Seatings before the search gives up on a proof, and again in a walk.
const MOST_SEATINGS: usize = 20_000;

/// Pieces seated before it gives up: a board of thousands gets fewer seatings.
const MOST_PIECES: usize = 1_000_000;

/// Assignments looked at for each seating that is allowed; most are passed over without one.
const LOOKS_PER_SEATING: usize = 20;

/// Candidates that are copied in the time of one such look.
const COPIES_PER_LOOK: usize = 8;

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
