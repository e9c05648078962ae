//! Records that are too large, too deep or too many, and the largest that are allowed.

use std::fmt::Write as _;

use crate::common::{Case, DEMO, HEAD};

/// The largest record that is read, bytes.
const LARGEST: usize = 1 << 20;

/// Returns a record of the largest size: a beginning, something again and again, an end.
fn filled(begin: &str, again: &str, end: &str) -> String {
    let room = LARGEST - HEAD.len() - begin.len() - end.len();
    format!("{HEAD}{begin}{}{end}", again.repeat(room / again.len()))
}

/// Returns numbered things, each on lines of its own.
fn numbered(count: usize, one: impl Fn(usize) -> String) -> String {
    (0..count).fold(String::new(), |mut all, number| {
        writeln!(all, "{}", one(number)).expect("a string takes all");
        all
    })
}

/// Attacks with a record, and checks that a rule names the fault.
fn is_refused(what: &str, record: &str, rule: &str) {
    let case = Case::new(&[(DEMO, record)]);
    let (found, compiled) = case.attack();
    assert!(found.iter().any(|one| one == rule), "{what}: {found:?}");
    assert_eq!(compiled.status, 1, "{what}: {}", compiled.stderr);
    assert!(
        compiled.stdout.contains("withheld: osk/demo/board.toml: "),
        "{what}: {}",
        compiled.stdout
    );
    assert!(found.len() <= 100, "{what}: a few findings say enough");
}

#[test]
fn what_is_too_large_is_not_read() {
    let large = format!("{HEAD}#{}", " ".repeat(50 << 20));
    is_refused("50 MiB", &large, "record-too-large");
    let just = filled("# ", "x", "") + "x";
    is_refused("a byte too many", &just, "record-too-large");
}

#[test]
fn one_long_line_is_read_or_refused() {
    let case = Case::new(&[(DEMO, filled("# ", "x", ""))]);
    let (_, compiled) = case.attack();
    assert!(
        compiled.stdout.contains("1 board,"),
        "a comment is no fault"
    );
    is_refused("a long text", &filled("a = \"", "x", "\"\n"), "unknown-key");
    is_refused("a long list", &filled("a = [", "1,", "]\n"), "unknown-key");
    is_refused("tables", &filled("a = [", "{},", "]\n"), "unknown-key");
    is_refused("a long key", &filled("", "x", " = 1\n"), "unknown-key");
    let reference = filled(
        "[[note]]\nwhen = \"open\"\nkind = \"tip\"\ntext = \"x\"\non = \"",
        "x",
        "\"\n",
    );
    is_refused("a long name", &reference, "dangling-reference");
}

#[test]
fn nesting_is_refused_before_it_fills_the_stack() {
    let cases = [
        ("arrays", filled("a = ", "[", "")),
        (
            "closed",
            format!("{HEAD}a = {}{}\n", "[".repeat(10_000), "]".repeat(10_000)),
        ),
        (
            "inline",
            format!(
                "{HEAD}a = {}1{}\n",
                "{a=".repeat(10_000),
                "}".repeat(10_000)
            ),
        ),
        ("dotted", filled("a", ".a", " = 1\n")),
        ("table", filled("[a", ".a", "]\n")),
        ("array of tables", filled("[[a", ".a", "]]\n")),
        (
            "growing",
            format!(
                "{HEAD}{}",
                numbered(900, |depth| format!("[a{}]", ".a".repeat(depth)))
            ),
        ),
    ];
    for (what, record) in cases {
        is_refused(what, &record, "not-toml");
    }
    let within = format!("{HEAD}a = {}{}\n", "[".repeat(70), "]".repeat(70));
    is_refused("within the parser's bound", &within, "malformed-value");
}

#[test]
fn many_faults_are_told_in_time_and_in_part() {
    is_refused(
        "keys",
        &format!("{HEAD}{}", numbered(100_000, |key| format!("{key:x}=1"))),
        "unknown-key",
    );
    is_refused(
        "tables",
        &format!("{HEAD}{}", numbered(20_000, |key| format!("[t{key}]"))),
        "unknown-key",
    );
    is_refused("no values", &filled("", "=\n", ""), "not-toml");
    is_refused("no ends", &filled("", "\"\n", ""), "not-toml");
    is_refused("twice the same", &filled("", "a = 1\n", ""), "not-toml");
    is_refused("one line", &filled("", "[[", ""), "not-toml");
    is_refused(
        "nothing to see",
        &filled("", "\u{200b}", ""),
        "hidden-characters",
    );
    is_refused(
        "lines of it",
        &filled("", "\u{200b}\n", ""),
        "hidden-characters",
    );
    is_refused("controls", &filled("", "\0", ""), "hidden-characters");
    let spelt = numbered(15_000, |key| format!("k{key} = \"\\u200b\""));
    is_refused("spelt out", &format!("{HEAD}{spelt}"), "hidden-characters");
}

