//! The seating kernel against published rigid plates on one-sided foundations.
//!
//! A kilopascal over a square millimetre is a millinewton, so an example in any coherent units is
//! put as it is printed: its lengths as mm, its forces as mN, its pressures as kPa.

use gapbook::stack::{Domain, Foundation, Law, Plate, Problem, Screw, Seating, Support};
use gapbook::units::{Point, Rect};

const ORIGIN: Point = Point { x: 0.0, y: 0.0 };

/// A rectangle about the origin on a one-sided foundation, under one eccentric load.
struct Footing {
    size: [f64; 2],
    load: f64,
    at: [f64; 2],
    modulus: f64,
}

impl Footing {
    fn new(size: [f64; 2], load: f64, at: [f64; 2]) -> Self {
        Self {
            size,
            load,
            at,
            modulus: 1000.0,
        }
    }

    fn problem(&self) -> Problem<'static> {
        let [width, height] = self.size;
        let place = Rect {
            x: -width / 2.0,
            y: -height / 2.0,
            width,
            height,
        };
        let law = Law::Foundation(Foundation {
            modulus_kpa_mm: self.modulus,
            free_mm: 0.0,
        });
        let [x, y] = self.at;
        Problem {
            origin: ORIGIN,
            supports: vec![Support {
                place,
                face_mm: 0.0,
                law,
            }],
            screws: vec![Screw {
                at: Point { x, y },
                force_n: self.load / 1000.0,
            }],
            stops: Vec::new(),
        }
    }

    fn seat(&self) -> Seating {
        let seating = self.problem().solve().expect("balances");
        assert!(
            seating.residual < 1e-9,
            "{:?}: residual {}",
            self.at,
            seating.residual
        );
        seating
    }

    /// The plate's corners, anticlockwise from (+, +).
    fn corners(&self) -> [Point; 4] {
        let [width, height] = self.size;
        [(0.5, 0.5), (-0.5, 0.5), (-0.5, -0.5), (0.5, -0.5)].map(|(right, up)| Point {
            x: right * width,
            y: up * height,
        })
    }

    /// The pressures at the corners.
    fn pressures(&self) -> [f64; 4] {
        let plate = self.seat().plate;
        self.corners()
            .map(|corner| self.modulus * (-plate.height_at(corner)).max(0.0))
    }

    fn greatest(&self) -> f64 {
        self.pressures().into_iter().fold(0.0, f64::max)
    }

    /// The fraction of the area that is in contact, by cutting the rectangle along the zero line.
    fn contact(&self) -> f64 {
        let plate = self.seat().plate;
        let corners = self.corners();
        let mut cut: Vec<Point> = Vec::new();
        for (from, to) in corners.into_iter().zip(corners.into_iter().cycle().skip(1)) {
            let (low, high) = (plate.height_at(from), plate.height_at(to));
            if low < 0.0 {
                cut.push(from);
            }
            if (low < 0.0) != (high < 0.0) {
                let along = low / (low - high);
                let between = |from: f64, to: f64| from + along * (to - from);
                cut.push(Point {
                    x: between(from.x, to.x),
                    y: between(from.y, to.y),
                });
            }
        }
        let turns = cut.iter().zip(cut.iter().cycle().skip(1));
        let twice: f64 = turns.map(|(from, to)| from.x * to.y - to.x * from.y).sum();
        twice / 2.0 / (self.size[0] * self.size[1])
    }
}

/// Asserts that a value rounds to what was printed with so many decimals.
#[track_caller]
fn assert_prints(value: f64, printed: f64, decimals: i32) {
    let half_a_digit = 0.5 * 10_f64.powi(-decimals);
    assert!(
        (value - printed).abs() <= half_a_digit * (1.0 + 1e-6),
        "{value} is not {printed}"
    );
}

fn is_near(value: f64, wanted: f64, tolerance: f64) -> bool {
    (value - wanted).abs() <= tolerance
}

