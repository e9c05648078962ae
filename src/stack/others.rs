//! What other pads and other boards of the series would come to, as plain data.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::Yield;
use super::assembly::{DieVerdict, Faces, Verdict};
use super::fit::Fit;
use super::shelf::Shelf;
use super::substitution::Substitute;
use super::trouble::Trouble;
use crate::record::Pad;

/// What another pad of the stock would do in a zone, the other zones as fitted.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitSubstitute {
    /// Its free thickness, mm.
    pub pad_mm: f64,
    /// Its material, a key of the stock.
    pub pad: String,
    /// How the zone's pads fare; null where the cooler cannot balance.
    pub verdict: Option<Verdict>,
    /// The strain of its most squeezed piece, at the centre.
    pub strain: Option<f64>,
    /// How hard the zone's pads push together, N.
    pub force_n: Option<f64>,
    /// The greatest temperature drop of a piece, K, where it is known.
    pub drop_k: Option<f64>,
    /// How the worst die fares, where the cooler seats on one.
    pub die: Option<DieVerdict>,
    /// What fails on the whole board, in words, the gravest first.
    pub fails: Vec<String>,
}

/// The stocked thickness nearest to the fitted one that does harm.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitWrong {
    /// Its free thickness, mm.
    pub pad_mm: f64,
    /// What it does, in words.
    pub does: String,
    /// Whether that is done to a die, not only to pads.
    pub harms_die: bool,
}

/// In which fraction of sampled tolerances everything holds.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitYield {
    /// The fraction.
    pub fraction: f64,
    /// How many samples.
    pub samples: u32,
    /// What fails on the others, in words, with the fraction of all in which it does, the commonest
    /// first.
    pub fails: Vec<(String, f64)>,
    /// How far each zone's gap may be off, in the zones' order; null where its chain is not known.
    pub gaps: Vec<Option<FitSpread>>,
}

/// How far a gap may be off, plus or minus, where all its lengths are within tolerance.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub struct FitSpread {
    /// Where everything is off the same way, mm.
    pub worst_case_mm: f64,
    /// By root-sum-square, mm.
    pub root_sum_square_mm: f64,
}

impl Fit<'_> {
    /// Returns what each pad of a stock would do in a zone, by position among the fit's.
    pub fn substitutes(&self, zone: usize, stock: &[Pad]) -> Vec<FitSubstitute> {
        let shelf = Shelf::of(stock);
        let (pads, fitted): (Vec<_>, Vec<_>) = shelf
            .offers()
            .map(|offer| (&offer.pad.id, offer.fitted))
            .unzip();
        let found = self.assembly.substitutes(&self.fitted(), zone, &fitted);
        let found = pads.into_iter().zip(&found);
        found.map(|(pad, found)| self.facts(pad, found)).collect()
    }

    /// Returns the stocked thickness of a zone's material that is nearest to the fitted one and does harm.
    pub fn nearest_wrong(&self, zone: usize) -> Option<FitWrong> {
        let stocked_mm = &self.zones[zone].pad?.thickness_mm;
        let wrong = self
            .assembly
            .nearest_wrong(&self.fitted(), zone, stocked_mm)?;
        let left = match wrong.harm {
            Trouble::HeldOff { die } | Trouble::NotReached { die } => wrong.pad.dies.get(die),
            _ => None,
        };
        let left = left.map_or_else(String::new, |die| {
            format!(
                ": {:.0} N and {:.0} kPa are left for it",
                die.force_n, die.mean_kpa
            )
        });
        Some(FitWrong {
            pad_mm: wrong.pad.thickness_mm,
            does: self.in_words(wrong.harm) + &left,
            harms_die: wrong.harm.zone().is_none(),
        })
    }

    /// Returns in which fraction of a sample of the tolerances everything holds; nothing where the cooler
    /// cannot balance as it is on paper, or nothing is known that could fail.
    pub fn yields(&self) -> Option<FitYield> {
        self.yields_of(u32::MAX)
    }

    /// Does the same with a sample of so many boards at most.
    pub fn yields_of(&self, most: u32) -> Option<FitYield> {
        let known = self.assembly.zones.iter().zip(&self.zones);
        let mut known =
            known.filter(|(gap, zone)| gap.faces != Faces::Unknown && zone.pad_mm.is_some());
        if self.die_parts.is_empty() && known.next().is_none() {
            return None;
        }
        let Yield {
            fraction,
            samples,
            troubles,
            gaps,
        } = self
            .assembly
            .yields_of(most, &self.fitted(), &self.tolerances())
            .ok()?;
        let spread = |stack: super::tolerance::Stack| FitSpread {
            worst_case_mm: stack.worst_case_mm,
            root_sum_square_mm: stack.root_sum_square_mm,
        };
        Some(FitYield {
            fraction,
            samples,
            fails: self.shares(&troubles, samples),
            gaps: gaps.into_iter().map(|gap| gap.map(spread)).collect(),
        })
    }

    fn shares(&self, troubles: &BTreeMap<Trouble, u32>, samples: u32) -> Vec<(String, f64)> {
        let mut shares: Vec<(String, f64)> = troubles
            .iter()
            .map(|(&trouble, &boards)| {
                let share = f64::from(boards) / f64::from(samples);
                (self.in_words(trouble), share)
            })
            .collect();
        shares.sort_by(|(_, one), (_, other)| other.total_cmp(one));
        shares
    }

    fn facts(&self, pad: &str, found: &Substitute) -> FitSubstitute {
        let zone = found.zone.as_ref();
        let strains = zone.map(|zone| zone.pieces.iter().map(|piece| piece.strain));
        FitSubstitute {
            pad_mm: found.thickness_mm,
            pad: pad.to_owned(),
            verdict: zone.map(|zone| zone.verdict),
            strain: strains.and_then(|strains| strains.max_by(f64::total_cmp)),
            force_n: zone.map(|zone| zone.force_n),
            drop_k: found.drop_k,
            die: found.dies.iter().map(|die| die.verdict).max(),
            fails: found
                .troubles
                .iter()
                .map(|&trouble| self.in_words(trouble))
                .collect(),
        }
    }

    /// Says what fails.
    fn in_words(&self, trouble: Trouble) -> String {
        let die = |die: usize| &self.board.record.part[self.die_parts[die]].id;
        let zone = |zone: usize| self.zones[zone].id;
        match trouble {
            Trouble::Unbalanced => "the cooler cannot balance".to_owned(),
            Trouble::NotReached { die: at } => format!("the cooler does not reach `{}`", die(at)),
            Trouble::HeldOff { die: at } => format!("the cooler is held off `{}`", die(at)),
            Trouble::Crushed { zone: at } => format!("the pads at `{}` are crushed", zone(at)),
            Trouble::Floats { zone: at } => format!("the pads at `{}` float", zone(at)),
        }
    }
}
