use schemars::JsonSchema;
use serde::Serialize;

use crate::book::{Board, Book, Face, HeightOrigin, Job};
use crate::evidence::{self, ZoneEvidence};
use crate::record::Removal;

/// One zone, as the guide tells it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ZoneFacts {
    /// Its id.
    pub id: String,
    /// Its name in words.
    pub name: String,
    /// The side of the board, in a word.
    pub side: Option<String>,
    /// The nearer face, in words.
    pub near: String,
    /// The farther face, in words.
    pub far: String,
    /// Free thickness of the maker's pad, mm.
    pub pad_mm: Option<f64>,
    /// Its material, a key of the stock.
    pub pad: Option<String>,
    /// Its material's name.
    pub pad_name: Option<String>,
    /// Its material's conductivity, W/(m·K).
    pub conductivity_w_mk: Option<f64>,
    /// How many pieces.
    pub pieces: usize,
    /// Their sizes, in words: "8 of 12 × 14".
    pub sizes: String,
    /// How far the far face lies back, mm.
    pub recess_mm: Option<f64>,
    /// Height of the near part, mm.
    pub height_mm: Option<f64>,
    /// Its tolerance, mm.
    pub height_tolerance_mm: Option<f64>,
    /// Whether that height is the package's usual one, not the board's own.
    pub height_is_usual: bool,
    /// How the old pad comes off.
    pub removal: Option<Removal>,
    /// Revisions it applies to; empty is all.
    pub only: Vec<String>,
    /// What the jobs measured.
    pub evidence: ZoneEvidence,
}

pub(super) fn facts(book: &Book, board: &Board, jobs: &[&Job]) -> Vec<ZoneFacts> {
    board
        .zones()
        .map(|(_, written, zone)| {
            let material = written.pad.as_deref().and_then(|pad| book.stock.pad(pad));
            let height = zone.part().and_then(|part| board.heights[part]);
            let [near, far] =
                [0, 1].map(|end| face_name(board, zone.faces[end], &written.between[end]));
            ZoneFacts {
                id: written.id.clone(),
                name: zone_name(board, written, zone),
                side: zone.side.map(|side| side.to_string()),
                near,
                far,
                pad_mm: written.pad_mm,
                pad: written.pad.clone(),
                pad_name: material.map(|pad| pad.name.clone()),
                conductivity_w_mk: material.map(|pad| pad.conductivity_w_mk),
                pieces: zone.pieces.len(),
                sizes: sizes(&zone.pieces),
                recess_mm: written.recess_mm,
                height_mm: height.map(|height| height.value_mm),
                height_tolerance_mm: height.and_then(|height| height.tolerance_mm),
                height_is_usual: height
                    .is_some_and(|height| height.origin == HeightOrigin::Package),
                removal: written.removal,
                only: written.only.clone(),
                evidence: evidence::of_zone(&written.id, jobs.iter().map(|job| &job.record)),
            }
        })
        .collect()
}

/// Returns a zone's own name, or its part's, or its id in words.
fn zone_name(board: &Board, written: &crate::record::Zone, zone: &crate::book::Zone) -> String {
    let of_part = || {
        let part = &board.record.part[zone.part()?];
        (part.id == written.id).then(|| board.name(&part.id))
    };
    written
        .name
        .clone()
        .or_else(of_part)
        .unwrap_or_else(|| written.id.replace('-', " "))
}

fn face_name(board: &Board, face: Option<Face>, written: &str) -> String {
    match face {
        Some(Face::Pcb) => "bare board".to_owned(),
        _ => board.name(written),
    }
}

/// Says how many pieces of which size: "2 of 12 × 14, 4 of 6 × 5".
fn sizes(pieces: &[crate::units::Rect]) -> String {
    let mut counted: Vec<([f64; 2], usize)> = Vec::new();
    for piece in pieces {
        // A piece may be turned when it is cut.
        let size = [piece.width.min(piece.height), piece.width.max(piece.height)];
        let same = |other: &[f64; 2]| size.iter().zip(other).all(|(a, b)| (a - b).abs() < 0.05);
        match counted.iter_mut().find(|(other, _)| same(other)) {
            Some((_, count)) => *count += 1,
            None => counted.push((size, 1)),
        }
    }
    let one = |&([short, long], count): &([f64; 2], usize)| {
        format!("{count} of {short}\u{a0}×\u{a0}{long}")
    };
    counted.iter().map(one).collect::<Vec<_>>().join(", ")
}
