//! Readings with the kernels' verdicts, for the browser test that puts them to the sheets' forms: the page's
//! script must answer as the kernels do.

use std::path::Path;

use gapbook::book::{Board, Book};
use gapbook::heat::{self, Limits, Normal, Readings, Sensor, fahrenheit};
use gapbook::progress::Silent;
use gapbook::record::schema::Words as _;
use serde_json::{Value, json};

/// Boards with many healthy jobs, with two, with one, and without a hotspot or a memory sensor.
const BOARDS: &[&str] = &[
    "osk-tern-240",
    "marlop-sanderling",
    "brinnow-coble",
    "tolvane-dunlin-short",
    "ferrowick-gangway",
];

/// Cases of each form for each board.
const CASES: usize = 14;

/// Numbers that are the same on every machine: an old linear congruence is even enough here.
struct Dice(u64);

impl Dice {
    /// Returns a whole number from 0 to below `count`.
    fn below(&mut self, count: u32) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let high = u32::try_from(self.0 >> 33).expect("31 bits");
        high % count
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * f64::from(self.below(1000)) / 1000.0
    }

    /// Returns a value mostly, and nothing now and then.
    fn mostly<T>(&mut self, value: T) -> Option<T> {
        (self.below(6) > 0).then_some(value)
    }
}

/// Rolls readings that can be, around what healthy boards show.
fn rolled(board: &Board, normal: &Normal, limits: &Limits, dice: &mut Dice) -> Readings {
    loop {
        let heat_w = board.record.board.heat_w.expect("known") * dice.between(0.8, 1.02);
        let ambient_c = dice.between(18.0, 37.0);
        let worse = dice.between(0.9, 1.5);
        let mut sensor = |sensor: Sensor| {
            let rise = normal.range(sensor).map_or(0.25, |range| range.mean);
            let read = ambient_c + rise * heat_w * worse * dice.between(0.97, 1.15);
            read.min(limits.of(sensor).unwrap_or(120.0) + 8.0).round()
        };
        let [die_c, hotspot_c, memory_c] =
            [Sensor::Die, Sensor::Hotspot, Sensor::Memory].map(&mut sensor);
        let has = |sensor: Sensor| limits.of(sensor).is_some();
        let answer =
            |dice: &mut Dice| [None, Some(false), Some(false), Some(true)][dice.below(4) as usize];
        let readings = Readings {
            ambient_c: dice.mostly(ambient_c.round()),
            heat_w: dice.mostly(heat_w.round()),
            die_c: dice.mostly(die_c),
            hotspot_c: dice.mostly(hotspot_c).filter(|_| has(Sensor::Hotspot)),
            memory_c: dice.mostly(memory_c).filter(|_| has(Sensor::Memory)),
            fan_rpm: (dice.below(3) == 0).then(|| dice.between(0.0, 4000.0).round()),
            throttling: answer(dice),
            crashing: answer(dice),
            dusty: false,
        };
        if heat::impossible(&readings).is_none() && readings.read().next().is_some() {
            return readings;
        }
    }
}

/// Writes readings as a person types them into the form.
fn typed(readings: &Readings) -> Value {
    let amount = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let answer = |value: Option<bool>| match value {
        None => "",
        Some(true) => "yes",
        Some(false) => "no",
    };
    json!({
        "ambient": amount(readings.ambient_c),
        "heat": amount(readings.heat_w),
        "die": amount(readings.die_c),
        "hotspot": amount(readings.hotspot_c),
        "memory": amount(readings.memory_c),
        "fan": amount(readings.fan_rpm),
        "throttling": answer(readings.throttling),
        "crashing": answer(readings.crashing),
    })
}

/// Puts readings together.
fn given(
    ambient_c: Option<f64>,
    heat_w: Option<f64>,
    [die_c, hotspot_c, memory_c]: [Option<f64>; 3],
) -> Readings {
    Readings {
        ambient_c,
        heat_w,
        die_c,
        hotspot_c,
        memory_c,
        ..Readings::default()
    }
}

