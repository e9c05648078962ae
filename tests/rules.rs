//! The rules: registered, documented and right about their own examples, by construction.

use std::collections::BTreeSet;
use std::path::Path;

use gapbook::book::Book;
use gapbook::lint::{ALL, Example, Outcome, Rule, examples, lint};
use gapbook::progress::Silent;

/// A small book for an example to stand in.
const BOOK: &[(&str, &str)] = &[
    (
        "gapbook.toml",
        "schema = 1\n[book]\ntitle = \"Examples\"\npublisher = \"Bench\"\nlicence = \"CC0-1.0\"\n",
    ),
    (
        "stock/pads.toml",
        "schema = 1\n[[pad]]\nid = \"soft\"\nname = \"Soft\"\nconductivity_w_mk = 6.0\n\
         thickness_mm = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0]\nsource = \"example\"\n",
    ),
    (
        "stock/packages.toml",
        "schema = 1\n[[package]]\nid = \"fbga-180\"\nname = \"memory\"\nheight_mm = 1.1\n\
         tolerance_mm = 0.1\nsource = \"example\"\n",
    ),
];

fn write(root: &Path, name: &str, text: &str) {
    let path = root.join(name);
    std::fs::create_dir_all(path.parent().expect("a file is in a folder")).expect("made");
    match text.lines().next() {
        Some(line) if line.starts_with("# link to: ") => {
            std::os::unix::fs::symlink(&line["# link to: ".len()..], path).expect("linked");
        }
        Some(line) if line.starts_with("# size: ") => {
            let size = line["# size: ".len()..].parse().expect("a number of bytes");
            std::fs::write(path, vec![b'#'; size]).expect("written");
        }
        Some(line) if line.starts_with("# bytes: ") => {
            let bytes = line["# bytes: ".len()..].split(' ');
            let bytes: Vec<u8> = bytes
                .map(|byte| u8::from_str_radix(byte, 16).expect("hexadecimal"))
                .collect();
            std::fs::write(path, bytes).expect("written");
        }
        _ => std::fs::write(path, text).expect("written"),
    }
}

/// Returns the names of the rules that an example breaks.
fn broken(example: &Example) -> BTreeSet<&'static str> {
    let root = tempfile::tempdir().expect("a folder");
    for (name, text) in BOOK {
        write(root.path(), name, text);
    }
    for (name, text) in &example.files {
        write(root.path(), name, text);
    }
    let mut book = Book::load(root.path(), &Silent).expect("the folder is there");
    book.last_day = Some("2026-06-30".parse().expect("a day"));
    lint(&book, &Silent)
        .open()
        .map(|finding| finding.rule.name)
        .collect()
}

