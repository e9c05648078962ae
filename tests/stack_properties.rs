//! What must hold for any board: balance, symmetry, one answer, and a clear word where there is
//! none.

use gapbook::stack::{
    Domain, Foundation, Law, PadCurve, PadLaw, PasteLaw, Plate, Problem, Reaction, Screw, Seating,
    Stop, Support, held,
};
use gapbook::units::{Point, Rect};
use proptest::prelude::*;

const ORIGIN: Point = Point { x: 0.0, y: 0.0 };

/// What lies in a gap, without borrowing its curve.
#[derive(Clone, Copy, Debug)]
enum Filling {
    Pad { thickness_mm: f64, firm: bool },
    Paste { yield_pa: f64 },
    Spring(Foundation),
}

#[derive(Clone, Debug)]
struct Board {
    supports: Vec<(Rect, f64, Filling)>,
    screws: Vec<Screw>,
    stops: Vec<Stop>,
}

fn curve(firm: bool) -> PadCurve {
    let table: &[[f64; 2]] = if firm {
        &[[0.05, 40.0], [0.10, 95.0], [0.20, 260.0], [0.30, 700.0]]
    } else {
        &[
            [0.1, 20.0],
            [0.2, 48.0],
            [0.3, 95.0],
            [0.4, 180.0],
            [0.5, 340.0],
        ]
    };
    PadCurve::new(table).expect("rises")
}

impl Board {
    /// Hands the problem, which borrows its curves, to `ask`.
    fn ask<T>(&self, ask: impl FnOnce(&Problem<'_>) -> T) -> T {
        let curves = [curve(false), curve(true)];
        let supports = self.supports.iter().map(|&(place, face_mm, filling)| {
            let law = match filling {
                Filling::Pad { thickness_mm, firm } => {
                    let pad = PadLaw::new(&curves[usize::from(firm)], thickness_mm);
                    Law::Pad(pad.expect("positive"))
                }
                Filling::Paste { yield_pa } => {
                    Law::Paste(PasteLaw::new(yield_pa).expect("positive"))
                }
                Filling::Spring(foundation) => Law::Foundation(foundation),
            };
            Support {
                place,
                face_mm,
                law,
            }
        });
        ask(&Problem {
            origin: ORIGIN,
            supports: supports.collect(),
            screws: self.screws.clone(),
            stops: self.stops.clone(),
        })
    }

    #[expect(
        clippy::redundant_closure_for_method_calls,
        reason = "the method names one borrow"
    )]
    fn solve(&self) -> Result<Seating, Domain> {
        self.ask(|problem| problem.solve())
    }

    fn load_n(&self) -> f64 {
        self.screws.iter().map(|screw| screw.force_n).sum()
    }

    /// The same board seen from the other side.
    fn mirrored(&self) -> Self {
        let point = |at: Point| Point { x: -at.x, ..at };
        let mut board = self.clone();
        for (place, ..) in &mut board.supports {
            place.x = -place.right();
        }
        board
            .screws
            .iter_mut()
            .for_each(|screw| screw.at = point(screw.at));
        board
            .stops
            .iter_mut()
            .for_each(|stop| stop.at = point(stop.at));
        board
    }
}

fn about([x, y]: [f64; 2], [width, height]: [f64; 2]) -> Rect {
    Rect {
        x: x - width / 2.0,
        y: y - height / 2.0,
        width,
        height,
    }
}

