//! What jobs come to, read off records: grades, copies, revisions, and readings that no bench should send.

use std::path::Path;

use gapbook::book::Book;
use gapbook::evidence::{Grade, Quantity, ZoneEvidence};
use gapbook::lint::lint;
use gapbook::progress::Silent;

const HEAD: &str = "schema = 1\n[board]\nid = \"osk-demo\"\nmaker = \"Osk\"\nmodel = \"Demo\"\nclass = \"other\"\n\
    outline_mm = [100.0, 60.0]\nrevisions = [\"R1\", \"R2\"]\n\
    [[body]]\nid = \"cooler\"\nkind = \"cooler\"\nside = \"front\"\n\
    seats = { on = \"standoffs\", height_mm = 2.7 }\n\
    [[part]]\nid = \"mem\"\nkind = \"memory\"\nside = \"front\"\nheight_mm = 1.1\n\
    at = [[20.0, 20.0, 12.0, 14.0]]\n\
    [[fasteners]]\nid = \"screws\"\nfrom = \"back\"\nat = [[10.0, 10.0], [90.0, 50.0]]\n\
    holds = [\"cooler\", \"pcb\"]\n\
    [[zone]]\nid = \"mem\"\nbetween = [\"mem\", \"cooler\"]\n";

const PADS: &str = "schema = 1\n[[pad]]\nid = \"soft\"\nname = \"Soft\"\nconductivity_w_mk = 6.0\n\
    thickness_mm = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0]\nsource = \"example\"\n";

fn write(root: &Path, name: &str, text: &str) {
    let path = root.join(name);
    std::fs::create_dir_all(path.parent().expect("in a folder")).expect("made");
    std::fs::write(path, text).expect("written");
}

/// Loads a small book whose board has jobs: each a bench, what its head has beside, and its readings.
fn book(jobs: &[(&str, &str, &str)]) -> Book {
    let folder = tempfile::tempdir().expect("a folder");
    let head = "schema = 1\n[book]\ntitle = \"T\"\npublisher = \"P\"\nlicence = \"CC0-1.0\"\n";
    write(folder.path(), "gapbook.toml", head);
    write(folder.path(), "stock/pads.toml", PADS);
    write(folder.path(), "osk/demo/board.toml", HEAD);
    for (number, (bench, beside, readings)) in jobs.iter().enumerate() {
        let date = format!("2026-01-{:02}", number + 1);
        let text = format!(
            "schema = 1\nboard = \"osk-demo\"\ndate = {date}\nbench = \"{bench}\"\n{beside}\n\
             [[reading]]\nzone = \"mem\"\n{readings}\n"
        );
        write(
            folder.path(),
            &format!("osk/demo/jobs/{date}-{bench}.toml"),
            &text,
        );
    }
    Book::load(folder.path(), &Silent).expect("the folder is there")
}

fn evidence(book: &Book) -> ZoneEvidence {
    let mut zones = ZoneEvidence::all(book, &book.boards[0]);
    zones.remove(0)
}

fn rules(book: &Book) -> Vec<&'static str> {
    let found = lint(book, &Silent);
    let mut names: Vec<&str> = found.open().map(|finding| finding.rule.name).collect();
    names.sort_unstable();
    names.dedup();
    names
}

const TWO: &str = "edge_mm = [2.01, 1.98, 2.02]\nimprint_mm = [1.62, 1.60, 1.61]";
const ALSO_TWO: &str = "edge_mm = [1.99, 2.00, 2.01]\nimprint_mm = [1.63, 1.61, 1.62]";

