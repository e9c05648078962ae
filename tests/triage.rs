//! What triage and proof say of the demo book's boards.

use gapbook::book::{Board, Book, Job};
use gapbook::heat::{self, Cause, Proof, Proved, Readings, Triage, Verdict};
use gapbook::progress::Silent;

fn book() -> Book {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
    Book::load(&root, &Silent).expect("the book is there")
}

fn board<'a>(book: &'a Book, id: &str) -> &'a Board {
    book.board(id).expect("in the demo book")
}

fn job<'a>(book: &Book, board: &'a Board, name: &str) -> &'a Job {
    let is_it = |job: &&Job| book.file(job.file).name.ends_with(&format!("{name}.toml"));
    board.own_jobs().find(is_it).expect("in the demo book")
}

/// What a healthy `osk-tern-240` shows.
fn sound() -> Readings {
    Readings {
        ambient_c: Some(24.0),
        heat_w: Some(238.0),
        die_c: Some(72.0),
        hotspot_c: Some(84.0),
        memory_c: Some(80.0),
        throttling: Some(false),
        ..Readings::default()
    }
}

fn triaged(board: &Board, readings: &Readings) -> Triage {
    let normal = heat::board::normal(board, None);
    heat::triage(readings, &heat::board::limits(board), &normal)
}

/// Triage of what a job read before it opened the board.
fn before(id: &str, name: &str) -> Triage {
    let book = book();
    let board = board(&book, id);
    let job = job(&book, board, name);
    let readings = heat::board::readings(job.record.before.as_ref().expect("before"));
    let normal = heat::board::normal(board, Some(job));
    heat::triage(&readings, &heat::board::limits(board), &normal)
}

fn proof(id: &str, name: &str) -> Proof {
    let book = book();
    let board = board(&book, id);
    let job = job(&book, board, name);
    heat::board::proof(&book, board, job).expect("after")
}

/// Common practice, without a source: 72 °C under load where the cooler makes that normal is left alone.
#[test]
fn seventy_two_degrees_are_left_alone() {
    let book = book();
    let tern = board(&book, "osk-tern-240");
    assert_eq!(
        triaged(tern, &sound()).verdict,
        Verdict::Leave,
        "as healthy boards"
    );
    let bare = Readings {
        die_c: Some(72.0),
        throttling: Some(false),
        ..Readings::default()
    };
    assert_eq!(
        triaged(tern, &bare).verdict,
        Verdict::Leave,
        "it does not throttle"
    );
    // A few degrees inside the limits never justify opening.
    for more in 1..=12 {
        let warmer = Readings {
            die_c: Some(72.0 + f64::from(more)),
            hotspot_c: Some(84.0 + f64::from(more)),
            memory_c: Some(80.0 + f64::from(more)),
            ..sound()
        };
        let verdict = triaged(tern, &warmer).verdict;
        assert!(
            matches!(verdict, Verdict::Leave | Verdict::Watch),
            "{more} K: {verdict}"
        );
    }
}

#[test]
fn only_throttling_crashing_or_a_limit_justify_opening() {
    for (id, name, wanted) in [
        (
            "marlop-sanderling",
            "2025-12-02-chandlery-2",
            Verdict::Leave,
        ),
        // "The smell was the power supply. Opened for nothing."
        (
            "marlop-sanderling",
            "2026-03-04-lamp-house-1",
            Verdict::Leave,
        ),
        (
            "brinnow-hawser-mk2",
            "2026-01-31-quayside-2",
            Verdict::Watch,
        ),
        ("osk-tern-240", "2025-11-08-quayside-2", Verdict::Open),
        ("osk-tern-240", "2026-01-17-netloft-3", Verdict::Open),
        ("osk-tern-180", "2026-01-24-ropewalk-1", Verdict::Open),
        // The fan stands still: no paste cures that.
        (
            "tolvane-dunlin-short",
            "2025-11-15-lamp-house-1",
            Verdict::NotKnown,
        ),
        ("uthby-hithe", "2026-01-20-netloft-3", Verdict::NotKnown),
        // It crashes and is cool: a pad on a part without a sensor.
        (
            "sennick-bollard-c",
            "2026-02-18-slipway-1",
            Verdict::NotKnown,
        ),
    ] {
        let found = before(id, name);
        assert_eq!(found.verdict, wanted, "{id} {name}: {found:#?}");
    }
}

