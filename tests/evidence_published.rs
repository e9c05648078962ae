//! The statistics of jobs against published values; the source stands beside each.
#![expect(
    clippy::print_stdout,
    reason = "relative errors are for a developer to read: `--nocapture`"
)]

use std::path::Path;

use gapbook::evidence::consensus::{Reported, agreement, mandel_paule, weighted_mean};
use gapbook::evidence::distribution::{
    chi_square_quantile, normal_quantile, student_log_density, student_quantile,
};
use gapbook::evidence::interlab::Spread;
use gapbook::evidence::outlier::{generalised_esd, grubbs, grubbs_critical, outlying};
use gapbook::evidence::robust::{algorithm_a, median, median_deviation};
use gapbook::evidence::sample::Sample;
use gapbook::evidence::uncertainty::{Component, half_width_beside, rectangular, resolution};

fn assert_within(found: f64, wanted: f64, off: f64, what: &str) {
    let is = (found - wanted).abs();
    assert!(is <= off, "{what}: {found} is not {wanted} ± {off:e}");
}

fn reference(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/strd");
    std::fs::read_to_string(folder.join(name)).expect("a data set of the repository")
}

fn numbers(text: &str) -> Vec<f64> {
    text.split_whitespace()
        .map(|one| one.parse().expect("a number"))
        .collect()
}

/// A NIST data set of this name.
fn strd(name: &str) -> Vec<f64> {
    let alternating = |middle: f64, below: f64, above: f64| -> Vec<f64> {
        let pairs = std::iter::repeat_n([below, above], 500).flatten();
        std::iter::once(middle).chain(pairs).collect()
    };
    match name {
        "PiDigits" => reference("PiDigits.txt")
            .chars()
            .filter_map(|digit| digit.to_digit(10).map(f64::from))
            .collect(),
        "NumAcc1" => vec![10_000_001.0, 10_000_003.0, 10_000_002.0],
        "NumAcc2" => alternating(1.2, 1.1, 1.3),
        "NumAcc3" => alternating(1_000_000.2, 1_000_000.1, 1_000_000.3),
        "NumAcc4" => alternating(10_000_000.2, 10_000_000.1, 10_000_000.3),
        _ => numbers(&reference(&format!("{name}.txt"))),
    }
}

/// NIST StRD, univariate summary statistics: certified mean and standard deviation, to 15 digits.
///
/// The last column is the relative error of the standard deviation that is allowed. It is the computer's, a
/// few units in the fifteenth digit (in the thirteenth where readings share four digits), but for the last two sets: their readings, such as 10000000.2, lie
/// between two numbers that a computer can hold, and that alone moves the deviation by so much.
#[test]
fn nist_summaries_are_met_to_the_last_digit() {
    let certified = [
        ("PiDigits", 5000, 4.534_8, 2.867_339_060_288_71, 4e-15),
        (
            "Lottery",
            218,
            518.958_715_596_330,
            291.699_727_470_969,
            4e-15,
        ),
        ("Lew", 200, -177.435, 277.332_168_044_316, 4e-15),
        ("Mavro", 50, 2.001_856, 0.000_429_123_454_003_053, 2e-13),
        ("Michelso", 100, 299.852_4, 0.079_010_547_819_051_8, 2e-14),
        ("NumAcc1", 3, 10_000_002.0, 1.0, 0.0),
        ("NumAcc2", 1001, 1.2, 0.1, 1e-14),
        ("NumAcc3", 1001, 1_000_000.2, 0.1, 4e-10),
        ("NumAcc4", 1001, 10_000_000.2, 0.1, 6e-9),
    ];
    for (name, count, mean, deviation, relative) in certified {
        let sample = Sample::of(&strd(name)).expect("readings");
        assert_eq!(sample.count, count, "{name}");
        let off = sample.mean / mean - 1.0;
        println!(
            "{name}: relative error of the mean {off:.1e}, of the deviation {:.1e}",
            sample.deviation / deviation - 1.0
        );
        assert_within(sample.mean, mean, mean.abs() * 1e-15, name);
        assert_within(sample.deviation, deviation, deviation * relative, name);
    }
}

