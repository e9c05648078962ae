//! What other pads would do in a zone, and the nearest that would do harm.

use rayon::prelude::*;

use super::assembly::{Assembly, DieSeated, Fitted, Moment, ZoneSeated};
use super::seating::Plate;
use super::shelf::SAME_THICKNESS_MM;
use super::trouble::Trouble;
use super::window::padded;

/// What one other pad would do in a zone, just screwed together, with the other zones as fitted.
#[derive(Clone, Debug, PartialEq)]
pub struct Substitute {
    /// Its free thickness, mm.
    pub thickness_mm: f64,
    /// How the zone's pads fare: verdict, force, and each piece; nothing where the cooler cannot
    /// balance or the gap is not known.
    pub zone: Option<ZoneSeated>,
    /// How the dies fare, in the assembly's order; empty where the cooler cannot balance.
    pub dies: Vec<DieSeated>,
    /// The greatest temperature drop of the zone's pieces, K, where known.
    pub drop_k: Option<f64>,
    /// What fails on the whole board, the gravest first.
    pub troubles: Vec<Trouble>,
}

/// The stocked thickness nearest to the fitted one that does harm.
#[derive(Clone, Debug, PartialEq)]
pub struct NearestWrong {
    /// What it does on the whole board.
    pub pad: Substitute,
    /// The gravest harm that the fitted pad does not do as well.
    pub harm: Trouble,
}

impl Assembly {
    /// Returns what each of some pads would do in a zone, in their order; with no such zone, what is
    /// fitted does anyway.
    pub fn substitutes(
        &self,
        fitted: &[Option<Fitted<'_>>],
        zone: usize,
        stock: &[Fitted<'_>],
    ) -> Vec<Substitute> {
        let near = self.start(fitted);
        let pads = stock.par_iter();
        pads.map(|pad| self.substitute(fitted, zone, *pad, near.as_ref()))
            .collect()
    }

    /// Returns the stocked thickness nearest to the fitted one, in its material, that does harm which
    /// the fitted one does not: anywhere on the board, or to the zone's own pads or a die whatever is
    /// fitted. Of two as near, the thicker: it can harm the die.
    ///
    /// Nothing where nothing is fitted, or every stocked thickness is as good.
    pub fn nearest_wrong(
        &self,
        fitted: &[Option<Fitted<'_>>],
        zone: usize,
        stocked_mm: &[f64],
    ) -> Option<NearestWrong> {
        let now = fitted.get(zone).copied().flatten()?;
        let near = self.start(fitted);
        let today = self.troubles(fitted, near.as_ref());
        let away = |thickness_mm: f64| (thickness_mm - now.thickness_mm).abs();
        let mut others: Vec<f64> = stocked_mm
            .iter()
            .copied()
            .filter(|&thickness_mm| away(thickness_mm) > SAME_THICKNESS_MM)
            .collect();
        others.sort_by(|one, other| {
            let nearer = away(*one).total_cmp(&away(*other));
            nearer.then(other.total_cmp(one))
        });
        others.into_iter().find_map(|thickness_mm| {
            let pad = Fitted {
                thickness_mm,
                ..now
            };
            let pad = self.substitute(fitted, zone, pad, near.as_ref());
            let harm = pad.harm(zone, &today)?;
            Some(NearestWrong { pad, harm })
        })
    }

    fn substitute(
        &self,
        fitted: &[Option<Fitted<'_>>],
        zone: usize,
        pad: Fitted<'_>,
        near: Option<&Plate>,
    ) -> Substitute {
        let mut fitted = padded(fitted, self.zones.len());
        if let Some(place) = fitted.get_mut(zone) {
            *place = Some(pad);
        }
        let thickness_mm = pad.thickness_mm;
        match self.seat_near(&fitted, Moment::Assembly, near) {
            Err(_) => Substitute {
                thickness_mm,
                zone: None,
                dies: Vec::new(),
                drop_k: None,
                troubles: vec![Trouble::Unbalanced],
            },
            Ok(mut seated) => {
                let troubles = seated.troubles();
                let zone = seated.zones.get_mut(zone).and_then(Option::take);
                Substitute {
                    thickness_mm,
                    drop_k: zone.as_ref().and_then(ZoneSeated::drop_k),
                    zone,
                    dies: seated.dies,
                    troubles,
                }
            }
        }
    }
}

impl Substitute {
    /// Returns the gravest trouble that is not there today, or is this zone's own or a die's.
    fn harm(&self, zone: usize, today: &[Trouble]) -> Option<Trouble> {
        let is_new = |trouble: &&Trouble| !today.contains(trouble);
        let concerns = |trouble: &&Trouble| trouble.zone().is_none_or(|other| other == zone);
        let mut found = self.troubles.iter();
        let new = found.find(is_new);
        new.or_else(|| self.troubles.iter().find(concerns)).copied()
    }
}

impl ZoneSeated {
    /// Returns the greatest temperature drop of the pieces, K, where one is known.
    pub fn drop_k(&self) -> Option<f64> {
        let drops = self.pieces.iter().filter_map(|piece| piece.drop_k);
        drops.max_by(f64::total_cmp)
    }
}
