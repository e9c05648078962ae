//! The program as people run it.

use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// The head of a book.
const BOOK: &str =
    "schema = 1\n[book]\ntitle = \"Test\"\npublisher = \"Bench\"\nlicence = \"CC0-1.0\"\n";

/// The least a board says.
const BOARD: &str = "schema = 1\n[board]\nid = \"osk-NAME\"\nmaker = \"Osk\"\nmodel = \"NAME\"\n\
                     class = \"other\"\nmarkings = [\"M-NAME\"]\noutline_mm = [100.0, 60.0]\n";

/// A body that nothing holds: a warning.
const LOOSE: &str = "[[body]]\nid = \"lid\"\nkind = \"cover\"\nside = \"front\"\n";

fn gapbook(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gapbook"));
    command.current_dir(folder);
    for variable in ["COLUMNS", "NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE"] {
        command.env_remove(variable);
    }
    command
}

fn run_in(folder: &Path, arguments: &[&str]) -> Output {
    gapbook(folder)
        .args(arguments)
        .output()
        .expect("the program runs")
}

/// Runs the program where the demo book is.
fn run(arguments: &[&str]) -> Output {
    run_in(Path::new(env!("CARGO_MANIFEST_DIR")), arguments)
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("the output is UTF-8")
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("the remarks are UTF-8")
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("the program ends by itself")
}

/// Makes a book with these boards, each a name and what stands below its head.
fn book(head: &str, boards: &[(&str, &str)]) -> tempfile::TempDir {
    let root = tempfile::tempdir().expect("a folder");
    std::fs::write(root.path().join("gapbook.toml"), head).expect("written");
    for (name, more) in boards {
        let folder = root.path().join("osk").join(name);
        std::fs::create_dir_all(&folder).expect("made");
        let text = format!("{}{more}", BOARD.replace("NAME", name));
        std::fs::write(folder.join("board.toml"), text).expect("written");
    }
    root
}

fn json_lines(output: &Output) -> Vec<Value> {
    let parse = |line: &str| serde_json::from_str(line).expect("each line is JSON");
    stdout(output).lines().map(parse).collect()
}

#[test]
fn alone_it_says_what_it_is() {
    let output = run(&[]);
    assert_eq!(status(&output), 0, "nothing is wrong with asking");
    insta::assert_snapshot!("start", stdout(&output));
}

#[test]
fn alone_without_a_book_it_is_kind() {
    let empty = tempfile::tempdir().expect("a folder");
    let output = run_in(empty.path(), &[]);
    assert_eq!(status(&output), 0, "nothing is wrong with asking");
    assert!(
        stdout(&output).contains("There is no book in this folder"),
        "it says so"
    );
    assert!(stderr(&output).is_empty(), "without an error");
}

#[test]
fn help_has_examples() {
    let all = stdout(&run(&["--help"]));
    for command in ["compile", "find", "lint", "order", "rules", "schema"] {
        assert!(
            all.contains(&format!("\n  {command} ")),
            "`--help` lists {command}"
        );
        let output = run(&[command, "--help"]);
        assert_eq!(status(&output), 0, "help of {command}");
        let help = stdout(&output);
        assert!(
            help.contains(&format!("Examples:\n  gapbook {command}")),
            "{command}: {help}"
        );
    }
    assert!(
        all.contains("Exit status"),
        "`--help` explains the exit status"
    );
}

#[test]
fn help_names_rules_that_there_are() {
    for command in ["lint", "rules"] {
        let help = stdout(&run(&[command, "--help"]));
        let mut named = help.lines().filter_map(|line| {
            let word = line
                .trim()
                .strip_prefix("gapbook rules ")?
                .split(' ')
                .next()?;
            (!word.is_empty() && !word.starts_with('-')).then_some(word)
        });
        let rule = named.next().expect("an example names a rule");
        assert!(gapbook::lint::rule(rule).is_some(), "{command}: {rule}");
        assert_eq!(named.next(), None, "{command}: one example names a rule");
    }
}

#[test]
fn a_mistyped_command_is_guessed() {
    for (written, meant) in [
        ("lnt", "lint"),
        ("lin", "lint"),
        ("fin", "find"),
        ("rule", "rules"),
    ] {
        let output = run(&[written]);
        assert_eq!(status(&output), 2, "could not run");
        let said = stderr(&output);
        assert!(said.contains(&format!("did you mean `{meant}`?")), "{said}");
    }
    let output = run(&["tern-240"]);
    assert!(
        stderr(&output).contains("`gapbook find tern-240`"),
        "{}",
        stderr(&output)
    );
    assert_eq!(status(&run(&["lint", "--as", "xml"])), 2, "an unknown form");
}