/// Handbook rule: the load on a rectangle keeps all of it in contact inside the rhombus
/// `e_x/L + e_y/B = 1/6`, not inside the two separate limits of one sixth.
#[test]
fn the_kern_is_a_rhombus() {
    let (width, height) = (3.0, 2.0);
    for share in [0.0, 0.1, 0.25, 0.5, 0.75, 1.0] {
        let least = |sum: f64| {
            let at = [share * sum * width, (1.0 - share) * sum * height];
            let footing = Footing::new([width, height], 6.0, at);
            (
                footing
                    .pressures()
                    .into_iter()
                    .fold(f64::INFINITY, f64::min),
                footing.contact(),
            )
        };
        let (inside, _) = least(1.0 / 6.0 - 1e-6);
        let (outside, contact) = least(1.0 / 6.0 + 1e-3);
        let (edge, _) = least(1.0 / 6.0);
        assert!(
            inside > 0.0 && inside < 1e-4,
            "{share}: just inside, {inside}"
        );
        assert!(edge < 1e-12, "{share}: on the edge, {edge}");
        assert!(
            outside <= 0.0 && contact < 1.0,
            "{share}: outside, {contact} in contact"
        );
    }
}

/// Uniaxial cases: a tower crane's base, textbook footings; `q = P/(BL)·(1 ± 6e/B)` in the kern,
/// and `q = 2P / (3L(B/2 − e))` over a length `3(B/2 − e)` outside.
#[test]
fn uniaxial_cases() {
    let crane = Footing::new([7.0, 7.0], 2687.5, [4200.0 / 2687.5, 0.0]);
    assert_prints(crane.greatest(), 132.1, 1);
    assert_prints(crane.contact() * 7.0, 5.812, 3);

    let kern = Footing::new([10.0, 7.5], 75.0, [48.0 / 75.0, 0.0]).pressures();
    assert_prints(kern[0], 1.384, 3);
    assert_prints(kern[2], 0.616, 3);

    let quarter = Footing::new([2.0, 3.0], 1000.0, [0.25, 0.0]).pressures();
    assert_prints(quarter[0], 291.67, 2);
    assert_prints(quarter[1], 41.67, 2);

    let half = Footing::new([2.0, 3.0], 1000.0, [0.5, 0.0]);
    assert_prints(half.greatest(), 444.44, 2);
    assert_prints(half.contact() * 2.0, 1.5, 9);
}

/// Two printed results that are wrong, and must not come out: one is rounded the wrong way, the
/// other uses the formula for full contact where 54 kPa of tension would be needed.
#[test]
fn wrong_printed_values_are_not_reproduced() {
    let crane = Footing::new([7.0, 7.0], 2687.5, [4200.0 / 2687.5, 0.0]);
    assert!(!is_near(crane.greatest(), 132.2, 0.05), "printed as 132.2");
    assert!(
        !is_near(crane.contact() * 7.0, 5.811, 0.0005),
        "printed as 5.811"
    );

    let lifted = Footing::new([6.0, 6.0], 2550.0, [4500.0 / 2550.0, 0.0]);
    assert!(lifted.greatest() > 220.0, "196 is for full contact");
    assert!(
        lifted
            .pressures()
            .into_iter()
            .all(|pressure| pressure >= 0.0),
        "no tension"
    );
    assert_prints(lifted.greatest(), 229.4, 1);
    assert_prints(lifted.contact() * 6.0, 3.706, 3);
}

const SIXTH: f64 = 1.0 / 6.0;

