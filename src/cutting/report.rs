//! What cutting comes to, as plain data: for people, for programs and for the guide alike.

use schemars::JsonSchema;
use serde::Serialize;

use super::demand::{Demand, USUAL_SHEET_MM, Unsized, demand, millimetres};
use super::plan::{Axis, Cut, Layout, Patch, Placed, Plan, Source};
use super::solve::{Effort, plan};
use super::wording::steps;
use crate::order::tray_letter as letter;
use crate::record::{Cutting, Offcut};
use crate::stack::{Fit, not_stocked};

/// How pads are cut for one or several boards.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CutFacts {
    /// The boards, each with the revision that is meant, where it has any.
    pub boards: Vec<CutBoard>,
    /// What the blade takes away, mm.
    pub blade_mm: f64,
    /// What is cut, by material and thickness.
    pub stocks: Vec<CutStock>,
    /// Zones of which nothing can be cut, because the thickness of their pads is not known.
    pub unknown: Vec<CutZone>,
    /// What is assumed, in sentences.
    pub assumed: Vec<String>,
}

/// What to mind with a material that conducts or strains differently along and across its sheet.
const DIRECTION: &str = "the sheet has a direction, and no piece is turned: each is given as wide and as high as it \
                         lies on the board; mark which way is up before it is cut off";

/// A board that is cut for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CutBoard {
    /// Its id.
    pub id: String,
    /// The revision that is meant.
    pub revision: Option<String>,
}

/// A zone of a board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CutZone {
    /// The board's id.
    pub board: String,
    /// The zone's id.
    pub zone: String,
    /// Its name in words.
    pub name: String,
}

/// What is cut from one material of one thickness.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CutStock {
    /// The material, a key of the stock; null where the record names none.
    pub pad: Option<String>,
    /// Its name in words.
    pub name: Option<String>,
    /// Its free thickness, mm.
    pub thickness_mm: f64,
    /// The nearest thicknesses that the book knows, mm, where it does not know this one; null where it does.
    pub nearest_mm: Option<Vec<f64>>,
    /// That in words.
    pub unknown_stock: Option<String>,
    /// What to mind where the material must not be turned, in a sentence.
    pub direction: Option<String>,
    /// Width and height of a new sheet, mm.
    pub sheet_mm: [f64; 2],
    /// The pieces, each size of each zone apart.
    pub pieces: Vec<CutPiece>,
    /// New sheets to buy; null where there is no plan.
    pub sheets: Option<usize>,
    /// No plan needs fewer sheets than this.
    pub least_sheets: Option<usize>,
    /// Whether no plan with as few sheets and offcuts leaves a larger single remnant.
    pub remnant_is_proven: bool,
    /// How many cuts there are.
    pub cuts: usize,
    /// No plan from as many sheets and offcuts makes fewer cuts than this.
    pub least_cuts: usize,
    /// How far that is proven best, or why there is no plan, in a sentence.
    pub verdict: String,
    /// Each offcut and sheet that is cut.
    pub layouts: Vec<CutLayout>,
}

/// Pieces of one size for one zone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CutPiece {
    /// The zone.
    #[serde(flatten)]
    pub of: CutZone,
    /// The letter that stands for it in drawings.
    pub letter: String,
    /// Width and height as the first of them lies on the board, mm; others may lie turned by a quarter, where
    /// the material may.
    pub size_mm: [f64; 2],
    /// How many.
    pub count: u32,
    /// How many places each lies over.
    pub places: usize,
}

/// How one sheet or offcut is cut up.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CutLayout {
    /// Whether it is an offcut at hand, and no new sheet.
    pub offcut: bool,
    /// Its width and height, mm.
    pub size_mm: [f64; 2],
    /// The cuts, in the order a person makes them.
    pub cuts: Vec<CutLine>,
    /// The same in sentences, like cuts in a row together.
    pub steps: Vec<CutStep>,
    /// The pieces that come of it.
    pub pieces: Vec<CutPlace>,
    /// What is left over, `[x, y, width, height]`, mm, the largest first.
    pub remnants: Vec<Remnant>,
}

/// One cut, edge to edge.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CutLine {
    /// What is cut, `[x, y, width, height]`, mm from the sheet's lower-left corner.
    pub part_mm: [f64; 4],
    /// Whether the distance is measured from the part's left edge; else from its lower edge.
    pub from_left: bool,
    /// The distance, mm.
    pub at_mm: f64,
}

/// One or several like cuts in a row.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CutStep {
    /// The first cut's number.
    pub first: usize,
    /// The last cut's number.
    pub last: usize,
    /// What to do, in a sentence without a full stop.
    pub says: String,
}

/// A piece in its place on the sheet.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CutPlace {
    /// The letter of the piece.
    pub letter: String,
    /// Whether it lies turned by a quarter.
    pub turned: bool,
    /// Where it lies, `[x, y, width, height]`, mm.
    pub at_mm: [f64; 4],
}

/// What is left over.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Remnant {
    /// Where it lies, `[x, y, width, height]`, mm.
    pub at_mm: [f64; 4],
    /// Whether it is worth keeping.
    pub keep: bool,
}

