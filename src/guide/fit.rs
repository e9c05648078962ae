//! What only the *Fit* sheet shows: the section, the bond lines, and which zone's numbers are where.

use minijinja::value::Value;
use serde::Serialize;

use super::others::Others;
use crate::drawing::{Cut, Element, bond_line, cut, number, section};
use crate::stack::{Fit, FitFacts, Moment, Seated};

/// The drawings of a stack-up.
#[derive(Debug, Serialize)]
pub(super) struct FitView {
    /// The section, where there is one to be drawn.
    section: Option<SectionView>,
    /// The dies, in the stack-up's order.
    dies: Vec<DieView>,
    /// For each of the record's zones, where it is among the stack-up's.
    zones: Vec<Option<usize>>,
    /// What the stock offers for each zone.
    others: Vec<Others>,
}

/// A section and what is said under it.
#[derive(Debug, Serialize)]
struct SectionView {
    svg: Value,
    factor: String,
    /// Where the cut runs.
    runs: String,
    /// Zones that are not on it.
    missed: Vec<String>,
}

/// A die and the bond line over it.
#[derive(Debug, Serialize)]
struct DieView {
    name: String,
    bond: Option<Value>,
}

impl FitView {
    /// Draws a stack-up; returns the cut too, to be marked on the maps.
    pub(super) fn of(fit: &Fit<'_>, facts: &FitFacts) -> (Option<Cut>, Self) {
        let seated = fit.assembly.seat_at(&fit.fitted(), Moment::Assembly).ok();
        let cut = cut(fit);
        let section = cut.and_then(|cut| SectionView::of(fit, seated.as_ref(), &cut));
        let mut zones = vec![None; fit.board.zones.len()];
        for (index, zone) in fit.zones.iter().enumerate() {
            zones[zone.zone] = Some(index);
        }
        let view = Self {
            dies: dies(fit, seated.as_ref()),
            zones,
            others: Others::of(fit.board, facts),
            section,
        };
        (cut.filter(|_| view.section.is_some()), view)
    }
}

impl SectionView {
    fn of(fit: &Fit<'_>, seated: Option<&Seated>, cut: &Cut) -> Option<Self> {
        let drawn = section(fit, seated, cut)?;
        let zones = fit.zones.iter().enumerate();
        let missed = zones.filter(|(index, _)| !drawn.zones.contains(index));
        Some(Self {
            svg: safe(&drawn.svg),
            factor: number(drawn.factor),
            runs: cut.in_words(),
            missed: missed
                .map(|(_, zone)| fit.board.zone_name(zone.zone))
                .collect(),
        })
    }
}

fn dies(fit: &Fit<'_>, seated: Option<&Seated>) -> Vec<DieView> {
    let plate = seated.and_then(|seated| seated.plate);
    let dies = fit.assembly.dies.iter().zip(&fit.die_parts);
    dies.map(|(die, &part)| {
        let part = &fit.board.record.part[part];
        let bond = plate.map(|plate| bond_line(&die.place, die.height_mm, &plate, part.side));
        DieView {
            name: fit.board.name(&part.id),
            bond: bond.as_ref().map(safe),
        }
    })
    .collect()
}

fn safe(svg: &Element) -> Value {
    Value::from_safe_string(svg.serialise())
}
