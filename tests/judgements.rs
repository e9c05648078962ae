//! What rules say of small boards, with values worked out by hand; the examples in their
//! documentation show the rest.

use std::fmt::Write as _;

use gapbook::book::Book;
use gapbook::lint::{Finding, lint};
use gapbook::progress::Silent;

const HEAD: &str = "\
schema = 1
[board]
id = \"osk-demo\"
maker = \"Osk\"
model = \"Demo\"
class = \"other\"
outline_mm = [200.0, 100.0]
revisions = [\"A\", \"B\"]
";

const COOLER: &str = "\
[[body]]
id = \"cooler\"
kind = \"cooler\"
side = \"front\"
seats = { on = \"standoffs\", height_mm = 4.0 }
[[fasteners]]
id = \"cooler-screws\"
from = \"back\"
at = [[5.0, 95.0], [195.0, 95.0]]
holds = [\"cooler\", \"pcb\"]
";

/// Returns what is found in a board's record, each as "rule: message".
fn found(record: &str) -> Vec<String> {
    found_in(&[("osk/demo/board.toml", &[HEAD, record].concat())])
}

fn found_in(files: &[(&str, &str)]) -> Vec<String> {
    let said = |finding: &Finding| format!("{}: {}", finding.rule.name, finding.message);
    lint(&load(files), &Silent)
        .findings
        .iter()
        .map(said)
        .collect()
}

fn load(files: &[(&str, &str)]) -> Book {
    let root = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = root.path().join(name);
        std::fs::create_dir_all(path.parent().expect("a file is in a folder")).expect("made");
        std::fs::write(path, text).expect("written");
    };
    write(
        "gapbook.toml",
        "schema = 1\n[book]\ntitle = \"Tests\"\npublisher = \"Bench\"\nlicence = \"CC0-1.0\"\n",
    );
    for (name, text) in files {
        write(name, text);
    }
    Book::load(root.path(), &Silent).expect("the folder is there")
}

fn part(id: &str, kind: &str, side: &str, at: &str) -> String {
    format!(
        "[[part]]\nid = \"{id}\"\nkind = \"{kind}\"\nside = \"{side}\"\nheight_mm = 1.0\nat = [{at}]\n"
    )
}

fn zone(id: &str, between: [&str; 2], pad_mm: f64, rest: &str) -> String {
    format!("[[zone]]\nid = \"{id}\"\nbetween = {between:?}\npad_mm = {pad_mm:?}\n{rest}\n")
}

#[test]
fn coverage_is_judged_revision_by_revision() {
    let places = "[10.0, 10.0, 10.0, 10.0], [30.0, 10.0, 10.0, 10.0]";
    let on_b = "at = [[10.0, 10.0, 10.0, 4.0], [10.0, 12.0, 10.0, 6.0]]\nonly = [\"B\"]";
    let record = [
        COOLER,
        &part("mem", "memory", "front", places),
        &zone("mem-a", ["mem", "cooler"], 2.0, "only = [\"A\"]"),
        &zone("mem-b", ["mem", "cooler"], 2.0, on_b),
    ]
    .concat();
    // 8 by 10 of two places of 10 by 10: the strip from 12 to 14 counts once.
    let expected = "part-barely-covered: pads cover 40 % of `mem` on B; at least 50 % is usual";
    assert_eq!(found(&record), [expected], "A is whole");
}

#[test]
fn jobs_that_all_slip_alike_convict_the_record() {
    let board = |pad_mm: f64| {
        let memory = part("mem", "memory", "front", "[20.0, 20.0, 12.0, 14.0]");
        [
            HEAD,
            COOLER,
            &memory,
            &zone("mem", ["mem", "cooler"], pad_mm, ""),
        ]
        .concat()
    };
    let job = |bench: &str, edge: &str| {
        format!(
            "schema = 1\nboard = \"osk-demo\"\ndate = 2026-03-14\nbench = \"{bench}\"\n\
             [[reading]]\nzone = \"mem\"\nedge_mm = {edge}\n"
        )
    };
    let slips = |pad_mm: f64, other: &str| -> Vec<String> {
        let found = found_in(&[
            ("osk/demo/board.toml", &board(pad_mm)),
            (
                "osk/demo/jobs/2026-03-14-quay-1.toml",
                &job("quay-1", "[2.0, 2.01]"),
            ),
            (
                "osk/demo/jobs/2026-03-14-quay-2.toml",
                &job("quay-2", other),
            ),
        ]);
        let slips = found.into_iter();
        slips
            .filter(|one| one.starts_with("misplaced-decimal"))
            .collect()
    };
    let told = "misplaced-decimal: `mem` has 0.2 mm here, and all 3 edge readings of its jobs are like 2 mm";
    assert_eq!(slips(0.2, "[1.98]"), [told]);
    assert_eq!(slips(2.0, "[1.98]"), [""; 0], "nothing slipped");
    assert_eq!(slips(2.0, "[0.198]").len(), 1, "one job's own slip");
}

#[test]
fn zones_one_above_the_other_may_overlap() {
    let plate = |id: &str, height: f64| {
        format!(
            "[[body]]\nid = \"{id}\"\nkind = \"bracket\"\nside = \"front\"\nthickness_mm = 1.0\n\
             seats = {{ on = \"standoffs\", height_mm = {height:?} }}\n\
             [[fasteners]]\nid = \"{id}-screws\"\nfrom = \"front\"\nat = [[5.0, 5.0]]\n\
             holds = [\"{id}\", \"pcb\"]\n"
        )
    };
    let at = "at = [[50.0, 50.0, 10.0, 10.0]]";
    let stack = |middle: &str| {
        [
            COOLER,
            &plate("tray", 2.0),
            &plate("rail", 3.5),
            &part("hub", "controller", "front", "[50.0, 50.0, 10.0, 10.0]"),
            &zone("low", ["hub", "tray"], 1.0, at),
            &zone("mid", [middle, "rail"], 0.5, at),
            &zone("top", ["rail", "cooler"], 1.5, at),
        ]
        .concat()
    };
    assert_eq!(found(&stack("tray")), [""; 0], "three levels");
    let expected = [
        "overlapping-pads: pads of `mid` and `low` share 10.0 x 10.0 mm",
        "overlapping-pads: pads of `top` and `low` share 10.0 x 10.0 mm",
    ];
    assert_eq!(found(&stack("hub")), expected, "nothing lies on the tray");
}

#[test]
fn what_no_revision_has_together_cannot_clash() {
    let coils = |only: &str| {
        part("left", "inductor", "front", "[50.0, 50.0, 9.0, 8.0]")
            + "only = [\"A\"]\n"
            + &part("right", "inductor", "front", "[55.0, 50.0, 9.0, 8.0]")
            + only
    };
    assert_eq!(found(&coils("only = [\"B\"]\n")), [""; 0], "A and B");
    let expected = "overlapping-parts: `right` and `left` share 4.0 x 8.0 mm";
    assert_eq!(found(&coils("")), [expected], "the right one is on A too");
}

#[test]
fn a_zone_takes_its_revisions_from_its_bodies() {
    let cooler = |id: &str, only: &str, thread: &str| {
        format!(
            "[[body]]\nid = \"{id}\"\nkind = \"cooler\"\nside = \"front\"\nonly = [\"{only}\"]\n\
             seats = {{ on = \"standoffs\", height_mm = 4.0 }}\n\
             [[fasteners]]\nid = \"{id}-screws\"\nfrom = \"back\"\nthread = \"{thread}\"\n\
             at = [[60.0, 63.0]]\nholds = [\"{id}\", \"pcb\"]\n"
        )
    };
    let record = [
        &cooler("old", "A", "M2.5"),
        &cooler("new", "B", "M4"),
        &part("hub", "controller", "front", "[50.0, 50.0, 10.0, 10.0]"),
        &zone("hub-old", ["hub", "old"], 2.0, ""),
        &zone("hub-new", ["hub", "new"], 3.0, ""),
    ]
    .map(String::as_str)
    .concat();
    let expected = "pad-over-screw: a pad of `hub-new` lies 3.0 mm from a screw of `new-screws`, \
                    whose head reaches 4.0 mm";
    assert_eq!(
        found(&record),
        [expected],
        "M2.5 needs less, and each cooler is on one revision"
    );
}

#[test]
fn a_plan_in_centimetres_is_told_from_one_in_inches() {
    let stages = "[2.0, 2.0, 0.3, 0.3], [12.0, 8.0, 0.3, 0.3]";
    let said = found(&part("stages", "power-stage", "front", stages));
    let expected = "scaled-coordinates: a place of `stages` measures 0.3 x 0.3 mm, which is \
                    believable in centimetres (10 mm each)";
    assert_eq!(
        said,
        [expected],
        "in inches the second would lie off the board"
    );
    let honest = part("stages", "power-stage", "front", "[20.0, 20.0, 2.0, 2.0]");
    assert_eq!(found(&honest), [""; 0], "the smallest power stages");
}

#[test]
fn a_back_seen_from_the_back_is_mirrored() {
    let front = "[20.0, 20.0, 12.0, 14.0], [20.0, 40.0, 12.0, 14.0], \
                 [60.0, 20.0, 12.0, 14.0], [60.0, 40.0, 12.0, 14.0]";
    let mirrored = "[168.0, 20.0, 12.0, 14.0], [168.0, 40.0, 12.0, 14.0], \
                    [128.0, 20.0, 12.0, 14.0], [128.0, 40.0, 12.0, 14.0]";
    let both = |back: &str| {
        part("mem-front", "memory", "front", front) + &part("mem-back", "memory", "back", back)
    };
    let expected = "mirrored-coordinates: the 4 places of `mem-back` lie behind those of \
                    `mem-front` only when mirrored left to right";
    assert_eq!(found(&both(mirrored)), [expected], "200 less x less width");
    assert_eq!(found(&both(front)), [""; 0], "back to back");
}

#[test]
fn a_height_may_be_missing_on_either_face() {
    let record = [
        "[[body]]\nid = \"tray\"\nkind = \"bracket\"\nside = \"front\"\n\
         seats = { on = \"standoffs\" }\n",
        "[[fasteners]]\nid = \"tray-screws\"\nfrom = \"front\"\nat = [[5.0, 5.0]]\n\
         holds = [\"tray\", \"pcb\"]\n",
        COOLER,
        &zone(
            "top",
            ["tray", "cooler"],
            1.0,
            "at = [[50.0, 50.0, 9.0, 9.0]]",
        ),
    ]
    .concat();
    let expected = [
        "height-unknown: the thickness of `tray`, whose far face takes pads, is not known",
        "height-unknown: the height of the standoffs under `tray`, which pads touch, is not known",
    ];
    assert_eq!(found(&record), expected, "its standoffs and its thickness");
}

#[test]
fn faces_say_why_they_cannot_meet() {
    let rail = "[[body]]\nid = \"rail\"\nkind = \"bracket\"\nside = \"front\"\n\
                part_of = \"cooler\"\nthickness_mm = 1.0\n";
    let hub = part("hub", "controller", "front", "[50.0, 50.0, 10.0, 10.0]");
    for (between, reason) in [
        (["rail", "cooler"], "they are one body"),
        (["cooler", "hub"], "the one nearer to the board comes first"),
        (["pcb", "hub"], "neither is a body"),
    ] {
        let at = "at = [[50.0, 50.0, 10.0, 10.0]]";
        let said = found(&[COOLER, rail, &hub, &zone("odd", between, 1.0, at)].concat());
        let [near, far] = between;
        let expected =
            format!("faces-cannot-meet: `{near}` and `{far}` do not face each other: {reason}");
        assert_eq!(said, [expected], "between {between:?}");
    }
}

#[test]
fn a_job_is_held_to_its_board_and_revision() {
    let board = [
        HEAD,
        COOLER,
        &part("hub", "controller", "front", "[50.0, 50.0, 10.0, 10.0]"),
        &zone("hub", ["hub", "cooler"], 2.0, "only = [\"B\"]"),
    ]
    .concat();
    let job = |board: &str| {
        format!(
            "schema = 1\nboard = \"{board}\"\ndate = 2026-03-14\nbench = \"quay\"\n\
             revision = \"A\"\n[[reading]]\nzone = \"hub\"\nedge_mm = [2.0, 2.01, 1.99]\n"
        )
    };
    let said = found_in(&[
        ("osk/demo/board.toml", &board),
        ("osk/demo/jobs/2026-03-14-quay.toml", &job("osk-demo")),
        ("osk/gone/jobs/2026-03-14-quay.toml", &job("osk-gone")),
    ]);
    let expected = [
        "measured-zone-missing: zone `hub` is on B only, and this board was A",
        "job-for-another-board: there is no `osk/gone/board.toml` for this job",
    ];
    assert_eq!(
        said, expected,
        "one on the wrong revision, one without a board"
    );
}

#[test]
fn a_record_beyond_measure_is_not_read() {
    let mut places = String::new();
    for place in 0..500 {
        write!(places, "[{place}.0, 1.0, 1.0, 1.0],").expect("into a text");
    }
    let mut record = part("stages", "other", "front", &places);
    for number in 0..4 {
        record += &zone(&format!("z{number}"), ["stages", "cooler"], 1.0, "");
    }
    let read = |record: &str| {
        load(&[("osk/demo/board.toml", &[HEAD, record].concat())])
            .boards
            .len()
    };
    assert_eq!(
        read(&record),
        0,
        "1 part, 4 zones, and 500 places five times"
    );
    let fewer = record
        .rsplit_once("[[zone]]")
        .map_or("", |(fewer, _)| fewer);
    assert_eq!(read(fewer), 0, "still 2004");
    let fewer = fewer.rsplit_once("[[zone]]").map_or("", |(fewer, _)| fewer);
    assert_eq!(read(fewer), 1, "1503");
}