/// Pads in a ring of places, each too thick or too thin by up to a third.
fn pads() -> impl Strategy<Value = Vec<(Rect, f64, Filling)>> {
    let places = [
        [-32.0, 24.0],
        [32.0, 24.0],
        [-32.0, -24.0],
        [32.0, -24.0],
        [-12.0, 36.0],
        [12.0, 36.0],
        [-12.0, -36.0],
        [12.0, -36.0],
        [50.0, 0.0],
        [-50.0, 5.0],
    ];
    let pad = (0..places.len(), 0.5..3.0_f64, -0.1..0.33_f64, any::<bool>());
    prop::collection::vec(pad, 0..12).prop_map(move |pads| {
        let pad = |(place, thickness_mm, strain, firm): (usize, f64, f64, bool)| {
            let face_mm = 2.04 - thickness_mm * (1.0 - strain);
            (
                about(places[place], [12.0, 14.0]),
                face_mm,
                Filling::Pad { thickness_mm, firm },
            )
        };
        pads.into_iter().map(pad).collect()
    })
}

/// One die at the origin, and perhaps another beside it that stands higher or lower.
fn dies() -> impl Strategy<Value = Vec<(Rect, f64, Filling)>> {
    let second = prop::option::of((-0.05..0.05_f64, 50.0..300.0_f64));
    (50.0..300.0_f64, second).prop_map(|(yield_pa, second)| {
        let die =
            |at, size, face_mm, yield_pa| (about(at, size), face_mm, Filling::Paste { yield_pa });
        let mut dies = vec![die([0.0, 0.0], [24.0, 30.0], 2.0, yield_pa)];
        let second =
            second.map(|(higher, yield_pa)| die([25.0, 3.0], [9.0, 16.0], 2.0 + higher, yield_pa));
        dies.extend(second);
        dies
    })
}

fn stops() -> impl Strategy<Value = Vec<Stop>> {
    let stop = (
        -45.0..45.0_f64,
        -45.0..45.0_f64,
        1.9..2.06_f64,
        3.0..6.0_f64,
    );
    prop::collection::vec(stop, 0..4).prop_map(|stops| {
        let stop = |(x, y, height_mm, digits)| Stop {
            at: Point { x, y },
            height_mm,
            stiffness_n_mm: 10_f64.powf(digits),
        };
        stops.into_iter().map(stop).collect()
    })
}

/// A board whose load passes through the die, or near it.
fn boards() -> impl Strategy<Value = Board> {
    let forces = prop::array::uniform4(10.0..80.0_f64);
    (dies(), pads(), stops(), forces).prop_map(|(mut supports, pads, stops, forces)| {
        supports.extend(pads);
        let places = [[-30.0, 30.0], [31.0, 29.0], [30.0, -30.0], [-29.0, -31.0]];
        let screw = |(at, force_n): ([f64; 2], f64)| Screw {
            at: at.into(),
            force_n,
        };
        Board {
            supports,
            screws: places.into_iter().zip(forces).map(screw).collect(),
            stops,
        }
    })
}

/// Tells how far two answers differ in any force, as a fraction of the load.
fn difference(one: &Seating, other: &Seating, load_n: f64) -> f64 {
    let forces = |seating: &Seating| -> Vec<f64> {
        let supports = seating.supports.iter().map(|reaction| reaction.force_n);
        supports.chain(seating.stops_n.iter().copied()).collect()
    };
    let pairs = forces(one).into_iter().zip(forces(other));
    pairs
        .map(|(one, other)| (one - other).abs() / load_n)
        .fold(0.0, f64::max)
}

fn is_sound(reaction: &Reaction) -> bool {
    reaction.force_n >= 0.0
        && reaction.mean_kpa >= 0.0
        && reaction.force_n.is_finite()
        && reaction.least_gap_mm <= reaction.gap_mm
        && reaction.gap_mm <= reaction.greatest_gap_mm
}

