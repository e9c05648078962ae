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
        ("osk-tern-2400/2026-13-13", "there is no job"),
    ] {
        let output = run(&["prove", job]);
        let said = text(&output.stderr);
        assert_eq!(status(&output), 2, "{job}: {said}");
        assert!(said.contains(wanted), "{job}: {said}");
    }
}
