//! Bond lines, conduction and tolerance chains against published and recomputed examples.

use gapbook::stack::bond::{self, inverse_gap_mm};
use gapbook::stack::conduction::{drop_k, layer_mm2_k_w};
use gapbook::stack::tolerance::{Interval, Length, Stack};
use gapbook::stack::{PadCurve, PadLaw, PasteLaw, Plate};
use gapbook::units::{Point, Rect};

/// Asserts that a value rounds to what was printed with so many decimals.
#[track_caller]
fn assert_prints(value: f64, printed: f64, decimals: i32) {
    let half_a_digit = 0.5 * 10_f64.powi(-decimals);
    assert!(
        (value - printed).abs() <= half_a_digit * (1.0 + 1e-6),
        "{value} is not {printed}"
    );
}

/// `1.31e-4 m · (τ/P)^0.166` in µm: yield stress by rows (Pa), pressure by columns (kPa).
#[test]
fn bond_lines_of_the_scaling_law() {
    let pressures = [50.0, 69.0, 100.0, 138.0, 200.0, 276.0, 345.0, 500.0];
    let table = [
        (50.0, [41.6, 39.5, 37.1, 35.2, 33.1, 31.3, 30.2, 28.4]),
        (100.0, [46.7, 44.3, 41.6, 39.5, 37.1, 35.2, 33.9, 31.9]),
        (200.0, [52.4, 49.7, 46.7, 44.3, 41.6, 39.5, 38.0, 35.7]),
        (300.0, [56.0, 53.1, 49.9, 47.3, 44.5, 42.2, 40.7, 38.2]),
    ];
    for (yield_pa, row) in table {
        let paste = PasteLaw::new(yield_pa).expect("positive");
        for (pressure, printed) in pressures.into_iter().zip(row) {
            assert_prints(1000.0 * paste.bond_line_mm(pressure), printed, 1);
        }
    }
}

#[test]
fn twice_and_ten_times_the_pressure() {
    let paste = PasteLaw::new(100.0).expect("positive");
    let at = |pressure| paste.bond_line_mm(pressure);
    assert_prints(at(200.0) / at(100.0), 0.891, 3);
    assert_prints(at(1000.0) / at(100.0), 0.682, 3);
}

/// A die of 24 by 30 mm, 300 W: conduction through even paste and through a wedge, which conducts better than
/// its mean thickness says.
#[test]
fn drop_across_a_bond_line() {
    let place = Rect {
        x: 3.0,
        y: 4.0,
        width: 24.0,
        height: 30.0,
    };
    let die_mm = 2.4;
    let drop = |gap_mm: f64, tilt: [f64; 2], conductivity: f64| {
        let origin = Point { x: 15.0, y: 19.0 };
        let plate = Plate {
            origin,
            separation_mm: die_mm + gap_mm,
            tilt,
        };
        let inverse = inverse_gap_mm(place, die_mm, &plate).expect("open");
        bond::drop_k(300.0, conductivity, inverse).expect("positive")
    };
    assert_prints(drop(0.030, [0.0, 0.0], 8.0), 1.56, 2);
    assert_prints(drop(0.050, [0.0, 0.0], 8.0), 2.60, 2);
    assert_prints(drop(0.030, [0.0, 0.0], 4.0), 3.13, 2); // 3.125

    // 20 to 60 µm along either side is as good as their logarithmic mean all over, 36.4 µm.
    let mean_mm = (0.060 - 0.020) / f64::ln(0.060 / 0.020);
    assert_prints(1000.0 * mean_mm, 36.4, 1);
    let even = drop(mean_mm, [0.0, 0.0], 8.0);
    for tilt in [[0.040 / 24.0, 0.0], [0.0, -0.040 / 30.0]] {
        assert!(
            (drop(0.040, tilt, 8.0) / even - 1.0).abs() < 1e-11,
            "{tilt:?}"
        );
    }
    // Over a corner: `[z·ln z]` at the corners over both tilts, the closed form.
    let tilt = [0.018 / 24.0, 0.020 / 30.0];
    let part = |z: f64| z * z.ln();
    let sum = part(0.040 + 0.019) - part(0.040 + 0.001) - part(0.040 - 0.001) + part(0.040 - 0.019);
    let closed_form = 300.0 / (8.0 * 1e-3 * sum / (tilt[0] * tilt[1]));
    assert!(
        (drop(0.040, tilt, 8.0) / closed_form - 1.0).abs() < 1e-10,
        "{closed_form}"
    );
}

#[test]
fn bond_lines_need_positive_numbers() {
    assert!(bond::drop_k(300.0, 0.0, 1.0).is_err(), "no conductivity");
    let plate = Plate {
        origin: Point { x: 0.0, y: 0.0 },
        separation_mm: 1.0,
        tilt: [0.2, f64::NAN],
    };
    let place = Rect {
        x: 0.0,
        y: 0.0,
        width: 1.0,
        height: 1.0,
    };
    assert!(inverse_gap_mm(place, 0.0, &plate).is_err(), "no plane");
}

/// Grease and solder under 10 by 10 mm: published as 0.05, 0.20 and (rounded) 0.003 K/W.
#[test]
fn resistance_of_thin_layers() {
    let layer =
        |thickness, conductivity| layer_mm2_k_w(thickness, conductivity).expect("positive") / 100.0;
    assert_prints(layer(0.025, 5.0), 0.050, 3);
    assert_prints(layer(0.100, 5.0), 0.200, 3);
    assert_prints(layer(0.015, 57.0), 0.0026, 4);
}

