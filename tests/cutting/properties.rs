//! What every plan keeps to, whatever is asked.

use gapbook::cutting::{Effort, Order, Plan, Size, check, plan};
use proptest::prelude::*;

use crate::order;

/// Little enough for many cases, and both ways to a plan are taken.
const EFFORT: Effort = Effort {
    exact: 3_000,
    cuts: 100,
    search: 6_000,
};

fn orders() -> impl Strategy<Value = Order> {
    let sheet = [20_u32..=60, 20_u32..=60];
    sheet.prop_flat_map(|sheet| {
        let piece = [1..=sheet[0], 1..=sheet[1], 1..=6];
        let pieces = prop::collection::vec(piece, 1..9);
        let offcuts = prop::collection::vec([1..=sheet[0], 1..=sheet[1]], 0..3);
        (pieces, offcuts, any::<bool>(), 0_u32..3).prop_map(
            move |(pieces, offcuts, may_turn, kerf)| Order {
                offcuts: offcuts
                    .iter()
                    .map(|&[width, height]| Size::new(width, height))
                    .collect(),
                may_turn,
                kerf,
                ..order(sheet, &pieces)
            },
        )
    })
}

fn planned(order: &Order) -> Plan {
    let plan = plan(order, EFFORT).expect("pieces fit");
    assert_eq!(check(order, &plan), Ok(()), "{order:?}");
    plan
}

/// Rows of pieces, the highest first, each row filled until the next piece does not fit: next fit by
/// decreasing height.
fn sheets_in_rows(order: &Order) -> usize {
    let kerf = order.kerf;
    let mut sizes: Vec<Size> = order
        .pieces
        .iter()
        .flat_map(|piece| std::iter::repeat_n(piece.size, piece.count as usize))
        .collect();
    sizes.sort_by_key(|size| std::cmp::Reverse(size.height));
    let (mut sheets, mut used, mut row, mut filled) = (1, 0, 0, 0);
    for size in sizes {
        if row == 0 || filled + size.width > order.sheet.width {
            let below = if row == 0 { 0 } else { used + row + kerf };
            (used, row, filled) = (below, size.height, 0);
            if used + row > order.sheet.height {
                sheets += 1;
                used = 0;
            }
        }
        filled += size.width + kerf;
    }
    sheets
}

fn scaled(order: &Order, by: u32) -> Order {
    let size = |size: Size| Size::new(size.width * by, size.height * by);
    let mut order = order.clone();
    order.sheet = size(order.sheet);
    order
        .offcuts
        .iter_mut()
        .for_each(|offcut| *offcut = size(*offcut));
    order
        .pieces
        .iter_mut()
        .for_each(|piece| piece.size = size(piece.size));
    order.kerf *= by;
    order
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn never_worse_than_rows(order in orders()) {
        let plan = planned(&order);
        prop_assert!(plan.sheets() <= sheets_in_rows(&order), "{} in rows", sheets_in_rows(&order));
    }

    #[test]
    fn scaling_all_lengths_scales_the_plan(order in orders(), by in 2_u32..50) {
        let (one, other) = (planned(&order), planned(&scaled(&order, by)));
        prop_assert_eq!(one.layouts.len(), other.layouts.len());
        for (one, other) in one.layouts.iter().zip(&other.layouts) {
            prop_assert_eq!(one.source, other.source);
            let places = one.pieces.iter().map(|placed| {
                let patch = placed.patch;
                (placed.piece, placed.turned, patch.x * by, patch.y * by)
            });
            let others = other.pieces.iter().map(|placed| {
                (placed.piece, placed.turned, placed.patch.x, placed.patch.y)
            });
            prop_assert!(places.eq(others));
        }
        prop_assert_eq!(one.largest_remnant() * u64::from(by) * u64::from(by), other.largest_remnant());
    }

    #[test]
    fn an_offcut_more_never_needs_more_sheets(order in orders(), size in [1_u32..60, 1_u32..60]) {
        let mut more = order.clone();
        more.offcuts.push(Size::new(size[0], size[1]));
        prop_assert!(planned(&more).sheets() <= planned(&order).sheets());
    }

    #[test]
    fn areas_add_up(order in orders()) {
        let order = Order { kerf: 0, ..order };
        for layout in planned(&order).layouts {
            let stock = match layout.source {
                gapbook::cutting::Source::Sheet => order.sheet,
                gapbook::cutting::Source::Offcut(at) => order.offcuts[at],
            };
            let pieces = layout.pieces.iter().map(|placed| placed.patch.size.area());
            let remnants = layout.remnants.iter().map(|patch| patch.size.area());
            prop_assert_eq!(pieces.chain(remnants).sum::<u64>(), stock.area());
        }
    }
}
