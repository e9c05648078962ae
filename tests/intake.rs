//! `gapbook intake` as people use it: on a terminal, which here is a pseudo-terminal.
#![cfg(unix)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use rexpect::session::{PtySession, spawn_command};

/// Longest that an answer is waited for, ms, on a busy machine.
const PATIENCE_MS: u64 = 60_000;

/// A board with two pads, one under the cooler and one behind the board, and nothing for the linter to say.
const BOARD: &str = r#"
schema = 1
[board]
id = "osk-demo"
maker = "Osk"
model = "Demo"
class = "other"
markings = ["DEMO"]
revisions = ["R1", "R2"]
outline_mm = [100.0, 60.0]
[[body]]
id = "cooler"
kind = "cooler"
side = "front"
seats = { on = "standoffs", height_mm = 2.7 }
[[body]]
id = "backplate"
kind = "backplate"
side = "back"
seats = { on = "standoffs", height_mm = 1.6 }
[[part]]
id = "mem"
name = "memory"
kind = "memory"
side = "front"
height_mm = 1.1
tolerance_mm = 0.05
at = [[20.0, 20.0, 12.0, 14.0]]
[[zone]]
id = "mem"
between = ["mem", "cooler"]
pad_mm = 2.0
pad = "soft"
[[zone]]
id = "behind"
between = ["pcb", "backplate"]
pad_mm = 2.0
pad = "soft"
at = [[20.0, 20.0, 12.0, 14.0]]
[[fasteners]]
id = "cooler-screws"
from = "back"
at = [[10.0, 10.0], [90.0, 50.0]]
holds = ["cooler", "pcb"]
[[fasteners]]
id = "backplate-screws"
from = "back"
at = [[10.0, 50.0], [90.0, 10.0]]
holds = ["backplate", "pcb"]
"#;

const PADS: &str = r#"
schema = 1
[[pad]]
id = "soft"
name = "Soft"
conductivity_w_mk = 6.0
thickness_mm = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0]
source = "test"
"#;

/// The day that every job here is of.
const DAY: &str = "2026-03-14";

/// A book with one board, in a folder of its own.
struct Desk(tempfile::TempDir);

impl Desk {
    fn new() -> Self {
        let desk = Self(tempfile::tempdir().expect("a folder"));
        let head = "schema = 1\n[book]\ntitle = \"T\"\npublisher = \"P\"\nlicence = \"CC0-1.0\"\n";
        desk.write("gapbook.toml", head);
        desk.write("stock/pads.toml", PADS);
        desk.write("osk/demo/board.toml", BOARD);
        desk
    }

    fn write(&self, name: &str, text: &str) {
        let path = self.0.path().join(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, text).expect("written");
    }

    fn jobs(&self) -> PathBuf {
        self.0.path().join("osk/demo/jobs")
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.jobs().join(name)).expect("it is there")
    }

    /// Returns the names in the jobs folder, those that begin with a dot too.
    fn names(&self) -> Vec<String> {
        let Ok(entries) = std::fs::read_dir(self.jobs()) else {
            return Vec::new();
        };
        let mut names: Vec<String> = entries
            .map(|entry| {
                entry
                    .expect("readable")
                    .file_name()
                    .into_string()
                    .expect("UTF-8")
            })
            .collect();
        names.sort();
        names
    }

    fn run(&self, arguments: &[&str]) -> Output {
        let mut command = command(self.0.path(), arguments);
        command.stdin(Stdio::null()).output().expect("it runs")
    }

    fn talk(&self, arguments: &[&str]) -> Talk {
        let command = command(self.0.path(), arguments);
        Talk(spawn_command(command, Some(PATIENCE_MS)).expect("a terminal"))
    }

    /// Makes sure that the linter has nothing to say of the book but advice.
    fn is_clean(&self) {
        let output = self.run(&["lint"]);
        let found = String::from_utf8_lossy(&output.stdout).into_owned();
        assert_eq!(output.status.code(), Some(0), "{found}");
        assert!(!found.contains("osk/demo/jobs"), "nothing of jobs: {found}");
    }
}

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gapbook"));
    command
        .current_dir(folder)
        .args(arguments)
        .env("NO_COLOR", "1");
    command
}

/// The program on a terminal.
struct Talk(PtySession);

