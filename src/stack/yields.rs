//! How many boards of a series fit: a sample of the tolerances, with worst case and root-sum-square of
//! each gap beside it.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::assembly::{Assembly, Cooler, Faces, Fitted, Moment};
use super::seating::Plate;
use super::tolerance::{Length, Stack};
use super::trouble::Trouble;
use super::{Domain, not_negative};
use crate::dice::Dice;

/// Boards in a sample, unless fewer are asked for. A fraction of nine tenths is then known to within 1.4 hundredths, nineteen times
/// of twenty (`2·√(p·(1 − p) / n)`).
const SAMPLES: u32 = 2000;

/// Pieces of pad that are seated in all of a sample, at most: a board of thousands gets a smaller one.
const MOST_PIECES: usize = 500_000;

/// Boards in a sample at least.
const FEWEST_SAMPLES: u32 = 50;

/// Where the random numbers begin. The choice is without meaning; the same board gets the same answer.
const SEED: u64 = 0x6761_7062_6f6f_6b31;

/// How far a board's numbers may be off, plus or minus; an entry that is left out counts as exact.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tolerances {
    /// Of each die's height, mm.
    pub dies_mm: Vec<f64>,
    /// Of the height of a cooler on standoffs, mm.
    pub cooler_mm: f64,
    /// Of each zone.
    pub zones: Vec<ZoneTolerance>,
}

/// How far one zone's numbers may be off, plus or minus.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ZoneTolerance {
    /// Of the near face's height, or of one face of a fixed gap, mm.
    pub near_mm: f64,
    /// Of the far face's recess, or of the other face of a fixed gap, mm.
    pub far_mm: f64,
    /// Of the pads' free thickness, mm.
    pub pad_mm: f64,
}

/// How many boards of a series fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Yield {
    /// The fraction of the sample in which every condition holds.
    pub fraction: f64,
    /// The boards in the sample.
    pub samples: u32,
    /// In how many of them each condition fails.
    pub troubles: BTreeMap<Trouble, u32>,
    /// What each zone's gap adds up to, by worst case and by root-sum-square; nothing where its chain
    /// is not known.
    pub gaps: Vec<Option<Stack>>,
}

