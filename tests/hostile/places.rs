//! Things that stand where a file should, and names that lead elsewhere.

use std::ffi::OsStr;
use std::os::unix::ffi::OsStrExt as _;
use std::os::unix::fs::symlink;
use std::os::unix::net::UnixListener;
use std::process::Command;

use crate::common::{BOOK, Case, HEAD, Ran, bounded, rules, write};

/// What stands outside the book, and must not be found in a site.
const SECRET: &str = "e7b1-not-yours";

/// Returns a book with a good board beside which something is wrong.
fn with_good_board() -> Case {
    Case::new(&[("osk/demo/board.toml", HEAD)])
}

/// Checks that a rule names the fault, and that the good board has its guide nevertheless.
fn is_told(case: &Case, rule: &str, times: usize) {
    let (found, compiled) = case.attack();
    let told = found.iter().filter(|found| *found == rule).count();
    assert_eq!(told, times, "{rule}: {found:?}");
    assert!(compiled.stdout.contains("1 board,"), "{}", compiled.stdout);
    for (name, bytes) in crate::common::snapshot(&case.site()) {
        let text = String::from_utf8_lossy(&bytes);
        assert!(!text.contains(SECRET), "{} tells", name.display());
    }
}

#[test]
fn links_are_told_and_not_followed() {
    let case = with_good_board();
    let outside = case.root().join("outside");
    let record = HEAD.replace("Demo", SECRET);
    write(
        &outside,
        "demo/board.toml",
        record.replace("osk-demo", "far-demo"),
    );
    write(&outside, "pads.toml", format!("schema = 1\n# {SECRET}\n"));
    let book = case.book();
    for folder in [
        "osk/loop",
        "osk/far",
        "stock",
        "osk/demo/jobs",
        "osk/demo/photos",
    ] {
        std::fs::create_dir_all(book.join(folder)).expect("made");
    }
    let links = [
        ("../loop", "osk/loop/loop"),
        ("itself", "osk/itself"),
        ("../..", "osk/demo/jobs/up"),
        ("../../outside/demo/board.toml", "osk/far/board.toml"),
        ("../../outside/pads.toml", "stock/pads.toml"),
        ("../outside", "far"),
        ("/dev/zero", "osk/demo/jobs/2026-01-01-a.toml"),
        ("/proc/self/environ", "osk/demo/photos/a.png"),
        ("nowhere", "osk/demo/jobs/2026-01-02-a.toml"),
    ];
    for (target, name) in links {
        symlink(target, book.join(name)).expect("linked");
    }
    is_told(&case, "linked-file", links.len());
}

#[test]
fn what_is_no_plain_file_is_told_and_not_waited_for() {
    let case = with_good_board();
    let book = case.book();
    for folder in [
        "osk/demo/jobs",
        "osk/socket",
        "osk/folder/board.toml",
        "osk/null",
        "stock/pads.toml",
    ] {
        std::fs::create_dir_all(book.join(folder)).expect("made");
    }
    let pipe = book.join("osk/demo/jobs/2026-01-01-a.toml");
    let made = Command::new("mkfifo")
        .arg(&pipe)
        .status()
        .expect("mkfifo is there");
    assert!(made.success(), "a pipe");
    let socket = UnixListener::bind(book.join("osk/socket/board.toml")).expect("a socket");
    // A device can be made by root alone; without it the others are told.
    let device = Command::new("mknod")
        .arg(book.join("osk/null/board.toml"))
        .args(["c", "1", "5"])
        .output();
    let device = usize::from(device.is_ok_and(|made| made.status.success()));
    is_told(&case, "unreadable-file", 4 + device);
    drop(socket);
}

#[test]
fn a_pipe_among_the_photos_or_templates_is_not_waited_for() {
    let photo = "[[photo]]\nfile = \"a.png\"\ntext = \"x\"\n";
    let case = Case::of_board(photo);
    for (folder, name) in [
        ("book/osk/demo/photos", "a.png"),
        ("templates", "index.html"),
    ] {
        let folder = case.root().join(folder);
        std::fs::create_dir_all(&folder).expect("made");
        let made = Command::new("mkfifo").arg(folder.join(name)).status();
        assert!(made.expect("mkfifo is there").success(), "a pipe");
    }
    let (found, compiled) = case.attack();
    assert!(found.contains(&"unusable-photo".to_owned()), "{found:?}");
    assert!(
        compiled.stdout.contains("not shown: osk/demo/photos/a.png"),
        "{}",
        compiled.stdout
    );
    let ran = case.run(&[
        "compile",
        "--out",
        "../other",
        "--templates",
        "../templates",
    ]);
    assert_eq!(ran.status, 2, "a template is a file");
    assert!(
        ran.stderr.contains("../templates/index.html"),
        "{}",
        ran.stderr
    );
}