impl Talk {
    /// Waits for a question or a remark, and answers.
    fn answer(&mut self, asked: &str, typed: &str) {
        self.expect(asked);
        self.0.send_line(typed).expect("typed");
    }

    fn expect(&mut self, text: &str) {
        if let Err(error) = self.0.exp_string(text) {
            panic!("waited for `{text}`: {error}");
        }
    }

    /// Waits for the end, and returns the exit status.
    fn status(mut self) -> i32 {
        self.0.exp_eof().expect("it ends");
        match self.0.process().wait().expect("a status") {
            rexpect::process::WaitStatus::Exited(_, status) => status,
            other => panic!("it ended by {other:?}"),
        }
    }
}

#[test]
fn a_whole_job_is_asked_for_and_lints_clean() {
    let desk = Desk::new();
    let mut talk = desk.talk(&["intake", "demo", "--date", DAY]);
    talk.answer("your bench", "quayside-2");
    talk.answer("revision", "R2");
    talk.answer("why it is opened", "hot \"memory\"");
    talk.answer("measured with", "caliper");
    talk.answer("smallest step", "0.01");
    talk.answer("its greatest error", "0,03");
    talk.answer("room", "23");
    talk.answer("heat", "230 W");
    talk.answer("die", "84.5");
    talk.answer("hotspot", "");
    talk.answer("memory", "skip");
    // The backplate's pad comes off first: its screws hide the cooler's.
    talk.expect("Old pad 1 of 2");
    talk.expect("expected: 2.0 mm free, soft");
    talk.answer("edge, mm", "2.01 1.98 2.02");
    talk.answer("imprint, mm", "1.62, 1.60, 1.61");
    talk.expect("Old pad 2 of 2");
    talk.answer("edge, mm", "back");
    talk.answer("imprint, mm", "1.60 1.61 1.60");
    talk.answer("edge, mm", "skip");
    talk.answer("(recorded: 2.0 soft)", "=");
    talk.answer("(recorded: 2.0 soft)", "2.5 soft");
    talk.answer("why another", "none of 2.0 left");
    talk.answer("room", "24");
    talk.answer("heat", "skip");
    talk.answer("anything the next bench", "a torn pad");
    talk.expect("nothing wrong found");
    assert_eq!(talk.status(), 0, "clean");

    let name = format!("{DAY}-quayside-2.toml");
    assert_eq!(desk.names(), [name.as_str()], "the draft is gone");
    let record = desk.read(&name);
    let keys: Vec<&str> = record
        .lines()
        .filter_map(|line| line.split(" = ").next().filter(|key| !key.is_empty()))
        .collect();
    let order = [
        "#:schema ../../../../schema/job.schema.json",
        "schema",
        "board",
        "date",
        "bench",
        "revision",
        "reason",
        "note",
        "[instrument]",
        "kind",
        "resolution_mm",
        "max_error_mm",
        "[before]",
        "ambient_c",
        "heat_w",
        "die_c",
        "[[reading]]",
        "zone",
        "edge_mm",
        "imprint_mm",
        "[[fitted]]",
        "zone",
        "pad_mm",
        "pad",
        "[[fitted]]",
        "zone",
        "pad_mm",
        "pad",
        "why",
        "[after]",
        "ambient_c",
    ];
    assert_eq!(keys, order, "in the schema's order: {record}");
    for line in [
        "reason = 'hot \"memory\"'",
        "edge_mm = [2.01, 1.98, 2.02]",
        "imprint_mm = [1.6, 1.61, 1.6]",
    ] {
        assert!(record.contains(line), "{line} in {record}");
    }
    desk.is_clean();
}

