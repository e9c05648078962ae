//! Proves a plan by following it: whatever made it, it is right if this finds nothing.

use std::collections::BTreeMap;
use std::fmt;

use super::order::{Order, Size};
use super::plan::{Cut, Layout, Patch, Plan, Source};

/// What is wrong with a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// A layout, by position, is cut from an offcut that there is not, or that is used up.
    NoSuchOffcut(usize),
    /// A cut, by layout and position, does not go through a rectangle that is there, or not inside it.
    CannotCut(usize, usize),
    /// What the cuts leave of a layout is not what it says: its pieces and its remnants.
    OtherParts(usize),
    /// A piece of a layout, by layout and position, has not its size.
    NotItsSize(usize, usize),
    /// One of the order's pieces comes as often as the second number, not the first.
    OtherCount(usize, u32, u32),
    /// The plan needs fewer sheets than it says that any plan needs, or makes fewer cuts.
    BelowBound,
}

/// Follows a plan cut by cut and returns what is wrong with it.
///
/// Each stock begins as one rectangle. A cut must go edge to edge through a rectangle that is there and
/// leaves one on either side of the blade. What is there in the end must be the pieces and the remnants
/// and nothing else, so that no two can overlap, none can lie outside, and the areas add up.
///
/// # Errors
/// The first [`Wrong`] that it meets.
pub fn check(order: &Order, plan: &Plan) -> Result<(), Wrong> {
    let mut offcuts: Vec<Option<Size>> = order.offcuts.iter().copied().map(Some).collect();
    let mut counts = vec![0; order.pieces.len()];
    for (index, layout) in plan.layouts.iter().enumerate() {
        let stock = match layout.source {
            Source::Sheet => order.sheet,
            Source::Offcut(at) => offcuts
                .get_mut(at)
                .and_then(Option::take)
                .ok_or(Wrong::NoSuchOffcut(index))?,
        };
        follow(order, (index, layout), stock)?;
        for (position, placed) in layout.pieces.iter().enumerate() {
            let wanted = order.pieces.get(placed.piece).map(|piece| piece.size);
            let turned = placed.turned && order.may_turn;
            let wanted = wanted.map(|size| if turned { size.turned() } else { size });
            if wanted != Some(placed.patch.size) || placed.turned != turned {
                return Err(Wrong::NotItsSize(index, position));
            }
            counts[placed.piece] += 1;
        }
    }
    for (index, (piece, count)) in order.pieces.iter().zip(counts).enumerate() {
        if piece.count != count {
            return Err(Wrong::OtherCount(index, piece.count, count));
        }
    }
    if plan.sheets() < plan.least_sheets || plan.cuts() < plan.least_cuts {
        return Err(Wrong::BelowBound);
    }
    Ok(())
}

/// Makes a layout's cuts one after the other.
fn follow(order: &Order, (index, layout): (usize, &Layout), stock: Size) -> Result<(), Wrong> {
    let mut parts = BTreeMap::from([(Patch::whole(stock), 1)]);
    for (position, cut) in layout.cuts.iter().enumerate() {
        let halves = halves(cut, order.kerf).filter(|_| take(&mut parts, cut.part));
        let halves = halves.ok_or(Wrong::CannotCut(index, position))?;
        for half in halves.into_iter().flatten() {
            *parts.entry(half).or_insert(0) += 1;
        }
    }
    let pieces = layout.pieces.iter().map(|placed| placed.patch);
    let said = pieces.chain(layout.remnants.iter().copied());
    for patch in said {
        if !take(&mut parts, patch) {
            return Err(Wrong::OtherParts(index));
        }
    }
    if parts.is_empty() {
        Ok(())
    } else {
        Err(Wrong::OtherParts(index))
    }
}

/// Returns what a cut leaves on either side of the blade; beyond it, perhaps nothing.
fn halves(cut: &Cut, kerf: u32) -> Option<[Option<Patch>; 2]> {
    let whole = cut.part.size.along(cut.axis);
    let beyond = cut.at.saturating_add(kerf);
    (0 < cut.at && cut.at < whole).then(|| {
        let rest = (beyond < whole).then(|| cut.part.slice(cut.axis, beyond, whole));
        [Some(cut.part.slice(cut.axis, 0, cut.at)), rest]
    })
}

/// Takes a part from those that are there, if it is.
fn take(parts: &mut BTreeMap<Patch, u32>, part: Patch) -> bool {
    match parts.get_mut(&part) {
        None => false,
        Some(count) => {
            *count -= 1;
            if *count == 0 {
                parts.remove(&part);
            }
            true
        }
    }
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchOffcut(layout) => write!(f, "layout {layout} has no offcut"),
            Self::CannotCut(layout, cut) => {
                write!(f, "cut {cut} of layout {layout} goes through no part")
            }
            Self::OtherParts(layout) => {
                write!(f, "layout {layout} leaves other parts than it says")
            }
            Self::NotItsSize(layout, piece) => {
                write!(f, "piece {piece} of layout {layout} has another size")
            }
            Self::OtherCount(piece, wanted, cut) => {
                write!(
                    f,
                    "piece {piece} is wanted {wanted} times and cut {cut} times"
                )
            }
            Self::BelowBound => write!(f, "the plan is better than it says any can be"),
        }
    }
}
