//! How far a board's numbers may be off: the tolerances of its records, for the yield.

use super::assembly::Faces;
use super::fit::{Fit, ZoneFit};
use super::gap::{Finding, UNSTATED_TOLERANCE_MM};
use super::shelf::thickness_tolerance_mm;
use super::yields::{Tolerances, ZoneTolerance};

impl Fit<'_> {
    /// Returns how far each number of the assembly may be off: as recorded, or as is usual where nothing is
    /// ([`Fit::assumed`] says so). A gap whose heights are not all recorded is off by half of what its
    /// evidence leaves open.
    pub fn tolerances(&self) -> Tolerances {
        let height = |&part: &usize| {
            let height = self.board.heights[part];
            height.and_then(|height| height.tolerance_mm)
        };
        let seats = self
            .cooler
            .and_then(|body| self.board.record.body[body].seats.as_ref());
        let dies = self.die_parts.iter();
        Tolerances {
            dies_mm: dies
                .map(|part| height(part).unwrap_or(UNSTATED_TOLERANCE_MM))
                .collect(),
            cooler_mm: seats
                .and_then(|seats| seats.tolerance_mm)
                .unwrap_or(UNSTATED_TOLERANCE_MM),
            zones: (0..self.zones.len())
                .map(|zone| self.of_zone(zone))
                .collect(),
        }
    }

    fn of_zone(&self, index: usize) -> ZoneTolerance {
        let zone = &self.zones[index];
        let pad_mm = zone
            .pad_mm
            .map_or(0.0, |pad_mm| thickness_tolerance_mm(zone.pad, pad_mm));
        let off = |near_mm, far_mm| ZoneTolerance {
            near_mm,
            far_mm,
            pad_mm,
        };
        let near_mm = zone.finding.near.map_or(0.0, |near| near.tolerance_mm);
        let datum_mm = zone.finding.datum.map(|datum| datum.tolerance_mm);
        let on_cooler = matches!(self.assembly.zones[index].faces, Faces::OnCooler { .. });
        match (self.recess_off_mm(zone), datum_mm) {
            // The cooler is off by itself.
            (Some(recess_mm), _) if on_cooler => off(near_mm, recess_mm),
            (Some(recess_mm), Some(datum_mm)) => off(near_mm, datum_mm + recess_mm),
            _ if on_cooler => off(near_mm, half_open_mm(zone)),
            _ => off(0.0, half_open_mm(zone)),
        }
    }

    /// Returns how far a recorded recess may be off, mm.
    fn recess_off_mm(&self, zone: &ZoneFit<'_>) -> Option<f64> {
        let written = &self.board.record.zone[zone.zone];
        written.recess_mm?;
        Some(written.recess_tolerance_mm.unwrap_or(UNSTATED_TOLERANCE_MM))
    }
}

/// Returns half of what the evidence for a gap leaves open, mm.
fn half_open_mm(zone: &ZoneFit<'_>) -> f64 {
    match &zone.finding.gap {
        Finding::Known { within, .. } => (within.high_mm - within.low_mm) / 2.0,
        Finding::Impossible { .. } | Finding::Unknown => 0.0,
    }
}