#[test]
fn the_demo_book_is_clean() {
    let output = run(&["lint"]);
    assert_eq!(status(&output), 0, "{}", stdout(&output));
    let summary = stderr(&output);
    assert!(summary.contains(" files, 18 boards: "), "{summary}");
    let output = run(&["lint", "boards/osk/tern-240"]);
    assert!(
        stderr(&output).starts_with("7 files, 1 board: "),
        "{}",
        stderr(&output)
    );
}

#[test]
fn a_finding_is_shown_where_it_is() {
    let root = book(BOOK, &[("demo", "thicknes_mm = 1.6\n")]);
    let output = run_in(root.path(), &["lint"]);
    assert_eq!(status(&output), 1, "an error was found");
    insta::assert_snapshot!("finding", stdout(&output));
    assert_eq!(
        stderr(&output),
        "2 files, 0 boards: 1 error\n",
        "the summary"
    );
}

#[test]
fn findings_are_json_lines_for_programs() {
    let root = book(BOOK, &[("demo", "a = 1\nb = 2\n")]);
    let output = run_in(root.path(), &["lint", "--as", "json"]);
    assert_eq!(status(&output), 1, "errors were found");
    let found = json_lines(&output);
    assert_eq!(found.len(), 2, "a line each");
    assert_eq!(found[0]["rule"], "unknown-key", "the rule");
    assert_eq!(found[0]["places"][0]["line"], 9, "the place");
    assert!(stderr(&output).is_empty(), "no summary to trip over");
}

#[test]
fn advice_alone_is_clean_and_a_warning_is_not() {
    for (level, expected, words) in [("advice", 0, "1 advice"), ("warning", 1, "1 warning")] {
        let head = format!("{BOOK}[rules]\nbody-held-by-nothing = \"{level}\"\n");
        let root = book(&head, &[("demo", LOOSE)]);
        let output = run_in(root.path(), &["lint"]);
        assert_eq!(status(&output), expected, "{level}");
        assert!(
            stderr(&output).ends_with(&format!(": {words}\n")),
            "{}",
            stderr(&output)
        );
    }
}

#[test]
fn no_level_makes_a_board_vanish() {
    let head = format!("{BOOK}[rules]\nout-of-range = \"off\"\nid-not-folder = \"off\"\n");
    let far = "[limits]\ndie_c = 900.0\n";
    let root = book(&head, &[("demo", far), ("good", "")]);
    let output = run_in(root.path(), &["lint"]);
    assert_eq!(status(&output), 1, "{}", stdout(&output));
    let said = stdout(&output);
    assert_eq!(said.matches("[fixed-rule-lowered]").count(), 2, "{said}");
    assert_eq!(said.matches("[out-of-range]").count(), 1, "{said}");
    let output = run_in(root.path(), &["compile"]);
    let said = stdout(&output);
    let line = said.lines().find(|line| line.starts_with("withheld: "));
    assert!(
        line.is_some_and(|line| line.contains("`die_c` is 900 °C")),
        "{said}"
    );
    let said = stderr(&output);
    assert!(said.contains("the linter finds 3 errors"), "{said}");
}

#[test]
fn only_what_was_asked_for_is_printed() {
    let root = book(
        BOOK,
        &[
            ("one", "a = 1\n"),
            ("two", "b = 2\n"),
            ("two-more", "c = 3\n"),
        ],
    );
    let files = |arguments: &[&str]| -> Vec<String> {
        let output = run_in(
            root.path(),
            &[&["lint", "--as", "json"], arguments].concat(),
        );
        let file = |line: Value| {
            line["places"][0]["file"]
                .as_str()
                .expect("named")
                .to_owned()
        };
        json_lines(&output).into_iter().map(file).collect()
    };
    assert_eq!(
        files(&["osk/two"]),
        ["osk/two/board.toml"],
        "a folder, not its namesake"
    );
    assert_eq!(
        files(&["osk/one/board.toml"]),
        ["osk/one/board.toml"],
        "a file"
    );
    assert_eq!(
        files(&["osk/../osk/one/", "osk/two"]).len(),
        2,
        "several, by detours"
    );
    assert_eq!(files(&["."]).len(), 3, "the root is everything");
    assert_eq!(files(&["osk"]).len(), 3, "a maker's boards");
}

