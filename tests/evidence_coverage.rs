//! Whether intervals hold what they say, and nominal thicknesses are as likely as they say: by simulation, with
//! a truth that is known.
#![expect(
    clippy::print_stdout,
    reason = "the tables are for a developer to read: `--nocapture`"
)]

use gapbook::evidence::estimate::{Consensus, Gauge, Measured, Variation};
use gapbook::evidence::nominal::{likeliest, weigh};
use gapbook::evidence::sample::Sample;

/// Random numbers that are the same on every machine: a seeded generator (`SplitMix64`, Steele and others 2014).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Anywhere from 0 to 1.
    fn share(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits")]
        let share = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        share
    }

    /// Anywhere within ± `half_width`.
    fn within(&mut self, half_width: f64) -> f64 {
        (2.0 * self.share() - 1.0) * half_width
    }

    /// Normal (Box and Muller 1958).
    fn normal(&mut self, deviation: f64) -> f64 {
        let radius = (-2.0 * self.share().max(1e-300).ln()).sqrt();
        deviation * radius * (std::f64::consts::TAU * self.share()).cos()
    }

    /// A whole number from `least` to `greatest`.
    fn count(&mut self, least: usize, greatest: usize) -> usize {
        let choices = u64::try_from(greatest - least + 1).expect("small");
        least + usize::try_from(self.next() % choices).expect("small")
    }
}

/// How the jobs of a simulated zone differ, mm.
#[derive(Clone, Copy)]
struct World {
    /// Standard deviation between boards.
    boards: f64,
    /// Standard deviation between benches beyond what their instruments and hands explain.
    benches: f64,
}

/// What a bench is like.
struct Bench {
    gauge: Gauge,
    off: f64,
}

fn bench(random: &mut Random, world: World) -> Bench {
    let gauge = if random.share() < 0.7 {
        Gauge {
            max_error: 0.03,
            resolution: 0.01,
        }
    } else {
        Gauge {
            max_error: 0.004,
            resolution: 0.001,
        }
    };
    // Hands are within 0.02 mm; here normal with the same deviation, to be no copy of what is assumed.
    let hand = random.normal(0.02 / 3.0_f64.sqrt());
    Bench {
        off: random.within(gauge.max_error) + hand + random.normal(world.benches),
        gauge,
    }
}

/// Reads a truth, mm: 2 to 8 jobs at so many benches, 2 to 5 readings each, shown in the gauge's steps.
fn jobs(random: &mut Random, world: World, benches: usize, truth: f64) -> Vec<Measured> {
    let scatter = 0.01 + 0.02 * random.share();
    let all: Vec<Bench> = (0..benches).map(|_| bench(random, world)).collect();
    let count = random.count(benches.max(2), 8);
    (0..count)
        .map(|job| {
            let own = if job < benches {
                job
            } else {
                random.count(0, benches - 1)
            };
            let Bench { gauge, off } = &all[own];
            let of_board = truth + off + random.normal(world.boards);
            let readings: Vec<f64> = (0..random.count(2, 5))
                .map(|_| {
                    let read = of_board + random.normal(scatter);
                    (read / gauge.resolution).round() * gauge.resolution
                })
                .collect();
            Measured {
                bench: own,
                sample: Sample::of(&readings).expect("readings"),
                gauge: *gauge,
            }
        })
        .collect()
}

fn estimate(jobs: &[Measured]) -> Consensus {
    Consensus::of(jobs, &Variation::of(&[jobs.to_vec()])).expect("jobs")
}

/// How often the interval held the truth, and how wide it was in the mean.
fn coverage(random: &mut Random, world: World, benches: usize, sets: usize) -> [f64; 2] {
    let (mut held, mut width) = (0.0, 0.0);
    for _ in 0..sets {
        let truth = 0.5 + 2.5 * random.share();
        let found = estimate(&jobs(random, world, benches, truth));
        held += f64::from((found.value - truth).abs() <= found.expanded);
        width += found.expanded;
    }
    #[expect(clippy::cast_precision_loss, reason = "a few thousand")]
    let sets = sets as f64;
    [held / sets, width / sets]
}

