//! Files that cannot be read or written, and a compile that is stopped half-way.

use std::fs::{self, Permissions};
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::common::{Case, DEMO, HEAD, Ran, bounded, rules, snapshot, write};

/// The user that owns nothing, whom root becomes to be bound by permissions.
const NOBODY: &str = "65534";

/// Returns a book of so many boards.
fn with_boards(count: usize) -> Case {
    let case = Case::new::<&str>(&[]);
    for number in 0..count {
        let id = format!("osk-b{number}");
        let record = HEAD.replace("osk-demo", &id);
        write(&case.book(), format!("osk/b{number}/board.toml"), record);
    }
    case
}

/// Changes what every page says.
fn retitle(case: &Case) {
    let head = crate::common::BOOK.replace("Test", "Another");
    write(&case.book(), "gapbook.toml", head);
}

/// Returns the site that a book gives when nothing disturbs.
fn undisturbed(case: &Case) -> std::collections::BTreeMap<PathBuf, Vec<u8>> {
    let fresh = tempfile::tempdir().expect("a folder");
    crate::common::compile_here(&case.book(), fresh.path());
    snapshot(fresh.path())
}

/// Checks that every file of a site is one of before or one of after, whole.
fn is_whole(site: &Path, before: &Path, case: &Case) {
    let (before, after) = (snapshot(before), undisturbed(case));
    for (name, bytes) in snapshot(site) {
        let is_known = [&before, &after]
            .iter()
            .any(|known| known.get(&name) == Some(&bytes));
        let is_list = name == Path::new(gapbook::guide::MANIFEST);
        assert!(is_known || is_list, "{} is whole", name.display());
    }
    for name in before.keys() {
        assert!(
            site.join(name).exists(),
            "{} is still there",
            name.display()
        );
    }
}

fn copy_of(site: &Path, to: PathBuf) -> PathBuf {
    for (name, bytes) in snapshot(site) {
        if site.join(&name).is_file() {
            write(&to, name, bytes);
        }
    }
    to
}

/// The same refusal by the system, without a disk of its own: no file may grow beyond a few blocks.
#[test]
fn a_full_disk_leaves_the_earlier_site_whole() {
    let case = with_boards(3);
    assert_eq!(
        case.run(&["compile", "--out", "../site"]).status,
        0,
        "room enough"
    );
    let earlier = copy_of(&case.site(), case.root().join("earlier"));
    retitle(&case);
    let script = "trap '' XFSZ; ulimit -f 3; exec \"$@\"";
    let output = Command::new("bash")
        .args([
            "-c",
            script,
            "bash",
            env!("CARGO_BIN_EXE_gapbook"),
            "compile",
            "--out",
            "../site",
        ])
        .current_dir(case.book())
        .output();
    let ran = Ran::of(&output.expect("runs"));
    assert_eq!(ran.status, 2, "{}", ran.stderr);
    assert!(
        ran.stderr.contains("error: could not write `../site/"),
        "{}",
        ran.stderr
    );
    is_whole(&case.site(), &earlier, &case);
    assert_eq!(
        case.run(&["compile", "--out", "../site"]).status,
        0,
        "room again"
    );
    assert!(
        snapshot(&case.site()) == undisturbed(&case),
        "as if nothing had been"
    );
}

#[test]
fn an_output_that_cannot_be_written_is_a_failure() {
    let output = Command::new("bash")
        .args([
            "-c",
            "exec \"$0\" rules > /dev/full",
            env!("CARGO_BIN_EXE_gapbook"),
        ])
        .output();
    let ran = Ran::of(&output.expect("runs"));
    assert_eq!(ran.status, 2, "{}", ran.stderr);
    assert!(
        ran.stderr.contains("could not write the output"),
        "{}",
        ran.stderr
    );
}

#[test]
fn a_compile_that_is_stopped_is_taken_up_again() {
    let case = with_boards(40);
    let mut child = Command::new(env!("CARGO_BIN_EXE_gapbook"))
        .args(["compile", "--out", "../site"])
        .current_dir(case.book())
        .stdout(Stdio::null())
        .spawn()
        .expect("runs");
    // Stopped as soon as it has begun with the boards.
    while !case.site().join("boards").exists() && child.try_wait().expect("asked").is_none() {
        std::thread::yield_now();
    }
    child.kill().expect("stopped");
    child.wait().expect("ended");
    let half = snapshot(&case.site()).len();

    fs::remove_dir_all(case.book().join("osk/b0")).expect("removed");
    let ran = case.run(&["compile", "--out", "../site"]);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    let (whole, clean) = (snapshot(&case.site()), undisturbed(&case));
    assert!(half < clean.len(), "stopped half-way: {half} files");
    assert!(whole == clean, "byte for byte, and nothing is left over");
}