#[test]
fn names_that_some_systems_take_for_one_are_told() {
    let case = with_good_board();
    write(&case.book(), "osk/Demo/board.toml", HEAD);
    write(&case.book(), "OSK/demo/board.toml", HEAD);
    let (found, compiled) = case.attack();
    let told = found
        .iter()
        .filter(|rule| *rule == "names-differ-in-case")
        .count();
    assert!(told >= 2, "{found:?}");
    assert_eq!(
        compiled.status, 1,
        "those in the wrong folder have no guide"
    );
    assert!(
        compiled.stdout.contains("withheld: osk/Demo/board.toml: "),
        "{}",
        compiled.stdout
    );
}

#[test]
fn a_name_that_is_not_utf_8_is_told_and_does_no_harm() {
    let case = with_good_board();
    let raw = |bytes: &'static [u8]| OsStr::from_bytes(bytes);
    let book = case.book();
    write(
        &book.join("osk/demo/jobs"),
        raw(b"caf\xe9.toml"),
        "schema = 1\n",
    );
    write(&book.join("osk").join(raw(b"\xff\xfe")), "board.toml", HEAD);
    write(&book, raw(b"\xc3\x28"), "stray");
    let (found, compiled) = case.attack();
    let told = found
        .iter()
        .filter(|rule| *rule == "unreadable-file")
        .count();
    assert!(told >= 3, "{found:?}");
    assert!(compiled.stdout.contains("1 board,"), "{}", compiled.stdout);

    let mut command = bounded(env!("CARGO_BIN_EXE_gapbook"), &["compile", "--out"]);
    let output = command
        .arg(raw(b"../s\xef\xbf"))
        .current_dir(&book)
        .output();
    assert!(
        Ran::of(&output.expect("runs")).status < 2,
        "nor is the site's name"
    );
}

#[test]
fn hostile_names_of_files_drive_nothing() {
    let names = [
        "<img src=x onerror=window.__pwned=1>",
        "\"><svg onload=window.__pwned=1>",
        "a\nerror: b",
        "a\u{1b}[2J\u{202e}",
        "{{ 7*7 }}",
        "C:\\Windows",
        "..\\up",
        "con",
        "%2e%2e",
        "...",
    ];
    let case = with_good_board();
    for name in names {
        write(&case.book(), format!("osk/{name}/board.toml"), HEAD);
        write(&case.book(), format!("{name}/x/board.toml"), HEAD);
        write(&case.book(), format!("osk/demo/photos/{name}.png"), "");
    }
    let (found, compiled) = case.attack();
    let refused = found.iter().filter(|rule| *rule == "id-not-folder").count();
    // Two begin with a dot: those are hidden files, which a book passes over.
    assert_eq!(refused, 2 * (names.len() - 2), "{found:?}");
    assert_eq!(compiled.status, 1, "{}", compiled.stderr);
    let index = std::fs::read_to_string(case.site().join("index.html")).expect("there");
    assert!(index.contains("{{ 7*7 }}"), "told as it is");
    case.run(&["lint"]);
    case.run(&["find"]);
}

#[test]
fn an_empty_folder_is_explained() {
    let case = with_good_board();
    let empty = case.root().join("empty");
    std::fs::create_dir(&empty).expect("made");
    for arguments in [&["lint"][..], &["compile"], &["find"]] {
        let output = bounded(env!("CARGO_BIN_EXE_gapbook"), arguments)
            .current_dir(&empty)
            .output();
        let ran = Ran::of(&output.expect("runs"));
        assert_eq!(ran.status, 2, "there is no book");
        assert!(ran.stderr.contains("help: "), "{}", ran.stderr);
    }
    write(&empty, "gapbook.toml", BOOK);
    let output = bounded(env!("CARGO_BIN_EXE_gapbook"), &["compile"])
        .current_dir(&empty)
        .output();
    let ran = Ran::of(&output.expect("runs"));
    assert_eq!(ran.status, 2, "there is no board");
    assert!(!empty.join("site").exists(), "and no site");
    write(&empty, "gapbook.toml", "");
    write(&empty, "osk/demo/board.toml", "");
    let output = bounded(env!("CARGO_BIN_EXE_gapbook"), &["lint", "--as", "json"])
        .current_dir(&empty)
        .output();
    let found = rules(&Ran::of(&output.expect("runs")));
    assert!(
        found.contains(&"missing-key".to_owned()),
        "empty files: {found:?}"
    );
}
