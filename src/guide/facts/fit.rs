use schemars::JsonSchema;
use serde::Serialize;

use crate::book::{Board, Book};
use crate::stack::{Fit, FitFacts, FitWrong, FitZone};

/// How far a pad may be from the right one and still be taken for it, mm: two usual steps of the stock.
const NEAR_MM: f64 = 1.0;

/// Boards drawn from the tolerances for a guide, so that a book of ten thousand is compiled in minutes:
/// four fifths are then known to within 6 hundredths, nineteen times of twenty (`2·√(p·(1 − p) / n)`).
/// The command draws ten times as many.
const SAMPLES: u32 = 200;

/// A pad near to the right one that does harm.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct WrongPad {
    /// The zone's id.
    pub zone: String,
    /// The zone's name in words.
    pub name: String,
    /// Its free thickness, mm.
    pub pad_mm: f64,
    /// What it does, in words.
    pub does: String,
}

/// Seats a board's cooler, and works out what other pads would do and how many boards of a series fit.
pub(super) fn facts(book: &Book, fit: &Fit<'_>) -> FitFacts {
    let mut facts = FitFacts::of(fit);
    facts.add_substitutes(fit, &book.stock.pads);
    facts.yields = fit.yields_of(SAMPLES);
    facts
}

/// Returns the wrong pad that is worst to fit: one that harms a die before one that harms pads, and among
/// these the one nearest to what belongs there. A gap that is only guessed from the maker's pad says too
/// little to warn of another.
pub(super) fn wrong_pad(board: &Board, facts: &FitFacts) -> Option<WrongPad> {
    let wrong = |zone: &'_ FitZone| -> Option<(f64, FitWrong)> {
        let wrong = zone
            .nearest_wrong
            .clone()
            .filter(|_| zone.unknown.is_none())?;
        let off_mm = (wrong.pad_mm - zone.pad_mm?).abs();
        (off_mm <= NEAR_MM).then_some((off_mm, wrong))
    };
    let found = facts
        .zones
        .iter()
        .filter_map(|zone| Some((zone, wrong(zone)?)));
    let (zone, (_, wrong)) = found.min_by(|(_, (left_mm, left)), (_, (right_mm, right))| {
        let die_first = right.harms_die.cmp(&left.harms_die);
        die_first.then(left_mm.total_cmp(right_mm))
    })?;
    let (position, _) = board.zone(&zone.id)?;
    Some(WrongPad {
        zone: zone.id.clone(),
        name: board.zone_name(position),
        pad_mm: wrong.pad_mm,
        does: wrong.does,
    })
}
