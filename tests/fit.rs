//! Stack-ups of whole boards: the demo book's, and small ones that are wrong or silent somewhere.

use std::path::Path;

use gapbook::book::{Board, Book};
use gapbook::progress::Silent;
use gapbook::stack::gap::{Finding, Source};
use gapbook::stack::{DieVerdict, Fit, FitFacts, Outcome, Trial, TriedPad, Verdict};

fn demo() -> Book {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
    Book::load(&root, &Silent).expect("the demo book loads")
}

/// Loads a book of one board, with the demo book's stock.
fn book(record: &str, job: Option<&str>) -> Book {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
    let root = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = root.path().join(name);
        std::fs::create_dir_all(path.parent().expect("below")).expect("made");
        std::fs::write(path, text).expect("written");
    };
    for name in ["pads", "pastes", "packages"] {
        let name = format!("stock/{name}.toml");
        let text = std::fs::read_to_string(demo.join(&name)).expect("readable");
        write(&name, &text);
    }
    write(
        "gapbook.toml",
        "schema = 1\n[book]\ntitle = \"Test\"\npublisher = \"Bench\"\nlicence = \"CC0-1.0\"\n",
    );
    let head = "schema = 1\n[board]\nid = \"osk-test\"\nmaker = \"Osk\"\nmodel = \"Test\"\n\
                class = \"other\"\noutline_mm = [100.0, 60.0]\n";
    write("osk/test/board.toml", &format!("{head}{record}"));
    if let Some(job) = job {
        let head = "schema = 1\nboard = \"osk-test\"\ndate = 2026-01-01\nbench = \"one\"\n";
        write("osk/test/jobs/2026-01-01-one.toml", &format!("{head}{job}"));
    }
    let book = Book::load(root.path(), &Silent).expect("loads");
    assert_eq!(book.boards.len(), 1, "the record can be read");
    book
}

fn zone(board: &Board, id: &str) -> usize {
    let mut zones = board.record.zone.iter();
    zones.position(|zone| zone.id == id).expect("a zone")
}

fn with_pad<'a>(board: &Board, id: &str, thickness_mm: f64) -> Trial<'a> {
    let tried = TriedPad {
        zone: zone(board, id),
        thickness_mm,
        pad: None,
    };
    Trial {
        pads: vec![tried],
        ..Trial::default()
    }
}

fn seat(book: &Book, id: &str, pad: Option<(&str, f64)>) -> Outcome {
    let board = book.board(id).expect("a board");
    let trial = pad.map_or_else(Trial::default, |(zone, mm)| with_pad(board, zone, mm));
    Fit::of(book, board, &trial).seat().expect("balances")
}

#[test]
fn the_boards_of_the_demo_book_fit() {
    let book = demo();
    for board in &book.boards {
        let fit = Fit::of(&book, board, &Trial::default());
        let (facts, id) = (FitFacts::of(&fit), board.id());
        assert!(!facts.is_wrong(), "{id}: {facts:#?}");
        for zone in &facts.zones {
            assert_eq!(zone.verdict, Some(Verdict::Good), "{id}: {}", zone.id);
        }
    }
}

/// An ordinary card: 2 mm on the memory beside 3 mm under the bracket.
#[test]
fn two_millimetres_on_the_memory_beside_three_under_the_frame() {
    let outcome = seat(&demo(), "osk-tern-240", None);
    assert_eq!(outcome.peak.dies[0].verdict, DieVerdict::Seated, "as made");
    let relaxed = &outcome.relaxed.dies[0];
    assert!(
        relaxed.force_n > outcome.peak.dies[0].force_n,
        "pads that give way leave more to the die"
    );
    let outcome = seat(&demo(), "osk-tern-240", Some(("mem-front", 3.0)));
    assert_eq!(outcome.peak.dies[0].verdict, DieVerdict::HeldOff, "3 mm");
}

#[test]
fn a_thicker_pad_never_gives_the_die_more() {
    let book = demo();
    let mut before = f64::INFINITY;
    for thickness in [1.5, 2.0, 2.25, 2.5, 3.0] {
        let outcome = seat(&book, "osk-tern-240", Some(("mem-front", thickness)));
        let force = outcome.peak.dies[0].force_n;
        assert!(
            force <= before,
            "{thickness} mm: {force} N after {before} N"
        );
        before = force;
    }
    assert!(before < 1.0, "in the end nothing: {before} N");
}