#[test]
fn paths_that_mean_nothing_are_explained() {
    let root = book(BOOK, &[("demo", "")]);
    let other = book(BOOK, &[("demo", "")]);
    std::fs::create_dir(root.path().join("osk/empty")).expect("made");
    let elsewhere = other.path().to_str().expect("a plain path");
    let cases = [
        (
            vec!["lint", "osk/nothing.toml"],
            "there is no `osk/nothing.toml`",
        ),
        (vec!["lint", "osk/empty"], "nothing to check at `osk/empty`"),
        (vec!["lint", ".", elsewhere], "is not in the book"),
        (
            vec!["lint", "osk", "osk/nothing"],
            "could not look at `osk/nothing`",
        ),
        (vec!["--book", "nowhere", "find"], "there is no `nowhere`"),
    ];
    for (arguments, words) in cases {
        let output = run_in(root.path(), &arguments);
        assert_eq!(status(&output), 2, "{arguments:?}");
        let said = stderr(&output);
        assert!(
            said.contains(words) && said.contains("help: "),
            "{arguments:?}: {said}"
        );
    }
}

#[test]
fn a_newcomer_is_told_how_to_begin() {
    let empty = tempfile::tempdir().expect("a folder");
    for arguments in [&["lint"][..], &["find"], &["lint", "."]] {
        let output = run_in(empty.path(), arguments);
        assert_eq!(status(&output), 2, "no book: {arguments:?}");
        assert!(
            stderr(&output).contains("title = \"Our boards\""),
            "{}",
            stderr(&output)
        );
    }
    let root = book(BOOK, &[]);
    for arguments in [["lint"], ["find"]] {
        let output = run_in(root.path(), &arguments);
        assert_eq!(status(&output), 0, "an empty book is no fault");
        assert!(
            stderr(&output).contains("This book has no boards yet"),
            "{}",
            stderr(&output)
        );
    }
}

#[test]
fn boards_are_found_by_any_words() {
    let ids = |words: &[&str]| -> Vec<String> {
        let output = run(&[&["find", "--as", "json"], words].concat());
        let id = |line: Value| {
            line["record"]["board"]["id"]
                .as_str()
                .expect("an id")
                .to_owned()
        };
        json_lines(&output).into_iter().map(id).collect()
    };
    assert_eq!(ids(&[]).len(), 18, "no words: every board");
    assert_eq!(ids(&["240", "OSK"]), ["osk-tern-240"], "any order and case");
    assert_eq!(ids(&["trn240-mb", "r1.3"]), ["osk-tern-240"], "a marking");
    assert_eq!(ids(&["tern"]), ["osk-tern-180", "osk-tern-240"], "several");
    assert_eq!(ids(&["osk-tern-180"]), ["osk-tern-180"], "an id");
    assert_eq!(ids(&["laptop"]), ["ferrowick-skiff-thirteen"], "a class");
    let list = stdout(&run(&["find", "tern"]));
    assert!(
        list.contains("TRN180-MA R1.0") && list.contains("2 boards;"),
        "{list}"
    );
}

#[test]
fn a_mistyped_board_is_guessed() {
    for (words, meant) in [
        (vec!["osk-tren-240"], "osk-tern-240"),
        (vec!["whimbrell"], "tolvane-whimbrel-long"),
        (vec!["Osk", "Bitern", "320"], "osk-bittern-320"),
    ] {
        let output = run(&[&["find"], &words[..]].concat());
        assert_eq!(status(&output), 2, "nothing to print");
        let said = stderr(&output);
        assert!(
            said.contains("did you mean") && said.contains(meant),
            "{said}"
        );
    }
    let said = stderr(&run(&["find", "xyzzy"]));
    assert!(!said.contains("did you mean"), "nothing is like it: {said}");
}

#[test]
fn a_board_is_printed_in_full() {
    let output = run(&["find", "osk-tern-240"]);
    assert_eq!(status(&output), 0, "found");
    insta::assert_snapshot!("sheet", stdout(&output));
}

