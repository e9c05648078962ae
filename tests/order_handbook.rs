//! Threads, torques, engagement and bits against what handbooks and standards print.

use gapbook::order::engagement::{ALUMINIUM, BRASS, Ceiling, PLASTIC, STEEL, ceiling};
use gapbook::order::torque::{NUT_FACTORS, ceiling_nm, preload_n, torque_nm};
use gapbook::order::{Strength, Thread, driver};

#[track_caller]
fn assert_near(found: f64, printed: f64, share: f64) {
    let off = (found - printed).abs() / printed;
    assert!(off <= share, "{found} is not {printed} within {share}");
}

fn thread(name: &str) -> Thread {
    Thread::of(name).expect("a thread")
}

fn strength(class: &str) -> &'static Strength {
    Strength::of(class).expect("a class")
}

/// ISO 724 geometry and ISO 898-1 stress areas (from memory, recomputed; M3 to M4 as printed on a
/// stored page on EN ISO 898-1).
#[test]
fn threads_have_the_printed_sizes() {
    for (name, pitch, d2, d1, d3, area, printed) in [
        ("M1.6", 0.35, 1.3727, 1.2211, 1.1706, 1.2700, 1.27),
        ("M2", 0.4, 1.7402, 1.5670, 1.5093, 2.0732, 2.07),
        ("M2.5", 0.45, 2.2077, 2.0129, 1.9479, 3.3908, 3.39),
        ("M3", 0.5, 2.6752, 2.4587, 2.3866, 5.0308, 5.03),
        ("M3.5", 0.6, 3.1103, 2.8505, 2.7639, 6.7752, 6.78),
        ("M4", 0.7, 3.5453, 3.2422, 3.1412, 8.7787, 8.78),
    ] {
        let thread = thread(name);
        assert_near(thread.pitch_mm, pitch, 1e-9);
        assert_near(thread.pitch_diameter_mm(), d2, 4e-5);
        assert_near(thread.minor_mm(), d1, 4e-5);
        assert_near(thread.root_mm(), d3, 4e-5);
        assert_near(thread.stress_area_mm2(), area, 5e-5);
        assert_near(thread.stress_area_mm2(), printed, 2e-3);
    }
}

#[test]
fn designations_are_read_or_not_known() {
    assert_near(thread("M3x0.35").pitch_mm, 0.35, 1e-12);
    let unified = thread("#4-40");
    assert_near(unified.nominal_mm, 2.8448, 1e-9);
    assert_near(unified.pitch_mm, 0.635, 1e-9);
    for none in [
        "self-tapping 2.2",
        "M2.7",
        "M3x9",
        "M3x0.0",
        "#4-0",
        "M",
        "wood",
        "",
    ] {
        assert_eq!(Thread::of(none), None, "`{none}` has no known profile");
    }
}

/// Shigley's Mechanical Engineering Design, example 8-3 (from memory): 3/4-16 UNF, preload 25 kip.
#[test]
fn the_handbook_s_worked_example() {
    const INCH: f64 = 25.4;
    const POUND_N: f64 = 4.448_221_615_260_5;
    let bolt = Thread {
        nominal_mm: 0.75 * INCH,
        pitch_mm: INCH / 16.0,
    };
    let pound_inches = |nut_factor| {
        let torque = torque_nm(nut_factor, 25_000.0 * POUND_N, bolt.nominal_mm);
        torque * 1000.0 / (POUND_N * INCH)
    };
    assert_near(pound_inches(0.2), 3750.0, 1e-9);
    let mean_mm = 0.7093 * INCH;
    let nut_factor = bolt.nut_factor(mean_mm, 0.15, 0.15);
    assert_near(nut_factor, 0.1894, 5e-4);
    assert_near(pound_inches(nut_factor), 3551.0, 5e-4);
}

/// Shigley, eq. (8-26), with the pitch diameter for the mean one, friction in thread and under the head
/// the same (recomputed). The band of the nut factor holds all of it but the best lubricated.
#[test]
fn nut_factors_of_small_threads() {
    for (name, factors) in [
        ("M2", [0.1453, 0.1681, 0.2023, 0.2596]),
        ("M2.5", [0.1427, 0.1656, 0.2001, 0.2576]),
        ("M3", [0.1411, 0.1640, 0.1986, 0.2563]),
        ("M4", [0.1421, 0.1650, 0.1995, 0.2571]),
    ] {
        let thread = thread(name);
        for (friction, expected) in [0.10, 0.12, 0.15, 0.20].into_iter().zip(factors) {
            let found = thread.nut_factor(thread.pitch_diameter_mm(), friction, friction);
            assert_near(found, expected, 5e-4);
            let [least, greatest] = NUT_FACTORS;
            let is_in_band = (least..=greatest).contains(&found);
            assert_eq!(is_in_band, friction > 0.11, "{name}, {friction}");
        }
    }
}

