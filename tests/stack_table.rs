//! Windows, substitutes, the choice of pads and the yield of any board, against seating it directly.

use std::sync::LazyLock;

use gapbook::record::Thresholds;
use gapbook::stack::tolerance::Interval;
use gapbook::stack::{
    Assembly, Choice, Cooler, Die, DieVerdict, Faces, Fitted, Gap, Material, Moment, PadCurve,
    Paste, PasteLaw, SCAN_STEP_MM, Screw, Seated, Tolerances, Trouble, Verdict, Window, ZoneSeated,
    ZoneTolerance,
};
use gapbook::units::{Point, Rect};
use proptest::prelude::*;

/// Pads that differ in how hard they push and how well they conduct; the last is crushed early.
static MATERIALS: LazyLock<Vec<Material>> = LazyLock::new(|| {
    let material = |kpa: f64, conductivity_w_mk, max_strain| Material {
        curve: PadCurve::new(&[
            [0.1, 0.4 * kpa],
            [0.2, kpa],
            [0.3, 2.0 * kpa],
            [0.5, 7.0 * kpa],
        ])
        .expect("rises"),
        conductivity_w_mk,
        max_strain,
        relaxed: 0.5,
    };
    vec![
        material(40.0, Some(3.0), None),
        material(90.0, Some(8.0), None),
        material(200.0, Some(12.0), Some(0.4)),
        material(60.0, None, None),
    ]
});

fn pad(thickness_mm: f64, material: usize) -> Fitted<'static> {
    Fitted {
        thickness_mm,
        material: &MATERIALS[material],
    }
}

fn square([x, y]: [f64; 2], [width, height]: [f64; 2]) -> Rect {
    Rect::from([x - width / 2.0, y - height / 2.0, width, height])
}

/// A zone whose gap is so wide with the cooler level 40 µm above a die of 2 mm.
fn zone(places: &[[f64; 2]], gap_mm: f64, heat_w: Option<f64>) -> Gap {
    Gap {
        pieces: places.iter().map(|&at| square(at, [12.0, 10.0])).collect(),
        faces: Faces::OnCooler {
            near_mm: 1.2,
            recess_mm: gap_mm + 1.2 - 2.04,
        },
        heat_w,
    }
}

fn board(zones: Vec<Gap>, screws_n: [f64; 4]) -> Assembly {
    let corners = [[-30.0, -30.0], [30.0, -30.0], [30.0, 30.0], [-30.0, 30.0]];
    let screws = corners.iter().zip(screws_n);
    let screws = screws.map(|(&at, force_n)| Screw {
        at: at.into(),
        force_n,
    });
    Assembly {
        cooler: Some(Cooler::Drawn {
            origin: Point { x: 0.0, y: 0.0 },
            screws: screws.collect(),
            stops: Vec::new(),
        }),
        dies: vec![Die {
            place: square([0.0, 0.0], [24.0, 20.0]),
            height_mm: 2.0,
            heat_w: Some(80.0),
        }],
        zones,
        paste: Paste {
            law: PasteLaw::new(100.0).expect("positive"),
            conductivity_w_mk: 4.0,
        },
        thresholds: Thresholds::default(),
    }
}

const PLACES: [[f64; 2]; 10] = [
    [-32.0, 20.0],
    [32.0, 20.0],
    [-32.0, -20.0],
    [32.0, -20.0],
    [-9.0, 32.0],
    [9.0, 32.0],
    [-9.0, -32.0],
    [9.0, -32.0],
    [55.0, 0.0],
    [-55.0, 5.0],
];

/// Boards of one to three zones, none of them symmetric, some with a second die.
fn boards() -> impl Strategy<Value = Assembly> {
    let places = Just(PLACES.to_vec()).prop_shuffle();
    let zones = prop::collection::vec((1..4_usize, 0.6..2.2_f64, 0.5..4.0_f64), 1..4);
    let screws = prop::array::uniform4(10.0..60.0_f64);
    let second = prop::option::weighted(0.3, -0.02..0.02_f64);
    (places, zones, screws, second).prop_map(|(places, zones, screws_n, second)| {
        let mut places = places.as_slice();
        let zones = zones.into_iter().map(|(pieces, gap_mm, heat_w)| {
            let (own, rest) = places.split_at(pieces);
            places = rest;
            zone(own, gap_mm, Some(heat_w))
        });
        let mut board = board(zones.collect(), screws_n);
        board.dies.extend(second.map(|higher_mm| Die {
            place: square([20.0, 0.0], [8.0, 14.0]),
            height_mm: 2.0 + higher_mm,
            heat_w: None,
        }));
        board
    })
}