/// `q_max / q_mean` over `e_x/L` (columns) and `e_y/B` (rows), from the diagonal on: the table that
/// stands in for Teng's chart (1962), computed from the closed forms of Bellos and Bakas (2017)
/// and, for five-cornered contact, from their two equations.
const COLUMNS: [f64; 9] = [0.0, 0.05, 0.10, SIXTH, 0.20, 0.25, 0.30, 0.35, 0.40];
const ROWS: [(f64, &[f64]); 7] = [
    (
        0.0,
        &[1.0, 1.3, 1.6, 2.0, 2.2222, 2.6667, 3.3333, 4.4444, 6.6667],
    ),
    (
        0.05,
        &[1.6, 1.9, 2.3185, 2.5771, 3.0926, 3.8657, 5.1543, 7.7314],
    ),
    (
        0.10,
        &[2.2045, 2.6871, 2.9933, 3.5936, 4.4921, 5.9894, 8.9841],
    ),
    (SIXTH, &[3.3044, 3.6948, 4.4444, 5.5556, 7.4074, 11.1111]),
    (0.20, &[4.1373, 4.9810, 6.2263, 8.3017, 12.4526]),
    (0.25, &[6.0, 7.5, 10.0, 15.0]),
    (0.30, &[9.375, 12.5, 18.75]),
];

#[test]
fn biaxial_table() {
    for (row, printed) in ROWS {
        let columns = &COLUMNS[COLUMNS.len() - printed.len()..];
        for (&column, &wanted) in columns.iter().zip(printed) {
            for modulus in [1e2, 1e3, 1e7] {
                let size = [2.0, 0.5];
                let at = [column * size[0], row * size[1]];
                let footing = Footing {
                    modulus,
                    ..Footing::new(size, 1.0, at)
                };
                assert_prints(footing.greatest(), wanted, 4);
                let turned = [row * size[0], column * size[1]];
                let footing = Footing {
                    modulus,
                    ..Footing::new(size, 1.0, turned)
                };
                assert_prints(footing.greatest(), wanted, 4);
            }
        }
    }
}

/// The closed forms themselves, far beyond the printed digits and nearer to the edge than the
/// table.
#[test]
fn biaxial_closed_forms() {
    // Stiff enough that the plate does not fall over where next to nothing of it is in contact.
    let stiff = |at| Footing {
        modulus: 1e12,
        ..Footing::new([1.0, 1.0], 1.0, at)
    };
    let greatest = |x: f64, y: f64| stiff([x, y]).greatest();
    for (x, y) in [(0.01, 0.02), (0.08, 0.08), (0.0, 0.166)] {
        let full = 1.0 + 6.0 * x + 6.0 * y;
        assert!(
            is_near(greatest(x, y), full, 1e-9 * full),
            "full contact at {x}, {y}"
        );
    }
    for (x, y) in [(0.25, 0.25), (0.3, 0.4), (0.45, 0.49), (0.499, 0.499)] {
        let triangle = 3.0 / (8.0 * (0.5 - x) * (0.5 - y));
        assert!(
            is_near(greatest(x, y), triangle, 1e-7 * triangle),
            "triangle at {x}, {y}"
        );
    }
    for (x, y) in [(0.05, 0.3), (0.01, 0.45), (0.1, 0.4), (0.02, 0.49)] {
        let root = f64::sqrt(1.0 - 12.0 * x * x);
        let trapezium = (2.0 - root) * (1.0 + 6.0 * x + root) / (3.0 * (0.5 - y));
        assert!(
            is_near(greatest(x, y), trapezium, 1e-8 * trapezium),
            "trapezium at {x}, {y}"
        );
    }
}

/// All four corner pressures and the fraction in contact, unit square and load.
#[test]
fn corner_sets() {
    let sets = [
        ([0.1, 0.1], [2.20453, 0.99899, 0.0, 0.99899], 0.9853),
        ([0.15, 0.15], [2.97110, 0.94982, 0.0, 0.94982], 0.8595),
        ([0.2, 0.1], [2.99334, 0.30610, 0.0, 1.57311], 0.8374),
        ([0.2, 0.2], [4.13729, 0.71987, 0.0, 0.71987], 0.6885),
        ([0.3, 0.1], [4.49206, 0.0, 0.0, 2.36822], 0.5650),
        ([0.3, 0.05], [3.86570, 0.0, 0.0, 2.85059], 0.5911),
        ([0.25, 0.25], [6.0, 0.0, 0.0, 0.0], 0.5),
    ];
    for (at, printed, contact) in sets {
        let footing = Footing::new([1.0, 1.0], 1.0, at);
        for (pressure, printed) in footing.pressures().into_iter().zip(printed) {
            assert_prints(pressure, printed, 5);
        }
        assert_prints(footing.contact(), contact, 4);
    }
}