#[test]
fn every_example_triggers_exactly_its_rule() {
    let mut wrong = Vec::new();
    for rule in ALL {
        for (number, example) in examples(rule).iter().enumerate() {
            let expected = match example.outcome {
                Outcome::Fails => BTreeSet::from([rule.name]),
                Outcome::Passes => BTreeSet::new(),
            };
            let found = broken(example);
            if found != expected {
                wrong.push(format!(
                    "{} example {}: found {found:?}",
                    rule.name,
                    number + 1
                ));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "examples that do not do as they say:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn every_rule_is_documented_in_the_same_order() {
    let headings = |rule: &Rule| -> Vec<String> {
        rule.docs
            .lines()
            .filter_map(|line| line.trim().strip_prefix("## ").map(str::to_owned))
            .collect()
    };
    for rule in ALL {
        assert_eq!(
            headings(rule),
            ["Why", "It fails", "It passes", "What to do"],
            "headings of {}",
            rule.name
        );
        let outcomes: Vec<Outcome> = examples(rule)
            .iter()
            .map(|example| example.outcome)
            .collect();
        assert!(
            outcomes.contains(&Outcome::Fails),
            "{} shows what triggers it",
            rule.name
        );
        assert!(
            outcomes.contains(&Outcome::Passes),
            "{} shows what does not",
            rule.name
        );
    }
}

#[test]
fn the_folder_is_the_list() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lint/rules");
    let files: BTreeSet<String> = std::fs::read_dir(folder)
        .expect("the folder of rules")
        .filter_map(|entry| entry.expect("readable").file_name().into_string().ok())
        .filter_map(|name| name.strip_suffix(".rs").map(|stem| stem.replace('_', "-")))
        .filter(|name| name != "mod")
        .collect();
    let listed: Vec<String> = ALL.iter().map(|rule| rule.name.to_owned()).collect();
    assert!(listed.is_sorted(), "the list is sorted");
    assert_eq!(
        files,
        listed.into_iter().collect(),
        "each file is a rule, named after it"
    );
}

#[test]
fn names_are_kebab_case_and_summaries_are_fragments() {
    for rule in ALL {
        let kebab = rule
            .name
            .chars()
            .all(|c| c.is_ascii_lowercase() || c == '-');
        assert!(kebab, "{} is kebab-case", rule.name);
        assert!(!rule.summary.ends_with('.'), "{}: no full stop", rule.name);
        assert!(
            rule.summary.starts_with(char::is_lowercase),
            "{}: lower case",
            rule.name
        );
    }
}

#[test]
fn a_rule_that_loses_records_cannot_be_lowered() {
    for rule in ALL {
        assert_eq!(
            rule.docs.contains("cannot lower this rule"),
            rule.is_fixed(),
            "the page of {} says so",
            rule.name
        );
        let Some(example) = examples(rule)
            .into_iter()
            .find(|one| one.outcome == Outcome::Fails)
        else {
            continue;
        };
        let is_of_book = example.files.iter().any(|(name, _)| name == "gapbook.toml");
        if !rule.is_fixed() || is_of_book {
            continue;
        }
        let mut example = example.clone();
        let head = format!("{}[rules]\n{} = \"off\"\n", BOOK[0].1, rule.name);
        example.files.push(("gapbook.toml".to_owned(), head));
        let expected = BTreeSet::from([rule.name, "fixed-rule-lowered"]);
        assert_eq!(
            broken(&example),
            expected,
            "{} is not switched off",
            rule.name
        );
    }
}

#[test]
fn what_a_job_holds_is_accepted_by_its_zone_or_the_board() {
    let job = "schema = 1\nboard = \"osk-demo\"\ndate = 2026-03-14\nbench = \"quayside-2\"\n\
               note = \"<b>old</b>\"\n[[reading]]\nzone = \"mem\"\nimprint_mm = [1.6]\n";
    let board = |accept: &str| {
        format!(
            "schema = 1\n[board]\nid = \"osk-demo\"\nmaker = \"Osk\"\nmodel = \"Demo\"\n\
             class = \"other\"\n[[connector]]\nid = \"mem\"\nkind = \"power\"\nside = \"front\"\n\
             at = [90.0, 30.0]\n{accept}"
        )
    };
    let accept = |rule: &str, at: &str| {
        format!("[[accept]]\nrule = \"{rule}\"\nat = \"{at}\"\nwhy = \"it is right as it is\"\n")
    };
    let found = |accept: &str| {
        let file = |name: &str, text: String| (name.to_owned(), text);
        broken(&Example {
            outcome: Outcome::Fails,
            files: vec![
                file(
                    "gapbook.toml",
                    format!(
                        "{}[rules]\nmeasured-zone-missing = \"warning\"\n",
                        BOOK[0].1
                    ),
                ),
                file("osk/demo/board.toml", board(accept)),
                file("osk/demo/jobs/2026-03-14-quayside-2.toml", job.to_owned()),
            ],
        })
    };
    let of_zone = accept("measured-zone-missing", "mem");
    let of_board = accept("unsafe-markdown", "board");
    assert_eq!(
        found(&of_zone),
        BTreeSet::from(["unsafe-markdown"]),
        "by the zone"
    );
    assert_eq!(
        found(&of_board),
        BTreeSet::from(["measured-zone-missing"]),
        "by the board"
    );
    assert_eq!(found(&(of_zone + &of_board)), BTreeSet::new(), "both");
}