/// A copy of the program that everybody may run, where permissions bind: root becomes nobody.
struct Unprivileged {
    program: PathBuf,
    is_root: bool,
}

impl Unprivileged {
    fn new(case: &Case) -> Self {
        let program = case.root().join("gapbook");
        fs::copy(env!("CARGO_BIN_EXE_gapbook"), &program).expect("copied");
        fs::set_permissions(case.root(), Permissions::from_mode(0o777)).expect("set");
        let is_root = fs::metadata("/proc/self").is_ok_and(|process| process.uid() == 0);
        Self { program, is_root }
    }

    fn run(&self, case: &Case, arguments: &[&str]) -> Ran {
        let program = self.program.to_str().expect("plain");
        let nobody = [
            "--reuid",
            NOBODY,
            "--regid",
            NOBODY,
            "--clear-groups",
            program,
        ];
        let mut command = if self.is_root {
            bounded("setpriv", &[&nobody, arguments].concat())
        } else {
            bounded(program, arguments)
        };
        Ran::of(&command.current_dir(case.book()).output().expect("runs"))
    }
}

#[test]
fn a_file_that_may_not_be_read_is_told() {
    let case = Case::new(&[(DEMO, HEAD)]);
    let user = Unprivileged::new(&case);
    let other = HEAD.replace("osk-demo", "osk-other");
    write(&case.book(), "osk/other/board.toml", other);
    write(
        &case.book(),
        "osk/demo/jobs/2026-01-01-a.toml",
        "schema = 1\n",
    );
    write(&case.book(), "closed/demo/board.toml", HEAD);
    for name in [
        "osk/other/board.toml",
        "osk/demo/jobs/2026-01-01-a.toml",
        "closed",
    ] {
        fs::set_permissions(case.book().join(name), Permissions::from_mode(0o000)).expect("set");
    }
    let linted = user.run(&case, &["lint", "--as", "json"]);
    let compiled = user.run(&case, &["compile", "--out", "../site"]);
    fs::set_permissions(case.book().join("closed"), Permissions::from_mode(0o755)).expect("set");
    let told = rules(&linted);
    let told = told
        .iter()
        .filter(|rule| *rule == "unreadable-file")
        .count();
    assert_eq!(told, 3, "{}", linted.stdout);
    assert!(compiled.stdout.contains("1 board,"), "{}", compiled.stdout);
    assert!(
        compiled.stdout.contains("withheld: osk/other/board.toml: "),
        "{}",
        compiled.stdout
    );
}

#[test]
fn a_site_that_becomes_read_only_stays_as_it_is() {
    let case = with_boards(2);
    let user = Unprivileged::new(&case);
    assert_eq!(
        user.run(&case, &["compile", "--out", "../site"]).status,
        0,
        "made"
    );
    let before = snapshot(&case.site());
    let close = |mode| {
        let folders = before.keys().map(|name| case.site().join(name));
        let folders = folders.filter(|path| path.is_dir()).chain([case.site()]);
        let folders: Vec<PathBuf> = folders.collect();
        for folder in folders {
            fs::set_permissions(folder, Permissions::from_mode(mode)).expect("set");
        }
    };
    close(0o555);
    let same = user.run(&case, &["compile", "--out", "../site"]);
    retitle(&case);
    let changed = user.run(&case, &["compile", "--out", "../site"]);
    let after = snapshot(&case.site());
    close(0o755);
    assert_eq!(same.status, 0, "nothing is to be written: {}", same.stderr);
    assert_eq!(changed.status, 2, "{}", changed.stdout);
    assert!(
        changed.stderr.contains("could not write `../site/"),
        "{}",
        changed.stderr
    );
    assert!(before == after, "byte for byte");
    assert_eq!(
        user.run(&case, &["compile", "--out", "../site"]).status,
        0,
        "open again"
    );
    assert!(
        snapshot(&case.site()) == undisturbed(&case),
        "as if nothing had been"
    );
}

#[test]
fn a_site_cannot_be_written_over_something_else() {
    let case = Case::new(&[(DEMO, HEAD)]);
    for out in [".", "osk", "gapbook.toml", "/dev/null", "/proc/self"] {
        let ran = case.run(&["compile", "--out", out]);
        assert_eq!(ran.status, 2, "{out}: {}", ran.stdout);
        assert!(ran.stderr.contains("error: "), "{out}: {}", ran.stderr);
    }
    let book: Vec<PathBuf> = snapshot(&case.book()).into_keys().collect();
    assert_eq!(book.len(), 4, "the book is as it was: {book:?}");
}
