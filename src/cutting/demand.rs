//! What boards ask of the shelf: pieces by material and thickness.

use std::collections::BTreeMap;

use super::order::{Order, Piece, Size};
use super::strips::{Strip, strips};
use crate::book::{Board, share_a_revision};
use crate::record::{self, From, Pad};
use crate::stack::{Fit, ZoneFit};
use crate::units::{Rect, head_radius_mm};

/// Steps of the kernel in a millimetre: hundredths, which no ruler reads.
const STEPS_PER_MM: f64 = 100.0;

/// Width and height of a sheet, mm, where the stock does not say: the usual one.
pub(super) const USUAL_SHEET_MM: [f64; 2] = [100.0, 100.0];

/// Offcuts that are looked at for one stock, the largest first: a plan with more takes too long.
const MOST_OFFCUTS: usize = 12;

/// How far a connector's plug is taken to reach from its centre, mm: half a small header's width, common
/// practice. A record gives the centre alone.
const PLUG_RADIUS_MM: f64 = 2.0;

/// What boards ask of one material in one thickness.
#[derive(Clone, Debug)]
pub struct Demand<'a> {
    /// The material, where it is known.
    pub pad: Option<&'a Pad>,
    /// The free thickness, mm.
    pub thickness_mm: f64,
    /// The nearest thicknesses that can be bought, mm, where this one cannot.
    pub nearest_mm: Option<Vec<f64>>,
    /// The pieces, each size of each zone apart.
    pub wanted: Vec<Wanted<'a>>,
}

/// Pieces of one size for one zone.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    /// The board.
    pub board: &'a Board,
    /// The zone, by position in the record.
    pub zone: usize,
    /// Width and height as the first of them lies on the board, mm; others may lie turned by a quarter, where
    /// the material may.
    pub size_mm: [f64; 2],
    /// How many.
    pub count: u32,
    /// How many places each lies over.
    pub places: usize,
}

/// A zone of which nothing can be cut, because its pad's thickness is not known.
#[derive(Clone, Copy, Debug)]
pub struct Unsized<'a> {
    /// The board.
    pub board: &'a Board,
    /// The zone, by position in the record.
    pub zone: usize,
}

/// Gathers what the pads of fitted boards ask for, by material and thickness, and what cannot be told.
///
/// What is fitted may be what the record says, what was tried, or what was chosen from the stock: it is
/// the fit that says.
pub fn demand<'a>(fits: &[Fit<'a>]) -> (Vec<Demand<'a>>, Vec<Unsized<'a>>) {
    let mut stocks: BTreeMap<(Option<&str>, u32), Demand<'a>> = BTreeMap::new();
    let mut unknown = Vec::new();
    for fit in fits {
        for zone in &fit.zones {
            let Some(thickness_mm) = zone.pad_mm else {
                let (board, zone) = (fit.board, zone.zone);
                unknown.push(Unsized { board, zone });
                continue;
            };
            let key = (zone.pad.map(|pad| &*pad.id), steps(thickness_mm));
            let stock = stocks.entry(key).or_insert_with(|| Demand {
                pad: zone.pad,
                thickness_mm,
                nearest_mm: zone.nearest_mm.clone(),
                wanted: Vec::new(),
            });
            stock.wanted.extend(wanted(fit.board, zone));
        }
    }
    (stocks.into_values().collect(), unknown)
}

impl Demand<'_> {
    /// Returns the sheet's size, mm.
    pub fn sheet_mm(&self) -> [f64; 2] {
        sheet_mm(self.pad)
    }

    /// Returns the offcuts of this stock among those at hand, the largest first.
    pub fn offcuts<'o>(&self, at_hand: &'o [record::Offcut]) -> Vec<&'o record::Offcut> {
        let thickness = steps(self.thickness_mm);
        let mut own: Vec<&record::Offcut> = at_hand
            .iter()
            .filter(|offcut| self.pad.is_some_and(|pad| pad.id == offcut.pad))
            .filter(|offcut| steps(offcut.thickness_mm) == thickness)
            .collect();
        let area = |offcut: &record::Offcut| offcut.size_mm[0] * offcut.size_mm[1];
        own.sort_by(|one, other| area(other).total_cmp(&area(one)));
        own.truncate(MOST_OFFCUTS);
        own
    }

    /// Returns the order that is planned.
    pub fn order(&self, offcuts: &[&record::Offcut], blade_mm: f64) -> Order {
        let pieces = self.wanted.iter().map(|wanted| Piece {
            size: size(wanted.size_mm),
            count: wanted.count,
        });
        Order {
            sheet: size(self.sheet_mm()),
            offcuts: offcuts.iter().map(|offcut| size(offcut.size_mm)).collect(),
            pieces: pieces.collect(),
            may_turn: may_turn(self.pad),
            kerf: steps(blade_mm),
        }
    }
}