/// Proof loads, N (ISO 898-1 and ISO 3506-1, recomputed), and M12 of class 8.8 at 70 % and K = 0.2 as a
/// stored page prints it.
#[test]
fn proof_loads() {
    for (name, printed) in [
        ("M2", [642.0, 1201.0, 2008.0, 931.0]),
        ("M2.5", [1051.0, 1966.0, 3288.0, 1526.0]),
        ("M3", [1559.0, 2917.0, 4879.0, 2264.0]),
        ("M4", [2722.0, 5092.0, 8517.0, 3951.0]),
    ] {
        for (class, printed) in ["4.8", "8.8", "12.9", "A2-70"].into_iter().zip(printed) {
            let found = strength(class).proof_n(&thread(name));
            // The table has whole newtons; A2-70 is taken at R_p0.2 and M2's is rounded down.
            assert_near(found, printed, 2.5e-3);
        }
    }
    let preload = 0.7 * strength("8.8").proof_n(&thread("M12"));
    assert_near(preload, 34_200.0, 2e-3);
    assert_near(torque_nm(0.2, preload, 12.0), 82.1, 2e-3);
}

/// ISO 898-1, table 4, as printed on a stored page, N.
#[test]
fn ultimate_loads() {
    for (name, class, printed) in [
        ("M3", "8.8", 4020.0),
        ("M3", "12.9", 6140.0),
        ("M3.5", "8.8", 5420.0),
        ("M4", "8.8", 7020.0),
    ] {
        assert_near(
            strength(class).tensile_mpa * thread(name).stress_area_mm2(),
            printed,
            2e-3,
        );
    }
}

/// Least breaking torques, N·m: ISO 898-7:1992, table 2 (from memory), and its formula recomputed;
/// ISO 3506-1 as a stored page prints it.
#[test]
fn breaking_torques() {
    for (name, printed, recomputed) in [
        ("M1.6", 0.16, 0.164),
        ("M2", 0.37, 0.368),
        ("M2.5", 0.82, 0.822),
        ("M3", 1.5, 1.547),
        ("M3.5", 2.4, 2.414),
        ("M4", 3.6, 3.570),
    ] {
        let found = strength("8.8").breaking_nm(&thread(name)).expect("known");
        assert_near(found, recomputed, 2e-3);
        assert_near(found, printed, 0.035);
    }
    let of = |class, name| strength(class).breaking_nm(&thread(name));
    assert_eq!(of("A2-70", "M2"), Some(0.40), "printed");
    assert_eq!(of("A2-50", "M3"), Some(1.1), "printed");
    assert_eq!(of("A4-80", "M4"), Some(4.3), "printed");
    assert_eq!(of("A2-70", "M3.5"), None, "not in the table");
    assert_eq!(of("4.8", "M3"), None, "ISO 898-7 begins at 8.8");
}

/// Preload from torque at K = 0.2 and 0.3 (recomputed); the band reaches to K = 0.15.
#[test]
fn a_torque_gives_a_band_of_preload() {
    for (torque, nominal, at_point_two, at_point_three) in [
        (0.15, 2.0, 375.0, 250.0),
        (0.3, 2.5, 600.0, 400.0),
        (0.4, 2.5, 800.0, 533.0),
        (0.5, 3.0, 833.0, 556.0),
        (0.6, 3.0, 1000.0, 667.0),
    ] {
        let [least, greatest] = preload_n(torque, nominal);
        assert_near(least, at_point_three, 1e-3);
        assert_near(greatest, at_point_two * 0.2 / 0.15, 1e-3);
        assert_near(torque_nm(0.2, at_point_two, nominal), torque, 1e-3);
    }
}