#[test]
fn one_temperature_names_what_to_measure() {
    let book = book();
    let tern = board(&book, "osk-tern-240");
    let read = Readings {
        die_c: Some(72.0),
        ..Readings::default()
    };
    let found = triaged(tern, &read);
    assert_eq!(
        found.verdict,
        Verdict::NotKnown,
        "the hotspot may be at its limit"
    );
    for what in ["hotspot", "memory", "room", "heat", "throttles"] {
        assert!(
            found.measure.iter().any(|ask| ask.contains(what)),
            "{what}: {:?}",
            found.measure
        );
    }
    let nothing = triaged(tern, &Readings::default());
    assert_eq!(nothing.verdict, Verdict::NotKnown, "nothing read");
}

#[test]
fn jobs_are_proved() {
    for (id, name, wanted) in [
        ("osk-tern-240", "2025-11-08-quayside-2", Proved::Normal),
        ("osk-tern-240", "2026-03-14-quayside-2", Proved::Worse),
        ("osk-tern-240", "2026-03-16-quayside-2", Proved::Normal),
        ("brinnow-rowlock", "2025-12-06-netloft-3", Proved::Worse),
        ("brinnow-hawser-mk2", "2026-01-31-quayside-2", Proved::Worse),
        ("osk-tern-180", "2026-01-24-ropewalk-1", Proved::Normal),
        (
            "quillet-holdfast-110",
            "2026-01-13-netloft-3",
            Proved::BetterAtLeast,
        ),
    ] {
        let found = proof(id, name);
        assert_eq!(found.verdict, wanted, "{id} {name}: {found:#?}");
    }
}

/// Three jobs of the book fitted pads too thick, and say so.
#[test]
fn pads_that_hold_the_die_off_are_found() {
    for (id, name) in [
        ("osk-tern-240", "2026-03-14-quayside-2"),
        ("brinnow-rowlock", "2025-12-06-netloft-3"),
        ("brinnow-hawser-mk2", "2026-01-31-quayside-2"),
    ] {
        let found = proof(id, name);
        assert_eq!(
            found.look[0].cause,
            Cause::HeldOff,
            "{id} {name}: {:#?}",
            found.look
        );
        assert_eq!(
            found.look[0].places[0], "memory",
            "{id} {name}: {:#?}",
            found.look
        );
    }
}

#[test]
fn a_difference_inside_its_uncertainty_is_no_change() {
    let found = proof("marlop-sanderling", "2026-03-04-lamp-house-1");
    assert!(
        found
            .changes
            .iter()
            .all(|one| one.changed == heat::Changed::Same),
        "{found:#?}"
    );
}

#[test]
fn what_is_no_reading_under_full_load_is_read_again() {
    let book = book();
    let tern = board(&book, "osk-tern-240");
    let judges = (&heat::board::limits(tern), &heat::board::normal(tern, None));
    let light = Readings {
        heat_w: Some(20.0),
        die_c: Some(28.0),
        hotspot_c: Some(29.0),
        memory_c: Some(29.0),
        ..sound()
    };
    let misread = Readings {
        heat_w: Some(2380.0),
        ..sound()
    };
    let cold = Readings {
        die_c: Some(25.0),
        ..sound()
    };
    for (read, wanted) in [
        (light, "full load"),
        (misread, "read the heat again"),
        (cold, "read it again"),
    ] {
        let found = triaged(tern, &read);
        assert_eq!(found.verdict, Verdict::NotKnown, "{found:#?}");
        assert!(found.reasons[0].contains(wanted), "{found:#?}");
        let proof = heat::prove(None, &read, judges, &[]);
        assert_eq!(proof.verdict, Proved::NotKnown, "{proof:#?}");
        assert!(proof.reasons[0].contains(wanted), "{proof:#?}");
    }
}

