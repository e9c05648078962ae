//! Which of a stock's pads to fit on a board.

use schemars::JsonSchema;
use serde::Serialize;

use super::assembly::{DieVerdict, Fitted, Verdict, ZoneSeated};
use super::choice::Choice;
use super::fit::{Fit, TriedPad, ZoneFit};
use super::shelf::{Offer, Shelf};
use crate::record::Pad;

/// The pads that a stock offers for a board, chosen together.
#[derive(Clone, Debug)]
pub struct Chosen<'a> {
    /// The pad of every zone whose gap is known; nothing where no choice was found that satisfies every
    /// condition.
    pub pads: Option<Vec<TriedPad<'a>>>,
    /// The worst that was allowed a die.
    pub die: DieVerdict,
    /// The worst that was allowed a pad.
    pub pad: Verdict,
    /// Whether it is proven that there is no better choice, or none at all.
    pub proven: bool,
    /// The zones for which no pad of the stock can do, by position among the fit's.
    pub blocked: Vec<usize>,
    /// The greatest temperature drop with them, K, where known.
    pub drop_k: Option<f64>,
}

/// The same as plain data.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitChoice {
    /// Whether one was found that satisfies every condition.
    pub found: bool,
    /// Whether it is proven that there is no better one, or none at all.
    pub proven: bool,
    /// The worst that was allowed a die; null where the cooler seats on none.
    pub die: Option<DieVerdict>,
    /// The worst that was allowed a chosen pad.
    pub pad: Verdict,
    /// The greatest temperature drop with it, K, where known.
    pub drop_k: Option<f64>,
    /// The zones for which no pad of the stock can do.
    pub blocked: Vec<String>,
}

impl Chosen<'_> {
    /// Returns it as plain data.
    pub fn facts(&self, fit: &Fit<'_>) -> FitChoice {
        let blocked = self.blocked.iter();
        FitChoice {
            found: self.pads.is_some(),
            proven: self.proven,
            die: (!fit.die_parts.is_empty()).then_some(self.die),
            pad: self.pad,
            drop_k: self.drop_k,
            blocked: blocked.map(|&zone| fit.zones[zone].id.to_owned()).collect(),
        }
    }
}

impl FitChoice {
    /// Says what was chosen, and how far that is proven, in a sentence without a full stop.
    pub fn in_words(&self) -> String {
        if !self.found {
            return self.why_none();
        }
        let even = match self.die {
            Some(DieVerdict::Seated) => "every die even, ",
            Some(_) => "every die pressed on, if not evenly, ",
            None => "",
        };
        let good = if self.pad == Verdict::Good {
            "every chosen pad good"
        } else {
            "no chosen pad floating or crushed"
        };
        let drop = self.drop_k.map_or_else(String::new, |drop_k| {
            format!(", the greatest drop {drop_k:.1} K")
        });
        let proven = if self.proven {
            "nothing in the stock does better, which is proven"
        } else {
            "the stock may hold better: the search was cut short"
        };
        format!("{even}{good}{drop}; {proven}")
    }

    fn why_none(&self) -> String {
        let blocked: Vec<String> = self.blocked.iter().map(|id| format!("`{id}`")).collect();
        match (&blocked[..], self.proven) {
            ([], true) => "no choice from the stock lets the cooler press on every die".to_owned(),
            ([], false) => {
                "no choice from the stock was found; that there is none is not proven".to_owned()
            }
            (blocked, _) => format!("no pad of the stock fits {}", blocked.join(", ")),
        }
    }
}

/// What is asked of a choice, the most first.
const ASKED: [(DieVerdict, Verdict); 4] = [
    (DieVerdict::Seated, Verdict::Good),
    (DieVerdict::Seated, Verdict::Hard),
    (DieVerdict::Uneven, Verdict::Good),
    (DieVerdict::Uneven, Verdict::Hard),
];

impl<'a> Fit<'a> {
    /// Chooses the pads of every zone from a stock: with even dies if that can be had, or else with every
    /// die pressed on; in either case with pads that are neither light nor hard if that can be had, or else
    /// with none floating or crushed. Of all such choices it is the one with the least greatest temperature
    /// drop. Zones in `held`, by position in the record, keep what is fitted.
    ///
    /// See [`Assembly::choose`](super::Assembly::choose) for how, and how far it is proven.
    pub fn choose(&self, stock: &'a [Pad], held: &[usize]) -> Chosen<'a> {
        let mut chosen = self.choose_with(stock, held, ASKED[0]);
        for asked in &ASKED[1..] {
            if chosen.pads.is_some() {
                break;
            }
            let next = self.choose_with(stock, held, *asked);
            chosen = Chosen {
                proven: chosen.proven && next.proven,
                ..next
            };
        }
        chosen
    }

    /// Tells whether it is proven that no choice from a stock holds, within so many seatings: the zones for
    /// which no pad can do, by position among the fit's, or none where the zones exclude each other.
    pub fn refuted(&self, stock: &[Pad], seatings: usize) -> Option<Vec<usize>> {
        let shelf = Shelf::of(stock);
        let offers: Vec<Fitted<'_>> = shelf.offers().map(|offer| offer.fitted).collect();
        let candidates = vec![offers; self.zones.len()];
        let choice = self
            .assembly
            .choose_within(&candidates, DieVerdict::Uneven, seatings);
        (choice.proven && choice.picks.is_none()).then_some(choice.blocked)
    }

    fn choose_with(
        &self,
        stock: &'a [Pad],
        held: &[usize],
        (die, pad): (DieVerdict, Verdict),
    ) -> Chosen<'a> {
        let (mut assembly, mut shelf) = (self.assembly.clone(), Shelf::of(stock));
        if pad == Verdict::Good {
            // What is light counts as floating, and what is hard as crushed.
            let thresholds = &mut assembly.thresholds;
            thresholds.floating = thresholds.light;
            shelf.limit_strain(thresholds.hard);
        }
        let all: Vec<Offer<'a, '_>> = shelf.offers().collect();
        let offers: Vec<Fitted<'_>> = all.iter().map(|offer| offer.fitted).collect();
        let zones = self.zones.iter();
        let candidates: Vec<Vec<Fitted<'_>>> = zones
            .map(|zone| match zone.fitted() {
                Some(fitted) if held.contains(&zone.zone) => vec![fitted],
                _ => offers.clone(),
            })
            .collect();
        let choice = assembly.choose(&candidates, die);
        let seated = choice.seated.iter();
        let zones = seated.flat_map(|seated| seated.zones.iter().flatten());
        Chosen {
            die,
            pad,
            proven: choice.proven,
            drop_k: zones.filter_map(ZoneSeated::drop_k).max_by(f64::total_cmp),
            pads: self.picked(&choice, &all, held),
            blocked: choice.blocked,
        }
    }

    fn picked(
        &self,
        choice: &Choice,
        offers: &[Offer<'a, '_>],
        held: &[usize],
    ) -> Option<Vec<TriedPad<'a>>> {
        let picks = self.zones.iter().zip(choice.picks.as_ref()?);
        let picks = picks.filter(|(zone, _)| !held.contains(&zone.zone));
        let pick = |(zone, pick): (&ZoneFit<'a>, &Option<usize>)| {
            let offer = &offers[(*pick)?];
            Some(TriedPad {
                zone: zone.zone,
                thickness_mm: offer.fitted.thickness_mm,
                pad: Some(offer.pad),
            })
        };
        Some(picks.filter_map(pick).collect())
    }
}
