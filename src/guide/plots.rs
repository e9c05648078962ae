//! The dot plots of a board's zones: what each job read, and the consensus.

use minijinja::value::Value;
use serde::Serialize;

use super::facts::{BoardFacts, ZoneFacts};
use crate::drawing::{Dot, Ranged, dot_plot};
use crate::evidence::{JobEvidence, JobValue, Quantity};

/// Fewest values that are worth a plot.
const FEWEST: usize = 2;

/// The plots of one zone; nothing where fewer than two jobs read it.
#[derive(Debug, Serialize)]
pub(super) struct Plots<'a> {
    zone: &'a str,
    edge: Option<Value>,
    imprint: Option<Value>,
}

/// Draws the plots of every zone, in the facts' order.
pub(super) fn plots(facts: &BoardFacts) -> Vec<Plots<'_>> {
    let zones = facts.zones.iter();
    zones
        .map(|zone| Plots {
            zone: &zone.id,
            edge: plot(zone, Quantity::Edge),
            imprint: plot(zone, Quantity::Imprint),
        })
        .collect()
}

fn plot(zone: &ZoneFacts, quantity: Quantity) -> Option<Value> {
    let jobs = zone.evidence.jobs.iter();
    let read: Vec<(&JobEvidence, &JobValue)> = jobs
        .filter_map(|job| Some((job, job.value(quantity)?)))
        .collect();
    if read.len() < FEWEST {
        return None;
    }
    let row = |(job, value): &(&JobEvidence, &JobValue)| Dot {
        name: format!("{} {}", job.date, job.bench),
        ranged: Ranged {
            value_mm: value.mean_mm,
            off_mm: value.uncertainty_mm,
        },
        outlying: value.outlying,
    };
    let rows: Vec<Dot> = read.iter().map(row).collect();
    let consensus = zone.evidence.conclusion.value(quantity);
    let consensus = consensus.map(|value| Ranged {
        value_mm: value.value_mm,
        off_mm: value.uncertainty_mm,
    });
    let svg = dot_plot(
        &rows,
        consensus,
        &in_words(zone, quantity, &rows, consensus),
    );
    Some(Value::from_safe_string(svg.serialise()))
}

/// Says what a plot shows.
fn in_words(
    zone: &ZoneFacts,
    quantity: Quantity,
    rows: &[Dot],
    consensus: Option<Ranged>,
) -> String {
    let range = |one: Ranged| format!("{:.2} ± {:.2} mm", one.value_mm, one.off_mm);
    let rows: Vec<String> = rows
        .iter()
        .map(|row| format!("{}, {}", row.name, range(row.ranged)))
        .collect();
    let consensus = consensus.map_or_else(
        || "no consensus".to_owned(),
        |one| format!("consensus {}", range(one)),
    );
    let (what, zone, rows) = (quantity.word(), &zone.name, rows.join("; "));
    format!("{what} of {zone}, by job: {rows}; {consensus}")
}