/// NIST StRD, one-way analysis of variance: certified F.
///
/// The relative errors allowed are those of the data in binary, as above: `SmLs07` differs in the
/// thirteenth digit of its readings.
#[test]
fn nist_analyses_of_variance_are_met() {
    let certified = [
        ("SiRstv", 1.180_462_374_402_55, 2e-12),
        ("AtmWtAg", 15.946_733_567_793_0, 2e-9),
        ("SmLs01", 21.0, 1e-13),
        ("SmLs04", 21.0, 2e-9),
        ("SmLs07", 21.0, 5e-3),
    ];
    for (name, ratio, relative) in certified {
        let text = reference(&format!("{name}.txt"));
        let groups: Vec<Sample> = text
            .lines()
            .filter_map(|line| Sample::of(&numbers(line)))
            .collect();
        let spread = Spread::of(&groups).expect("groups");
        println!(
            "{name}: relative error of F {:.1e}",
            spread.ratio / ratio - 1.0
        );
        assert_within(spread.ratio, ratio, ratio * relative, name);
    }
}

/// The data and G of NIST/SEMATECH e-Handbook 1.3.5.17.1, after Tietjen and Moore (1972).
#[test]
fn grubbs_finds_the_handbook_s_outlier() {
    let masses = [
        199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57,
    ];
    let (index, statistic) = grubbs(&masses).expect("an outermost");
    assert_eq!(index, 7, "245.57");
    assert_within(statistic, 2.4687, 1e-4, "G");
    assert_within(grubbs_critical(8, 0.05), 2.032, 5e-4, "one-sided");
    // ISO 5725-2, table 5, 5 % two-sided (from memory), and computed to 17 digits beside it.
    assert_within(
        grubbs_critical(8, 0.025),
        2.126_645_087_195_466_7,
        1e-9,
        "two-sided",
    );
    assert_within(
        grubbs_critical(30, 0.025),
        2.908_473_059_740_967,
        1e-9,
        "of 30",
    );
}

/// NIST/SEMATECH e-Handbook 1.3.5.17.3, the data of Rosner (1983); R and λ from memory, and recomputed.
#[test]
fn generalised_esd_finds_the_handbook_s_three() {
    let rosner = [
        -0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58,
        1.65, 1.69, 1.70, 1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.10, 2.14, 2.15,
        2.23, 2.24, 2.26, 2.35, 2.37, 2.40, 2.47, 2.54, 2.62, 2.64, 2.90, 2.92, 2.92, 2.93, 3.21,
        3.26, 3.30, 3.59, 3.68, 4.30, 4.64, 5.34, 5.42, 6.01,
    ];
    let (steps, outliers) = generalised_esd(&rosner, 10, 0.05);
    assert_eq!(
        outliers, 3,
        "though the first two steps do not exceed theirs"
    );
    let printed = [
        (3.118, 3.158),
        (2.942, 3.151),
        (3.179, 3.143),
        (2.810, 3.136),
        (2.815, 3.128),
        (2.848, 3.120),
        (2.279, 3.111),
        (2.310, 3.103),
        (2.101, 3.094),
        (2.067, 3.085),
    ];
    for (step, (statistic, critical)) in steps.iter().zip(printed) {
        assert_within(step.statistic, statistic, 1.1e-3, "R");
        assert_within(step.critical, critical, 1.1e-3, "λ");
    }
}