/// The gap is `[imprint / 1.15 − U, imprint + U]`, the strain what that is of the edge.
#[test]
fn two_benches_give_a_pad_a_gap_and_a_strain() {
    let found = evidence(&book(&[("a", "", TWO), ("b", "", ALSO_TWO)]));
    let own = &found.conclusion;
    assert_eq!(own.grade, Grade::IndependentBenches, "two");
    assert!(own.raised_by.is_none(), "the best");
    let (edge, imprint) = (own.edge.expect("read"), own.imprint.expect("read"));
    // Both means by hand: 2.003 and 2.000; 1.610 and 1.620.
    assert!((edge.value_mm - 2.001_67).abs() < 1e-4, "{edge:?}");
    assert!((imprint.value_mm - 1.615).abs() < 1e-4, "{imprint:?}");
    assert_eq!(
        [edge.readings, edge.jobs, edge.benches],
        [6, 2, 2],
        "counts"
    );
    let nominal = own.nominal.expect("stocked");
    assert!((nominal.thickness_mm - 2.0).abs() < 1e-9, "{nominal:?}");
    assert!(nominal.probability > 0.99, "{nominal:?}");
    let gap = own.gap.expect("of the imprint");
    let by_hand = imprint.value_mm / 1.15 - imprint.uncertainty_mm;
    assert!((gap.low - by_hand).abs() < 1e-9, "{gap:?}");
    let strain = own.strain.expect("of both");
    assert!(
        (strain.likely - (1.0 - gap.likely / edge.value_mm)).abs() < 1e-9,
        "{strain:?}"
    );
}

#[test]
fn another_bench_helps_more_than_another_job() {
    let of = |jobs: &[(&str, &str, &str)]| {
        let found = evidence(&book(jobs)).conclusion;
        (found.grade, found.edge.expect("read").uncertainty_mm)
    };
    let (one, alone) = of(&[("a", "", TWO)]);
    let (same, again) = of(&[("a", "", TWO), ("a", "", ALSO_TWO), ("a", "", ALSO_TWO)]);
    let (three, benches) = of(&[
        ("a", "", TWO),
        ("b", "", ALSO_TWO),
        ("c", "", "edge_mm = [2.0, 2.01]"),
    ]);
    assert_eq!([one, same], [Grade::OneJob, Grade::OneBench], "one bench");
    assert_eq!(three, Grade::IndependentBenches, "three");
    // Its caliper is off by up to 0.03 mm however often it is used.
    assert!(again > 0.03 && again < alone, "{again} of {alone}");
    assert!(benches < again, "{benches} of {again}");
}

/// A copy counts as the bench it copies.
#[test]
fn a_copied_job_makes_no_second_bench() {
    let found = evidence(&book(&[("a", "", TWO), ("b", "", TWO)]));
    assert_eq!(found.jobs[1].copy_of, Some(0), "to the last digit");
    assert_eq!(found.conclusion.grade, Grade::OneBench, "one bench at most");
    // Three readings, or readings that are all alike, may be the same by chance.
    let few = "edge_mm = [2.01, 1.98, 2.02]";
    let alike = "edge_mm = [2.0, 2.0, 2.0, 2.0]";
    for readings in [few, alike] {
        let found = evidence(&book(&[("a", "", readings), ("b", "", readings)]));
        assert_eq!(
            found.conclusion.grade,
            Grade::IndependentBenches,
            "{readings}"
        );
    }
}

#[test]
fn revisions_are_told_apart_only_where_they_differ() {
    let [r1, r2] = ["revision = \"R1\"", "revision = \"R2\""];
    let alike = evidence(&book(&[("a", r1, TWO), ("b", r2, ALSO_TWO)]));
    assert!(!alike.apart, "{:?}", alike.differences);
    assert_eq!(alike.revisions.len(), 2, "both are kept");
    let together = alike.conclusion.edge.expect("pooled");
    assert_eq!(together.jobs, 2, "of both");

    let thin = "edge_mm = [1.49, 1.50, 1.51]\nimprint_mm = [1.23, 1.21, 1.22]";
    let jobs = [
        ("a", r1, TWO),
        ("b", r1, ALSO_TWO),
        ("a", r2, thin),
        ("b", r2, thin),
    ];
    let other = book(&jobs);
    let differ = evidence(&other);
    assert!(differ.apart, "{:?}", differ.differences);
    assert!(differ.conclusion.edge.is_none(), "no value of both");
    assert_ne!(
        differ.conclusion.grade,
        Grade::Dissent,
        "each agrees within itself"
    );
    let on = |revision| differ.on(Some(revision)).edge.expect("of its own").value_mm;
    assert!(
        (on("R1") - 2.0).abs() < 0.02 && (on("R2") - 1.5).abs() < 0.02,
        "apart"
    );
}