/// Boards that cannot be balanced are refused elsewhere; here they do not count.
macro_rules! solved {
    ($board:expr) => {
        match $board.solve() {
            Ok(seating) => seating,
            Err(Domain::CannotBalance { .. } | Domain::Tips { .. }) => {
                return Err(TestCaseError::reject("tips"))
            }
            Err(fault) => return Err(TestCaseError::fail(format!("{fault}"))),
        }
    };
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn forces_and_moments_balance(board in boards()) {
        let seating = solved!(board);
        prop_assert!(seating.residual < 1e-9, "residual {}", seating.residual);
        prop_assert!(seating.supports.iter().all(is_sound), "{:?}", seating.supports);
        prop_assert!(seating.stops_n.iter().all(|&force| force >= 0.0));
        let pushed: f64 = seating.supports.iter().map(|reaction| reaction.force_n).sum();
        let stopped: f64 = seating.stops_n.iter().sum();
        let load = board.load_n();
        prop_assert!((pushed + stopped - load).abs() < 1e-9 * load, "{pushed} + {stopped}");
    }

    #[test]
    fn a_mirrored_board_has_the_mirrored_answer(board in boards()) {
        let (seating, mirrored) = (solved!(board), solved!(board.mirrored()));
        prop_assert!(difference(&seating, &mirrored, board.load_n()) < 1e-8);
        let ([a, b], [mirrored_a, mirrored_b]) = (seating.plate.tilt, mirrored.plate.tilt);
        prop_assert!((a + mirrored_a).abs() < 1e-9 && (b - mirrored_b).abs() < 1e-9);
        let apart = seating.plate.separation_mm - mirrored.plate.separation_mm;
        prop_assert!(apart.abs() < 1e-9, "{apart} mm");
    }

    #[test]
    fn the_order_of_the_screws_does_not_matter(board in boards(), turn in 1..4_usize) {
        let seating = solved!(board);
        let mut turned = board.clone();
        turned.screws.rotate_left(turn);
        turned.screws.swap(0, 1);
        prop_assert!(difference(&seating, &solved!(turned), board.load_n()) < 1e-9);
    }

    #[test]
    fn the_answer_does_not_depend_on_the_start(
        board in boards(),
        separation_mm in prop_oneof![-1.0..8.0_f64, 2.02..2.1_f64],
        [a, b] in prop_oneof![
            prop::array::uniform2(-0.2..0.2_f64),
            prop::array::uniform2(-1e-3..1e-3_f64),
        ],
    ) {
        let seating = solved!(board);
        let start = Plate { origin: Point { x: 3.0, y: -2.0 }, separation_mm, tilt: [a, b] };
        let again = board.ask(|problem| problem.solve_from(&start));
        let again = again.map_err(|fault| TestCaseError::fail(format!("{fault}")))?;
        let apart = difference(&seating, &again, board.load_n());
        prop_assert!(apart < 1e-8, "{apart} of the load");
    }

    /// With tilt it may; see `a_thicker_pad_can_raise_the_force_of_a_tilted_die`.
    #[test]
    fn on_a_symmetric_board_a_thicker_pad_never_raises_the_force_of_the_die(
        thickness_mm in 0.5..3.0_f64,
        strain in -0.1..0.3_f64,
        more in 0.01..0.5_f64,
        firm in any::<bool>(),
        force_n in 5.0..80.0_f64,
    ) {
        let die = |thickness_mm: f64| {
            let board = symmetric_board(thickness_mm, 2.04 - 2.0 * (1.0 - strain), firm, force_n);
            board.solve().map(|seating| seating.supports[0].force_n)
        };
        let (thin, thick) = (die(thickness_mm), die(thickness_mm + more));
        let (thin, thick) = (thin.expect("balances"), thick.expect("balances"));
        prop_assert!(thick <= thin + 1e-9 * 4.0 * force_n, "{thin} N, then {thick} N");
    }

    #[test]
    fn a_load_beside_the_supports_is_refused(board in boards(), beside in 58.0..500.0_f64) {
        let mut board = board;
        board.screws = vec![Screw { at: Point { x: beside, y: 1.0 }, force_n: 50.0 }];
        match board.solve() {
            Err(Domain::CannotBalance { outside_mm, .. }) => prop_assert!(outside_mm > 0.0),
            other => prop_assert!(false, "{other:?}"),
        }
    }

    /// Any numbers at all: an answer that is one, or a refusal.
    #[test]
    fn nothing_makes_it_panic_or_hang(
        place in prop::array::uniform4(any_number()),
        face in any_number(),
        free in any_number(),
        modulus in any_number(),
        screws in prop::collection::vec(prop::array::uniform3(any_number()), 0..4),
        stops in prop::collection::vec(prop::array::uniform4(any_number()), 0..4),
        board in boards(),
    ) {
        let foundation = Foundation { modulus_kpa_mm: modulus, free_mm: free };
        let mut board = board;
        board.supports.truncate(3);
        board.supports.push((place.into(), face, Filling::Spring(foundation)));
        board.screws.truncate(screws.len());
        let screw = |[x, y, force_n]: [f64; 3]| Screw { at: Point { x, y }, force_n };
        board.screws.extend(screws.into_iter().map(screw));
        let stop = |[x, y, height_mm, stiffness_n_mm]: [f64; 4]| {
            Stop { at: Point { x, y }, height_mm, stiffness_n_mm }
        };
        board.stops = stops.into_iter().map(stop).collect();
        if let Ok(seating) = board.solve() {
            prop_assert!(seating.residual < 1e-9, "residual {}", seating.residual);
            prop_assert!(seating.supports.iter().all(is_sound), "{:?}", seating.supports);
        }
    }
}

