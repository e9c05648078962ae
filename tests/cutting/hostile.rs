//! Orders that nobody should send: each gets a refusal or a bounded answer.

use gapbook::cutting::{
    Cut, Effort, Layout, MOST_PIECES, Order, Patch, Piece, Placed, Plan, Refusal, Size, Source,
    Wrong, check, plan,
};

use crate::order;

fn refused(order: &Order) -> Refusal {
    plan(order, Effort::BRIEF).expect_err("refused")
}

#[test]
fn a_piece_larger_than_any_sheet_is_refused() {
    let larger = order([100, 100], &[[10, 10, 3], [120, 20, 1]]);
    assert_eq!(refused(&larger), Refusal::FitsNoSheet(1), "longer");
    let mut turned = order([100, 50], &[[40, 80, 1]]);
    assert!(plan(&turned, Effort::BRIEF).is_ok(), "it fits when turned");
    turned.may_turn = false;
    assert_eq!(refused(&turned), Refusal::FitsNoSheet(0), "as it lies");
}

#[test]
fn no_length_is_no_order() {
    assert_eq!(
        refused(&order([100, 100], &[[0, 10, 1]])),
        Refusal::NotALength(0),
        "piece"
    );
    assert_eq!(
        refused(&order([0, 100], &[])),
        Refusal::NotALength(0),
        "sheet"
    );
    let huge = u32::MAX;
    assert_eq!(
        refused(&order([huge, huge], &[])),
        Refusal::NotALength(huge),
        "sheet"
    );
}

#[test]
fn nothing_wanted_needs_nothing() {
    for pieces in [&[][..], &[[10, 10, 0]]] {
        let empty = order([100, 100], pieces);
        let plan = plan(&empty, Effort::BRIEF).expect("a plan");
        assert!(plan.layouts.is_empty() && plan.is_proven(), "{plan:?}");
    }
}

#[test]
fn a_blade_thicker_than_a_piece_costs_what_it_costs() {
    let mut thick = order([100, 100], &[[10, 10, 4]]);
    thick.kerf = 40;
    let found = plan(&thick, Effort::BRIEF).expect("a plan");
    assert_eq!(check(&thick, &found), Ok(()), "follows");
    assert_eq!(found.sheets(), 1, "two by two, 40 between them");
    thick.kerf = 200;
    let found = plan(&thick, Effort::BRIEF).expect("a plan");
    assert_eq!(found.sheets(), 4, "one from each sheet");
}

#[test]
fn a_million_pieces_are_refused_and_many_are_bounded() {
    let million = order([100, 100], &[[1, 1, 1_000_000]]);
    assert_eq!(refused(&million), Refusal::TooMany(1_000_000), "too many");
    let count = u32::try_from(MOST_PIECES).expect("few");
    let many = order([100, 100], &[[9, 7, count / 2], [13, 11, count / 2]]);
    let found = plan(&many, Effort::BRIEF).expect("a plan");
    assert_eq!(check(&many, &found), Ok(()), "follows");
    assert!(
        found.sheets() * 100 <= found.least_sheets * 130,
        "{}",
        found.sheets()
    );
}

#[test]
fn lengths_that_share_no_step_are_planned_and_bounded() {
    let kinds: Vec<[u32; 3]> = (0..30)
        .map(|n| [3_001 + 97 * n, 9_973 - 211 * n, 4])
        .collect();
    let whole = [[10_007, 9_973, 2], [10_007, 1, 1], [1, 1, 50]];
    let odd = order([10_007, 9_973], &[&kinds[..], &whole].concat());
    let found = plan(&odd, Effort::BRIEF).expect("a plan");
    assert_eq!(check(&odd, &found), Ok(()), "follows");
    assert!(
        found.sheets() < 3 * found.least_sheets,
        "{}",
        found.sheets()
    );
}

#[test]
fn a_long_narrow_sheet_is_planned() {
    let narrow = order([100_000, 1_000], &[[1_000, 1_000, 300], [1_000, 990, 200]]);
    let found = plan(&narrow, Effort::BRIEF).expect("a plan");
    assert_eq!(check(&narrow, &found), Ok(()), "follows");
    assert_eq!(found.sheets(), 5, "a hundred pieces a sheet");
}