/// Returns the size of a material's sheets, mm.
fn sheet_mm(pad: Option<&Pad>) -> [f64; 2] {
    pad.and_then(|pad| pad.sheet_mm).unwrap_or(USUAL_SHEET_MM)
}

/// Tells whether a material's pieces may be turned on its sheet.
fn may_turn(pad: Option<&Pad>) -> bool {
    pad.is_none_or(|pad| !pad.directional)
}

/// Tells whether a material's sheet gives a piece of this size, mm.
pub fn fits_a_sheet(pad: Option<&Pad>, size_mm: [f64; 2]) -> bool {
    let (sheet, piece) = (size(sheet_mm(pad)), size(size_mm));
    sheet.holds(piece) || may_turn(pad) && sheet.holds(piece.turned())
}

/// Returns a zone's pieces, like ones together, in the order they are written.
fn wanted<'a>(board: &'a Board, fit: &ZoneFit<'a>) -> Vec<Wanted<'a>> {
    let mut wanted: Vec<Wanted<'a>> = Vec::new();
    for strip in pieces(board, fit) {
        let size_mm = [strip.at.width, strip.at.height];
        let (own, may_turn) = (size(size_mm), may_turn(fit.pad));
        let is_alike = |one: &&mut Wanted<'_>| {
            let other = size(one.size_mm);
            (other == own || may_turn && other == own.turned()) && one.places == strip.places
        };
        match wanted.iter_mut().find(is_alike) {
            Some(alike) => alike.count += 1,
            None => wanted.push(Wanted {
                board,
                zone: fit.zone,
                size_mm,
                count: 1,
                places: strip.places,
            }),
        }
    }
    wanted
}

/// Returns what is cut for a zone: one piece a place, or strips where the record allows them.
fn pieces(board: &Board, fit: &ZoneFit<'_>) -> Vec<Strip> {
    let zone = &board.zones[fit.zone];
    if !board.record.zone[fit.zone].strip {
        let single = |&at: &Rect| Strip { at, places: 1 };
        return zone.pieces.iter().map(single).collect();
    }
    let fits = |hull: &Rect| fits_a_sheet(fit.pad, [hull.width, hull.height]);
    strips(&zone.pieces, &blocked(board, fit.zone), fits)
}

/// Returns what a zone's strips may not lie over: keep-outs, other pads, connectors and screws.
fn blocked(board: &Board, zone: usize) -> Vec<Rect> {
    let (side, only) = (board.zones[zone].side, board.revisions_of_zone(zone));
    let record = &board.record;
    let keepouts = record.keepout.iter();
    let keepouts = keepouts.filter(|keepout| Some(keepout.side) == side);
    let others = board.zones.iter().enumerate().filter(|&(other, one)| {
        other != zone && one.side == side && share_a_revision(only, board.revisions_of_zone(other))
    });
    let plugs = record.connector.iter().filter(|connector| {
        Some(connector.side) == side && share_a_revision(only, &connector.only)
    });
    let plugs = plugs.map(|plug| Rect::at_point(plug.at).grown(PLUG_RADIUS_MM));
    // A screw stands at its place on every level, seen from either side.
    let screws = record.fasteners.iter().enumerate().filter(|&(at, group)| {
        group.from != From::Edge && share_a_revision(only, board.revisions_of_fasteners(at))
    });
    let heads = screws.flat_map(|(_, group)| {
        let radius = head_radius_mm(group.thread.as_deref());
        let centres = group.at.iter();
        centres.map(move |&centre| Rect::at_point(centre).grown(radius))
    });
    keepouts
        .flat_map(|keepout| &keepout.at)
        .chain(others.flat_map(|(_, one)| &one.pieces))
        .copied()
        .chain(plugs)
        .chain(heads)
        .collect()
}

/// Returns a size in steps.
fn size([width, height]: [f64; 2]) -> Size {
    Size::new(steps(width), steps(height))
}

/// Returns a length in steps, at least one where there is any.
fn steps(length_mm: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast saturates, and the kernel refuses what is no length"
    )]
    let steps = (length_mm * STEPS_PER_MM).round() as u32;
    steps
}

/// Returns a length of the kernel in millimetres.
pub(super) fn millimetres(steps: u32) -> f64 {
    f64::from(steps) / STEPS_PER_MM
}