impl CutFacts {
    /// Plans the cutting of what boards are fitted with, from offcuts at hand and new sheets.
    pub fn of(fits: &[Fit<'_>], cutting: &Cutting, offcuts: &[Offcut], effort: Effort) -> Self {
        let (demands, unknown) = demand(fits);
        let stocks = demands.iter();
        let stocks: Vec<CutStock> = stocks
            .map(|demand| stock(demand, cutting, offcuts, effort))
            .collect();
        let board = |fit: &Fit<'_>| CutBoard {
            id: fit.board.id().to_owned(),
            revision: fit.revision.map(str::to_owned),
        };
        let [width, height] = USUAL_SHEET_MM;
        let assumed = demands.iter().filter_map(|demand| {
            let known = demand.pad.and_then(|pad| pad.sheet_mm);
            let pad = demand.pad.map_or("the pads", |pad| &*pad.name);
            let thickness_mm = demand.thickness_mm;
            let said = || {
                format!("{pad}, {thickness_mm} mm: sheets of {width} × {height} mm, the usual size")
            };
            known.is_none().then(said)
        });
        Self {
            boards: fits.iter().map(board).collect(),
            blade_mm: cutting.blade_mm,
            unknown: unknown.iter().map(unsized_zone).collect(),
            assumed: assumed.collect(),
            stocks,
        }
    }

    /// Tells whether something could not be planned.
    pub fn is_wrong(&self) -> bool {
        self.stocks.iter().any(|stock| stock.sheets.is_none())
    }
}

fn unsized_zone(zone: &Unsized<'_>) -> CutZone {
    CutZone {
        board: zone.board.id().to_owned(),
        zone: zone.board.record.zone[zone.zone].id.clone(),
        name: zone.board.zone_name(zone.zone),
    }
}

fn stock(demand: &Demand<'_>, cutting: &Cutting, at_hand: &[Offcut], effort: Effort) -> CutStock {
    let order = demand.order(&demand.offcuts(at_hand), cutting.blade_mm);
    let planned = plan(&order, effort);
    let wanted = demand.wanted.iter().enumerate();
    let pieces = wanted.map(|(index, wanted)| CutPiece {
        letter: letter(index),
        of: CutZone {
            board: wanted.board.id().to_owned(),
            zone: wanted.board.record.zone[wanted.zone].id.clone(),
            name: wanted.board.zone_name(wanted.zone),
        },
        size_mm: wanted.size_mm,
        count: wanted.count,
        places: wanted.places,
    });
    let pieces: Vec<CutPiece> = pieces.collect();
    let verdict = match &planned {
        Ok(plan) => plan.in_words(),
        Err(refusal) => refusal.in_words(&pieces, demand.sheet_mm()),
    };
    let plan = planned.as_ref().ok();
    let layouts = plan.map_or(&[][..], |plan| &plan.layouts);
    let stock = |source| match source {
        Source::Sheet => order.sheet,
        Source::Offcut(at) => order.offcuts[at],
    };
    let layouts = layouts.iter().map(|one| {
        let size = stock(one.source);
        let size_mm = [millimetres(size.width), millimetres(size.height)];
        layout(one, size_mm, cutting.keep_mm)
    });
    CutStock {
        pad: demand.pad.map(|pad| pad.id.clone()),
        name: demand.pad.map(|pad| pad.name.clone()),
        thickness_mm: demand.thickness_mm,
        nearest_mm: demand.nearest_mm.clone(),
        unknown_stock: demand.nearest_mm.as_ref().map(|nearest_mm| {
            let pad = demand.pad.map(|pad| &*pad.id);
            not_stocked(pad, demand.thickness_mm, nearest_mm)
        }),
        direction: (!order.may_turn).then(|| DIRECTION.to_owned()),
        sheet_mm: demand.sheet_mm(),
        pieces,
        sheets: plan.map(Plan::sheets),
        least_sheets: plan.map(|plan| plan.least_sheets),
        remnant_is_proven: plan.is_some_and(|plan| plan.remnant_is_proven),
        cuts: plan.map_or(0, Plan::cuts),
        least_cuts: plan.map_or(0, |plan| plan.least_cuts),
        verdict,
        layouts: layouts.collect(),
    }
}

fn layout(layout: &Layout, size_mm: [f64; 2], keep_mm: f64) -> CutLayout {
    let line = |cut: &Cut| CutLine {
        part_mm: rect(&cut.part),
        from_left: cut.axis == Axis::X,
        at_mm: millimetres(cut.at),
    };
    let place = |placed: &Placed| CutPlace {
        letter: letter(placed.piece),
        turned: placed.turned,
        at_mm: rect(&placed.patch),
    };
    let remnant = |patch: &Patch| Remnant {
        at_mm: rect(patch),
        keep: millimetres(patch.size.width.min(patch.size.height)) >= keep_mm,
    };
    let cuts: Vec<CutLine> = layout.cuts.iter().map(line).collect();
    CutLayout {
        offcut: layout.source != Source::Sheet,
        size_mm,
        steps: steps(&cuts),
        cuts,
        pieces: layout.pieces.iter().map(place).collect(),
        remnants: layout.remnants.iter().map(remnant).collect(),
    }
}

fn rect(patch: &Patch) -> [f64; 4] {
    [patch.x, patch.y, patch.size.width, patch.size.height].map(millimetres)
}