/// The frame stands on its own feet: what lies under it cannot lift the cooler.
#[test]
fn pads_under_a_fixed_bracket_do_not_load_the_cooler() {
    let book = demo();
    let as_made = seat(&book, "osk-tern-240", None);
    let tried = seat(&book, "osk-tern-240", Some(("vrm-left", 2.0)));
    assert_eq!(as_made.peak.dies, tried.peak.dies, "the die feels nothing");
    let floats = tried.peak.zones[1].as_ref().expect("fitted");
    assert_eq!(floats.verdict, Verdict::Floating, "2 mm in 2.45 mm");
    // On its far face they do.
    let tried = seat(&book, "osk-tern-240", Some(("frame-top", 1.5)));
    assert!(
        tried.peak.dies[0].force_n < as_made.peak.dies[0].force_n,
        "the cooler rests on them"
    );
}

#[test]
fn each_revision_has_its_own_zones() {
    let book = demo();
    let board = book.board("osk-tern-180").expect("a board");
    let ids = |revision| {
        let trial = Trial {
            revision,
            ..Trial::default()
        };
        let fit = Fit::of(&book, board, &trial);
        fit.zones.iter().map(|zone| zone.id).collect::<Vec<_>>()
    };
    assert_eq!(ids(Some("R1.0")), ["mem-r1", "vrm"], "the older");
    assert_eq!(ids(None), ["mem-r2", "vrm"], "the newest by itself");
}

#[test]
fn a_part_of_the_cooler_moves_with_it() {
    let book = demo();
    let as_made = seat(&book, "osk-bittern-320", None);
    let tried = seat(&book, "osk-bittern-320", Some(("vrm-left", 2.5)));
    let force = |outcome: &Outcome| outcome.peak.dies[0].force_n;
    assert!(
        force(&tried) < force(&as_made),
        "pads under the rail carry the cooler it is screwed to"
    );
}

/// What a board without numbers is asked for, one sentence a zone.
fn asked(record: &str) -> Vec<String> {
    let book = book(record, None);
    let facts = FitFacts::of(&Fit::of(&book, &book.boards[0], &Trial::default()));
    let asked = facts.zones.into_iter().filter_map(|zone| zone.unknown);
    asked.collect()
}

const COOLER: &str = "[[body]]\nid = \"cooler\"\nkind = \"cooler\"\nside = \"front\"\n";
const MEMORY: &str = "[[part]]\nid = \"mem\"\nkind = \"memory\"\nside = \"front\"\n\
                      at = [[20.0, 20.0, 12.0, 14.0]]\n";
const ZONE: &str = "[[zone]]\nid = \"mem\"\nbetween = [\"mem\", \"cooler\"]\n";

#[test]
fn what_is_not_known_is_asked_for() {
    let silent = format!("{COOLER}{MEMORY}{ZONE}");
    assert_eq!(
        asked(&silent),
        ["measure the height of `mem` above the board"],
        "nothing given"
    );
    let with_height = format!(
        "{COOLER}seats = {{ on = \"standoffs\", height_mm = 3.0 }}\n{MEMORY}height_mm = 1.1\n{ZONE}"
    );
    assert_eq!(
        asked(&with_height),
        ["measure one imprint of an old pad at `mem`, or the recess of the face over it"],
        "a recess"
    );
    let with_pad = format!("{with_height}pad_mm = 2.0\n");
    assert_eq!(
        asked(&with_pad),
        [
            "known from the maker's pad alone; measure one imprint of an old pad at `mem`, or the \
             recess of the face over it"
        ],
        "only what should be there"
    );
}

/// Heights say 0.9 ± 0.3 mm, an imprint says 1.6.
#[test]
fn evidence_that_excludes_itself_is_named_with_its_places() {
    let record = format!(
        "{COOLER}seats = {{ on = \"standoffs\", height_mm = 2.0 }}\n{MEMORY}height_mm = 1.1\n{ZONE}\
         pad_mm = 2.0\npad = \"soft\"\nrecess_mm = 0.0\n"
    );
    let job = "[[reading]]\nzone = \"mem\"\nimprint_mm = [1.6, 1.62]\n";
    let book = book(&record, Some(job));
    let fit = Fit::of(&book, &book.boards[0], &Trial::default());
    let Finding::Impossible { narrow, wide } = &fit.zones[0].finding.gap else {
        panic!("impossible: {:?}", fit.zones[0].finding);
    };
    assert_eq!(narrow.source, Source::Geometry, "at most 1.2 mm");
    assert_eq!(wide.source, Source::Imprints, "at least 1.36 mm");
    let names = |evidence: &gapbook::stack::gap::Evidence| -> Vec<String> {
        let places = evidence.places.iter();
        places
            .map(|place| book.file(place.file).name.clone())
            .collect()
    };
    assert_eq!(names(wide), ["osk/test/jobs/2026-01-01-one.toml"], "a job");
    assert_eq!(
        names(narrow),
        ["osk/test/board.toml"; 3],
        "recess, part, standoffs"
    );
    let facts = FitFacts::of(&fit);
    assert!(facts.is_wrong(), "one of them must be");
    assert_eq!(
        facts.zones[0].verdict, None,
        "and nothing is said of the pad"
    );
}

