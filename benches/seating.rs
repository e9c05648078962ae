//! One cooler on a die and forty pads: how long it takes to say where it comes to rest.

use divan::{Bencher, black_box};
use gapbook::stack::{Law, PadCurve, PadLaw, PasteLaw, Plate, Problem, Screw, Support};
use gapbook::units::{Point, Rect};

fn main() {
    divan::main();
}

/// Returns a die at the origin, ringed by forty pads of a few thicknesses, under four uneven screws.
fn board(curve: &PadCurve) -> Problem<'_> {
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
    let pads = (0..40_u8).map(|index| {
        let (column, row) = (f64::from(index % 8), f64::from(index / 8));
        let thickness_mm = [1.0, 1.5, 2.0][usize::from(index % 3)];
        Support {
            place: Rect {
                x: 14.0 * column - 55.0,
                y: 16.0 * row - 39.0,
                width: 12.0,
                height: 14.0,
            },
            face_mm: 2.42 - 0.88 * thickness_mm,
            law: Law::Pad(PadLaw::new(curve, thickness_mm).expect("positive")),
        }
    });
    let screw = |x, y, force_n| Screw {
        at: Point { x, y },
        force_n,
    };
    Problem {
        origin: Point { x: 0.0, y: 0.0 },
        supports: std::iter::once(die).chain(pads).collect(),
        screws: vec![
            screw(-30.0, -30.0, 60.0),
            screw(30.0, -30.0, 55.0),
            screw(30.0, 30.0, 62.0),
            screw(-30.0, 30.0, 58.0),
        ],
        stops: Vec::new(),
    }
}

fn soft() -> PadCurve {
    PadCurve::new(&[
        [0.1, 20.0],
        [0.2, 48.0],
        [0.3, 95.0],
        [0.4, 180.0],
        [0.5, 340.0],
    ])
    .expect("rises")
}

#[divan::bench]
fn cold(bencher: Bencher<'_, '_>) {
    let curve = soft();
    let problem = board(&curve);
    bencher.bench_local(|| black_box(&problem).solve());
}

/// From the answer of a board that differs by the tolerances, as when a yield is sampled.
#[divan::bench]
fn warm(bencher: Bencher<'_, '_>) {
    let curve = soft();
    let problem = board(&curve);
    let mut start: Plate = problem.solve().expect("balances").plate;
    start.separation_mm += 0.003;
    start.tilt[0] += 1e-5;
    bencher.bench_local(|| black_box(&problem).solve_from(black_box(&start)));
}