/// 2,000 sets of 2 to 8 jobs at 1 to 5 benches, boards alike or differing by up to 0.03 mm: the stated 95 %
/// interval holds the truth in 93 to 97 of a hundred.
#[test]
fn intervals_hold_the_truth_as_often_as_stated() {
    const EACH: usize = 100;
    let mut random = Random(1);
    let mut all = 0.0;
    for benches in 1..=5 {
        let mut mean = [0.0; 2];
        for boards in [0.0, 0.01, 0.02, 0.03] {
            let world = World {
                boards,
                benches: 0.0,
            };
            let found = coverage(&mut random, world, benches, EACH);
            mean = [0, 1].map(|at| mean[at] + found[at] / 4.0);
        }
        let [held, width] = mean;
        println!(
            "{benches} benches, {} sets: {held:.4}, ± {width:.3} mm",
            4 * EACH
        );
        all += held / 5.0;
    }
    println!("all: {all:.4}");
    assert!((0.93..=0.97).contains(&all), "{all}");
}

/// Benches that differ by more than their instruments and hands explain: from two benches on the interval
/// widens, and from three on it nearly holds what it says. One bench cannot know, and does not.
#[test]
fn what_no_bench_declares_is_found_by_several() {
    let mut random = Random(2);
    let world = World {
        boards: 0.02,
        benches: 0.02,
    };
    let held: Vec<f64> = (1..=5)
        .map(|benches| coverage(&mut random, world, benches, 400)[0])
        .collect();
    println!("1 to 5 benches: {held:?}");
    assert!(held[0] < 0.93, "one bench: {held:?}");
    assert!(held[1] > 0.87, "two: {held:?}");
    assert!(
        held[2..].iter().all(|share| *share > 0.91),
        "more: {held:?}"
    );
}

/// Of 4,000 simulated zones, how often the likeliest stocked thickness was the one, by the probability stated.
/// Pads are bought on the half millimetre five times as often as on the quarter, and are thicker or thinner
/// by 10 % at most in nineteen of twenty.
#[test]
fn the_right_thickness_is_chosen_as_often_as_stated() {
    const STOCKED: [f64; 10] = [0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 3.0];
    const SETS: usize = 4000;
    let mut random = Random(3);
    let world = World {
        boards: 0.01,
        benches: 0.0,
    };
    // Of each tenth from 0.3 on: how many, how many right, the sum of what was stated.
    let mut table = [[0.0; 3]; 7];
    let mut all = [0.0; 2];
    for _ in 0..SETS {
        let nominal = loop {
            let nominal = STOCKED[random.count(0, STOCKED.len() - 1)];
            if (nominal * 2.0).fract() == 0.0 || random.share() < 0.2 {
                break nominal;
            }
        };
        let truth = nominal + random.normal(nominal * 0.05);
        let benches = random.count(1, 5);
        let found = estimate(&jobs(&mut random, world, benches, truth));
        let weighed = weigh(found.value, found.uncertainty.standard, &STOCKED);
        let Some(chosen) = likeliest(&weighed) else {
            continue;
        };
        let right = f64::from((chosen.thickness_mm - nominal).abs() < 1e-9);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a tenth"
        )]
        let tenth = ((10.0 * chosen.probability) as usize).clamp(3, 9) - 3;
        let row = &mut table[tenth];
        *row = [row[0] + 1.0, row[1] + right, row[2] + chosen.probability];
        all = [all[0] + right, all[1] + chosen.probability];
    }
    for (tenth, [count, right, stated]) in table.iter().enumerate() {
        if *count > 0.0 {
            let (right, stated) = (right / count, stated / count);
            println!(
                "0.{}: {count} zones, stated {stated:.3}, right {right:.3}",
                tenth + 3
            );
            // Three standard errors.
            let chance = 3.0 * (stated * (1.0 - stated) / count).sqrt();
            assert!((right - stated).abs() <= chance + 0.02, "0.{}", tenth + 3);
        }
    }
    println!("all: right {}, stated {:.1}", all[0], all[1]);
    assert!((all[0] / all[1] - 1.0).abs() < 0.02, "{all:?}");
}