/// The same board, its recess not given: 1.6 mm of imprint over a gap of 0.9 mm.
#[test]
fn a_recess_that_is_not_given_is_derived() {
    let record = format!(
        "{COOLER}seats = {{ on = \"standoffs\", height_mm = 2.0 }}\n{MEMORY}height_mm = 1.1\n{ZONE}\
         pad_mm = 2.0\npad = \"soft\"\n"
    );
    let job = "[[reading]]\nzone = \"mem\"\nimprint_mm = [1.72]\n";
    let book = book(&record, Some(job));
    let fit = Fit::of(&book, &book.boards[0], &Trial::default());
    let recess = fit.zones[0].finding.derived_recess_mm.expect("derived");
    // 1.72 / 1.075 − (2.0 − 1.1)
    assert!((recess - 0.7).abs() < 1e-9, "{recess}");
    assert!(
        fit.assumed
            .iter()
            .any(|one| one.contains("derived from imprints")),
        "and said: {:?}",
        fit.assumed
    );
}

/// Hostile but well-formed records are answered or refused, without a panic and without a NaN.
#[test]
fn odd_boards_are_answered() {
    let on_die = "seats = { on = \"die\" }\n";
    let die = "[[part]]\nid = \"die\"\nkind = \"die\"\nside = \"front\"\nheight_mm = 2.0\n\
               at = [[40.0, 20.0, 20.0, 20.0]]\n";
    let beside = "[[fasteners]]\nid = \"s\"\nfrom = \"back\"\nat = [[5.0, 5.0]]\n\
                  holds = [\"cooler\", \"pcb\"]\nclamp_n = 50.0\n";
    let cases = [
        ("", "an empty board"),
        (COOLER, "a cooler on nothing"),
        (&format!("{COOLER}{on_die}"), "no die"),
        (&format!("{COOLER}{on_die}{die}"), "no screws"),
        (
            &format!("{COOLER}{on_die}at = [[0.0, 0.0, 10.0, 10.0]]\n{die}"),
            "a die under no cooler",
        ),
        (
            &format!("{COOLER}seats = {{ on = \"standoffs\", height_mm = 1.5 }}\n{die}"),
            "a die taller than the standoffs",
        ),
        (
            &format!("{COOLER}{on_die}{die}{beside}"),
            "one screw beside",
        ),
    ];
    for (record, what) in cases {
        let book = book(record, None);
        let fit = Fit::of(&book, &book.boards[0], &Trial::default());
        // That nothing fails where nothing is known is no praise.
        let is_known = !fit.die_parts.is_empty();
        assert!(is_known || fit.yields().is_none(), "{what}");
        let facts = FitFacts::of(&fit);
        let json = serde_json::to_string(&facts).expect("plain data");
        assert!(!json.contains("NaN"), "{what}: {json}");
        let refused = ["a die taller than the standoffs", "one screw beside"].contains(&what);
        assert_eq!(facts.problem.is_some(), refused, "{what}: {json}");
    }
}

/// A cooler on a die, four screws that bottom at a height above the board.
fn bottoming(height_mm: f64) -> Outcome {
    let record = format!(
        "{COOLER}seats = {{ on = \"die\" }}\n[[part]]\nid = \"die\"\nkind = \"die\"\nside = \"front\"\n\
         height_mm = 2.0\nat = [[40.0, 20.0, 20.0, 20.0]]\n[[fasteners]]\nid = \"s\"\nfrom = \"back\"\n\
         at = [[30.0, 10.0], [70.0, 10.0], [30.0, 50.0], [70.0, 50.0]]\nholds = [\"cooler\", \"pcb\"]\n\
         clamp_n = 50.0\nbottoms_mm = {height_mm}\n"
    );
    let book = book(&record, None);
    let fit = Fit::of(&book, &book.boards[0], &Trial::default());
    fit.seat().expect("balances")
}