impl Assembly {
    /// Returns how many boards of a series fit, just screwed together.
    ///
    /// Every height, recess and thickness is drawn evenly from within its tolerance, independently: of a
    /// number of which only limits are known, all values between them are equally likely (JCGM 100:2008,
    /// 4.3.7). One draw stands for all pieces of a zone: parts of one lot, pads of one sheet. The cooler
    /// is brought to rest for each board, tilt and all; its screws pull as they do on paper.
    ///
    /// A gap on a drawn cooler adds up from the first die's height, the near face and the recess, about
    /// the gap as seated; the bond line moves by micrometres only, and tilt is left to the sample.
    ///
    /// The sample is the same on every machine and for any number of threads; where a condition just
    /// holds or fails by a rounding of the last digits, a machine's powers may decide.
    ///
    /// # Errors
    /// [`Domain`] where the board cannot balance as it is on paper, or a tolerance is negative.
    pub fn yields(
        &self,
        fitted: &[Option<Fitted<'_>>],
        tolerances: &Tolerances,
    ) -> Result<Yield, Domain> {
        self.yields_of(SAMPLES, fitted, tolerances)
    }

    /// Does the same with a sample of so many boards at most.
    ///
    /// # Errors
    /// As [`Assembly::yields`].
    pub fn yields_of(
        &self,
        most: u32,
        fitted: &[Option<Fitted<'_>>],
        tolerances: &Tolerances,
    ) -> Result<Yield, Domain> {
        tolerances.check()?;
        let seated = self.seat_at(fitted, Moment::Assembly)?;
        let gaps = seated.zones.iter().enumerate().map(|(zone, seated)| {
            let chain = self.chain(zone, tolerances)?;
            let nominal = Length::new(seated.as_ref()?.gap_mm, 0.0);
            Some(Stack::of(chain.into_iter().chain([nominal])))
        });
        let gaps = gaps.collect();

        let samples = self.affordable().min(most);
        let troubles = (0..samples)
            .into_par_iter()
            .map_init(
                || (self.clone(), fitted.to_vec()),
                |(board, pads), sample| {
                    let mut dice = Dice::of(SEED, sample);
                    self.vary(board, tolerances, &mut dice);
                    vary_pads(fitted, pads, tolerances, &mut dice);
                    let near = seated.plate.map(|plate| self.followed(&plate, board));
                    board.troubles(pads, near.as_ref())
                },
            )
            .fold(Count::default, Count::with)
            .reduce(Count::default, Count::and);
        Ok(Yield {
            fraction: f64::from(troubles.good) / f64::from(samples),
            samples,
            troubles: troubles.troubles,
            gaps,
        })
    }

    /// Returns where the cooler is expected on another board of the series: it rises with the first die.
    ///
    /// Dies vary by more than a bond line is thick; from the old place the search would begin inside.
    fn followed(&self, plate: &Plate, board: &Self) -> Plate {
        let rise_mm = match (self.dies.first(), board.dies.first()) {
            (Some(nominal), Some(die)) => die.height_mm - nominal.height_mm,
            _ => 0.0,
        };
        Plate {
            separation_mm: plate.separation_mm + rise_mm,
            ..*plate
        }
    }

    /// Returns how many boards may be seated.
    fn affordable(&self) -> u32 {
        let pieces: usize = self.zones.iter().map(|zone| zone.pieces.len()).sum();
        let affordable = u32::try_from(MOST_PIECES / pieces.max(1)).unwrap_or(SAMPLES);
        affordable.clamp(FEWEST_SAMPLES, SAMPLES)
    }

    /// Returns the deviations that add up to a zone's gap.
    fn chain(&self, zone: usize, tolerances: &Tolerances) -> Option<Vec<Length>> {
        let own = tolerances.of_zone(zone);
        let carrier_mm = match (self.zones[zone].faces, &self.cooler) {
            (Faces::Fixed { .. }, _) => Some(0.0),
            (Faces::OnCooler { .. }, Some(Cooler::Held { .. })) => Some(tolerances.cooler_mm),
            (Faces::OnCooler { .. }, Some(Cooler::Drawn { .. })) => {
                let first = self.dies.first();
                first.map(|_| tolerances.of_die(0))
            }
            _ => None,
        }?;
        let deviations = [carrier_mm, own.near_mm, own.far_mm];
        Some(deviations.map(|off_mm| Length::new(0.0, off_mm)).to_vec())
    }

    /// Writes one board of the series into `board`, which has the same dies and zones.
    fn vary(&self, board: &mut Self, tolerances: &Tolerances, dice: &mut Dice) {
        for (index, (die, nominal)) in board.dies.iter_mut().zip(&self.dies).enumerate() {
            die.height_mm = dice.about(nominal.height_mm, tolerances.of_die(index));
        }
        if let (Some(Cooler::Held { height_mm }), Some(Cooler::Held { height_mm: nominal })) =
            (&mut board.cooler, &self.cooler)
        {
            *height_mm = dice.about(*nominal, tolerances.cooler_mm);
        }
        for (index, (zone, nominal)) in board.zones.iter_mut().zip(&self.zones).enumerate() {
            let off = tolerances.of_zone(index);
            zone.faces = match nominal.faces {
                Faces::OnCooler { near_mm, recess_mm } => Faces::OnCooler {
                    near_mm: dice.about(near_mm, off.near_mm),
                    recess_mm: dice.about(recess_mm, off.far_mm),
                },
                Faces::Fixed { gap_mm } => {
                    let one_mm = dice.about(gap_mm, off.near_mm);
                    Faces::Fixed {
                        gap_mm: dice.about(one_mm, off.far_mm),
                    }
                }
                Faces::Unknown => Faces::Unknown,
            };
        }
    }
}

/// Writes the pads of one board of the series into `pads`.
fn vary_pads<'p>(
    fitted: &[Option<Fitted<'p>>],
    pads: &mut [Option<Fitted<'p>>],
    tolerances: &Tolerances,
    dice: &mut Dice,
) {
    for (index, (pad, nominal)) in pads.iter_mut().zip(fitted).enumerate() {
        if let (Some(pad), Some(nominal)) = (pad, nominal) {
            let off_mm = tolerances.of_zone(index).pad_mm;
            pad.thickness_mm = dice.about(nominal.thickness_mm, off_mm);
        }
    }
}

impl Tolerances {
    fn of_die(&self, die: usize) -> f64 {
        self.dies_mm.get(die).copied().unwrap_or_default()
    }

    fn of_zone(&self, zone: usize) -> ZoneTolerance {
        self.zones.get(zone).copied().unwrap_or_default()
    }

    fn check(&self) -> Result<(), Domain> {
        let zones = self.zones.iter();
        let of_zones = zones.flat_map(|zone| [zone.near_mm, zone.far_mm, zone.pad_mm]);
        let all = self.dies_mm.iter().copied().chain([self.cooler_mm]);
        for off_mm in all.chain(of_zones) {
            not_negative("tolerance (mm)", off_mm)?;
        }
        Ok(())
    }
}

/// How many boards are good, and what fails on the others. Whole numbers: their sum does not depend on
/// the order.
#[derive(Debug, Default)]
struct Count {
    good: u32,
    troubles: BTreeMap<Trouble, u32>,
}

impl Count {
    fn with(mut self, troubles: Vec<Trouble>) -> Self {
        if troubles.is_empty() {
            self.good += 1;
        }
        for trouble in troubles {
            *self.troubles.entry(trouble).or_default() += 1;
        }
        self
    }

    fn and(mut self, other: Self) -> Self {
        self.good += other.good;
        for (trouble, boards) in other.troubles {
            *self.troubles.entry(trouble).or_default() += boards;
        }
        self
    }
}