/// Sensible numbers, and all the others.
fn any_number() -> impl Strategy<Value = f64> {
    let special = prop::sample::select(vec![0.0, -0.0, 1e300, -1e300, 1e-300, 5e-324]);
    prop_oneof![6 => -50.0..50.0_f64, 3 => 0.0..1e4_f64, 1 => any::<f64>(), 1 => special]
}

fn symmetric_board(thickness_mm: f64, face_mm: f64, firm: bool, force_n: f64) -> Board {
    let corners = |x: f64, y: f64| [[x, y], [-x, y], [-x, -y], [x, -y]];
    let die = (
        about([0.0, 0.0], [24.0, 30.0]),
        2.0,
        Filling::Paste { yield_pa: 100.0 },
    );
    let pad = Filling::Pad { thickness_mm, firm };
    let pads = corners(32.0, 24.0).map(|at| (about(at, [12.0, 14.0]), face_mm, pad));
    let screw = |at: [f64; 2]| Screw {
        at: at.into(),
        force_n,
    };
    Board {
        supports: std::iter::once(die).chain(pads).collect(),
        screws: corners(30.0, 30.0).map(screw).to_vec(),
        stops: Vec::new(),
    }
}

/// A firm pad beside the die is a pivot: a pad beyond it, made thicker, levers the plate onto the
/// die.
///
/// So with tilt the die's force need not fall as a pad grows, and a window may have a hole.
#[test]
fn a_thicker_pad_can_raise_the_force_of_a_tilted_die() {
    let die_n = |thickness_mm: f64| {
        let pad = |x, thickness_mm| {
            (
                about([x, 0.0], [12.0, 14.0]),
                0.3,
                Filling::Pad {
                    thickness_mm,
                    firm: true,
                },
            )
        };
        let mut board = symmetric_board(2.0, 0.3, true, 30.0);
        board.supports.truncate(1);
        board
            .supports
            .extend([pad(20.0, 2.4), pad(60.0, thickness_mm)]);
        board.screws = vec![Screw {
            at: Point { x: 8.0, y: 0.0 },
            force_n: 120.0,
        }];
        board.solve().expect("balances").supports[0].force_n
    };
    let (thin, thick) = (die_n(2.0), die_n(2.5));
    assert!(
        thin > 51.0 && thick > thin + 10.0,
        "{thin} N, then {thick} N"
    );
}