/// Published biaxial cases of a footing of 7.02 m by 6.75 m (t, m): the data file of the public
/// project eykaraduman/RectFootingBiaxialBending, `data/Test.txt`.
#[test]
fn published_biaxial_cases() {
    let cases = [
        ([553.04, -203.67, 51.51], [8.7797, 6.9215, 14.5627, 16.4209]),
        ([595.75, -729.94, 51.51], [0.0, 0.0, 25.3563, 27.3029]),
        ([476.80, -282.20, 11.05], [4.9678, 4.5692, 15.1567, 15.5553]),
        ([521.71, -878.72, 8.71], [0.0, 0.0, 29.0960, 29.5142]),
        (
            [420.30, -350.69, -46.60],
            [1.4508, 3.1319, 16.2890, 14.6079],
        ),
    ];
    for ([load, moment_x, moment_y], printed) in cases {
        let footing = Footing::new([7.02, 6.75], load, [moment_y / load, moment_x / load]);
        for (pressure, printed) in footing.pressures().into_iter().zip(printed) {
            assert_prints(pressure, printed, 4);
        }
    }

    // Of the second case the lengths to the line of zero pressure are printed too.
    let footing = Footing::new([7.02, 6.75], 595.75, [51.51 / 595.75, -729.94 / 595.75]);
    let [_, _, left, right] = footing.pressures();
    let [fall_x, fall_y] = footing
        .seat()
        .plate
        .tilt
        .map(|tilt| (footing.modulus * tilt).abs());
    assert_prints(right / fall_x, 98.46, 2);
    assert_prints(right / fall_y, 6.6816, 4);
    assert_prints(left / fall_y, 6.2052, 4);
}

fn rect_about(x: f64, y: f64, [width, height]: [f64; 2]) -> Rect {
    Rect {
        x: x - width / 2.0,
        y: y - height / 2.0,
        width,
        height,
    }
}

fn spring(newton_mm3: f64, free_mm: f64) -> Law<'static> {
    Law::Foundation(Foundation {
        modulus_kpa_mm: 1000.0 * newton_mm3,
        free_mm,
    })
}

/// A die of 24 by 30 mm at the origin and eight pads of 12 by 14 mm, 0.4 mm too thick.
fn board(forces: [f64; 4]) -> Problem<'static> {
    let pads = [
        [-32.0, 24.0],
        [32.0, 24.0],
        [-32.0, -24.0],
        [32.0, -24.0],
        [-12.0, 36.0],
        [12.0, 36.0],
        [-12.0, -36.0],
        [12.0, -36.0],
    ];
    let die = Support {
        place: rect_about(0.0, 0.0, [24.0, 30.0]),
        face_mm: 0.0,
        law: spring(50.0, 0.0),
    };
    let pads = pads.map(|[x, y]| Support {
        place: rect_about(x, y, [12.0, 14.0]),
        face_mm: 0.0,
        law: spring(0.25, 0.4),
    });
    let screws = [[-45.0, 45.0], [45.0, 45.0], [45.0, -45.0], [-45.0, -45.0]];
    Problem {
        origin: ORIGIN,
        supports: std::iter::once(die).chain(pads).collect(),
        screws: screws
            .into_iter()
            .zip(forces)
            .map(|(at, force_n)| Screw {
                at: at.into(),
                force_n,
            })
            .collect(),
        stops: Vec::new(),
    }
}