/// A chip between two streams, of which one cools through glue and 8 mm of aluminium.
///
/// Incropera, Bergman and others, Fundamentals of Heat and Mass Transfer, example 3.3: 75.3 °C.
#[test]
fn plane_wall_with_a_contact() {
    let chip_c = |contact: f64, conductivity: f64| {
        let aluminium = layer_mm2_k_w(8.0, conductivity).expect("positive");
        // The glue and the air behind the wall are given in m²·K/W, and the wall is of one square metre.
        let wall = [1e6 * contact, aluminium, 1e6 / 100.0];
        let through_wall = 1.0 / drop_k(1.0, &wall, 1e6).expect("an area");
        25.0 + 1e4 / (100.0 + through_wall)
    };
    assert_prints(chip_c(0.9e-4, 239.0), 75.307, 3);
    assert_prints(chip_c(1e-4, 237.0), 75.33, 2);
    assert_prints(chip_c(0.2e-4, 239.0), 75.13, 2);
}

/// A pad of 12 by 14 mm with 3 W through it: K by thickness (mm) and conductivity.
#[test]
fn drop_across_a_pad() {
    let conductivities = [1.5, 3.0, 6.0, 8.0, 12.0, 16.0, 24.0];
    let table = [
        (2.0, [23.81, 11.90, 5.95, 4.46, 2.98, 2.23, 1.49]),
        (1.6, [19.05, 9.52, 4.76, 3.57, 2.38, 1.79, 1.19]),
        (1.0, [11.90, 5.95, 2.98, 2.23, 1.49, 1.12, 0.74]),
    ];
    let layer = |thickness, conductivity| layer_mm2_k_w(thickness, conductivity).expect("positive");
    let drop = |heat_w, layers: &[f64]| drop_k(heat_w, layers, 168.0).expect("an area");
    for (thickness, row) in table {
        for (conductivity, printed) in conductivities.into_iter().zip(row) {
            assert_prints(drop(3.0, &[layer(thickness, conductivity)]), printed, 2);
        }
    }
    // K/W: the drop for each watt.
    assert_prints(drop(1.0, &[layer(2.0, 6.0)]), 1.984, 3);
    assert_prints(drop(1.0, &[layer(2.0, 16.0)]), 0.744, 3);
    assert_prints(drop(1.0, &[layer(2.0, 24.0)]), 0.496, 3);
    assert_prints(drop(1.0, &[20.0, 20.0]), 0.238, 3);
    assert_prints(drop(3.0, &[20.0, 20.0]), 0.71, 2);
}

#[test]
fn conduction_needs_positive_numbers() {
    assert!(layer_mm2_k_w(2.0, 0.0).is_err(), "no conductivity");
    assert!(layer_mm2_k_w(-1.0, 6.0).is_err(), "no thickness");
    assert!(drop_k(3.0, &[20.0], f64::NAN).is_err(), "no area");
}

/// Shigley's Mechanical Engineering Design, example 1-7 (in): the gap is 0.005 ± 0.010, or ± 0.006
/// by root-sum-square.
#[test]
fn a_chain_of_three_parts_in_a_slot() {
    let part = Length::new;
    let chain = [
        part(1.750, 0.003),
        -part(0.750, 0.001),
        -part(0.120, 0.005),
        -part(0.875, 0.001),
    ];
    let stack = Stack::of(chain);
    assert_prints(stack.nominal_mm, 0.005, 9);
    assert_prints(stack.worst_case_mm, 0.010, 9);
    assert_prints(stack.root_sum_square_mm, 0.006, 9);
    let Interval { low_mm, high_mm } = stack.worst_case();
    assert_prints(low_mm, -0.005, 9);
    assert_prints(high_mm, 0.015, 9);
    assert!(
        low_mm < 0.003,
        "the example asks for 0.003, which the worst case misses"
    );
}

/// A published worked chain in mm, ten equal parts, and a pad in a gap.
#[test]
fn other_chains() {
    let part = Length::new;
    let housing = Stack::of([
        part(40.0, 0.10),
        -part(25.0, 0.05),
        -part(2.0, 0.03),
        -part(10.0, 0.05),
    ]);
    assert_prints(housing.nominal_mm, 3.00, 9);
    assert_prints(housing.worst_case_mm, 0.23, 9);
    assert_prints(housing.root_sum_square_mm, 0.126, 3);

    let ten = Stack::of([part(1.0, 0.1); 10]);
    assert_prints(ten.worst_case_mm, 1.0, 9);
    assert_prints(ten.root_sum_square_mm, 0.316, 3);

    let pad = Stack::of([part(1.5, 0.1), -part(2.0, 0.2), part(0.0, 0.1)]);
    assert_prints(pad.worst_case_mm, 0.40, 9);
    assert_prints(pad.root_sum_square_mm, 0.245, 3);
}

#[test]
fn intervals_share_what_both_hold() {
    let [left, right] = [Length::new(1.0, 0.2), Length::new(1.3, 0.1)].map(|it| it.interval());
    let shared = left.shared_with(&right).expect("they touch");
    assert_prints(shared.low_mm, 1.2, 9);
    assert_prints(shared.high_mm, 1.2, 9);
    assert_eq!(left.shared_with(&Interval::about(2.0, 0.5)), None, "apart");
}

/// Ten per cent of the pad and 0.1 mm of the gap turn "25 %" into anything from 11 to 36 %.
#[test]
fn strain_of_pads_in_gaps() {
    let curve = PadCurve::new(&[[0.5, 100.0]]).expect("rises");
    let table = [
        (1.8, [22.2, 16.7, 11.1]),
        (2.0, [30.0, 25.0, 20.0]),
        (2.2, [36.4, 31.8, 27.3]),
    ];
    for (thickness, row) in table {
        let pad = PadLaw::new(&curve, thickness).expect("positive");
        for (gap, printed) in [1.4, 1.5, 1.6].into_iter().zip(row) {
            assert_prints(100.0 * pad.strain_at(gap), printed, 1);
        }
    }
}