/// Recommended torques, N·m, as printed for class 4.8 (a stored table): all lie under the ceiling, and the
/// ceiling under what the same table prints for class 8.8.
#[test]
fn recommended_torques_lie_under_the_ceiling() {
    for (name, weak, strong) in [
        ("M2", 0.17, 0.35),
        ("M2.5", 0.35, 0.70),
        ("M3", 0.61, 1.20),
        ("M4", 1.40, 2.90),
    ] {
        let ceiling = ceiling_nm(&thread(name), strength("4.8"));
        assert!(weak < ceiling && ceiling < strong, "{name}: {ceiling}");
    }
}

/// The ceiling brings no screw past its proof load, however slippery its thread.
#[test]
fn the_ceiling_is_a_ceiling() {
    for class in ["4.8", "8.8", "A2-70"] {
        for name in ["M2", "M2.5", "M3", "M4"] {
            let (thread, strength) = (thread(name), strength(class));
            let torque = ceiling_nm(&thread, strength);
            let [_, greatest] = preload_n(torque, thread.nominal_mm);
            assert_near(greatest, strength.proof_n(&thread), 1e-9);
            let breaking = strength.breaking_nm(&thread);
            assert!(breaking.is_none_or(|breaking| torque < breaking), "{name}");
        }
    }
}

/// M3, 3 mm in brass: 24.7 mm², 5.9 kN, more than a screw of class 8.8 stands (recomputed from the formula,
/// from memory).
#[test]
fn a_brass_standoff_outlasts_its_screw() {
    let thread = thread("M3");
    assert_near(thread.stripping_area_mm2(3.0), 24.7, 2e-3);
    let stripping = BRASS.stripping_n(&thread, 3.0);
    assert_near(stripping, 5900.0, 1e-2);
    let breaking = strength("8.8").tensile_mpa * thread.stress_area_mm2();
    assert!(stripping > breaking, "4.02 kN");
}

/// Least engagement in nominal diameters: steel of 0.8 to 1.0 by its strength (trials M6 to M16),
/// brass 1.3 to 1.5, aluminium 1.5 and more, plastics 2 to 3.
#[test]
fn engagement_of_the_handbooks() {
    let thread = thread("M2");
    for (material, printed) in [(STEEL, 1.6), (BRASS, 2.6), (ALUMINIUM, 3.0), (PLASTIC, 4.0)] {
        assert_near(material.least_mm(&thread), printed, 1e-9);
    }
}

#[test]
fn plastic_strips_before_a_screw_yields() {
    let thread = thread("M3");
    let usual = strength("4.8");
    let metal = ceiling(&thread, usual, Some(&BRASS), None);
    let unknown = ceiling(&thread, usual, None, None);
    assert_eq!(metal, unknown, "the screw gives way first");
    assert!(!metal.strips, "in brass the screw yields");
    let Ceiling { torque_nm, strips } = ceiling(&thread, usual, Some(&PLASTIC), None);
    assert!(strips && torque_nm < metal.torque_nm, "{torque_nm} N·m");
}

/// Cross recesses of ISO 7045 and hexalobular ones of ISO 14583, as printed (the latter from memory).
#[test]
fn bits_of_the_standards() {
    for (thread, cross, star) in [
        ("M1.6", &["PH0"][..], "T5"),
        ("M2", &["PH0", "PH1"], "T6"),
        ("M2.5", &["PH1"], "T8"),
        ("M3", &["PH1"], "T10"),
        ("M3.5", &["PH2"], "T15"),
        ("M4", &["PH2"], "T20"),
        ("M5", &["PH2"], "T25"),
        ("M6", &["PH3"], "T30"),
    ] {
        assert_eq!(driver::usual(thread, "PH1"), cross, "{thread}");
        assert_eq!(driver::usual(thread, "T6"), [star], "{thread}");
    }
    assert_eq!(driver::usual("M3x0.35", "PH0"), ["PH1"], "a fine thread");
    assert_eq!(driver::usual("M3", "H2"), [""; 0], "no table here");
    assert_eq!(
        driver::usual("self-tapping 2.2", "PH0"),
        [""; 0],
        "nor here"
    );
}

#[test]
fn bits_that_there_are() {
    for drive in ["PH000", "PH0", "PH4", "PZ4", "T5", "T10", "H1.5", "SL3.5"] {
        assert!(driver::exists(drive), "{drive}");
    }
    for drive in ["PH5", "PH10", "PZ9", "T11", "T99", "H9.9", "SL9", "T0"] {
        assert!(!driver::exists(drive), "{drive}");
    }
}