/// ASTM E691, glucose in serum, 8 laboratories, 3 readings each (data seen; summary from memory). Material C
/// with its typing error, 148.30 for 138.30, put right.
#[test]
fn glucose_in_serum_spreads_as_published() {
    let materials: [(&[f64], [f64; 4]); 5] = [
        (
            &[
                41.03, 41.45, 41.37, 41.17, 42.00, 41.15, 41.01, 40.68, 42.66, 39.37, 42.37, 42.63,
                41.88, 41.19, 41.32, 43.28, 40.50, 42.28, 41.08, 41.27, 39.02, 43.36, 42.65, 41.72,
            ],
            // Here the standard gives s_R no less than s_r: between is nothing.
            [41.5183, 1.0632, 1.0632, 0.0],
        ),
        (
            &[
                78.28, 78.18, 78.49, 77.78, 80.38, 79.54, 79.18, 79.72, 80.81, 84.08, 78.60, 81.92,
                78.16, 79.58, 78.33, 78.66, 79.27, 81.75, 79.76, 81.45, 77.35, 80.44, 80.80, 79.80,
            ],
            [79.6796, 1.4949, 1.5796, 0.5105],
        ),
        (
            &[
                132.66, 133.83, 133.10, 132.92, 136.90, 136.40, 132.61, 135.80, 135.36, 138.50,
                138.30, 135.69, 131.90, 134.14, 133.76, 137.21, 135.14, 137.50, 130.97, 131.59,
                134.92, 135.46, 135.14, 133.63,
            ],
            [134.7264, 1.5434, 2.1482, 1.4942],
        ),
        (
            &[
                193.71, 193.59, 193.65, 190.88, 200.14, 194.30, 192.71, 193.28, 190.28, 195.85,
                196.36, 199.43, 192.59, 191.44, 195.12, 195.34, 198.26, 198.13, 194.66, 191.99,
                187.13, 197.56, 195.99, 200.82,
            ],
            [194.717, 2.6251, 3.3657, 2.1064],
        ),
        (
            &[
                292.78, 294.09, 292.89, 292.27, 309.40, 295.08, 295.53, 290.14, 292.34, 295.19,
                295.44, 296.83, 293.93, 292.48, 294.28, 297.74, 296.80, 290.33, 287.29, 293.76,
                289.36, 298.46, 295.28, 296.12,
            ],
            [294.492, 3.9350, 4.1923, 1.4463],
        ),
    ];
    for (readings, [mean, within, reproducible, between]) in materials {
        let laboratories: Vec<Sample> = readings.chunks(3).filter_map(Sample::of).collect();
        let spread = Spread::of(&laboratories).expect("eight laboratories");
        assert_within(spread.mean, mean, 1.6e-4, "mean");
        assert_within(spread.within, within, 1.6e-4, "s_r");
        assert_within(
            spread.within.hypot(spread.between),
            reproducible,
            1.6e-4,
            "s_R",
        );
        assert_within(spread.between, between, 1.6e-4, "s_L");
    }
}

/// ISO 5725-2, annex B.1, sulfur in coal, levels 1 and 2, unequal numbers of readings (from memory).
#[test]
fn sulfur_in_coal_spreads_as_published() {
    let level_1: [&[f64]; 8] = [
        &[0.71, 0.71, 0.70, 0.71],
        &[0.69, 0.67, 0.68],
        &[0.66, 0.65, 0.69],
        &[0.67, 0.65, 0.66],
        &[0.70, 0.69, 0.66, 0.71, 0.69],
        &[0.73, 0.74, 0.73],
        &[0.71, 0.71, 0.69],
        &[0.70, 0.65, 0.68],
    ];
    let level_2: [&[f64]; 8] = [
        &[1.20, 1.18, 1.23, 1.21],
        &[1.22, 1.21, 1.22],
        &[1.28, 1.31, 1.30],
        &[1.23, 1.18, 1.20],
        &[1.31, 1.22, 1.22, 1.24],
        &[1.39, 1.36, 1.37],
        &[1.20, 1.26, 1.26],
        &[1.24, 1.22, 1.30],
    ];
    let published = [
        (level_1, [0.690, 0.015, 0.026]),
        (level_2, [1.252, 0.029, 0.061]),
    ];
    for (level, [mean, within, reproducible]) in published {
        let laboratories: Vec<Sample> = level.into_iter().filter_map(Sample::of).collect();
        let spread = Spread::of(&laboratories).expect("eight laboratories");
        assert_within(spread.mean, mean, 6e-4, "m");
        assert_within(spread.within, within, 6e-4, "s_r");
        assert_within(
            spread.within.hypot(spread.between),
            reproducible,
            8e-4,
            "s_R",
        );
    }
}