#[test]
fn lists_have_an_end() {
    let lists = [
        (
            "[[body]]\nid = \"b\"\nkind = \"cover\"\nside = \"front\"",
            120,
        ),
        (
            "[[note]]\non = \"board\"\nwhen = \"open\"\nkind = \"tip\"\ntext = \"x\"",
            120,
        ),
        (
            "[[accept]]\nrule = \"stray-file\"\nat = \"board\"\nwhy = \"because\"",
            120,
        ),
        ("[[photo]]\nfile = \"a.png\"\ntext = \"x\"", 120),
    ];
    for (table, count) in lists {
        let record = format!("{HEAD}{}", numbered(count, |_| table.to_owned()));
        is_refused(table, &record, "out-of-range");
    }
    let places = vec!["[1.0, 1.0, 1.0, 1.0]"; 500].join(",");
    let parts = numbered(20, |part| {
        format!("[[part]]\nid = \"p{part}\"\nkind = \"other\"\nside = \"front\"\nat = [{places}]")
    });
    is_refused(
        "10 000 places",
        &format!("{HEAD}{parts}"),
        "malformed-value",
    );
}

/// Returns places in rows over the board, or all of them over one another.
fn places(count: usize, spread: bool) -> String {
    let place = |at: usize| match (spread, at % 24, at / 24) {
        (true, column, row) => format!("[{}, {}, 2.0, 1.0]", column * 4 + 1, row * 2 + 1),
        (false, ..) => "[1.0, 1.0, 90.0, 50.0]".to_owned(),
    };
    let all: Vec<String> = (0..count).map(place).collect();
    all.join(",")
}

/// The largest records that are allowed: as many things as are read, spread out and heaped up.
#[test]
fn the_largest_board_is_linted_and_compiled_in_time() {
    let cooler = "[[body]]\nid = \"cooler\"\nkind = \"cooler\"\nside = \"front\"\n";
    let part = |spread| {
        let at = places(480, spread);
        format!("{cooler}[[part]]\nid = \"p\"\nkind = \"memory\"\nside = \"front\"\nat = [{at}]\n")
    };
    let zones = numbered(3, |zone| {
        format!("[[zone]]\nid = \"z{zone}\"\nbetween = [\"p\", \"cooler\"]\npad_mm = 1.0")
    });
    let points: Vec<String> = (0..190)
        .map(|at| format!("[{}, {}]", at % 20 * 5, at / 20 * 5))
        .collect();
    let screws = |groups| {
        numbered(groups, |group| {
            let at = points.join(",");
            format!(
                "[[fasteners]]\nid = \"f{group}\"\nfrom = \"front\"\nholds = [\"pcb\"]\nat = [{at}]"
            )
        })
    };
    let plugs = numbered(100, |plug| {
        let name = "m".repeat(80);
        format!(
            "[[connector]]\nid = \"k{plug}\"\nname = \"{name}\"\nkind = \"fan\"\nside = \"front\"\nat = [{plug}, 9]"
        )
    });
    let bodies = numbered(100, |body| {
        let (at, next) = (places(18, true), body + 1);
        format!(
            "[[body]]\nid = \"b{body}\"\nkind = \"bracket\"\nside = \"front\"\npart_of = \"b{next}\"\nat = [{at}]"
        )
    });
    let notes = numbered(100, |_| {
        let text = "> - [a](<b ".repeat(360);
        format!("[[note]]\non = \"board\"\nwhen = \"open\"\nkind = \"tip\"\ntext = \"{text}\"")
    });
    for (what, record) in [
        ("zones in rows", format!("{}{zones}", part(true))),
        ("zones in a heap", format!("{}{zones}", part(false))),
        ("screws", screws(10)),
        ("screws that find room", screws(2)),
        ("connectors", plugs),
        ("bodies in one piece", bodies),
        ("notes", notes),
    ] {
        let (_, compiled) = Case::of_board(&record).attack();
        assert!(compiled.status < 2, "{what}: {}", compiled.stderr);
    }
}

/// Every reference dangles, and each is compared with every name for what was meant.
#[test]
fn names_that_are_nearly_right_are_guessed_in_time() {
    let name = |letter: &str, number: usize| format!("{}-{number}", letter.repeat(50));
    let names: Vec<String> = (0..20)
        .map(|number| format!("\"{}\"", name("b", number)))
        .collect();
    let over = names.join(",");
    let bodies = numbered(100, |body| {
        let id = name("a", body);
        format!("[[body]]\nid = \"{id}\"\nkind = \"cover\"\nside = \"front\"\nover = [{over}]")
    });
    let case = Case::of_board(&bodies);
    let ran = case.run(&["lint", "--as", "json"]);
    assert!(
        crate::common::rules(&ran).len() >= 2000,
        "each is told: {}",
        ran.stderr
    );
}
