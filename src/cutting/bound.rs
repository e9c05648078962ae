//! What no plan can beat: lower bounds on the sheets and on the cuts.

use std::collections::BTreeSet;

use super::order::{Order, Size};

/// Thresholds that are tried a direction, by how many kinds there are: the bound looks at all kinds for
/// each two of them.
const MOST_THRESHOLDS: usize = 48;
const FEWEST_THRESHOLDS: usize = 4;
const THRESHOLDS_BY_KINDS: usize = 4_000;

/// A way to weigh lengths so that what fits side by side in the whole never weighs more than the whole:
/// a dual feasible function.
#[derive(Clone, Copy, Debug)]
enum Weigh {
    /// Each length as it is, but those under a threshold nothing, and those so long that only such fit
    /// beside them the whole.
    Rounded(u32),
    /// Each length by how many thresholds it spans; the longer half rounded up, the shorter down.
    Counted(u32),
}

impl Weigh {
    fn of(self, length: u32, whole: u32) -> u64 {
        let (length, whole) = (u64::from(length), u64::from(whole));
        match self {
            Self::Rounded(least) => {
                let least = u64::from(least);
                if length < least {
                    0
                } else if length + least > whole {
                    whole
                } else {
                    length
                }
            }
            Self::Counted(step) => {
                let spans = |length: u64| length / u64::from(step);
                match (2 * length).cmp(&whole) {
                    std::cmp::Ordering::Greater => 2 * (spans(whole) - spans(whole - length)),
                    std::cmp::Ordering::Equal => spans(whole),
                    std::cmp::Ordering::Less => 2 * spans(length),
                }
            }
        }
    }

    /// Returns the ways worth trying: thresholds at which some length changes its weight.
    fn all(lengths: &[u32], whole: u32) -> Vec<Self> {
        let most = THRESHOLDS_BY_KINDS / lengths.len().max(1);
        let most = most.clamp(FEWEST_THRESHOLDS, MOST_THRESHOLDS);
        let thresholds: BTreeSet<u32> = lengths
            .iter()
            .flat_map(|&length| [length, whole.saturating_sub(length) + 1])
            .filter(|&one| one > 1 && one <= whole / 2)
            .collect();
        let every = thresholds.len().div_ceil(most).max(1);
        let thinned = thresholds.into_iter().step_by(every);
        let both = thinned.flat_map(|one| [Self::Rounded(one), Self::Counted(one)]);
        std::iter::once(Self::Rounded(1)).chain(both).collect()
    }
}

/// Returns a number of new sheets that no plan of a grown order can do with less than.
///
/// The weights hold for any way to lay rectangles without overlap, edge-to-edge cuts or not. A piece
/// that may be turned counts with the lighter of its two ways. An offcut holds at most its area, and,
/// where it is no larger than a sheet, at most what a sheet holds.
///
/// # References
/// Fekete and Schepers (2004), *A general framework for bounds for higher-dimensional orthogonal
/// packing problems*, for the method; the functions are u⁽ᵏ⁾'s rounded form and Carlier, Clautiaux and
/// Moukrim's f₂ (2007). From memory.
pub(super) fn least_sheets(order: &Order) -> usize {
    let sheet = order.sheet;
    let lengths = |of: fn(Size) -> u32| -> Vec<u32> {
        let sizes = order.pieces.iter().map(|piece| piece.size);
        let ways = sizes.flat_map(|size| order.ways(size));
        ways.map(|(_, way)| of(way)).collect()
    };
    let widths = lengths(|size| size.width);
    let heights = lengths(|size| size.height);
    let ups = Weigh::all(&heights, sheet.height);
    let within = order.offcuts.iter().all(|&size| order.fits(size, sheet));
    let by_weight = Weigh::all(&widths, sheet.width)
        .into_iter()
        .flat_map(|across| ups.iter().map(move |&up| (across, up)))
        .map(|ways| weight(order, ways).saturating_sub(order.offcuts.len() as u64))
        .max();
    let of_pieces = order
        .pieces
        .iter()
        .map(|one| one.size.area() * u64::from(one.count));
    let of_offcuts: u64 = order.offcuts.iter().map(|size| size.area()).sum();
    let rest = of_pieces.sum::<u64>().saturating_sub(of_offcuts);
    let by_area = rest.div_ceil(sheet.area());
    let least = by_area.max(by_weight.filter(|_| within).unwrap_or(0));
    usize::try_from(least).expect("invariant: no more sheets than pieces")
}

/// Returns how many wholes the pieces weigh together, rounded up.
fn weight(order: &Order, (across, up): (Weigh, Weigh)) -> u64 {
    let sheet = order.sheet;
    let of = |size: Size| across.of(size.width, sheet.width) * up.of(size.height, sheet.height);
    let lightest = |size: Size| {
        let ways = order.ways(size).filter(|(_, way)| sheet.holds(*way));
        ways.map(|(_, way)| of(way)).min().unwrap_or(0)
    };
    let each = order.pieces.iter();
    let total: u64 = each
        .map(|one| lightest(one.size) * u64::from(one.count))
        .sum();
    total.div_ceil(of(sheet).max(1))
}

/// Returns a number of cuts that no plan from this stock, in grown sizes, can do with less than.
///
/// A cut makes one rectangle more, so a plan has as many cuts as pieces and leftovers together, less one
/// for each sheet or offcut it began with. If the areas are not the same, at least one is left over.
pub(super) fn least_cuts(order: &Order, stock: &[Size]) -> usize {
    let of_stock: u64 = stock.iter().map(|size| size.area()).sum();
    let each = order.pieces.iter();
    let of_pieces: u64 = each.map(|one| one.size.area() * u64::from(one.count)).sum();
    let leftover = usize::from(of_stock > of_pieces);
    let pieces = usize::try_from(order.count()).expect("invariant: few pieces");
    (pieces + leftover).saturating_sub(stock.len())
}