fn reported(values: &[f64], standards: &[f64]) -> Vec<Reported> {
    let both = values.iter().zip(standards);
    both.map(|(&value, &standard)| Reported { value, standard })
        .collect()
}

/// CCQM-K25, PCB 28: the values printed with the NIST Decision Tree's DerSimonian–Laird (seen). Mandel–Paule
/// as `statsmodels` computes it, which stops at seven digits.
#[test]
fn pcb_28_agrees_on_the_published_consensus() {
    let all = reported(
        &[34.3, 32.9, 34.53, 32.42, 31.9, 35.8],
        &[1.03, 0.69, 0.83, 0.29, 0.4, 0.38],
    );
    let plain = weighted_mean(&all, 0.0);
    assert_within(plain.value, 33.299_566_213_301_93, 1e-12, "weighted mean");
    assert_within(plain.standard, 0.183_926_732_960_580_7, 1e-14, "its u");
    let agreement = agreement(&all);
    assert_within(agreement.q, 68.2154, 1e-4, "Q");
    assert_within(1.0 - agreement.degrees / agreement.q, 0.9267, 5e-5, "I²");
    assert_within(
        agreement.birge_ratio(),
        3.693_653_963_972_39,
        1e-12,
        "Birge ratio",
    );

    let mean = weighted_mean(&all, 1.7114);
    assert_within(mean.value, 33.600_43, 1e-5, "mean by DerSimonian–Laird's τ");
    assert_within(mean.standard, 0.744_997_9, 2e-5, "its u");

    let between = mandel_paule(&[&all]);
    assert_within(
        between * between,
        1.974_544_514_303_021_3,
        1e-7,
        "statsmodels' τ²",
    );
    assert_within(between, 1.405_184_874_859_14, 1e-10, "τ");
    let mean = weighted_mean(&all, between);
    assert_within(mean.value, 33.585_340_899_753_085, 1e-10, "Mandel–Paule");
    assert_within(mean.standard, 0.627_564_004_655_387_4, 1e-10, "its u");
}

/// The two examples of Paule and Mandel (1982), whose data were seen; their answers recomputed by an
/// independent implementation (`statsmodels`, which stops at seven digits, and exact bisection).
#[test]
fn mandel_and_paule_s_own_examples() {
    let cadmium = reported(
        &[27.044, 26.022, 26.34, 26.787, 26.796],
        &[
            0.054_772_255_750_516_61,
            0.275_680_975_041_804_4,
            0.681_175_454_637_056_1,
            0.054_772_255_750_516_61,
            0.118_321_595_661_992_32,
        ],
    );
    let between = mandel_paule(&[&cadmium]);
    assert_within(between, 0.324_375_381_693_435_2, 1e-10, "τ");
    let mean = weighted_mean(&cadmium, between);
    assert_within(mean.value, 26.712_128_748_258_966, 1e-10, "mean");
    assert_within(mean.standard, 0.171_136_963_619_360_5, 1e-10, "u");

    // Two laboratories: half the squared difference, less the mean of the variances.
    let two = reported(
        &[201.533, 216.55],
        &[0.062_870_236_731_434_91, 0.176_776_695_296_636_87],
    );
    assert_within(mandel_paule(&[&two]), 10.617_793_705_222_711, 1e-9, "τ");
}

