//! Numbers that are none, or far from any that were meant.

use gapbook::record::schema::Kind;

use crate::common::{Case, HEAD, compile_here, write};
use crate::sound;

/// Written as TOML, each in the place of a number.
const HOSTILE: [&str; 9] = [
    "nan",
    "inf",
    "-inf",
    "1e308",
    "-1e308",
    "-0.0",
    "1e-308",
    "0",
    "9223372036854775807",
];

fn parsed(written: &str) -> toml::Value {
    let table: toml::Table = format!("a = {written}").parse().expect("TOML");
    table["a"].clone()
}

/// Returns the sound record of a kind with its number at a position replaced, or nothing beyond the
/// last one.
fn with_number(kind: Kind, position: usize, written: &str) -> Option<toml::Value> {
    let mut record = sound::record(kind);
    let mut at = 0;
    let mut replaced = false;
    sound::visit(kind, &mut record, &mut |key, value| {
        if key.path.ends_with(".schema") || !(value.is_float() || value.is_integer()) {
            return;
        }
        if at == position {
            *value = parsed(written);
            replaced = true;
        }
        at += 1;
    });
    replaced.then_some(record)
}

/// Makes a book in which every number of a board and of a job is replaced once by each hostile one.
fn each_alone(kind: Kind) -> (Case, usize) {
    let case = Case::new::<&str>(&[]);
    for stock in [Kind::Pads, Kind::Offcuts, Kind::Pastes, Kind::Packages] {
        let text = toml::to_string(&sound::record(stock)).expect("TOML");
        write(&case.book(), format!("stock/{}.toml", stock.name()), text);
    }
    let mut count = 0;
    for written in HOSTILE {
        for position in 0.. {
            let Some(record) = with_number(kind, position, written) else {
                break;
            };
            let id = format!("osk-b{count}");
            let folder = case.book().join(format!("osk/b{count}"));
            let text = |record: &toml::Value| {
                let text = toml::to_string(record).expect("TOML");
                text.replace("osk-demo", &id)
            };
            let (board, job) = match kind {
                Kind::Board => (record, sound::record(Kind::Job)),
                _ => (sound::record(Kind::Board), record),
            };
            write(&folder, "board.toml", text(&board));
            write(&folder, "jobs/2026-01-02-bench-1.toml", text(&job));
            count += 1;
        }
    }
    (case, count)
}

#[test]
fn no_number_of_a_board_becomes_none_in_a_page() {
    let (case, count) = each_alone(Kind::Board);
    assert!(count > 300, "every number: {count}");
    let (_, compiled) = compile_here(&case.book(), &case.site());
    assert!(compiled.withheld.len() > count / 2, "most are refused");
    assert!(
        compiled.boards > 20,
        "some are merely odd: {}",
        compiled.boards
    );
    crate::page::check_site(&case.site());
}

#[test]
fn no_number_of_a_job_or_of_the_stock_becomes_none_in_a_page() {
    let (case, count) = each_alone(Kind::Job);
    assert!(count > 150, "every number: {count}");
    // To compile each would only repeat the board's sheets.
    let book = gapbook::book::Book::load(&case.book(), &gapbook::progress::Silent).expect("loaded");
    let lint = gapbook::lint::lint(&book, &gapbook::progress::Silent);
    for board in &book.boards {
        let json = gapbook::guide::board_json(&book, &lint, board);
        assert!(
            serde_json::from_str::<serde_json::Value>(&json).is_ok(),
            "{json}"
        );
    }
    for kind in [Kind::Pads, Kind::Offcuts, Kind::Pastes, Kind::Packages] {
        for written in HOSTILE {
            let mut position = 0;
            while let Some(record) = with_number(kind, position, written) {
                let text = toml::to_string(&record).expect("TOML");
                let validator = gapbook::source::Validator::new(kind.schema());
                let read = gapbook::source::parse::<serde_json::Value>(&text, 1, &validator);
                let is_taken = read.faults.is_empty();
                assert!(
                    !is_taken || !["nan", "inf", "-inf", "1e308"].contains(&written),
                    "{text}"
                );
                position += 1;
            }
        }
    }
}

/// What is allowed at its utmost, all at once.
#[test]
fn the_utmost_that_is_allowed_is_drawn_with_numbers() {
    let tiny = HEAD.replace("[100.0, 60.0]", "[10.0, 1000.0]");
    let wide = "[[body]]\nid = \"c\"\nkind = \"cooler\"\nside = \"front\"\n\
                at = [[-1000.0, -1000.0, 1000.0, 1000.0], [1000.0, 1000.0, 1e-308, 1e-308]]\n";
    let thin = "[[part]]\nid = \"p\"\nkind = \"die\"\nside = \"front\"\nheight_mm = 30.0\ntolerance_mm = 5.0\n\
                at = [[-0.0, -0.0, 5e-324, 1e-308], [0.0, 0.0, 1e-308, 1000.0]]\n\
                [[zone]]\nid = \"z\"\nbetween = [\"p\", \"c\"]\npad_mm = 0.2\nrecess_mm = -20.0\n";
    let screws = "[[fasteners]]\nid = \"f\"\nfrom = \"front\"\nthread = \"M99\"\nholds = [\"pcb\"]\n\
                  at = [[-0.0, -0.0], [0.0, 0.0], [5e-324, 1e-308]]\nclamp_n = 5000.0\nlength_mm = 0.5\n\
                  [[connector]]\nid = \"k\"\nkind = \"fan\"\nside = \"back\"\nat = [-0.0, 1e-308]\nslack_mm = 0.0\n";
    let rules: Vec<String> = gapbook::lint::ALL
        .iter()
        .map(|rule| format!("{} = \"advice\"\n", rule.name))
        .collect();
    let rules = rules.concat();
    let case = Case::new(&[
        ("osk/demo/board.toml", format!("{tiny}{wide}{thin}{screws}")),
        // Nothing is withheld for what a rule finds: the drawing has to bear it.
        (
            "gapbook.toml",
            format!("{}[rules]\n{rules}", crate::common::BOOK),
        ),
    ]);
    let (_, compiled) = compile_here(&case.book(), &case.site());
    assert_eq!(compiled.boards, 1, "{:?}", compiled.withheld);
    crate::page::check_site(&case.site());
}

#[test]
fn what_is_no_number_is_told_as_such() {
    let written = [
        ("nan", "not-finite"),
        ("-inf", "not-finite"),
        ("9223372036854775808", "not-finite"),
        ("-9223372036854775809", "not-finite"),
        ("1e309", "not-finite"),
        ("1e308", "out-of-range"),
        ("0x", "not-toml"),
        ("1e", "not-toml"),
        ("0xffffffffffffffffffff", "not-finite"),
    ];
    for (number, rule) in written {
        let case = Case::of_board(&format!("thickness_mm = {number}\n"));
        let (lint, compiled) = compile_here(&case.book(), &case.site());
        let found: Vec<&str> = lint.findings.iter().map(|one| one.rule.name).collect();
        assert!(found.contains(&rule), "{number}: {found:?}");
        assert_eq!(compiled.boards, 0, "{number} is refused");
    }
}
