//! One cooler on a die and many pads: how long it takes to say where it comes to rest.

use divan::{Bencher, black_box};
use gapbook::stack::{Law, PadCurve, PadLaw, PasteLaw, Problem, Screw, Support};
use gapbook::units::{Point, Rect};

fn main() {
    divan::main();
}

/// Returns a die at the origin among pads of a few thicknesses, under four uneven screws.
fn board(curve: &PadCurve, pads: u16) -> Problem<'_> {
    let die = Support {
        place: Rect {
            x: -12.0,
            y: -15.0,
            width: 24.0,
            height: 30.0,
        },
        face_mm: 2.4,
        law: Law::Paste(PasteLaw::new(100.0).expect("positive")),
    };
    let rows = pads.div_ceil(8);
    let pads = (0..pads).map(|index| {
        let (column, row) = (f64::from(index % 8), f64::from(index / 8));
        let thickness_mm = [1.0, 1.5, 2.0][usize::from(index % 3)];
        let lowest = -8.0 * f64::from(rows);
        Support {
            place: Rect {
                x: 14.0 * column - 55.0,
                y: 16.0 * row + lowest,
                width: 12.0,
                height: 14.0,
            },
            face_mm: 2.42 - 0.88 * thickness_mm,
            law: Law::Pad(PadLaw::new(curve, thickness_mm).expect("positive")),
        }
    });
    let screw = |x, y, share| Screw {
        at: Point { x, y },
        force_n: share * (40.0 + 4.0 * f64::from(rows) * 8.0),
    };
    Problem {
        origin: Point { x: 0.0, y: 0.0 },
        supports: std::iter::once(die).chain(pads).collect(),
        screws: vec![
            screw(-30.0, -30.0, 0.30),
            screw(30.0, -30.0, 0.28),
            screw(30.0, 30.0, 0.31),
            screw(-30.0, 30.0, 0.29),
        ],
        stops: Vec::new(),
    }
}

#[divan::bench(args = [40, 400, 10_000])]
fn pieces(bencher: Bencher<'_, '_>, pads: u16) {
    let table = [
        [0.1, 20.0],
        [0.2, 48.0],
        [0.3, 95.0],
        [0.4, 180.0],
        [0.5, 340.0],
    ];
    let curve = PadCurve::new(&table).expect("rises");
    let problem = board(&curve, pads);
    problem.solve().expect("balances");
    bencher.bench_local(|| black_box(&problem).solve());
}