/// CCQM-K30, lead in wine: reference value 2.99 with U = 0.06 (seen), the plain mean of nine. The
/// random-effects means lie within it.
#[test]
fn lead_in_wine_lies_within_its_reference() {
    let all = reported(
        &[2.893, 2.936, 2.94, 2.96, 2.98, 3.0, 3.001, 3.07, 3.13],
        &[
            0.020_657, 0.0125, 0.0165, 0.033_333, 0.100_503, 0.05, 0.068, 0.085, 0.06,
        ],
    );
    let plain = Sample::of(&all.iter().map(|one| one.value).collect::<Vec<_>>());
    assert_within(plain.expect("nine").mean, 2.99, 6e-3, "reference value");
    let mean = weighted_mean(&all, mandel_paule(&[&all]));
    assert_within(mean.value, 2.99, 0.06, "Mandel–Paule");
    assert_within(mean.value, 2.968_477, 1e-5, "recomputed");
}

/// Three values of h (2017): a program gave Q between 3.8 and 11.1 depending on their order; 3.4738175 in
/// exact fractions.
#[test]
fn order_changes_nothing() {
    let one = |value, standard| Reported { value, standard };
    let [a, b, c] = [
        one(6.626_070_13, 6e-8),
        one(6.626_070_06, 1.65e-7),
        one(6.626_069_93, 8.9e-8),
    ];
    for all in [
        [a, b, c],
        [a, c, b],
        [b, a, c],
        [b, c, a],
        [c, a, b],
        [c, b, a],
    ] {
        assert_within(agreement(&all).q, 3.473_817_514_190_297_4, 1e-7, "Q");
        assert_within(
            weighted_mean(&all, 0.0).value,
            6.626_070_066_879_95,
            1e-14,
            "mean",
        );
    }
}

/// CODATA 2018, sixteen values of the constant of gravitation (from memory): 6.674 30(15), by the weighted
/// mean with uncertainties 3.9 times as large, where the Birge ratio is 3.6.
#[test]
fn gravitation_is_in_dissent() {
    let all = reported(
        &[
            6.67248, 6.6729, 6.67398, 6.674_255, 6.67559, 6.67422, 6.67387, 6.67222, 6.67425,
            6.67349, 6.6726, 6.67554, 6.67191, 6.67435, 6.674_184, 6.674_484,
        ],
        &[
            0.00043, 0.0005, 0.0007, 9.2e-5, 0.00027, 0.00098, 0.00027, 0.00087, 0.00012, 0.00018,
            0.00025, 0.00016, 0.00099, 0.00013, 7.8e-5, 7.8e-5,
        ],
    );
    let mean = weighted_mean(&all, 0.0);
    assert_within(mean.value, 6.6743, 2e-5, "mean");
    assert_within(3.9 * mean.standard, 0.000_15, 5e-6, "its u");
    assert_within(
        agreement(&all).birge_ratio(),
        3.630_214_603_778,
        1e-9,
        "Birge ratio",
    );
}

/// JCGM 100:2008, H.1, an end gauge of 50 mm (from memory): u 32 nm, 16.7 degrees of freedom, U₉₉ 93 nm.
#[test]
fn an_end_gauge_is_as_uncertain_as_published() {
    let part = |standard, degrees| Component { standard, degrees };
    let d = Component::combined(&[part(5.8, 24.0), part(3.9, 5.0), part(6.7, 8.0)]);
    assert_within(d.standard, 9.7, 0.05, "u(d)");
    assert_within(d.degrees, 25.6, 0.3, "its degrees");
    let whole = Component::combined(&[
        part(25.0, 18.0),
        part(9.7, 25.6),
        part(2.9, 50.0),
        part(16.6, 2.0),
    ]);
    assert_within(whole.standard, 32.0, 0.5, "u");
    assert_within(whole.degrees, 16.7, 0.1, "effective degrees");
    // The guide rounds the degrees down, and u up.
    let printed = part(32.0, whole.degrees.floor());
    assert_within(printed.expanded(0.99), 93.0, 0.5, "U₉₉");
}

/// JCGM 100:2008, 4.4.3, twenty temperatures (from memory): mean 100.145, s 1.489, u 0.333.
#[test]
fn repeated_temperatures_scatter_as_published() {
    let read = [
        96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42,
        100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
    ];
    let sample = Sample::of(&read).expect("twenty");
    assert_within(sample.mean, 100.145, 5e-4, "mean");
    assert_within(sample.deviation, 1.489, 5e-4, "s");
    assert_within(sample.deviation / 20.0_f64.sqrt(), 0.333, 5e-4, "u");
}