/// Pads that would suit the zones if the cooler lay level, give or take.
fn fitted(board: &Assembly, strains: &[f64; 3]) -> Vec<Option<Fitted<'static>>> {
    let zones = board.zones.iter().zip(strains).enumerate();
    zones
        .map(|(index, (zone, strain))| Some(pad(gap_mm(zone) / (1.0 - strain), index)))
        .collect()
}

fn gap_mm(zone: &Gap) -> f64 {
    match zone.faces {
        Faces::OnCooler { near_mm, recess_mm } => 2.04 - near_mm + recess_mm,
        Faces::Fixed { gap_mm } => gap_mm,
        Faces::Unknown => 1.0,
    }
}

/// Tells whether a zone's pads and all dies are well with a thickness in that zone.
fn fits(
    board: &Assembly,
    pads: &[Option<Fitted<'static>>],
    zone: usize,
    thickness_mm: f64,
) -> bool {
    let mut pads = pads.to_vec();
    if let Some(pad) = &mut pads[zone] {
        pad.thickness_mm = thickness_mm;
    }
    board.seat_at(&pads, Moment::Assembly).is_ok_and(|peak| {
        let zone = peak.zones[zone].as_ref().expect("fitted");
        let mut dies = peak.dies.iter();
        zone.verdict < Verdict::Floating && dies.all(|die| die.verdict < DieVerdict::HeldOff)
    })
}

fn window(board: &Assembly, pads: &[Option<Fitted<'static>>], zone: usize) -> Window {
    let material = pads[zone].expect("fitted").material;
    board
        .window(pads, zone, material)
        .expect("its gap is known")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Both edges of every interval fit, a hundredth beyond does not, and nothing that fits on a fine
    /// grid is missed but what is narrower than the scan's step.
    #[test]
    fn windows_agree_with_seating(
        board in boards(),
        strains in prop::array::uniform3(0.0..0.4_f64),
    ) {
        let pads = fitted(&board, &strains);
        let window = window(&board, &pads, 0);
        let fits = |mm: f64| fits(&board, &pads, 0, mm);
        for one in &window.intervals {
            prop_assert!(fits(one.low_mm) && fits(one.high_mm), "{one:?}");
            prop_assert!(!fits(one.low_mm - 0.01), "below {one:?}");
            prop_assert!(!fits(one.high_mm + 0.01), "above {one:?}");
        }
        prop_assert_eq!(window.window.is_some(), window.clash.is_empty());
        if let Some(one) = window.window {
            prop_assert!(window.intervals.contains(&one));
            prop_assert!(!window.below.is_empty() && !window.above.is_empty());
        }
        let mut missed_mm = 0.0;
        for step in 8..200 {
            let mm = 0.025 * f64::from(step);
            missed_mm = if fits(mm) == window.holds(mm) { 0.0 } else { missed_mm + 0.025 };
            prop_assert!(missed_mm <= SCAN_STEP_MM + 1e-9, "up to {mm}: {window:?}");
        }
    }

    /// The same substitute as by fitting it.
    #[test]
    fn substitutes_agree_with_seating(
        board in boards(),
        strains in prop::array::uniform3(0.0..0.4_f64),
    ) {
        let mut pads = fitted(&board, &strains);
        let stock: Vec<_> = (1..5).map(|step| pad(0.75 * f64::from(step), 1)).collect();
        let rows = board.substitutes(&pads, 0, &stock);
        prop_assert_eq!(rows.len(), 4);
        for (row, pad) in rows.iter().zip(&stock) {
            pads[0] = Some(*pad);
            let Ok(peak) = board.seat_at(&pads, Moment::Assembly) else {
                prop_assert_eq!(&row.troubles, &[Trouble::Unbalanced]);
                continue;
            };
            let (found, wanted) = (row.zone.as_ref().expect("fitted"), &peak.zones[0]);
            let wanted = wanted.as_ref().expect("fitted");
            prop_assert!((found.force_n - wanted.force_n).abs() < 1e-6);
            prop_assert_eq!(found.verdict, wanted.verdict);
            prop_assert_eq!(row.troubles.is_empty(), peak.holds());
            prop_assert_eq!(row.dies.len(), board.dies.len());
        }
    }
}

fn main_drop(seated: &Seated) -> f64 {
    let zones = seated.zones.iter().flatten();
    zones.filter_map(ZoneSeated::drop_k).fold(0.0, f64::max)
}

/// How good an assignment is on paper: its greatest drop, its force, and its order.
fn on_paper(board: &Assembly, pads: &[Option<Fitted<'_>>]) -> (f64, f64) {
    let Some(Cooler::Drawn { screws, .. }) = &board.cooler else {
        panic!("drawn");
    };
    let load_n: f64 = screws.iter().map(|screw| screw.force_n).sum();
    let area: f64 = board.dies.iter().map(|die| die.place.area()).sum();
    let bond_mm = board.paste.law.bond_line_mm(1000.0 * load_n / area);
    let highest = board
        .dies
        .iter()
        .map(|die| die.height_mm)
        .fold(0.0, f64::max);
    let level = Assembly {
        cooler: Some(Cooler::Held {
            height_mm: highest + bond_mm,
        }),
        dies: Vec::new(),
        ..board.clone()
    };
    let seated = level.seat(pads).expect("held").peak;
    let mut drop_k = 0.0_f64;
    for (zone, pad) in board.zones.iter().zip(pads) {
        let known = pad.expect("fitted").material.conductivity_w_mk.is_some();
        if zone.heat_w.is_some() && !known {
            drop_k = f64::INFINITY;
        }
    }
    let forces = seated.zones.iter().flatten().map(|zone| zone.force_n);
    (drop_k.max(main_drop(&seated)), forces.sum())
}

/// Goes through every assignment; returns the best that holds, and the least drop as seated.
fn by_force(
    board: &Assembly,
    candidates: &[Vec<Fitted<'static>>],
    worst: DieVerdict,
) -> Option<(Vec<usize>, (f64, f64), f64)> {
    let count = candidates.iter().map(Vec::len).product::<usize>();
    let mut best: Option<(Vec<usize>, (f64, f64), f64)> = None;
    for mut number in 0..count {
        let mut picks = vec![0; candidates.len()];
        for (pick, own) in picks.iter_mut().zip(candidates).rev() {
            *pick = number % own.len();
            number /= own.len();
        }
        let pads = picks
            .iter()
            .zip(candidates)
            .map(|(&pick, own)| Some(own[pick]));
        let pads: Vec<_> = pads.collect();
        let Ok(peak) = board.seat_at(&pads, Moment::Assembly) else {
            continue;
        };
        if !peak.holds() || peak.dies.iter().any(|die| die.verdict > worst) {
            continue;
        }
        let paper = on_paper(board, &pads);
        let drop_k = main_drop(&peak);
        best = Some(match best {
            None => (picks, paper, drop_k),
            Some((kept, least, least_drop_k)) => {
                let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 || a.total_cmp(&b).is_eq();
                let better = if near(paper.0, least.0) {
                    paper.1 < least.1 - 1e-9
                } else {
                    paper.0 < least.0
                };
                let drop_k = drop_k.min(least_drop_k);
                if better {
                    (picks, paper, drop_k)
                } else {
                    (kept, least, drop_k)
                }
            }
        });
    }
    best
}

fn chosen(choice: &Choice) -> Option<Vec<usize>> {
    let picks = choice.picks.as_ref()?;
    Some(
        picks
            .iter()
            .map(|pick| pick.expect("every gap is known"))
            .collect(),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn the_choice_is_the_one_found_by_trying_all(
        board in boards(),
        strains in prop::collection::vec(prop::collection::vec((0.02..0.5_f64, 0..4_usize), 1..5), 3),
        even in any::<bool>(),
    ) {
        let zones = board.zones.iter().zip(&strains);
        let candidates: Vec<Vec<_>> = zones
            .map(|(zone, strains)| {
                let pads = strains.iter();
                pads.map(|&(strain, material)| pad(gap_mm(zone) / (1.0 - strain), material)).collect()
            })
            .collect();
        // A zone with nothing but unknown conductivities counts as without heat.
        let mut board = board;
        for (zone, own) in board.zones.iter_mut().zip(&candidates) {
            if own.iter().any(|pad| pad.material.conductivity_w_mk.is_none()) {
                zone.heat_w = None;
            }
        }
        let worst = if even { DieVerdict::Seated } else { DieVerdict::Uneven };
        let choice = board.choose(&candidates, worst);
        prop_assert!(choice.proven);
        let best = by_force(&board, &candidates, worst);
        prop_assert_eq!(chosen(&choice), best.as_ref().map(|(picks, ..)| picks.clone()));
        if let (Some(seated), Some((.., least_k))) = (&choice.seated, best) {
            let drop_k = main_drop(seated);
            // Compared on paper; as seated it is no worse but for what tilt does to the gaps.
            prop_assert!(drop_k <= 1.2 * least_k + 1.0, "{drop_k} K, not {least_k} K");
            prop_assert!(seated.holds());
        }
    }
}

fn assert_near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
}

/// A firm pad beside the die is a pivot under a pull beyond it: the outer pad, as it grows, first takes
/// the die's load, and then levers the cooler back onto the die.
fn lever() -> (Assembly, Vec<Option<Fitted<'static>>>) {
    let zones = vec![
        zone(&[[52.0, 0.0]], 1.6, None),
        zone(&[[21.0, 0.0]], 1.6, None),
    ];
    let mut board = board(zones, [0.0; 4]);
    if let Some(Cooler::Drawn { screws, .. }) = &mut board.cooler {
        *screws = vec![Screw {
            at: Point { x: 24.0, y: 0.0 },
            force_n: 130.0,
        }];
    }
    (board, vec![Some(pad(2.0, 1)), Some(pad(2.42, 2))])
}

#[test]
fn a_hole_in_the_window_of_a_tilting_cooler_is_found() {
    let (board, mut pads) = lever();
    let window = window(&board, &pads, 0);
    assert_eq!(window.intervals.len(), 2, "{window:?}");
    let [thin, thick] = [window.intervals[0], window.intervals[1]];
    let hole_mm = f64::midpoint(thin.high_mm, thick.low_mm);
    assert!(thick.low_mm - thin.high_mm > 0.2, "a wide hole: {window:?}");
    assert!(fits(&board, &pads, 0, thin.high_mm), "before it");
    assert!(!fits(&board, &pads, 0, hole_mm), "in it");
    assert!(fits(&board, &pads, 0, thick.low_mm), "after it");
    // The interval of what is fitted comes first, then the wider one.
    for (thickness_mm, wanted) in [(thin.low_mm, thin), (thick.low_mm, thick), (hole_mm, thick)] {
        pads[0] = Some(pad(thickness_mm, 1));
        let found = self::window(&board, &pads, 0);
        assert_eq!(found.window, Some(wanted), "with {thickness_mm} mm");
    }
}

/// Between fixed faces 1.9 mm apart: a twentieth of squeeze at least, a half at most.
#[test]
fn the_window_of_a_fixed_gap_has_a_closed_form() {
    let mut board = board(vec![zone(&[[32.0, 0.0]], 1.6, None)], [20.0; 4]);
    board.zones[0].faces = Faces::Fixed { gap_mm: 1.9 };
    let pads = vec![Some(pad(2.0, 0))];
    let found = window(&board, &pads, 0);
    let window = found.window.expect("one");
    assert_near(window.low_mm, 2.0, 1e-8);
    assert_near(window.high_mm, 3.8, 1e-8);
    assert!(fits(&board, &pads, 0, window.low_mm), "at its edge");
    assert!(fits(&board, &pads, 0, window.high_mm), "at its other edge");
    assert_eq!(found.below, [Trouble::Floats { zone: 0 }], "below");
    assert_eq!(found.above, [Trouble::Crushed { zone: 0 }], "above");

    // Of the material that is crushed at two fifths.
    let early = board.window(&pads, 0, &MATERIALS[2]).expect("known");
    assert_near(early.window.expect("one").high_mm, 1.9 / 0.6, 1e-8);

    // The same on standoffs: 3.1 mm less 1.2 mm.
    board.zones[0].faces = Faces::OnCooler {
        near_mm: 1.2,
        recess_mm: 0.0,
    };
    board.cooler = Some(Cooler::Held { height_mm: 3.1 });
    let held = self::window(&board, &pads, 0).window.expect("one");
    assert_near(held.low_mm, 2.0, 1e-8);
}

/// A pad so firm that at a twentieth of squeeze, where it no longer counts as floating, it carries 72 of
/// the 80 N: the die gets 17 kPa of the 70 it needs.
#[test]
fn an_empty_window_names_what_excludes_what() {
    let stone = Material {
        curve: PadCurve::new(&[[0.05, 150.0], [0.1, 400.0]]).expect("rises"),
        ..MATERIALS[0].clone()
    };
    let places = [[-32.0, 20.0], [32.0, 20.0], [32.0, -20.0], [-32.0, -20.0]];
    let board = board(vec![zone(&places, 1.6, None); 2], [20.0; 4]);
    let found = board.window(&[None, None], 0, &stone).expect("known");
    assert_eq!((found.intervals.len(), found.window), (0, None), "empty");
    let [held_off, floats] = &found.clash[..] else {
        panic!("a pair: {found:?}");
    };
    assert_eq!(held_off.trouble, Trouble::HeldOff { die: 0 }, "too thick");
    assert_eq!(floats.trouble, Trouble::Floats { zone: 0 }, "too thin");
    let (thin, thick) = (
        held_off.free.expect("thin ones"),
        floats.free.expect("thick ones"),
    );
    assert!(
        thin.high_mm < thick.low_mm,
        "they exclude each other: {found:?}"
    );

    // Another zone holds the die off, whatever lies in this one.
    let pads = [None, Some(pad(4.0, 2))];
    let found = board.window(&pads, 0, &MATERIALS[0]).expect("known");
    assert_eq!(found.clash.len(), 1, "one alone: {found:?}");
    assert_eq!(
        found.clash[0].trouble,
        Trouble::HeldOff { die: 0 },
        "always"
    );
    assert_eq!(found.clash[0].free, None, "nothing helps");
}

/// Pads of 2 mm leave 37 of 80 N to the die; of 2.25 mm, squeezed by 0.29, next to nothing.
#[test]
fn the_nearest_wrong_pad_holds_the_die_off() {
    let places = [[-32.0, 20.0], [32.0, 20.0], [32.0, -20.0], [-32.0, -20.0]];
    let board = board(vec![zone(&places, 1.6, Some(2.0))], [20.0; 4]);
    let pads = [Some(pad(2.0, 1))];
    let stocked = [0.5, 1.0, 1.75, 2.0, 2.25, 3.0];
    let wrong = board.nearest_wrong(&pads, 0, &stocked).expect("one");
    assert_near(wrong.pad.thickness_mm, 2.25, 0.0);
    assert_eq!(wrong.harm, Trouble::HeldOff { die: 0 }, "too thick");
    assert!(wrong.pad.dies[0].mean_kpa < 70.0, "{wrong:?}");

    let wrong = board.nearest_wrong(&pads, 0, &stocked[..2]).expect("one");
    assert_near(wrong.pad.thickness_mm, 1.0, 0.0);
    assert_eq!(wrong.harm, Trouble::Floats { zone: 0 }, "too thin");
    assert_eq!(
        board.nearest_wrong(&pads, 0, &[2.0]),
        None,
        "the fitted one"
    );
    assert_eq!(
        board.nearest_wrong(&[None], 0, &stocked),
        None,
        "nothing fitted"
    );
}

/// Between fixed faces 1.9 ± 0.1 mm apart, a pad of 2.0 ± 0.2 mm floats where `g > 0.95·t`. With `t`
/// even over its range, `0.95·t` is even from 1.71 to 2.09; `g` from 1.8 to 2.0; so the share that does
/// not float is `(0.1 + 0.09) / 0.38`, a half.
#[test]
fn the_yield_of_a_fixed_gap_has_a_closed_form() {
    let mut board = board(vec![zone(&[[32.0, 0.0]], 1.6, None)], [20.0; 4]);
    board.zones[0].faces = Faces::Fixed { gap_mm: 1.9 };
    let off = |near_mm, pad_mm| Tolerances {
        zones: vec![ZoneTolerance {
            near_mm,
            far_mm: 0.0,
            pad_mm,
        }],
        ..Tolerances::default()
    };
    let pads = [Some(pad(2.0, 0))];
    let found = board.yields(&pads, &off(0.1, 0.2)).expect("balances");
    assert_eq!(found.samples, 2000, "the whole sample");
    // Three standard deviations of 2,000 tosses of a coin.
    assert_near(found.fraction, 0.5, 0.034);
    let failing = f64::from(found.troubles[&Trouble::Floats { zone: 0 }]);
    assert_near(failing / 2000.0, 1.0 - found.fraction, 1e-12);

    let exact = board
        .yields(&[Some(pad(2.1, 0))], &off(0.0, 0.0))
        .expect("balances");
    assert_near(exact.fraction, 1.0, 0.0);
    assert!(exact.troubles.is_empty(), "nothing fails");
}

/// Only the pads of one zone vary: the share of their range that lies in the zone's window.
#[test]
fn the_yield_of_one_varying_pad_is_its_share_of_the_window() {
    let places = [[-32.0, 20.0], [32.0, 20.0], [32.0, -14.0], [-32.0, -20.0]];
    let board = board(vec![zone(&places, 1.6, None)], [21.0, 20.0, 19.0, 20.0]);
    let pads = vec![Some(pad(2.1, 1))];
    let window = window(&board, &pads, 0).window.expect("one");
    let tolerances = Tolerances {
        zones: vec![ZoneTolerance {
            pad_mm: 0.6,
            ..ZoneTolerance::default()
        }],
        ..Tolerances::default()
    };
    let found = board.yields(&pads, &tolerances).expect("balances");
    let share = (window.high_mm.min(2.7) - window.low_mm.max(1.5)) / 1.2;
    assert!((0.2..0.8).contains(&share), "both edges count: {share}");
    assert_near(found.fraction, share, 0.034);
    // Nothing but the pad varies, and a gap does not count its pad.
    assert_near(found.gaps[0].expect("a chain").worst_case_mm, 0.0, 0.0);
}

/// Die ± 0.05, part ± 0.1 and recess ± 0.02 mm.
#[test]
fn gaps_add_up_in_worst_case_and_by_root_sum_square() {
    let places = [[-32.0, 20.0], [32.0, 20.0], [32.0, -20.0], [-32.0, -20.0]];
    let board = board(vec![zone(&places, 1.6, None)], [20.0; 4]);
    let tolerances = Tolerances {
        dies_mm: vec![0.05],
        cooler_mm: 9.0,
        zones: vec![ZoneTolerance {
            near_mm: 0.1,
            far_mm: 0.02,
            pad_mm: 0.2,
        }],
    };
    let found = board
        .yields(&[Some(pad(2.0, 1))], &tolerances)
        .expect("balances");
    let gap = found.gaps[0].expect("a chain");
    assert_near(gap.nominal_mm, 1.6, 0.01);
    assert_near(gap.worst_case_mm, 0.17, 1e-12);
    assert_near(gap.root_sum_square_mm, 0.0129_f64.sqrt(), 1e-12);
    assert!((0.05..1.0).contains(&found.fraction), "{}", found.fraction);

    let alone = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a pool");
    let again = alone.install(|| board.yields(&[Some(pad(2.0, 1))], &tolerances));
    assert_eq!(again.expect("balances"), found, "on one thread");
    let negative = Tolerances {
        cooler_mm: -1.0,
        ..Tolerances::default()
    };
    assert!(
        board.yields(&[None], &negative).is_err(),
        "a negative tolerance"
    );
}

#[test]
fn the_choice_takes_the_best_conductor_that_holds_then_the_softest() {
    let places = [[-32.0, 20.0], [32.0, 20.0], [32.0, -20.0], [-32.0, -20.0]];
    let board = board(vec![zone(&places, 1.6, Some(2.0))], [20.0; 4]);
    let one = |own: &[Fitted<'static>]| {
        let choice = board.choose(&[own.to_vec()], DieVerdict::Seated);
        assert!(choice.proven, "one zone");
        choice
    };
    let (soft, better, hard, unknown) = (pad(2.0, 0), pad(2.0, 1), pad(2.5, 2), pad(2.0, 3));
    assert_eq!(
        chosen(&one(&[soft, better, hard])),
        Some(vec![1]),
        "the hard one holds off"
    );
    assert_eq!(
        chosen(&one(&[unknown, soft])),
        Some(vec![1]),
        "unknown counts as the worst"
    );
    assert_eq!(
        chosen(&one(&[unknown, unknown])),
        Some(vec![0]),
        "the first of equals"
    );
    assert_eq!(
        chosen(&one(&[pad(2.2, 1), better])),
        Some(vec![1]),
        "the lighter of equals"
    );

    let blocked = one(&[pad(1.0, 0), pad(4.0, 0)]);
    assert_eq!(
        (blocked.picks, blocked.blocked),
        (None, vec![0]),
        "none can do"
    );
    assert_eq!(one(&[]).blocked, [0], "no candidate");
}

/// Eight zones of 20 candidates are 25,600 million assignments.
#[test]
fn eight_zones_of_twenty_candidates_are_proven() {
    let gaps = [1.6, 0.8, 2.4, 1.6, 0.85, 1.55, 2.3, 0.8];
    let zones = gaps.iter().zip(PLACES);
    let zones = zones.map(|(&gap_mm, place)| zone(&[place], gap_mm, Some(2.0)));
    let board = board(zones.collect(), [40.0, 42.0, 39.0, 41.0]);
    let thicknesses = [0.5, 1.0, 1.5, 2.0, 3.0];
    let own = (0..4).flat_map(|material| thicknesses.map(|mm| pad(mm, material)));
    let candidates = vec![own.collect::<Vec<_>>(); 8];
    let choice = board.choose(&candidates, DieVerdict::Seated);
    assert!(choice.proven, "{} seatings", choice.seatings);
    let seated = choice.seated.expect("one holds");
    assert!(seated.holds(), "every condition");
}

/// Nothing, too much, and no numbers at all.
#[test]
fn bad_input_gets_an_answer() {
    let material = &MATERIALS[0];
    let places = [[-32.0, 20.0], [32.0, 20.0], [32.0, -20.0], [-32.0, -20.0]];
    let sound = board(vec![zone(&places, 1.6, Some(2.0))], [20.0; 4]);
    let mut boards = vec![sound.clone(); 9];
    boards[0].dies.clear();
    boards[1].zones.clear();
    boards[2].zones[0].pieces.clear();
    boards[3].cooler = None;
    boards[4].zones[0].faces = Faces::Unknown;
    boards[5].zones[0].faces = Faces::Fixed { gap_mm: -1.0 };
    boards[6].dies[0].height_mm = f64::NAN;
    boards[7].dies[0].place.width = 0.0;
    boards[8].cooler = Some(Cooler::Drawn {
        origin: Point { x: 0.0, y: 0.0 },
        screws: Vec::new(),
        stops: Vec::new(),
    });
    let numbers = [2.0, 0.0, -1.0, f64::NAN, f64::INFINITY, 1e300];
    let stock = numbers.map(|mm| pad(mm, 0));
    for board in &boards {
        for fitted in [
            vec![],
            vec![None],
            vec![Some(stock[0])],
            vec![Some(stock[3]); 3],
        ] {
            for zone in [0, 7] {
                let window = board.window(&fitted, zone, material);
                let window = window.iter().flat_map(|window| &window.intervals);
                let ends = window.flat_map(|one: &Interval| [one.low_mm, one.high_mm]);
                assert!(ends.into_iter().all(f64::is_finite), "{board:?}");
                assert_eq!(
                    board.substitutes(&fitted, zone, &stock).len(),
                    6,
                    "a row for each"
                );
                board.nearest_wrong(&fitted, zone, &numbers);
            }
            if let Ok(found) = board.yields(&fitted, &Tolerances::default()) {
                assert!((0.0..=1.0).contains(&found.fraction), "{found:?}");
            }
        }
        for candidates in [
            vec![],
            vec![vec![]],
            vec![stock.to_vec()],
            vec![stock.to_vec(); 3],
        ] {
            for worst in [DieVerdict::Seated, DieVerdict::Uneven] {
                let choice = board.choose(&candidates, worst);
                assert_eq!(
                    choice.picks.is_some(),
                    choice.seated.is_some(),
                    "{choice:?}"
                );
            }
        }
    }
}

#[test]
fn ten_thousand_pieces_get_an_answer() {
    let piece = |index: u16| {
        let (column, row) = (f64::from(index % 100), f64::from(index / 100));
        square([column - 49.5, row - 49.5], [0.9, 0.9])
    };
    let mut board = board(vec![zone(&[], 1.6, Some(0.01)); 2], [500.0; 4]);
    board.zones[0].pieces = (0..5000).map(piece).collect();
    board.zones[1].pieces = (5000..10_000).map(piece).collect();
    let pads = vec![Some(pad(2.0, 0)); 2];
    assert!(window(&board, &pads, 0).window.is_some(), "one");
    let found = board
        .yields(&pads, &Tolerances::default())
        .expect("balances");
    assert_eq!(found.samples, 50, "fewer boards");
    let own = vec![pad(1.5, 0), pad(2.0, 0), pad(2.0, 1), pad(2.5, 0)];
    let choice = board.choose(&vec![own; 2], DieVerdict::Uneven);
    assert!(choice.seatings < 1000, "{}", choice.seatings);
}