#[test]
fn screws_that_bottom_on_standoffs_leave_the_die_nothing() {
    let low = bottoming(1.8).peak;
    assert_eq!(low.standoffs_n(), Some(0.0), "never touched");
    assert_eq!(low.dies[0].verdict, DieVerdict::Seated, "by the screws");
    let high = bottoming(2.3).peak;
    let carried = high.standoffs_n().expect("bottoms");
    assert!((carried - 200.0).abs() < 0.1, "the whole load: {carried} N");
    assert_eq!(high.dies[0].verdict, DieVerdict::HeldOff, "0.3 mm of air");
    assert!(high.is_on_standoffs(), "and not on pads");
}

#[test]
fn every_demo_board_can_be_fitted_from_the_stock() {
    let book = demo();
    for board in &book.boards {
        let (id, trial) = (board.id(), Trial::default());
        let chosen = Fit::of(&book, board, &trial).choose(&book.stock.pads, &[]);
        assert!(chosen.proven, "{id}");
        let trial = Trial {
            pads: chosen.pads.expect("something fits"),
            ..trial
        };
        let facts = FitFacts::of(&Fit::of(&book, board, &trial));
        assert!(!facts.is_wrong(), "{id}: {facts:#?}");
        for die in &facts.dies {
            assert_eq!(die.verdict, chosen.die, "{id}: {}", die.id);
        }
    }
}

#[test]
fn a_choice_keeps_what_is_held() {
    let book = demo();
    let board = book.board("osk-tern-240").expect("a board");
    let mut trial = with_pad(board, "mem-front", 2.25);
    let fit = Fit::of(&book, board, &trial);
    let held = zone(board, "mem-front");
    let chosen = fit.choose(&book.stock.pads, &[held]);
    let pads = chosen.pads.expect("something fits beside it");
    assert!(pads.iter().all(|pad| pad.zone != held), "left alone");
    trial.pads.extend(pads);
    let facts = FitFacts::of(&Fit::of(&book, board, &trial));
    assert_eq!(facts.zones[0].pad_mm, Some(2.25), "as tried");
    assert!(!facts.is_wrong(), "{facts:#?}");
}

#[test]
fn other_pads_are_told_apart() {
    let book = demo();
    let board = book.board("osk-tern-240").expect("a board");
    let fit = Fit::of(&book, board, &Trial::default());
    let pads = fit.substitutes(0, &book.stock.pads);
    let offered: usize = book
        .stock
        .pads
        .iter()
        .map(|pad| pad.thickness_mm.len())
        .sum();
    assert_eq!(pads.len(), offered, "every thickness of every material");
    let of = |mm: f64| {
        let mut soft = pads.iter().filter(|pad| pad.pad == "soft");
        soft.find(|pad| (pad.pad_mm - mm).abs() < 1e-9)
            .expect("stocked")
    };
    assert!(of(2.0).fails.is_empty(), "as made");
    assert_eq!(of(3.0).die, Some(DieVerdict::HeldOff), "lifted");
    assert_eq!(of(1.5).verdict, Some(Verdict::Floating), "too thin");
    let wrong = fit.nearest_wrong(0).expect("one");
    assert!((wrong.pad_mm - 2.5).abs() < 1e-9, "{}", wrong.does);
    assert!(wrong.does.contains("held off `gpu`"), "{}", wrong.does);
}

/// Common practice: at 2 mm on a memory package, 16 or 24 W/(m·K) is all the same.
#[test]
fn a_better_label_hardly_cools_better() {
    let book = demo();
    let board = book.board("osk-tern-240").expect("a board");
    let with = |id: &str| {
        let mut trial = with_pad(board, "mem-front", 2.0);
        trial.pads[0].pad = book.stock.pad(id);
        let facts = FitFacts::of(&Fit::of(&book, board, &trial));
        let drops = facts.zones[0].pieces.iter();
        let greatest = drops.map(|piece| piece.drop_k.expect("its heat is known"));
        greatest.reduce(f64::max).expect("pieces")
    };
    let gain = with("dense-16") - with("dense-24");
    assert!((0.0..1.0).contains(&gain), "{gain} K");
}

#[test]
fn the_yield_counts_what_fails() {
    let book = demo();
    let board = book.board("osk-tern-240").expect("a board");
    let yields = Fit::of(&book, board, &Trial::default()).yields();
    let yields = yields.expect("balances");
    assert_eq!(yields.samples, 2000, "the whole sample");
    assert!((0.5..1.0).contains(&yields.fraction), "{}", yields.fraction);
    let gap = yields.gaps[0].expect("its chain is known");
    assert!(gap.root_sum_square_mm < gap.worst_case_mm, "{gap:?}");
}
