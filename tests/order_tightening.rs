//! Crossing sequences against the published star patterns, and against every other sequence.

use gapbook::order::{MOST_CROSSED, tightening};
use gapbook::units::Point;
use proptest::prelude::*;

const CENTRE: Point = Point { x: 50.0, y: 40.0 };

/// Returns so many screws on a circle, numbered clockwise from the top.
fn circle(count: u32) -> Vec<Point> {
    let screw = |number: u32| {
        let angle = std::f64::consts::TAU * f64::from(number) / f64::from(count);
        Point {
            x: CENTRE.x + 30.0 * angle.sin(),
            y: CENTRE.y + 30.0 * angle.cos(),
        }
    };
    (0..count).map(screw).collect()
}

/// ASME PCC-1, table 4 (from memory), bolts numbered clockwise.
const PUBLISHED: &[&[usize]] = &[
    &[1, 3, 2, 4],
    &[1, 5, 3, 7, 2, 6, 4, 8],
    &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12],
    &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
    &[
        1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19,
    ],
    &[
        1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24,
    ],
];

#[test]
fn circles_have_the_published_sequences() {
    for published in PUBLISHED {
        let count = u32::try_from(published.len()).expect("few");
        let found = tightening(&circle(count), CENTRE);
        let found: Vec<usize> = found.into_iter().map(|screw| screw + 1).collect();
        assert_eq!(found, *published, "{count} screws");
    }
}

/// Returns how far from the centre the screws that are tight pull together, mm: the distance of their
/// centroid.
fn imbalance_mm(tight: &[Point], centre: Point) -> f64 {
    let [x, y] = tight.iter().fold([0.0; 2], |[x, y], screw| {
        [x + screw.x - centre.x, y + screw.y - centre.y]
    });
    #[expect(clippy::cast_precision_loss, reason = "screws are few")]
    let count = tight.len().max(1) as f64;
    x.hypot(y) / count
}

/// |centroid| / R after bolt 1, 2, 3, 4, 5 … = 1, 0, 1/3, 0, 1/5, 0 …
#[test]
fn circles_pull_at_the_centre_after_every_second_screw() {
    for count in [4, 8, 12, 16, 20, 24] {
        let screws = circle(count);
        let order = tightening(&screws, CENTRE);
        for tight in 1..=screws.len() {
            let these: Vec<Point> = order[..tight].iter().map(|&screw| screws[screw]).collect();
            let expected = match u32::try_from(tight).expect("few") {
                odd if odd % 2 == 1 => 30.0 / f64::from(odd),
                _ => 0.0,
            };
            let found = imbalance_mm(&these, CENTRE);
            assert!((found - expected).abs() < 1e-9, "{count}, {tight}: {found}");
        }
    }
}

/// Four screws in an X about a die, whatever their order in the record (common practice).
#[test]
fn a_rectangle_is_crossed() {
    let corners = [[96.0, 31.0], [148.0, 31.0], [96.0, 83.0], [148.0, 83.0]].map(Point::from);
    let die = Point { x: 122.0, y: 57.0 };
    assert_eq!(tightening(&corners, die), [0, 3, 2, 1], "corner to corner");
    let wide = corners.map(|at| Point {
        x: 2.0 * at.x,
        ..at
    });
    let die = Point { x: 244.0, y: 57.0 };
    assert_eq!(
        tightening(&wide, die),
        [0, 3, 1, 2],
        "not on a circle's square"
    );
}

#[test]
fn few_or_none_are_ordered_too() {
    assert_eq!(tightening(&[], CENTRE), [0; 0], "none");
    assert_eq!(tightening(&[CENTRE], CENTRE), [0], "at the centre itself");
    assert_eq!(tightening(&[CENTRE; 4], CENTRE), [0, 1, 2, 3], "all in one");
}

/// A hostile record may give thousands: they keep its order, at once.
#[test]
fn too_many_keep_their_order() {
    let count = 2000;
    let screws: Vec<Point> = (0..count)
        .map(|number| Point::from([f64::from(number % 50), f64::from(number * 7 % 61)]))
        .collect();
    assert!(screws.len() > MOST_CROSSED, "too many");
    let order = tightening(&screws, CENTRE);
    assert!(order.into_iter().eq(0..screws.len()), "as given");
}

/// Every way to tighten screws by pairs, the two of a pair in either order.
fn every_pairing(left: &[usize]) -> Vec<Vec<usize>> {
    if left.len() < 2 {
        return vec![left.to_vec()];
    }
    let mut found = Vec::new();
    for (position, &first) in left.iter().enumerate() {
        for &second in &left[position + 1..] {
            let rest: Vec<usize> = left
                .iter()
                .copied()
                .filter(|&screw| screw != first && screw != second)
                .collect();
            for more in every_pairing(&rest) {
                found.push([&[first, second][..], &more].concat());
            }
        }
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn the_imbalance_after_each_even_screw_is_least(
        points in prop::collection::vec([0.0..100.0_f64, 0.0..80.0_f64], 2..=8),
    ) {
        let screws: Vec<Point> = points.into_iter().map(Point::from).collect();
        let after_pairs = |order: &[usize]| -> Vec<f64> {
            let tight = |count: usize| {
                let these: Vec<Point> = order[..count].iter().map(|&screw| screws[screw]).collect();
                imbalance_mm(&these, CENTRE)
            };
            (2..=order.len()).step_by(2).map(tight).collect()
        };
        let found = after_pairs(&tightening(&screws, CENTRE));
        let all: Vec<usize> = (0..screws.len()).collect();
        for other in every_pairing(&all) {
            let other = after_pairs(&other);
            let differs = found.iter().zip(&other).find(|(ours, theirs)| (*ours - *theirs).abs() > 1e-6);
            if let Some((ours, theirs)) = differs {
                prop_assert!(ours < theirs, "{found:?} against {other:?}");
            }
        }
    }
}