#[test]
fn a_sheet_keeps_to_its_columns() {
    for (columns, has_map) in [(60, false), (80, true), (132, true)] {
        for id in [
            "osk-tern-240",
            "quillet-skerry-80",
            "ferrowick-skiff-thirteen",
        ] {
            let output = gapbook(Path::new(env!("CARGO_MANIFEST_DIR")))
                .args(["find", id])
                .env("COLUMNS", columns.to_string())
                .output()
                .expect("the program runs");
            let text = stdout(&output);
            assert_eq!(text.contains('┌'), has_map, "a map in {columns} columns");
            let widest = text.lines().map(|line| line.chars().count()).max();
            assert!(
                widest <= Some(columns),
                "{id} in {columns} columns: {widest:?}\n{text}"
            );
        }
    }
}

#[test]
fn what_is_not_known_is_said_so() {
    let more = "[[part]]\nid = \"ram\"\nkind = \"memory\"\nside = \"back\"\nat = [[5.0, 5.0, 9.0, 9.0]]\n\
                [[body]]\nid = \"lid\"\nkind = \"cover\"\nside = \"back\"\n\
                [[zone]]\nid = \"ram\"\nbetween = [\"ram\", \"lid\"]\n\
                [[fasteners]]\nid = \"x\"\nfrom = \"back\"\nat = [[50.0, 30.0]]\nholds = [\"lid\", \"pcb\"]\n";
    let root = book(BOOK, &[("demo", more)]);
    let text = stdout(&run_in(root.path(), &["find", "osk-demo"]));
    for words in [
        "revisions  not known",
        "heat not known",
        "1, size not known",
        "? not known",
    ] {
        assert!(text.contains(words), "`{words}` in\n{text}");
    }
}

#[test]
fn what_lies_far_outside_does_not_stop_the_map() {
    let more = "[[part]]\nid = \"a\"\nkind = \"die\"\nside = \"front\"\n\
                at = [[-1000.0, -1000.0, 1000.0, 1000.0], [90.0, 5.0, 1000.0, 1000.0]]\n\
                [[fasteners]]\nid = \"x\"\nfrom = \"front\"\nat = [[-900.0, 900.0], [112.0, 5.0]]\n\
                holds = [\"pcb\"]\n";
    let root = book(BOOK, &[("demo", more)]);
    let text = stdout(&run_in(root.path(), &["find", "osk-demo"]));
    assert!(text.contains("A x   1 screw outside the drawing"), "{text}");
}

#[test]
fn facts_are_json_with_what_follows_from_them() {
    let facts = json_lines(&run(&["find", "osk-tern-240", "--as", "json"])).remove(0);
    let model = &facts["record"]["board"]["model"];
    assert_eq!(model, "Tern 240", "the record itself");
    let facts = &facts["facts"];
    assert_eq!(facts["trays"][1]["letter"], "B", "trays");
    assert_eq!(
        facts["order"]["opening"][0]["act"], "plug",
        "moves in order"
    );
    assert_eq!(facts["zones"][0]["pieces"], 8, "pieces");
    assert_eq!(
        facts["zones"][0]["height_from"], "usual for its package",
        "heights"
    );
}

#[test]
fn a_record_cannot_drive_the_terminal() {
    let hostile = "[[note]]\non = \"board\"\nwhen = \"open\"\nkind = \"warning\"\n\
                   text = \"go\\u001B[2J\\u009B31m\\u202Eup\"\n\
                   [[fasteners]]\nid = \"x\"\nname = \"\\u001B]0;owned\\u0007\"\nfrom = \"front\"\n\
                   at = [[5.0, 5.0]]\nholds = [\"pcb\"]\n";
    let root = book(BOOK, &[("demo", hostile)]);
    let folder = root.path().join("osk").join("\u{1b}[2J");
    std::fs::create_dir(&folder).expect("made");
    std::fs::write(folder.join("board.toml"), "a = \"\u{9b}2J\"\nb = [\n").expect("written");
    let commands = [
        vec!["find", "osk-demo"],
        vec!["find", "osk-demo", "--as", "json"],
        vec!["find", "\u{1b}[2J"],
        vec!["lint"],
        vec!["lint", "--as", "json"],
        vec!["lint", "\u{1b}[2J"],
        vec!["\u{1b}[2J"],
        vec!["rules", "\u{1b}[2J"],
    ];
    for arguments in commands {
        let output = run_in(root.path(), &arguments);
        let said = stdout(&output) + &stderr(&output);
        let control = said
            .chars()
            .find(|&c| (c.is_control() && c != '\n') || c == '\u{202e}');
        assert_eq!(control, None, "{arguments:?}: {said:?}");
    }
}