#[test]
fn a_stopped_job_goes_on_where_it_was() {
    let desk = Desk::new();
    let mut talk = desk.talk(&["intake", "demo", "--date", DAY]);
    talk.answer("your bench", "quayside-2");
    talk.answer("revision", "R1");
    talk.answer("why it is opened", "noise");
    talk.expect("measured with");
    talk.0.send_control('c').expect("Ctrl-C");
    talk.0.exp_eof().expect("it ends at once");
    let draft = format!(".{DAY}-quayside-2.draft");
    assert_eq!(
        desk.names(),
        [draft.as_str()],
        "a draft, hidden from the book"
    );
    desk.is_clean();

    // On another day, and without naming the bench again; then the terminal goes away.
    let mut talk = desk.talk(&["intake", "demo"]);
    talk.answer("[quayside-2]", "");
    talk.expect("2 answers kept");
    talk.answer("measured with", "skip");
    talk.answer("room", "21");
    talk.expect("heat");
    talk.0.send_control('d').expect("end of input");
    talk.expect("4 answers kept");
    assert_eq!(talk.status(), 2, "not written");

    let mut talk = desk.talk(&["intake", "demo", "--bench", "quayside-2"]);
    talk.answer("heat", "skip");
    talk.expect("edge, mm");
    let process = talk.0.process_mut();
    let ended = process.kill(rexpect::process::Signal::SIGHUP);
    ended.expect("the terminal is gone");

    let mut talk = desk.talk(&["intake", "demo", "--bench", "quayside-2"]);
    for _ in 0..2 {
        talk.answer("edge, mm", "2.0 1.99 2.01");
        talk.answer("imprint, mm", "skip");
    }
    talk.answer("recorded", "skip");
    talk.answer("room", "skip");
    talk.answer("anything", "");
    assert_eq!(talk.status(), 0, "written");
    let record = desk.read(&format!("{DAY}-quayside-2.toml"));
    for line in [
        "revision = \"R1\"",
        "reason = \"noise\"",
        "ambient_c = 21.0",
        "date = 2026-03-14",
    ] {
        assert!(record.contains(line), "{line} in {record}");
    }
    desk.is_clean();
}

#[test]
fn a_slip_is_told_at_once_and_can_be_meant() {
    let desk = Desk::new();
    let mut talk = desk.talk(&["intake", "demo", "--bench", "netloft-3", "--date", DAY]);
    for heading in ["revision", "measured with", "room"] {
        talk.answer(heading, "skip");
    }
    talk.answer("edge, mm", "20.1 19.8");
    talk.expect("20.1 mm cannot be this pad; if the decimal point is one place too far right, it is 2.01 mm");
    talk.answer("edge, mm", "0.079");
    talk.expect("if it is in inches, it is 2.01 mm");
    talk.answer("edge, mm", "about two");
    talk.expect("`about` is no number");
    talk.answer("edge, mm", "2.01 1.98");
    talk.answer("imprint, mm", "2.4");
    talk.expect("thicker than the edge, 2.01 mm");
    talk.answer("imprint, mm", "?");
    talk.answer("imprint, mm", "keep");
    talk.expect("`keep` is no number");
    talk.answer("imprint, mm", "2.4");
    talk.expect("`keep` if it really is so");
    talk.answer("imprint, mm", "keep");
    talk.answer("edge, mm", "skip");
    talk.answer("recorded", "skip");
    talk.answer("room", "skip");
    talk.answer("anything", "swollen, really");
    talk.status();
    let record = desk.read(&format!("{DAY}-netloft-3.toml"));
    assert!(
        record.contains("edge_mm = [2.01, 1.98]\nimprint_mm = [2.4]"),
        "{record}"
    );
}

#[test]
fn what_a_running_board_cannot_show_is_questioned_once() {
    let desk = Desk::new();
    let hot = BOARD.replace("class = \"other\"", "class = \"other\"\nheat_w = 240.0");
    desk.write("osk/demo/board.toml", &hot);
    let mut talk = desk.talk(&["intake", "demo", "--bench", "netloft-3", "--date", DAY]);
    for heading in ["revision", "measured with"] {
        talk.answer(heading, "skip");
    }
    talk.answer("room", "75 °F");
    // The terminal is read byte by byte, so that only what is ASCII is waited for.
    talk.expect("this is 23.9");
    talk.answer("room", "75");
    talk.expect("it is 24");
    talk.answer("room", "50");
    talk.expect("it is 10");
    talk.answer("room", "24");
    talk.answer("heat", "2380");
    talk.expect("2380 W is far above the 240 W");
    talk.answer("heat", "238");
    talk.answer("die", "8.4");
    talk.expect("cannot be colder than the room at 24");
    talk.answer("die", "84");
    talk.answer("hotspot", "140");
    talk.expect("it is 60");
    talk.answer("hotspot", "72");
    talk.expect("cannot be below the die's mean at 84");
    talk.answer("hotspot", "keep");
    // What was kept is not questioned again.
    talk.answer("memory", "25");
    talk.expect("too cold for full load");
    talk.answer("memory", "keep");
    talk.answer("fan", "skip");
    talk.answer("edge, mm", "2.01 1.98");
    talk.answer("imprint, mm", "2.01 1.98");
    talk.expect("nothing squeezed the pad there");
    talk.answer("imprint, mm", "1.62 1.60");
    talk.answer("edge, mm", "skip");
    talk.answer("recorded", "skip");
    talk.answer("room", "skip");
    talk.answer("anything", "");
    talk.status();
    let record = desk.read(&format!("{DAY}-netloft-3.toml"));
    for line in [
        "ambient_c = 24.0",
        "heat_w = 238.0",
        "die_c = 84.0",
        "hotspot_c = 72.0",
        "memory_c = 25.0",
        "imprint_mm = [1.62, 1.6]",
    ] {
        assert!(record.contains(line), "{line} in {record}");
    }
}