/// Nothing is said for each watt of a heat that cannot be believed.
#[test]
fn a_disbelieved_heat_is_read_again_and_judges_nothing() {
    let book = book();
    let tern = board(&book, "osk-tern-240");
    let judges = (&heat::board::limits(tern), &heat::board::normal(tern, None));
    let with = |heat_w| Readings {
        heat_w: Some(heat_w),
        ..sound()
    };
    for heat_w in [2380.0, 23.8] {
        let found = triaged(tern, &with(heat_w));
        assert!(!found.reasons.concat().contains("each watt"), "{found:#?}");
        assert!(found.first.is_empty(), "{found:#?}");
        assert_eq!(found.measure[0], "the board's heat under full load");
        let proof = heat::prove(Some(&sound()), &with(heat_w), judges, &[]);
        assert_eq!(proof.verdict, Proved::NotKnown, "{proof:#?}");
        assert!(proof.changes.is_empty(), "{proof:#?}");
        assert_eq!(proof.measure[0], "the board's heat under full load");
        let unused = heat::prove(Some(&with(heat_w)), &sound(), judges, &[]);
        assert_eq!(unused.verdict, Proved::Normal, "{unused:#?}");
        assert!(
            unused.reasons.concat().contains("before is not compared"),
            "{unused:#?}"
        );
        let hot = Readings {
            die_c: Some(95.0),
            hotspot_c: Some(107.0),
            ..with(heat_w)
        };
        let over = triaged(tern, &hot);
        assert_eq!(over.verdict, Verdict::Open, "{over:#?}");
        assert!(over.reasons[1].starts_with("the heat of"), "{over:#?}");
        assert!(!over.first.is_empty(), "{over:#?}");
    }
}

#[test]
fn a_fan_that_stands_or_races_is_named() {
    let book = book();
    let tern = board(&book, "osk-tern-240");
    for (fan_rpm, verdict, wanted) in [
        (0.0, Verdict::NotKnown, "stands still"),
        (9000.0, Verdict::Watch, "turns 9000 times a minute"),
    ] {
        let read = Readings {
            fan_rpm: Some(fan_rpm),
            ..sound()
        };
        let found = triaged(tern, &read);
        assert_eq!(found.verdict, verdict, "{found:#?}");
        assert!(found.reasons[0].contains(wanted), "{found:#?}");
    }
}

/// Throttling is no answer to crashing.
#[test]
fn a_complaint_needs_its_own_answer() {
    let book = book();
    let tern = board(&book, "osk-tern-240");
    let judges = (&heat::board::limits(tern), &heat::board::normal(tern, None));
    let before = Readings {
        crashing: Some(true),
        ..sound()
    };
    let open = heat::prove(Some(&before), &sound(), judges, &[]);
    assert_eq!(open.verdict, Proved::NotKnown, "{open:#?}");
    assert!(
        open.measure.iter().any(|ask| ask.contains("crashes")),
        "{open:#?}"
    );
    let after = Readings {
        crashing: Some(false),
        ..sound()
    };
    let answered = heat::prove(Some(&before), &after, judges, &[]);
    assert_eq!(answered.verdict, Proved::Normal, "{answered:#?}");
}

#[test]
fn a_reading_just_below_its_limit_is_not_printed_at_it() {
    let book = book();
    let tern = board(&book, "osk-tern-240");
    let at = |die_c| Readings {
        die_c: Some(die_c),
        hotspot_c: Some(95.0),
        ..sound()
    };
    let below = triaged(tern, &at(89.9)).reasons.join("\n");
    assert!(
        below.contains("die at 89.9 °C, 0.1 K below its limit of 90 °C"),
        "{below}"
    );
    let over = triaged(tern, &at(91.0)).reasons.join("\n");
    assert!(over.contains("a temperature is over its limit"), "{over}");
}