#[test]
fn rules_are_listed_and_explained() {
    let output = run(&["rules"]);
    assert_eq!(status(&output), 0, "listed");
    let listed = stdout(&output);
    for rule in gapbook::lint::ALL {
        assert!(
            listed.contains(rule.name) && listed.contains(rule.summary),
            "{}",
            rule.name
        );
        let page = stdout(&run(&["rules", rule.name]));
        let parts = ["Why", "It fails", "It passes", "What to do"];
        assert!(
            parts
                .iter()
                .all(|part| page.contains(&format!("\n{part}\n"))),
            "{page}"
        );
    }
    let output = run(&["rules", "idle-acept"]);
    assert_eq!(status(&output), 2, "no such rule");
    assert!(
        stderr(&output).contains("did you mean `idle-accept`?"),
        "{}",
        stderr(&output)
    );
    let names = json_lines(&run(&["rules", "--as", "json"]));
    assert_eq!(names.len(), gapbook::lint::ALL.len(), "a line each");
}

#[test]
fn schemas_are_written_once() {
    let root = tempfile::tempdir().expect("a folder");
    let output = run_in(root.path(), &["schema", "--to", "deep/er"]);
    assert_eq!(status(&output), 0, "written");
    assert_eq!(
        stdout(&output).matches("new ").count(),
        7,
        "{}",
        stdout(&output)
    );
    std::fs::write(root.path().join("deep/er/job.schema.json"), "{}").expect("written");
    let again = stdout(&run_in(root.path(), &["schema", "--to", "deep/er"]));
    assert_eq!(again.matches("unchanged ").count(), 6, "{again}");
    assert!(
        again.contains("updated   deep/er/job.schema.json"),
        "{again}"
    );
    let output = run_in(root.path(), &["schema", "--to", "deep/er/job.schema.json"]);
    assert_eq!(status(&output), 2, "a file is no folder");
}

#[test]
fn a_closed_pipe_ends_quietly() {
    for arguments in [
        &["find"][..],
        &["find", "osk-tern-240"],
        &["rules"],
        &["--help"],
        &[],
    ] {
        let mut child = gapbook(Path::new(env!("CARGO_MANIFEST_DIR")))
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program runs");
        drop(child.stdout.take());
        let output = child.wait_with_output().expect("it ends");
        assert_eq!(status(&output), 0, "{arguments:?}: {}", stderr(&output));
        assert!(
            stderr(&output).is_empty(),
            "{arguments:?}: {}",
            stderr(&output)
        );
    }
}

#[test]
fn a_closed_pipe_hides_no_errors() {
    let root = book(BOOK, &[("demo", "colour = 1\n")]);
    let mut child = gapbook(root.path())
        .arg("lint")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(status(&output), 1, "{}", stderr(&output));
}

#[test]
fn compile_writes_a_site_and_says_which_file_to_open() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("site");
    let out = out.to_str().expect("UTF-8");
    let first = run(&["compile", "--out", out]);
    assert_eq!(status(&first), 0, "{}", stdout(&first));
    assert!(
        stdout(&first).contains(&format!("open {out}/index.html")),
        "{}",
        stdout(&first)
    );
    let again = run(&["compile", "--out", out]);
    assert!(
        stdout(&again).contains(": 0 written, 0 removed"),
        "{}",
        stdout(&again)
    );

    let letter = folder.path().join("letter.txt");
    std::fs::write(&letter, "dear").expect("written");
    let refused = run(&["compile", "--out", folder.path().to_str().expect("UTF-8")]);
    assert_eq!(status(&refused), 2, "a folder that is somebody else's");
    assert!(letter.exists(), "and it is left alone");
}