#[test]
fn thousands_of_sizes_are_planned_and_bounded() {
    let sizes = (0..2_000).map(|n| [20 + n % 50, 20 + n / 50, 1]);
    let mut many = order([10_000, 10_000], &sizes.collect::<Vec<_>>());
    let few_cells = Effort {
        search: 20_000,
        ..Effort::BRIEF
    };
    let found = plan(&many, few_cells).expect("a plan");
    assert_eq!(check(&many, &found), Ok(()), "follows");
    many.offcuts = vec![Size::new(9_000, 9_000)];
    let found = plan(&many, few_cells).expect("a plan");
    assert_eq!(
        check(&many, &found),
        Ok(()),
        "follows with more offcuts than pieces"
    );
}

/// Two pieces side by side on one sheet, as a plan says it.
fn two() -> (Order, Plan) {
    let order = order([100, 50], &[[60, 50, 1], [40, 30, 1]]);
    let plan = plan(&order, Effort::BRIEF).expect("a plan");
    (order, plan)
}

fn spoiled(spoil: impl Fn(&mut Layout)) -> Result<(), Wrong> {
    let (order, mut plan) = two();
    spoil(&mut plan.layouts[0]);
    check(&order, &plan)
}

#[test]
fn the_proof_fails_on_every_kind_of_lie() {
    let (order, plan) = two();
    assert_eq!(check(&order, &plan), Ok(()), "as it is");
    let outside = spoiled(|layout| layout.cuts[0].at = 100);
    assert_eq!(outside, Err(Wrong::CannotCut(0, 0)), "a cut outside");
    let early = spoiled(|layout| layout.cuts.reverse());
    assert_eq!(
        early,
        Err(Wrong::CannotCut(0, 0)),
        "a cut through what is not freed yet"
    );
    let short = spoiled(|layout| layout.remnants.clear());
    assert_eq!(
        short,
        Err(Wrong::OtherParts(0)),
        "a remnant that is not told"
    );
    let moved = spoiled(|layout| layout.pieces[0].patch.x += 1);
    assert_eq!(moved, Err(Wrong::OtherParts(0)), "a piece elsewhere");
    let other = spoiled(|layout| layout.pieces[0].piece = 1 - layout.pieces[0].piece);
    assert_eq!(
        other,
        Err(Wrong::NotItsSize(0, 0)),
        "a piece of another name"
    );
    let none = spoiled(|layout| layout.source = Source::Offcut(0));
    assert_eq!(
        none,
        Err(Wrong::NoSuchOffcut(0)),
        "an offcut that there is not"
    );
    let missing = Order {
        pieces: vec![
            Piece {
                count: 2,
                ..order.pieces[0]
            },
            order.pieces[1],
        ],
        ..order.clone()
    };
    assert_eq!(
        check(&missing, &plan),
        Err(Wrong::OtherCount(0, 2, 1)),
        "one missing"
    );
    let proud = Plan {
        least_sheets: 2,
        ..plan
    };
    assert_eq!(
        check(&order, &proud),
        Err(Wrong::BelowBound),
        "better than possible"
    );
}

/// Four pieces round a fifth, like the vanes of a pinwheel: no cut goes edge to edge.
#[test]
fn a_pinwheel_is_no_plan() {
    let order = order([100, 100], &[[60, 40, 2], [40, 60, 2], [20, 20, 1]]);
    let at = |piece, x, y, [width, height]: [u32; 2]| Placed {
        piece,
        turned: false,
        patch: Patch {
            x,
            y,
            size: Size::new(width, height),
        },
    };
    let pieces = vec![
        at(0, 0, 0, [60, 40]),
        at(1, 60, 0, [40, 60]),
        at(0, 40, 60, [60, 40]),
        at(1, 0, 40, [40, 60]),
        at(2, 40, 40, [20, 20]),
    ];
    let cut = Cut {
        part: Patch::whole(Size::new(100, 100)),
        axis: gapbook::cutting::Axis::X,
        at: 60,
    };
    for cuts in [vec![], vec![cut]] {
        let layout = Layout {
            source: Source::Sheet,
            cuts,
            pieces: pieces.clone(),
            remnants: Vec::new(),
        };
        let plan = Plan {
            layouts: vec![layout],
            least_sheets: 1,
            remnant_is_proven: false,
            least_cuts: 0,
        };
        assert_eq!(
            check(&order, &plan),
            Err(Wrong::OtherParts(0)),
            "a pinwheel"
        );
    }
}