#[test]
fn a_skeleton_lints_clean_and_nothing_is_overwritten() {
    let desk = Desk::new();
    let blank = [
        "intake",
        "demo",
        "--blank",
        "--bench",
        "quayside-2",
        "--date",
        DAY,
    ];
    for _ in 0..2 {
        let output = desk.run(&blank);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(0), "{said}");
    }
    let names = [
        format!("{DAY}-quayside-2-b.toml"),
        format!("{DAY}-quayside-2.toml"),
    ];
    assert_eq!(desk.names(), names, "the second has a name of its own");
    desk.is_clean();
    let third = desk.run(&blank);
    let said = String::from_utf8_lossy(&third.stdout).into_owned();
    let told = format!("nothing filled in: `osk/demo/jobs/{}`", names[0]);
    assert!(said.contains(&told), "{said}");

    // With the marks taken off and the gaps filled it is a job.
    let filled = uncommented(&desk.read(&names[1]));
    let number = |line: &str| line.contains("_c = ") || line.contains("_w = ");
    let filled: String = filled
        .lines()
        .map(|line| {
            let value = match line.split(" = ").next().unwrap_or_default() {
                "edge_mm" | "pad_mm" => "2.0",
                "imprint_mm" => "1.6",
                "symptoms" => "\"dusty\"",
                "max_error_mm" | "resolution_mm" => "0.01",
                "fan_rpm" => "1200",
                "throttling" | "crashing" => "false",
                "kind" => "\"caliper\"",
                "ended" => "\"well\"",
                "revision" => "\"R1\"",
                "pad" => "\"soft\"",
                "paste" => return "\n".to_owned(),
                _ if number(line) => "50.0",
                _ => "\"words\"",
            };
            line.replace('…', value) + "\n"
        })
        .collect();
    desk.write(&format!("osk/demo/jobs/{}", names[1]), &filled);
    let output = desk.run(&["lint", "--as", "json"]);
    let found = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(!found.contains("\"error\""), "{found}\n{filled}");
    let again = desk.run(&blank);
    let said = String::from_utf8_lossy(&again.stdout).into_owned();
    assert!(said.contains("An earlier skeleton"), "two are left: {said}");
}

/// Takes one mark from each line of a skeleton that has one.
fn uncommented(skeleton: &str) -> String {
    let lines = skeleton.lines();
    let lines = lines.map(|line| line.strip_prefix("# ").unwrap_or(line).to_owned() + "\n");
    lines.collect()
}