fn cases(book: &Book) -> Vec<Value> {
    let mut dice = Dice(1703);
    let mut cases = Vec::new();
    for id in BOARDS {
        let board = book.board(id).expect("in the demo book");
        let (limits, normal) = (heat::board::limits(board), heat::board::normal(board, None));
        for _ in 0..CASES {
            let now = rolled(board, &normal, &limits, &mut dice);
            cases.push(json!({
                "page": format!("boards/{id}/decide.html"),
                "type": { "now": typed(&now) },
                "answer": heat::triage(&now, &limits, &normal).verdict,
            }));
            let (before, after) = (
                rolled(board, &normal, &limits, &mut dice),
                rolled(board, &normal, &limits, &mut dice),
            );
            cases.push(json!({
                "page": format!("boards/{id}/prove.html"),
                "type": { "before": typed(&before), "after": typed(&after) },
                "answer": heat::prove(Some(&before), &after, (&limits, &normal), &[]).verdict,
            }));
        }
    }
    assert!(
        fahrenheit::chip(162.0, Some(90.0)).is_some(),
        "the kernel asks"
    );
    let tern = book.board("osk-tern-240").expect("in the demo book");
    let (limits, normal) = (heat::board::limits(tern), heat::board::normal(tern, None));
    let far = [110.0, 125.0, 105.0].map(Some);
    for (ambient_c, chips, is_asked) in [
        (None, [Some(162.0), None, None], true),
        (Some(75.0), [100.0, 104.0, 99.0].map(Some), true),
        (None, far, true),
        (Some(24.0), far, false),
        (None, [110.0, 125.0, 70.0].map(Some), false),
    ] {
        let now = given(ambient_c, None, chips);
        let asked = !fahrenheit::together(&now, &limits).is_empty();
        assert_eq!(asked, is_asked, "the kernel asks: {now:?}");
        let verdict = heat::triage(&now, &limits, &normal).verdict;
        cases.push(json!({
            "page": "boards/osk-tern-240/decide.html",
            "type": { "now": typed(&now) },
            "answer": if is_asked { "see the readings again" } else { verdict.word() },
        }));
    }
    // Heats that cannot be believed, before and after.
    let sound = [72.0, 84.0, 80.0].map(Some);
    for (before_w, after_w, chips) in [
        (238.0, 2380.0, sound),
        (238.0, 23.8, sound),
        (2380.0, 238.0, sound),
        (238.0, 2380.0, [95.0, 105.0, 80.0].map(Some)),
        (238.0, 23.8, [70.0, 100.0, 80.0].map(Some)),
    ] {
        let before = given(Some(24.0), Some(before_w), sound);
        let after = given(Some(24.0), Some(after_w), chips);
        cases.push(json!({
            "page": "boards/osk-tern-240/decide.html",
            "type": { "now": typed(&after) },
            "answer": heat::triage(&after, &limits, &normal).verdict,
        }));
        cases.push(json!({
            "page": "boards/osk-tern-240/prove.html",
            "type": { "before": typed(&before), "after": typed(&after) },
            "answer": heat::prove(Some(&before), &after, (&limits, &normal), &[]).verdict,
        }));
    }
    cases
}

#[test]
fn the_browser_test_has_the_kernels_verdicts() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let book = Book::load(&root.join("boards"), &Silent).expect("the book is there");
    let lines: Vec<String> = cases(&book).iter().map(Value::to_string).collect();
    let fresh = format!("[\n{}\n]\n", lines.join(",\n"));
    let kept = root.join("tests/browser/verdicts.json");
    let other = Path::new(env!("CARGO_TARGET_TMPDIR")).join("verdicts.json");
    std::fs::write(&other, &fresh).expect("written");
    let found = std::fs::read_to_string(&kept).unwrap_or_default();
    assert!(
        found == fresh,
        "the cases are stale: cp {} {}",
        other.display(),
        kept.display()
    );
}
