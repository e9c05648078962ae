//! The substitution table of the *Fit* sheet: which stocked pads would do in each zone.

use serde::Serialize;

use crate::book::Board;
use crate::stack::{DieVerdict, FitFacts, FitSubstitute, FitZone, Verdict};

/// What the stock offers for one zone.
#[derive(Debug, Serialize)]
pub(super) struct Others {
    zone: String,
    /// Materials of which some thickness does.
    rows: Vec<Row>,
    /// Materials of which none does.
    none: Vec<String>,
}

/// One material, its thicknesses from the thinnest.
#[derive(Debug, Serialize)]
struct Row {
    pad: String,
    /// Thicknesses that are squeezed as they should be, mm, with the greatest drop, K.
    good: Vec<(f64, Option<f64>)>,
    /// Those that only just do, with the verdict.
    poor: Vec<(f64, Verdict)>,
    /// The thickest that fails because it is too thin, with what it does.
    thin: Option<(f64, &'static str)>,
    /// The thinnest that fails because it is too thick.
    thick: Option<(f64, &'static str)>,
}

impl Others {
    /// Returns what the stock offers for each zone of a stack-up whose gap is known.
    pub(super) fn of(board: &Board, facts: &FitFacts) -> Vec<Self> {
        let known = facts.zones.iter().filter(|zone| {
            let mut others = zone.substitutes.iter();
            others.any(|other| other.verdict.is_some())
        });
        known.map(|zone| Self::of_zone(board, zone)).collect()
    }

    fn of_zone(board: &Board, zone: &FitZone) -> Self {
        let mut materials: Vec<(&str, Vec<&FitSubstitute>)> = Vec::new();
        for other in &zone.substitutes {
            match materials.iter_mut().find(|(pad, _)| *pad == other.pad) {
                Some((_, same)) => same.push(other),
                None => materials.push((&other.pad, vec![other])),
            }
        }
        let (mut rows, mut none) = (Vec::new(), Vec::new());
        for (pad, mut others) in materials {
            others.sort_by(|left, right| left.pad_mm.total_cmp(&right.pad_mm));
            match Row::of(pad, &others) {
                Some(row) => rows.push(row),
                None => none.push(pad.to_owned()),
            }
        }
        let position = board.zone(&zone.id).map(|(position, _)| position);
        Self {
            zone: position.map_or_else(|| zone.id.clone(), |zone| board.zone_name(zone)),
            rows,
            none,
        }
    }
}

impl Row {
    /// Sorts the thicknesses of a material; nothing where none does.
    fn of(pad: &str, others: &[&FitSubstitute]) -> Option<Self> {
        let does = |other: &&FitSubstitute| other.fails.is_empty();
        let first = others.iter().position(does)?;
        let last = others.iter().rposition(does)?;
        let fails = |other: &&FitSubstitute| (other.pad_mm, harm(other));
        let doing = || others.iter().filter(|other| does(other));
        let good = doing().filter(|other| other.verdict == Some(Verdict::Good));
        let poor = doing().filter_map(|other| {
            let verdict = other.verdict.filter(|verdict| *verdict != Verdict::Good)?;
            Some((other.pad_mm, verdict))
        });
        Some(Self {
            pad: pad.to_owned(),
            good: good.map(|other| (other.pad_mm, other.drop_k)).collect(),
            poor: poor.collect(),
            thin: others[..first].last().map(fails),
            thick: others[last + 1..].first().map(fails),
        })
    }
}

/// Says what is worst about a pad that fails.
fn harm(other: &FitSubstitute) -> &'static str {
    match (other.die, other.verdict) {
        (_, None) => "cannot balance",
        (Some(DieVerdict::HeldOff), _) => "die held off",
        (Some(DieVerdict::NotReached), _) => "die not reached",
        (_, Some(Verdict::Crushed)) => "crushed",
        (_, Some(Verdict::Floating)) => "floats",
        _ => "harms another zone",
    }
}