/// JCGM 100:2008, 4.3.7 and F.2.2.1: a / √3 and d / √12.
#[test]
fn a_caliper_s_errors_are_rectangular() {
    assert_within(rectangular(0.02), 0.011_55, 5e-6, "0.02 mm permissible");
    assert_within(resolution(0.01), 0.002_89, 4e-6, "0.01 mm shown");
}

/// EA-4/02, S10, a caliper (from memory): ± 25 µm of reading and ± 50 µm of mechanics make a trapezoid, whose
/// factor is 1.83, not 2. Here the smaller of the two is taken as normal.
#[test]
fn a_caliper_is_not_normal() {
    let rest = Component::combined(&[
        Component::known(rectangular(25.0)),
        Component::known(2.0),
        Component::known(0.46),
    ]);
    let whole = rest.standard.hypot(rectangular(50.0));
    assert_within(whole, 33.0, 0.7, "u");
    let factor = half_width_beside(50.0, rest, 0.95) / whole;
    assert_within(factor, 1.83, 0.025, "factor");
    // The rectangle alone holds 95 % in 95 % of itself; without one, Student's t is all.
    assert_within(
        half_width_beside(1.0, Component::known(0.0), 0.95),
        0.95,
        1e-12,
        "alone",
    );
    let student = Component {
        standard: 1.0,
        degrees: 4.0,
    };
    assert_within(
        half_width_beside(0.0, student, 0.95),
        2.776_445,
        1e-6,
        "none",
    );
}

/// The share that the interval beside a rectangle really holds, by numerical convolution: never less than
/// stated, and no more than 3 % too wide from 5 degrees of freedom on.
#[test]
fn the_interval_beside_a_rectangle_is_not_too_narrow() {
    // Half widths for a rectangle of ± a and a Student's t of unit scale, SciPy 1.17: 400 Gauss points.
    let exact = [
        (5.0, 1.0, 2.779_1),
        (5.0, 3.0, 3.983_9),
        (20.0, 1.73, 2.791_7),
        (20.0, 10.0, 9.839_6),
    ];
    for (degrees, half_width, wanted) in exact {
        let rest = Component {
            standard: 1.0,
            degrees,
        };
        let found = half_width_beside(half_width, rest, 0.95);
        assert!(
            (1.0..1.03).contains(&(found / wanted)),
            "{degrees} degrees, ± {half_width}: {found} for {wanted}"
        );
    }
}

/// Quantiles, 17 digits computed with mpmath; those printed in every table are among them.
#[test]
fn quantiles_are_those_of_tables() {
    let normal = [
        (0.9, 1.281_551_565_544_600_5),
        (0.975, 1.959_963_984_540_054_2),
        (0.995, 2.575_829_303_548_901),
        (0.999_95, 3.890_591_886_413_094),
    ];
    for (probability, wanted) in normal {
        let found = normal_quantile(probability);
        assert_within(found, wanted, wanted * 1e-13, "normal");
    }
    let student = [
        (0.975, 1.0, 12.706_204_736_174_705),
        (0.975, 4.0, 2.776_445_105_197_794_4),
        (0.95, 10.0, 1.812_461_122_811_676_4),
        (0.995, 16.0, 2.920_781_622_425_1),
        (0.975, 194.0, 1.972_267_532_582_133_5),
        (0.999, 1000.0, 3.098_402_163_912_923),
    ];
    for (probability, degrees, wanted) in student {
        let found = student_quantile(probability, degrees);
        assert_within(found, wanted, wanted * 1e-9, "Student");
    }
    assert_within(
        student_quantile(0.975, f64::INFINITY),
        1.959_964,
        1e-6,
        "normal at last",
    );
    let chi_square = [
        (0.95, 1.0, 3.841_458_820_694_126),
        (0.975, 9.0, 19.022_767_798_641_635),
        (0.025, 30.0, 16.790_772_265_566_625),
        (0.99, 99.0, 134.641_616_857_891_49),
    ];
    for (probability, degrees, wanted) in chi_square {
        let found = chi_square_quantile(probability, degrees);
        assert_within(found, wanted, wanted * 1e-9, "chi-square");
    }
}

