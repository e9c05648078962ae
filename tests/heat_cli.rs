//! `gapbook triage` and `gapbook prove` as people run them.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_gapbook"))
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .env_remove("COLUMNS")
        .args(arguments)
        .output()
        .expect("the program runs")
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("the program ends by itself")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

const HEALTHY: &[&str] = &[
    "triage",
    "osk-tern-240",
    "--ambient",
    "24",
    "--heat",
    "238",
    "--die",
    "72",
    "--hotspot",
    "84",
    "--memory",
    "80",
    "--throttling",
    "no",
];

#[test]
fn a_healthy_board_is_left_alone() {
    let output = run(HEALTHY);
    assert_eq!(status(&output), 0, "{}", text(&output.stderr));
    insta::assert_snapshot!(text(&output.stdout));
}

#[test]
fn a_failed_job_says_where_to_look() {
    let output = run(&["prove", "osk-tern-240/2026-03-14-quayside-2"]);
    assert_eq!(status(&output), 1, "{}", text(&output.stderr));
    insta::assert_snapshot!(text(&output.stdout));
}

#[test]
fn answers_are_json_for_programs() {
    let json = |arguments: &[&str]| -> Value {
        let arguments = [arguments, &["--as", "json"]].concat();
        serde_json::from_slice(&run(&arguments).stdout).expect("JSON")
    };
    let triage = json(HEALTHY);
    assert_eq!(triage["verdict"], "leave it", "{triage}");
    assert_eq!(triage["sensors"][0]["margin_k"], 18.0, "{triage}");
    let proof = json(&[
        "prove",
        "boards/osk/tern-240/jobs/2026-03-14-quayside-2.toml",
    ]);
    assert_eq!(proof["verdict"], "worse", "{proof}");
    assert_eq!(
        proof["look"][0]["cause"], "pads hold the cooler off the die",
        "{proof}"
    );
    assert_eq!(
        proof["look"][0]["from"], "the pads this job fitted",
        "{proof}"
    );
}

#[test]
fn a_job_s_readings_are_triaged_and_options_replace_them() {
    let job = ["triage", "osk-tern-240", "--job", "2025-11-08-quayside-2"];
    let opened = run(&job);
    assert_eq!(status(&opened), 1, "at its limit");
    assert!(
        text(&opened.stdout).contains("open it"),
        "{}",
        text(&opened.stdout)
    );
    let calm = run(&[
        &job[..],
        &["--die", "70", "--hotspot", "82", "--throttling", "no"],
    ]
    .concat());
    assert_eq!(status(&calm), 0, "{}", text(&calm.stdout));
}

#[test]
fn a_missing_room_is_asked_for_and_does_no_harm() {
    let output = run(&[
        "triage",
        "osk-tern-240",
        "--heat",
        "238",
        "--die",
        "72",
        "--throttling",
        "no",
    ]);
    assert_eq!(status(&output), 0, "{}", text(&output.stderr));
    assert!(
        text(&output.stdout).contains("the room's temperature"),
        "{}",
        text(&output.stdout)
    );
}

#[test]
fn what_cannot_be_is_answered_kindly() {
    let cases: [(&[&str], &str); 15] = [
        (
            &["--die", "162", "--memory", "180"],
            "write `--die 72 --memory 82`",
        ),
        (&["--die", "162"], "`--die 162` looks like °F"),
        (&["--die", "162"], "write `--die 72`"),
        (&["--ambient", "77"], "write `--ambient 25`"),
        (
            &[
                "--ambient",
                "75",
                "--die",
                "100",
                "--hotspot",
                "104",
                "--memory",
                "99",
            ],
            "write `--ambient 24 --die 38 --hotspot 40 --memory 37`",
        ),
        (
            &["--ambient", "77", "--die", "72"],
            "write `--ambient 25`, which",
        ),
        (&["--die", "161.6F"], "write `--die 72`"),
        (&["--heat", "0"], "a board under load gives off heat"),
        (&["--heat", "-5"], "cannot be"),
        (&["--die", "hot"], "is no number"),
        (&["--die", "nan"], "cannot be"),
        (&["--fan", "1e9"], "between 0 and 30000 1/min"),
        (
            &["--ambient", "24", "--die", "15"],
            "cannot be colder than the room",
        ),
        (
            &["--die", "80", "--hotspot", "70"],
            "cannot be below the die's mean",
        ),
        (
            &["--job", "2025-11-09"],
            "there are `2025-11-08-quayside-2`",
        ),
    ];
    for (more, wanted) in cases {
        let output = run(&[&["triage", "osk-tern-240"], more].concat());
        let said = text(&output.stderr);
        assert_eq!(status(&output), 2, "{more:?}: {said}");
        assert!(said.contains(wanted), "{more:?}: {said}");
    }
    // Who says that it is °C is believed.
    let sure = run(&["triage", "osk-tern-240", "--die", "118", "--celsius"]);
    assert_eq!(status(&sure), 1, "{}", text(&sure.stderr));
}