#[test]
fn a_skeleton_holds_every_key_and_no_measurement() {
    let desk = Desk::new();
    let limits = "[limits]\ndie_c = 90.0\nsource = \"test\"\n[[body]]";
    desk.write(
        "osk/demo/board.toml",
        &BOARD.replacen("[[body]]", limits, 1),
    );
    let blank = ["intake", "demo", "--blank", "--bench", "x", "--date", DAY];
    assert_eq!(desk.run(&blank).status.code(), Some(0), "written");
    let name = format!("{DAY}-x.toml");
    let skeleton = desk.read(&name);

    let schema = gapbook::record::schema::Kind::Job.schema();
    let tables = schema["$defs"].as_object().expect("definitions");
    let tables = tables.values().chain([&schema]);
    let keys = tables.filter_map(|table| table["properties"].as_object());
    let headings = ["instrument", "before", "reading", "fitted", "after"];
    // The board has a limit of its die alone, and no job: it is not known to have another sensor.
    let absent = ["hotspot_c", "memory_c"];
    for key in keys.flat_map(|keys| keys.keys()) {
        let is_there = skeleton.contains(&format!("{key} = "));
        let is_heading = headings.contains(&&**key);
        let is_wanted = !absent.contains(&&**key) && !is_heading;
        assert_eq!(is_there, is_wanted, "{key} in {skeleton}");
    }

    let bare = uncommented(&skeleton);
    let known = ["schema", "board", "date", "bench", "zone"];
    let keys = bare.lines().filter(|line| !line.starts_with('#'));
    for line in keys {
        let Some((key, value)) = line.split_once(" = ") else {
            continue;
        };
        let is_open = value.starts_with(['…', '[']) && value.contains('…');
        assert_eq!(is_open, !known.contains(&key), "{line}");
    }
    desk.write(&format!("osk/demo/jobs/{name}"), &bare);
    let output = desk.run(&["lint", "osk/demo/jobs"]);
    let found = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(1), "{found}");
    assert!(
        found.contains("`…` stands for a value that nobody has filled in"),
        "{found}"
    );
    assert!(!found.contains("must be quoted"), "{found}");
}

#[test]
fn what_cannot_be_is_refused_kindly() {
    let desk = Desk::new();
    let cases: [(&[&str], &str); 7] = [
        (&["intake", "demo"], "asks its questions on a terminal"),
        (&["intake", "demo", "--blank"], "add `--bench NAME`"),
        (
            &["intake", "demo", "--blank", "--bench", "../x"],
            "is no bench's name",
        ),
        (
            &["intake", "demo", "--date", "2026-02-30"],
            "expected a day alone",
        ),
        (
            &["intake", "demo", "--date", "9999-01-01"],
            "is still to come",
        ),
        (&["intake", "dmeo"], "did you mean `osk-demo`?"),
        (&["intake"], "<BOARD>"),
    ];
    for (arguments, expected) in cases {
        let output = desk.run(arguments);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(said.contains(expected), "{arguments:?}: {said}");
    }
    assert_eq!(desk.names(), [""; 0], "and nothing is written");
}

#[test]
fn a_bare_or_faulty_record_is_asked_about_all_the_same() {
    let outline = "outline_mm = [100.0, 60.0]\n";
    let head = &BOARD[..BOARD.find("[[body]]").expect("a body")];
    let twice = BOARD.replace("id = \"behind\"", "id = \"mem\"");
    for (board, pads) in [(head, 0), (&*twice.replace(outline, ""), 1)] {
        let desk = Desk::new();
        desk.write("osk/demo/board.toml", board);
        let mut talk = desk.talk(&["intake", "demo", "--bench", "x", "--date", DAY]);
        for heading in ["revision", "measured with", "room"] {
            talk.answer(heading, "skip");
        }
        for _ in 0..pads {
            talk.answer("edge, mm", "2.0");
            talk.answer("imprint, mm", "1.6");
            talk.answer("recorded", "skip");
        }
        talk.answer("room", "skip");
        talk.answer("anything", "");
        talk.expect("Written");
        assert_eq!(
            talk.status(),
            0,
            "what is wrong is the board's, not the job's"
        );
    }
}

#[test]
fn a_folder_that_leads_away_and_a_broken_draft_are_refused() {
    let desk = Desk::new();
    let elsewhere = tempfile::tempdir().expect("a folder");
    std::os::unix::fs::symlink(elsewhere.path(), desk.jobs()).expect("linked");
    let blank = ["intake", "demo", "--blank", "--bench", "quayside-2"];
    let output = desk.run(&blank);
    assert!(
        String::from_utf8_lossy(&output.stderr).contains("is a link"),
        "a link"
    );
    std::fs::remove_file(desk.jobs()).expect("removed");

    desk.write("osk/demo/jobs/.2026-03-14-x.draft", "bench = [");
    let mut talk = desk.talk(&["intake", "demo"]);
    talk.expect("is no draft that can be read");
    assert_eq!(talk.status(), 2, "left alone");
    assert_eq!(desk.names(), [".2026-03-14-x.draft"], "and kept");
}
