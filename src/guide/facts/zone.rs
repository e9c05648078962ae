use schemars::JsonSchema;
use serde::Serialize;

use crate::book::{Board, Book, Face, HeightOrigin, Job};
use crate::evidence::ZoneEvidence;
use crate::record::schema::{Words, words};
use crate::record::{Removal, Seat};
use crate::units::{self, Rect};

words! {
    /// Where the height of a face is from.
    pub enum HeightFrom {
        /// The bare board: nothing.
        Board = "bare board",
        /// The board's record.
        Record = "from this record",
        /// The book's list of packages.
        Package = "usual for its package",
        /// A body's standoffs and its thickness.
        Standoffs = "standoffs and thickness",
    }
}

impl HeightFrom {
    pub(super) fn of(origin: HeightOrigin) -> Self {
        match origin {
            HeightOrigin::Record => Self::Record,
            HeightOrigin::Package => Self::Package,
        }
    }
}

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
    /// Height of the near face above the board, mm.
    pub height_mm: Option<f64>,
    /// Its tolerance, mm.
    pub height_tolerance_mm: Option<f64>,
    /// Where that height is from.
    pub height_from: Option<HeightFrom>,
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
        .map(|(index, written, zone)| {
            let material = written.pad.as_deref().and_then(|pad| book.stock.pad(pad));
            let under = under(board, zone);
            let [near, far] =
                [0, 1].map(|end| face_name(board, zone.faces[end], &written.between[end]));
            ZoneFacts {
                id: written.id.clone(),
                name: board.zone_name(index),
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
                height_mm: under.as_ref().map(|under| under.height_mm),
                height_tolerance_mm: under.as_ref().and_then(|under| under.tolerance_mm),
                height_from: under.map(|under| under.from),
                removal: written.removal,
                only: board.revisions_of_zone(index).to_vec(),
                evidence: ZoneEvidence::of(book, board, index, jobs),
            }
        })
        .collect()
}

/// How high above the board the face lies that a zone's pads lie on.
struct Under {
    height_mm: f64,
    tolerance_mm: Option<f64>,
    from: HeightFrom,
}

/// Returns the height of a zone's near face: the board's, a part's top, or the far face of a body that
/// stands on standoffs.
fn under(board: &Board, zone: &crate::book::Zone) -> Option<Under> {
    match zone.faces[0]? {
        Face::Pcb => Some(Under {
            height_mm: 0.0,
            tolerance_mm: None,
            from: HeightFrom::Board,
        }),
        Face::Part(part) => board.heights[part].map(|height| Under {
            height_mm: height.value_mm,
            tolerance_mm: height.tolerance_mm,
            from: HeightFrom::of(height.origin),
        }),
        Face::Body(body) => {
            let body = &board.record.body[body];
            let seats = body.seats_on(Seat::Standoffs)?;
            Some(Under {
                height_mm: seats.height_mm? + body.thickness_mm?,
                tolerance_mm: seats.tolerance_mm,
                from: HeightFrom::Standoffs,
            })
        }
    }
}

fn face_name(board: &Board, face: Option<Face>, written: &str) -> String {
    match face {
        Some(Face::Pcb) => "bare board".to_owned(),
        _ => board.name(written),
    }
}

/// Says how many pieces of which size: "2 of 12 × 14, 4 of 6 × 5".
fn sizes(pieces: &[Rect]) -> String {
    let one = |([short, long], count): ([f64; 2], usize)| {
        format!("{count} of {short}\u{a0}×\u{a0}{long}")
    };
    let counted = units::sizes(pieces).into_iter();
    counted.map(one).collect::<Vec<String>>().join(", ")
}