#[test]
fn a_board_far_over_its_limits_is_answered() {
    let hot = [
        "triage",
        "tern-240",
        "--ambient",
        "24",
        "--heat",
        "238",
        "--die",
        "110",
        "--hotspot",
        "125",
        "--memory",
        "105",
    ];
    // All is warmer alike: while nobody looked at the fan, that is air.
    let output = run(&hot);
    assert_eq!(status(&output), 1, "{}", text(&output.stderr));
    let said = text(&run(&[&hot[..], &["--fan", "1900"]].concat()).stdout);
    assert!(said.contains("open it"), "{said}");
    assert!(said.contains("the die would be at 43 °C"), "{said}");
    let sure = text(&run(&[&hot[..], &["--celsius"]].concat()).stdout);
    assert!(!sure.contains("°F"), "{sure}");
}

#[test]
fn a_job_that_cannot_be_proved_says_why() {
    for (job, wanted) in [
        (
            "marlop-sanderling/2025-12-02-chandlery-2",
            "has no `[after]`",
        ),
        (
            "osk-tern-240/2026-13-13",
            "there are `2025-11-08-quayside-2`",
        ),
        ("osk-tern-2400/2026-13-13", "did you mean `osk-tern-240`"),
        ("2026-13-13", "there is no job `2026-13-13`"),
        ("boards/osk/tern-999", "by `boards/osk/tern-999`"),
        (
            "sennick-futtock",
            "it has no job at all: `gapbook intake sennick-futtock`",
        ),
        ("osk", "means 3 boards"),
    ] {
        let output = run(&["prove", job]);
        let said = text(&output.stderr);
        assert_eq!(status(&output), 2, "{job}: {said}");
        assert!(said.contains(wanted), "{job}: {said}");
    }
}

#[test]
fn a_board_alone_means_its_newest_job() {
    let one = run(&["prove", "osk-tern-240/2026-03-16-quayside-2"]);
    for name in [
        "tern-240/2026-03-16-quayside-2",
        "TRN240-MB R1.2/2026-03-16-quayside-2",
        "boards/osk/tern-240/jobs/2026-03-16-quayside-2.toml",
    ] {
        assert_eq!(run(&["prove", name]), one, "{name}");
    }
    let told = "jobs/2026-03-16-quayside-2.toml, the newest job with temperatures after it";
    for name in ["tern-240", "osk/tern-240", "boards/osk/tern-240/"] {
        let output = run(&["prove", name]);
        let said = text(&output.stdout);
        assert!(said.contains(told), "{name}: {said}");
        assert_eq!(output.status, one.status, "{name}");
    }
    let output = run(&["prove", "tern-240", "--as", "json"]);
    let answer: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(
        answer["job"],
        "osk/tern-240/jobs/2026-03-16-quayside-2.toml"
    );
}

/// A book of these records, by their names.
fn desk(records: &[(&str, &str)]) -> tempfile::TempDir {
    let desk = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = desk.path().join(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, text).expect("written");
    };
    let head = "schema = 1\n[book]\ntitle = \"T\"\npublisher = \"P\"\nlicence = \"CC0-1.0\"\n";
    write("gapbook.toml", head);
    for (name, text) in records {
        write(name, text);
    }
    desk
}

const BOARD: &str = "schema = 1\n[board]\nid = \"osk-demo\"\nmaker = \"Osk\"\nmodel = \"Demo\"\n\
                     class = \"other\"\n";
const JOB: &str = "schema = 1\nboard = \"osk-demo\"\ndate = 2026-03-14\nbench = \"x\"\n";
const AFTER: &str = "[after]\nambient_c = 23.0\nheat_w = 230.0\ndie_c = 70.0\n";

