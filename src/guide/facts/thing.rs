use schemars::JsonSchema;
use serde::Serialize;

use super::zone::HeightFrom;
use crate::book::Board;
use crate::record::schema::Words as _;
use crate::record::{PartKind, Seat, Side};

/// One body.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BodyFacts {
    /// Its id.
    pub id: String,
    /// Its name in words.
    pub name: String,
    /// What it is and rests on, in words.
    pub what: String,
    /// Mass, g.
    pub mass_g: Option<f64>,
    /// Revisions it belongs to; empty is all.
    pub only: Vec<String>,
}

/// One kind of part, at one or more places.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PartFacts {
    /// Its id.
    pub id: String,
    /// Its name in words.
    pub name: String,
    /// What kind of part it is.
    pub kind: PartKind,
    /// The side of the board.
    pub side: Side,
    /// How many places it has.
    pub places: usize,
    /// Height above the board, mm.
    pub height_mm: Option<f64>,
    /// Its tolerance, plus or minus, mm.
    pub height_tolerance_mm: Option<f64>,
    /// Where that height is from.
    pub height_from: Option<HeightFrom>,
    /// Heat of each under full load, W.
    pub heat_w: Option<f64>,
    /// Revisions it belongs to; empty is all.
    pub only: Vec<String>,
}

pub(super) fn bodies(board: &Board) -> Vec<BodyFacts> {
    let bodies = board.record.body.iter();
    bodies.map(|body| of_body(board, body)).collect()
}

fn of_body(board: &Board, body: &crate::record::Body) -> BodyFacts {
    let mut what = body
        .kind
        .word()
        .replace('-', " ")
        .replace("io bracket", "I/O bracket");
    if let Some(parent) = &body.part_of {
        what = format!("{what}, one piece with the {}", board.name(parent));
    } else if let Some(seats) = &body.seats {
        let on = match (seats.on, seats.height_mm) {
            (Seat::Die, _) => "on the die".to_owned(),
            (Seat::Standoffs, Some(height)) => {
                format!("on standoffs {height} mm high")
            }
            (Seat::Standoffs, None) => "on standoffs".to_owned(),
        };
        what = format!("{what}, seated {on}");
    }
    BodyFacts {
        id: body.id.clone(),
        name: board.name(&body.id),
        what,
        mass_g: body.mass_g,
        only: body.only.clone(),
    }
}

pub(super) fn parts(board: &Board) -> Vec<PartFacts> {
    let parts = board.record.part.iter().zip(&board.heights);
    let facts = |(part, height): (&crate::record::Part, &Option<crate::book::Height>)| PartFacts {
        id: part.id.clone(),
        name: board.name(&part.id),
        kind: part.kind,
        side: part.side,
        places: part.at.len(),
        height_mm: height.map(|height| height.value_mm),
        height_tolerance_mm: height.and_then(|height| height.tolerance_mm),
        height_from: height.map(|height| HeightFrom::of(height.origin)),
        heat_w: part.heat_w,
        only: part.only.clone(),
    };
    parts.map(facts).collect()
}