#[test]
fn jobs_that_read_different_pads_dissent() {
    let other = "edge_mm = [2.50, 2.49, 2.48]\nimprint_mm = [2.02, 2.00, 2.01]";
    let found = evidence(&book(&[("a", "", TWO), ("b", "", other)]));
    assert_eq!(found.conclusion.grade, Grade::Dissent, "2.0 and 2.5");
    assert!(found.conclusion.edge.is_none(), "no mean of two pads");
    // A tenth of a millimetre is within what a pad is off by.
    let near = "edge_mm = [2.12, 2.10, 2.11]";
    let found = evidence(&book(&[("a", "", TWO), ("b", "", near)]));
    assert_ne!(found.conclusion.grade, Grade::Dissent, "2.00 and 2.11");
}

/// Readings in inches are no evidence, and are told; the job's others count.
#[test]
fn a_slipped_reading_is_left_out() {
    let book = book(&[
        ("a", "", TWO),
        (
            "b",
            "",
            "edge_mm = [0.079, 2.01]\nimprint_mm = [16.1, 1.62]",
        ),
    ]);
    let found = evidence(&book);
    let edge = found.conclusion.edge.expect("read");
    assert_eq!(edge.readings, 4, "three and one");
    assert!((edge.value_mm - 2.0).abs() < 0.02, "{edge:?}");
    assert_eq!(rules(&book), ["misplaced-decimal"], "told once a list");
}

/// A list is no longer than the schema allows, and a job that is out of range is refused by name; whatever
/// comes, nothing panics.
#[test]
fn bad_readings_are_told_by_name() {
    let many: Vec<String> = (0..100_000)
        .map(|one| format!("{:.2}", 1.9 + f64::from(one % 20) / 100.0))
        .collect();
    let many = format!("edge_mm = [{}]", many.join(", "));
    let cases = [
        (&*many, "out-of-range"),
        ("edge_mm = [-2.0, 2.0, 2.0]", "out-of-range"),
        ("edge_mm = [nan, 2.0, 2.0]", "not-finite"),
        ("edge_mm = [inf, 2.0, 2.0]", "not-finite"),
        ("edge_mm = [0.0, 2.0, 2.0]", "out-of-range"),
        ("edge_mm = [\"2.0\", 2.0]", "wrong-type"),
    ];
    for (readings, rule) in cases {
        let found = rules(&book(&[("a", "", readings)]));
        let shown = &readings[..readings.len().min(40)];
        assert!(found.contains(&rule), "{shown}: {found:?}");
    }
    let revision = rules(&book(&[("a", "revision = \"R9\"", TWO)]));
    assert_eq!(revision, ["unknown-revision"], "one the board has not");
}

/// An empty list is no reading, and a zone without any is unmeasured.
#[test]
fn an_empty_list_is_no_reading() {
    let found = evidence(&book(&[("a", "", "edge_mm = []\nimprint_mm = []")]));
    assert!(found.jobs.is_empty(), "nothing read");
    assert_eq!(found.conclusion.grade, Grade::Unmeasured, "nobody");
    assert_eq!(
        found.conclusion.raised_by,
        Some("one job that reads it"),
        "what would raise it"
    );
    let half = evidence(&book(&[(
        "a",
        "",
        "edge_mm = []\nimprint_mm = [1.6, 1.61, 1.62]",
    )]));
    assert!(half.conclusion.value(Quantity::Edge).is_none(), "no edge");
    assert!(half.conclusion.gap.is_some(), "the gap all the same");
}

/// The kernels take a hundred thousand readings at once, and none at all.
#[test]
fn kernels_take_any_number_of_readings() {
    use gapbook::evidence::estimate::{Consensus, Gauge, Measured, Variation};
    use gapbook::evidence::sample::Sample;

    let gauge = Gauge {
        max_error: 0.03,
        resolution: 0.01,
    };
    let readings: Vec<f64> = (0..100_000)
        .map(|one| 1.9 + f64::from(one % 21) / 100.0)
        .collect();
    let sample = Sample::of(&readings).expect("readings");
    let jobs = [Measured {
        bench: 0,
        sample,
        gauge,
    }];
    let found = Consensus::of(&jobs, &Variation::of(&[jobs.to_vec()])).expect("one job");
    // What is left is the caliper and the hand.
    assert!((0.03..0.04).contains(&found.expanded), "{found:?}");
    assert!(Consensus::of(&[], &Variation::of(&[])).is_none(), "of none");
    for bad in [&[][..], &[f64::NAN], &[f64::INFINITY, 2.0]] {
        assert!(Sample::of(bad).is_none(), "{bad:?}");
    }
}