#[test]
fn a_record_with_errors_is_not_said_to_be_absent() {
    let name = "osk/demo/jobs/2026-03-14-x.toml";
    let job_has = "`osk/demo/jobs/2026-03-14-x.toml` cannot be used: it has errors";
    let record_has = "its board's record, `osk/demo/board.toml`, has errors";
    let record = "`osk/demo/board.toml` cannot be used: it has errors";
    let bad_job = desk(&[
        ("osk/demo/board.toml", BOARD),
        (name, "schema = 1\ndate = …\n"),
    ]);
    let bad_board = desk(&[("osk/demo/board.toml", "schema = …\n"), (name, JOB)]);
    for (desk, arguments, told) in [
        (
            &bad_job,
            &["prove", "osk/demo/jobs/2026-03-14-x.toml"][..],
            job_has,
        ),
        (&bad_job, &["prove", "osk-demo/2026-03-14-x"], job_has),
        (&bad_job, &["prove", "demo/2026-03-14-x"], job_has),
        (
            &bad_job,
            &["triage", "demo", "--job", "2026-03-14-x"],
            job_has,
        ),
        (
            &bad_job,
            &["prove", "demo"],
            "1 job record of this board cannot be used",
        ),
        (&bad_board, &["prove", "osk-demo/2026-03-14-x"], record_has),
        (&bad_board, &["prove", "osk-demo/2026-13-13"], record),
        (&bad_board, &["prove", "demo"], record),
        (&bad_board, &["prove", "boards/osk/demo"], record),
        (
            &bad_board,
            &["triage", "osk-demo", "--job", "2026-03-14-x"],
            record,
        ),
    ] {
        let output = run(&[arguments, &["--book", &desk.path().to_string_lossy()]].concat());
        let said = text(&output.stderr);
        assert_eq!(status(&output), 2, "{arguments:?}: {said}");
        assert!(said.contains(told), "{arguments:?}: {said}");
        assert!(said.contains("`gapbook lint`"), "{arguments:?}: {said}");
        assert!(!said.contains("did you mean"), "{arguments:?}: {said}");
    }
}

#[test]
fn a_newest_job_is_one_with_temperatures_and_others_are_told() {
    let done = format!("{JOB}{AFTER}");
    let open = JOB.replace("03-14", "03-20");
    let open_name = "osk/demo/jobs/2026-03-20-x.toml";
    let board = ("osk/demo/board.toml", BOARD);
    let prove = |desk: &tempfile::TempDir| {
        run(&["prove", "demo", "--book", &desk.path().to_string_lossy()])
    };
    let both = desk(&[
        board,
        ("osk/demo/jobs/2026-03-14-x.toml", &done),
        (open_name, &open),
    ]);
    let said = text(&prove(&both).stdout);
    assert!(said.contains("2026-03-14-x.toml, the newest job"), "{said}");

    let broken = desk(&[
        board,
        ("osk/demo/jobs/2026-03-14-x.toml", &done),
        (open_name, "="),
    ]);
    let output = prove(&broken);
    let said = text(&output.stderr);
    assert!(
        said.contains("1 job record of this board cannot be used"),
        "{said}"
    );

    let none = desk(&[board, (open_name, &open)]);
    let said = text(&prove(&none).stderr);
    assert!(
        said.contains("has no job with temperatures after it"),
        "{said}"
    );
    assert!(said.contains("there are `2026-03-20-x`; write"), "{said}");
}

#[test]
fn a_job_s_name_that_two_boards_have_is_asked_about() {
    let twin = |text: &str| text.replace("osk-demo", "osk-twin");
    let desk = desk(&[
        ("osk/demo/board.toml", BOARD),
        ("osk/demo/jobs/2026-03-14-x.toml", JOB),
        ("osk/twin/board.toml", &twin(BOARD)),
        ("osk/twin/jobs/2026-03-14-x.toml", &twin(JOB)),
    ]);
    let book = desk.path().to_string_lossy();
    let said = text(&run(&["prove", "2026-03-14-x", "--book", &book]).stderr);
    let told = "name one of `osk/demo/jobs/2026-03-14-x.toml`, `osk/twin/jobs/2026-03-14-x.toml`";
    assert!(said.contains("means 2 jobs"), "{said}");
    assert!(said.contains(told), "{said}");
}