#[test]
fn order_prints_how_a_board_comes_apart_and_together() {
    let output = run(&["order", "tern", "240"]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    insta::assert_snapshot!("order", stdout(&output));
}

#[test]
fn order_as_json_has_the_promised_keys() {
    let output = run(&["order", "osk-tern-240", "--as", "json"]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    let answer = &json_lines(&output)[0];
    let keys = |value: &Value| -> Vec<String> {
        let keys = value.as_object().expect("an object").keys();
        keys.cloned().collect()
    };
    assert_eq!(
        keys(answer),
        [
            "board",
            "turn_overs",
            "bit_changes",
            "is_exact",
            "closing_turn_overs",
            "closing_bit_changes",
            "closing_is_exact",
            "opening",
            "closing",
            "stuck",
            "cycles",
            "notes"
        ],
        "the answer"
    );
    assert_eq!(
        keys(&answer["closing"][2]),
        [
            "act",
            "text",
            "short",
            "ids",
            "trays",
            "bit",
            "side_up",
            "turn_over",
            "hold",
            "loose",
            "tightening",
            "notes"
        ],
        "a move"
    );
    let unplug = &answer["opening"][0];
    let mut notes = answer["notes"].as_array().expect("a list").iter();
    let warning = notes.find(|note| note["when"] == "open" && note["kind"] == "warning");
    let html = warning.and_then(|note| note["html"].as_str());
    assert!(
        html.is_some_and(|html| html.contains("input capacitors")),
        "{html:?}"
    );
    assert_eq!(unplug["notes"], Value::Array(Vec::new()), "on the board");
    let fan = &answer["opening"][8];
    assert_eq!(fan["ids"][0], "fan", "the ninth move");
    assert_eq!(
        fan["notes"].as_array().map(Vec::len),
        Some(1),
        "its caution"
    );
    assert_eq!(
        keys(&answer["closing"][2]["tightening"]),
        ["sequence", "passes", "how_tight"],
        "a tightening"
    );
}

/// A board that cannot come apart is told why, and the program ends with 1.
#[test]
fn order_says_why_there_is_none() {
    let ring = "[[body]]\nid = \"lid\"\nkind = \"cover\"\nside = \"front\"\nover = [\"tray\"]\n\
                [[body]]\nid = \"tray\"\nkind = \"bracket\"\nside = \"front\"\nover = [\"lid\"]\n";
    let folder = book("", &[("demo", ring)]);
    let output = run_in(folder.path(), &["order", "demo"]);
    assert_eq!(status(&output), 1, "{}", stderr(&output));
    let text = stdout(&output);
    assert!(text.contains("no order takes off: lid, tray"), "{text}");
    assert!(
        text.contains("because `lid` lies over `tray`, `tray` lies over `lid`"),
        "{text}"
    );
    let missing = run_in(folder.path(), &["order", "heron"]);
    assert_eq!(status(&missing), 2, "no such board");
    assert!(
        stderr(&missing).contains("found no board"),
        "{}",
        stderr(&missing)
    );
}

#[test]
fn fit_prints_a_board_s_stack_up() {
    let output = run(&["fit", "osk-tern-240"]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    insta::assert_snapshot!("fit", stdout(&output));
}

#[test]
fn fit_says_that_an_oversized_pad_holds_the_cooler_off() {
    let output = run(&["fit", "tern 240", "--pad", "mem-front=3"]);
    assert_eq!(status(&output), 1, "{}", stderr(&output));
    let text = stdout(&output);
    assert!(text.contains("gpu: held off"), "{text}");
    assert!(text.contains("fit 2 mm at `mem-front`"), "{text}");
}

#[test]
fn fit_as_json_has_the_promised_keys() {
    let output = run(&[
        "fit",
        "osk-tern-240",
        "--as",
        "json",
        "--pad",
        "coils=1.5:soft",
    ]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    let facts = &json_lines(&output)[0];
    let keys = |value: &Value| -> Vec<String> {
        let keys = value.as_object().expect("an object").keys();
        keys.cloned().collect()
    };
    assert_eq!(
        keys(facts),
        [
            "board",
            "revision",
            "assumed",
            "separation_mm",
            "tilt_mrad",
            "dies",
            "zones",
            "yield"
        ],
        "nothing to change, no problem"
    );
    assert_eq!(
        keys(&facts["dies"][0]),
        ["id", "force_n", "mean_kpa", "bond_um", "drop_k", "verdict"],
        "a die"
    );
    let zone = &facts["zones"][3];
    assert_eq!(
        keys(zone),
        [
            "id",
            "pad_mm",
            "pad",
            "gap_mm",
            "window_mm",
            "verdict",
            "force_n",
            "pieces",
            "substitutes",
            "nearest_wrong"
        ],
        "a zone"
    );
    assert_eq!(
        keys(&facts["yield"]),
        ["fraction", "samples", "fails", "gaps"],
        "a yield"
    );
    assert_eq!(
        keys(&zone["substitutes"][0]),
        [
            "pad_mm", "pad", "verdict", "strain", "force_n", "drop_k", "die", "fails"
        ],
        "another pad"
    );
    assert_eq!(zone["pad"], "soft", "as tried");
    assert_eq!(
        keys(&zone["gap_mm"]),
        ["value", "low", "high", "from"],
        "a gap"
    );
    assert_eq!(
        keys(&zone["pieces"][0]),
        [
            "at",
            "strain",
            "pressure_kpa",
            "force_n",
            "drop_k",
            "verdict"
        ],
        "a piece"
    );
}

#[test]
fn fit_chooses_from_the_stock() {
    let output = run(&["fit", "osk-tern-240", "--choose", "--pad", "mem-front=2"]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    insta::assert_snapshot!("fit_choose", stdout(&output));
}

#[test]
fn fit_shows_what_other_pads_would_do() {
    let output = run(&["fit", "osk-tern-240", "--instead", "mem-front"]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    insta::assert_snapshot!("fit_instead", stdout(&output));
}

#[test]
fn fit_chooses_from_another_stock() {
    let folder = tempfile::tempdir().expect("a folder");
    let stock = folder.path().join("drawer.toml");
    let fit = || {
        run(&[
            "fit",
            "uthby-hithe",
            "--choose",
            "--stock",
            stock.to_str().expect("a plain name"),
        ])
    };
    let drawer = |sizes: &str| {
        format!(
            "schema = 1\n[[pad]]\nid = \"drawer\"\nname = \"Drawer\"\nconductivity_w_mk = 6.0\n\
             thickness_mm = {sizes}\nsource = \"invented\"\n\
             deflection = [{{ strain = 0.2, pressure_kpa = 40.0 }}]\n"
        )
    };
    std::fs::write(&stock, drawer("[2.0, 2.5]")).expect("written");
    let output = fit();
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    assert!(
        stdout(&output).contains("2.5 mm drawer"),
        "{}",
        stdout(&output)
    );

    std::fs::write(&stock, drawer("[1.0]")).expect("written");
    let output = fit();
    assert_eq!(status(&output), 1, "{}", stderr(&output));
    let wanted = "no pad of the stock fits `buffer`, `vrm`";
    assert!(stdout(&output).contains(wanted), "{}", stdout(&output));

    std::fs::write(&stock, drawer("[\"2.5\"]")).expect("written");
    let output = fit();
    assert_eq!(status(&output), 2, "not a list of pads");
    let said = stderr(&output);
    assert!(
        said.contains("wrong-type") && said.contains("drawer.toml:6"),
        "{said}"
    );

    std::fs::remove_file(&stock).expect("there");
    let output = fit();
    assert_eq!(status(&output), 2, "no such file");
    assert!(
        stderr(&output).contains("unreadable-file"),
        "{}",
        stderr(&output)
    );
}

#[test]
fn fit_is_kind_about_what_it_cannot_try() {
    let cases: [(&[&str], &str); 10] = [
        (
            &["fit", "osk-tern-240", "--instead", "mem-frnt"],
            "did you mean `mem-front`?",
        ),
        (&["fit", "osk-ten-999"], "found no board"),
        (&["fit", "tern"], "`tern` means 2 boards"),
        (
            &["fit", "osk-tern-240", "--pad", "mem=2"],
            "did you mean `mem-front`?",
        ),
        (
            &["fit", "osk-tern-240", "--pad", "coils=2:sofd"],
            "did you mean `soft`?",
        ),
        (
            &["fit", "osk-tern-240", "--pad", "coils"],
            "names no thickness",
        ),
        (
            &["fit", "osk-tern-240", "--pad", "coils=nan"],
            "not between 0.05 and 8 mm",
        ),
        (
            &["fit", "osk-tern-240", "--paste", "evryday"],
            "did you mean `everyday`?",
        ),
        (
            &["fit", "osk-tern-240", "--clamp", "-3"],
            "cannot press with -3 N",
        ),
        (
            &["fit", "osk-tern-240", "--revision", "R1.4"],
            "did you mean `R1.3`?",
        ),
    ];
    for (arguments, wanted) in cases {
        let output = run(arguments);
        assert_eq!(status(&output), 2, "{arguments:?}");
        let said = stderr(&output);
        assert!(said.contains(wanted), "{arguments:?}: {said}");
    }
}

#[test]
fn cut_says_what_to_buy_and_where_to_cut() {
    let output = run(&["cut", "osk-tern-240"]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    insta::assert_snapshot!("cut", stdout(&output));
}

#[test]
fn cut_and_fit_say_which_thickness_no_stock_has() {
    let told = "the book knows no `soft` of 2.3 mm; the nearest are 2.25 and";
    for command in ["cut", "fit"] {
        let asked = [command, "osk-tern-240", "--pad", "mem-front=2.3"];
        let output = run(&asked);
        assert!(status(&output) < 2, "{command}: {}", stderr(&output));
        assert!(stdout(&output).contains(told), "{}", stdout(&output));
        let output = run(&[&asked[..], &["--as", "json"]].concat());
        let facts = json_lines(&output)[0].to_string();
        assert!(facts.contains("\"nearest_mm\":[2.25,2.5]"), "{facts}");
    }
}

#[test]
fn cut_adds_boards_up_and_follows_a_choice() {
    let output = run(&[
        "cut",
        "osk-tern-240",
        "osk-tern-180",
        "--new-sheets",
        "--as",
        "json",
    ]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    let facts = &json_lines(&output)[0];
    assert_eq!(facts["boards"].as_array().map(Vec::len), Some(2), "both");
    let output = run(&["cut", "osk-tern-240", "--choose", "--as", "json"]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    let chosen = &json_lines(&output)[0];
    assert_ne!(
        facts["stocks"], chosen["stocks"],
        "other pads, other pieces"
    );
}

#[test]
fn cut_draws_one_to_one() {
    let output = run(&[
        "cut",
        "osk-tern-240",
        "--offcut",
        "80x30x2.0:soft",
        "--as",
        "svg",
    ]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    let text = stdout(&output);
    let drawing = roxmltree::Document::parse(&text).expect("XML");
    let svg = drawing.root_element();
    let size = |name| svg.attribute(name).and_then(|size| size.strip_suffix("mm"));
    let (width, height) = (size("width").expect("mm"), size("height").expect("mm"));
    let view = format!("0 0 {width} {height}");
    assert_eq!(
        svg.attribute("viewBox"),
        Some(&*view),
        "a unit is a millimetre"
    );
}

#[test]
fn cut_is_kind_about_what_it_cannot_cut() {
    let cases: [(&[&str], &str); 9] = [
        (&["cut", "osk-ten-999"], "found no board"),
        (&["cut", "osk-tern-240", "osk-tern-240"], "named twice"),
        (
            &["cut", "osk-tern-240", "--offcut", "60x40x2.0"],
            "names no material",
        ),
        (
            &["cut", "osk-tern-240", "--offcut", "60x40:soft"],
            "three lengths",
        ),
        (
            &["cut", "osk-tern-240", "--offcut", "60x0x2:soft"],
            "not between 0 and 1000",
        ),
        (
            &["cut", "osk-tern-240", "--offcut", "60x40x2:sofd"],
            "did you mean `soft`?",
        ),
        (
            &["cut", "osk-tern-240", "--blade", "-1"],
            "cannot take away -1 mm",
        ),
        (
            &["cut", "osk-tern-240", "--pad", "coils"],
            "names no thickness",
        ),
        (
            &["cut", "osk-tern-240", "osk-tern-180", "--pad", "coils=2"],
            "are of one board",
        ),
    ];
    for (arguments, wanted) in cases {
        let output = run(arguments);
        assert_eq!(status(&output), 2, "{arguments:?}");
        let said = stderr(&output);
        assert!(said.contains(wanted), "{arguments:?}: {said}");
    }
}

/// A program that reads JSON gets a whole answer or none.
#[test]
fn what_fails_prints_no_json() {
    let cases: [&[&str]; 14] = [
        &["find", "osk-ten-999"],
        &["lint", "no-such-folder"],
        &["fit", "osk-ten-999"],
        &["fit", "osk-tern-240", "--pad", "none=1"],
        &["fit", "osk-tern-240", "--stock", "none.toml"],
        &["fit", "osk-tern-240", "--clamp", "0"],
        &["cut", "osk-ten-999"],
        &["cut", "osk-tern-240", "--choose", "--pad", "coils=8"],
        &["order", "osk-ten-999"],
        &["triage", "osk-ten-999"],
        &["triage", "osk-tern-240", "--die", "200"],
        &["prove", "osk-tern-240/2026-13-13"],
        &["prove", "none"],
        &["rules", "none"],
    ];
    for case in cases {
        let output = run(&[case, &["--as", "json"]].concat());
        assert_eq!(status(&output), 2, "{case:?}");
        assert_eq!(stdout(&output), "", "{case:?}");
        assert!(stderr(&output).contains("error"), "{case:?}");
    }
}