#[test]
fn ten_thousand_pieces_balance() {
    let mut board = symmetric_board(2.0, 0.4, false, 30.0);
    let pad = Filling::Pad {
        thickness_mm: 2.0,
        firm: false,
    };
    board.supports.extend((0..10_000_u16).map(|index| {
        let (column, row) = (f64::from(index % 100), f64::from(index / 100));
        (
            about([column - 50.3, row - 49.1], [0.9, 0.8]),
            0.4 + 1e-3 * column,
            pad,
        )
    }));
    let seating = board.solve().expect("balances");
    assert_eq!(seating.supports.len(), 10_005, "one answer each");
    assert!(seating.residual < 1e-9, "residual {}", seating.residual);
}

#[test]
fn what_cannot_balance_says_so() {
    let board = symmetric_board(2.0, 0.3, false, 30.0);
    let fault = |change: fn(&mut Board)| {
        let mut board = board.clone();
        change(&mut board);
        board.solve().expect_err("refused")
    };
    assert_eq!(
        fault(|board| board.screws.clear()),
        Domain::NoLoad,
        "no screw"
    );
    assert_eq!(
        fault(|board| board.supports.clear()),
        Domain::NoSupport,
        "no support"
    );
    let slack = fault(|board| {
        for screw in &mut board.screws {
            screw.force_n = 0.0;
        }
    });
    assert_eq!(slack, Domain::NoLoad, "loose screws");
    let pulled = fault(|board| board.screws[0].force_n = -1.0);
    assert!(matches!(pulled, Domain::Unfit { .. }), "{pulled}");
    let flat = fault(|board| board.supports[0].0.width = 0.0);
    assert!(matches!(flat, Domain::Unfit { .. }), "{flat}");
    let lost = fault(|board| board.supports[1].1 = f64::NAN);
    assert!(matches!(lost, Domain::Unfit { .. }), "{lost}");
}

/// Three stops carry a plate; two, in line with the load, do not say how it lies.
#[test]
fn a_plate_on_two_stops_rocks() {
    let stop = |x, y| Stop {
        at: Point { x, y },
        height_mm: 3.0,
        stiffness_n_mm: 1e5,
    };
    let mut board = symmetric_board(2.0, 0.3, false, 30.0);
    board.supports = vec![(
        about([0.0, 0.0], [10.0, 10.0]),
        0.0,
        Filling::Pad {
            thickness_mm: 1.0,
            firm: true,
        },
    )];
    board.stops = vec![stop(-20.0, 0.0), stop(20.0, 0.0)];
    assert_eq!(board.solve(), Err(Domain::Rocks), "two");
    board.stops.extend([stop(0.0, -20.0), stop(0.0, 20.0)]);
    let seating = board.solve().expect("carried by four");
    assert!(
        seating.supports[0].force_n <= 0.0,
        "the pad floats: {:?}",
        seating.supports[0]
    );
    let quarter = board.load_n() / 4.0;
    assert!(
        seating
            .stops_n
            .iter()
            .all(|force| (force - quarter).abs() < 1e-9),
        "evenly"
    );
}

/// A cooler on standoffs lies where they hold it; at the balance itself that is the same thing.
#[test]
fn a_held_plate_gets_the_same_reactions() {
    let board = symmetric_board(2.0, 0.5, false, 30.0);
    board.ask(|problem| {
        let seating = problem.solve().expect("balances");
        let reactions = held(&problem.supports, &seating.plate).expect("has room");
        for (held, seated) in reactions.iter().zip(&seating.supports) {
            assert!(
                (held.force_n - seated.force_n).abs() < 1e-9,
                "{held:?} is not {seated:?}"
            );
        }
        let sunk = Plate {
            separation_mm: 1.9,
            ..seating.plate
        };
        match held(&problem.supports, &sunk) {
            Err(Domain::NoBondLine { support: 0, gap_mm }) => {
                assert!((gap_mm + 0.1).abs() < 1e-6, "{gap_mm} mm");
            }
            other => panic!("{other:?}"),
        }
    });
}