/// Own construction, solved independently by hand-made Newton and polygon clipping: separation
/// (mm), tilt (mrad), force of the die and of the pads (N). The vectors count the approach, we the
/// height.
#[test]
fn several_supports() {
    let even = |force| [force; 8];
    let vectors = [
        (
            [60.0, 60.0, 60.0, 60.0],
            0.002_906,
            [0.0, 0.0],
            104.6235,
            even(16.922),
        ),
        (
            [30.0, 30.0, 30.0, 30.0],
            -0.042_857,
            [0.0, 0.0],
            0.0,
            even(15.0),
        ),
        (
            [60.0, 60.0, 60.0, 30.0],
            -0.024_555,
            [3.0133, 1.7144],
            83.8504,
            [
                13.447, 21.547, 9.991, 18.090, 16.842, 19.880, 11.658, 14.695,
            ],
        ),
        (
            [60.0, 0.0, 60.0, 0.0],
            -0.042_857,
            [0.0, 0.0],
            0.0,
            even(15.0),
        ),
        (
            [40.0, 20.0, 20.0, 20.0],
            -0.102_381,
            [-4.4942, 2.8126],
            0.0,
            [21.375, 9.295, 15.705, 3.625, 19.018, 14.488, 10.512, 5.982],
        ),
        ([33.6; 4], 0.0, [0.0, 0.0], 0.0, even(16.8)),
    ];
    for (forces, approach, tilt, die, pads) in vectors {
        let seating = board(forces).solve().expect("balances");
        assert!(
            seating.residual < 1e-9,
            "{forces:?}: residual {}",
            seating.residual
        );
        assert_prints(-seating.plate.separation_mm, approach, 6);
        for (found, printed) in seating.plate.tilt.into_iter().zip(tilt) {
            assert_prints(-1000.0 * found, printed, 4);
        }
        assert_prints(seating.supports[0].force_n, die, 4);
        for (pad, printed) in seating.supports[1..].iter().zip(pads) {
            assert_prints(pad.force_n, printed, 3);
        }
    }
}

/// Vector C again: one weak screw opens three corners of the die.
#[test]
fn one_weak_screw_makes_a_wedge() {
    let plate = board([60.0, 60.0, 60.0, 30.0])
        .solve()
        .expect("balances")
        .plate;
    let approach = [(-12.0, -15.0), (12.0, -15.0), (12.0, 15.0), (-12.0, 15.0)]
        .map(|(x, y)| -plate.height_at(Point { x, y }));
    for (found, printed) in approach
        .into_iter()
        .zip([-0.0864, -0.0141, 0.0373, -0.0350])
    {
        assert_prints(found, printed, 4);
    }
}

/// Full contact tilts by `θ = P·e / (c·I)`.
#[test]
fn tilt_in_full_contact() {
    let problem = Problem {
        origin: ORIGIN,
        supports: vec![Support {
            place: rect_about(0.0, 0.0, [24.0, 30.0]),
            face_mm: 0.0,
            law: spring(50.0, 0.0),
        }],
        screws: vec![Screw {
            at: Point { x: 1.0, y: 0.0 },
            force_n: 100.0,
        }],
        stops: Vec::new(),
    };
    let plate: Plate = problem.solve().expect("balances").plate;
    assert_prints(-1e5 * plate.tilt[0], 5.787, 3);
}

/// One screw at 45 mm with only a die of 24 mm: outside, by 33 mm, whatever the law.
#[test]
fn a_load_beside_the_supports_cannot_balance() {
    let mut problem = board([0.0, 0.0, 0.0, 0.0]);
    problem.supports.truncate(1);
    problem.screws = vec![Screw {
        at: Point { x: 45.0, y: 0.0 },
        force_n: 10.0,
    }];
    let fault = problem.solve().expect_err("tips");
    let at = Point { x: 45.0, y: 0.0 };
    assert_eq!(
        fault,
        Domain::CannotBalance {
            at,
            outside_mm: 33.0
        },
        "outside"
    );
    assert_eq!(
        fault.to_string(),
        "cannot balance: the screws pull at (45.00, 0.00) mm, 33.00 mm outside what carries the cooler"
    );
}