/// ISO 5725-5:1998, creosote, cell means: 20.412 by Algorithm A (from memory; data seen). And a note on the
/// median absolute deviation: 149.5 and 5.5 (seen).
#[test]
fn robust_means_are_those_published() {
    let creosote = [
        24.140, 20.155, 19.500, 20.300, 20.705, 17.570, 20.100, 20.940, 21.185,
    ];
    let found = algorithm_a(&creosote).expect("nine");
    assert_within(found.mean, 20.412, 5e-4, "mean");
    assert_within(found.deviation, 1.069_84, 1e-5, "deviation, recomputed");
    let ten = [
        145.0, 157.0, 183.0, 151.0, 143.0, 147.0, 153.0, 163.0, 130.0, 148.0,
    ];
    assert_within(median(&ten).expect("ten"), 149.5, 1e-12, "median");
    assert_within(median_deviation(&ten).expect("ten"), 5.5, 1e-12, "MAD");
}

/// Analytical Methods Committee (1989), copper in wholemeal flour: with one result of 28.95 the mean is 4.28;
/// Huber's proposal 2 gives 3.2055 and 0.674, of which Algorithm A differs by its rounded constants.
#[test]
fn one_wild_result_does_not_move_a_robust_mean() {
    let copper = [
        2.9, 3.1, 3.4, 3.4, 3.7, 3.7, 2.8, 2.5, 2.4, 2.4, 2.7, 2.2, 5.28, 3.37, 3.03, 3.03, 28.95,
        3.77, 3.4, 2.2, 3.5, 3.6, 3.7, 3.7,
    ];
    let plain = Sample::of(&copper).expect("24");
    assert_within(plain.mean, 4.2804, 5e-5, "plain mean");
    let found = algorithm_a(&copper).expect("24");
    assert_within(found.mean, 3.205_498, 1e-4, "mean");
    assert_within(found.deviation, 0.673_652, 6e-4, "deviation");
}

/// From six jobs on the generalised ESD test judges, below that ζ; a job's own uncertainty excuses it.
#[test]
fn a_job_lies_too_far_out_by_the_test_for_its_number() {
    let with = |values: &[f64], standard: f64| -> Vec<bool> {
        outlying(&reported(values, &vec![standard; values.len()]))
    };
    let last_of = |count: usize| -> Vec<bool> { (1..=count).map(|one| one == count).collect() };
    let six = [2.00, 2.01, 1.99, 2.00, 2.01, 2.20];
    assert_eq!(with(&six, 0.02), last_of(6), "of six");
    assert_eq!(with(&six[2..], 0.02), last_of(4), "of four");
    assert_eq!(
        with(&six, 0.2),
        [false; 6],
        "a coarse instrument excuses it"
    );
    assert_eq!(with(&six[4..], 0.02), [false; 2], "of two, which?");
}

/// Closed forms: Cauchy's `1 / (π (1 + t²))` for one degree of freedom, `(2 + t²)^(-3/2)` for two, and the
/// normal density for infinitely many.
#[test]
fn densities_are_those_of_the_closed_forms() {
    for t in [0.0_f64, 0.5, 3.0, 40.0] {
        let cases = [
            (1.0, -(std::f64::consts::PI * (1.0 + t * t)).ln()),
            (2.0, -1.5 * (2.0 + t * t).ln()),
            (f64::INFINITY, -0.5 * (t * t + std::f64::consts::TAU.ln())),
        ];
        for (degrees, wanted) in cases {
            let found = student_log_density(t, degrees);
            assert!((found - wanted).abs() < 1e-9, "{t}, {degrees}: {found}");
        }
    }
}
