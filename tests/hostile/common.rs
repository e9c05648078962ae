//! Small books to attack with, and the program run within bounds.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use gapbook::book::Book;
use gapbook::guide::{Compiled, Options, compile};
use gapbook::lint::{Lint, lint};
use gapbook::progress::Silent;
use serde_json::Value;
use tempfile::TempDir;

/// The head of a book.
pub(crate) const BOOK: &str =
    "schema = 1\n[book]\ntitle = \"Test\"\npublisher = \"Bench\"\nlicence = \"CC0-1.0\"\n";

/// The head of a board's record in `osk/demo`.
pub(crate) const HEAD: &str = "schema = 1\n[board]\nid = \"osk-demo\"\nmaker = \"Osk\"\n\
                               model = \"Demo\"\nclass = \"other\"\noutline_mm = [100.0, 60.0]\n";

/// The file of that record.
pub(crate) const DEMO: &str = "osk/demo/board.toml";

/// Most memory that a run may ask for, KiB: 2 GiB.
const MOST_MEMORY_KIB: u32 = 2 << 20;

/// Longest that a run of an unoptimised build may take on a busy machine, s.
const LONGEST_S: u32 = 120;

/// A folder with a book in it, and room beside it for a site.
pub(crate) struct Case {
    root: TempDir,
}

/// How a run ended.
pub(crate) struct Ran {
    pub(crate) status: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl Case {
    /// Makes a book of these files.
    pub(crate) fn new<T: AsRef<[u8]>>(files: &[(&str, T)]) -> Self {
        let root = tempfile::tempdir().expect("a folder");
        let case = Self { root };
        write(&case.book(), "gapbook.toml", BOOK);
        for (name, bytes) in files {
            write(&case.book(), name, bytes);
        }
        case
    }

    /// Makes a book of one board, with these lines below its head.
    pub(crate) fn of_board(more: &str) -> Self {
        Self::new(&[(DEMO, format!("{HEAD}{more}"))])
    }

    /// Returns the folder that holds everything.
    pub(crate) fn root(&self) -> &Path {
        self.root.path()
    }

    pub(crate) fn book(&self) -> PathBuf {
        self.root().join("book")
    }

    pub(crate) fn site(&self) -> PathBuf {
        self.root().join("site")
    }

    /// Runs the program, within bounds, where the book is.
    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        let output = bounded(env!("CARGO_BIN_EXE_gapbook"), arguments)
            .current_dir(self.book())
            .output();
        Ran::of(&output.expect("bash and timeout are there"))
    }

    /// Lints and compiles the book within bounds, and checks that only the site was written and that
    /// nothing in it can run. Returns the rules that were broken, and what compile said.
    pub(crate) fn attack(&self) -> (Vec<String>, Ran) {
        let before = snapshot(self.root());
        let linted = self.run(&["lint", "--as", "json"]);
        let compiled = self.run(&["compile", "--out", "../site"]);
        let mut after = snapshot(self.root());
        after.retain(|path, _| !path.starts_with("site"));
        assert!(before == after, "only the site is written");
        crate::page::check_site(&self.site());
        (rules(&linted), compiled)
    }
}

impl Ran {
    /// Reads how a run ended; whatever a book says, it is one of the three ways the program has.
    pub(crate) fn of(output: &Output) -> Self {
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("UTF-8");
        let (stdout, stderr) = (text(&output.stdout), text(&output.stderr));
        let drives = |text: &str| text.contains(|c: char| c.is_control() && c != '\n');
        assert!(
            !drives(&stdout) && !drives(&stderr),
            "nothing drives the terminal"
        );
        let status = output.status.code().unwrap_or(-1);
        assert!(
            (0..=2).contains(&status),
            "ended with {:?}: {stderr}",
            output.status
        );
        Self {
            status,
            stdout,
            stderr,
        }
    }
}

/// Returns a run of a program that ends at a bound of memory or time.
pub(crate) fn bounded(program: impl AsRef<OsStr>, arguments: &[&str]) -> Command {
    let script =
        format!("ulimit -v {MOST_MEMORY_KIB}; exec timeout --signal KILL {LONGEST_S} \"$@\"");
    let mut command = Command::new("bash");
    command.args(["-c", &script, "bash"]).arg(program);
    command.args(arguments).env("RAYON_NUM_THREADS", "2");
    command
}

/// Returns the rules that a lint's JSON lines name.
pub(crate) fn rules(linted: &Ran) -> Vec<String> {
    let rule = |line: &str| -> String {
        let finding: Value = serde_json::from_str(line).expect("each line is JSON");
        finding["rule"].as_str().expect("a rule").to_owned()
    };
    linted.stdout.lines().map(rule).collect()
}

/// Writes a file and the folders above it.
pub(crate) fn write(root: &Path, name: impl AsRef<Path>, bytes: impl AsRef<[u8]>) {
    let path = root.join(name);
    std::fs::create_dir_all(path.parent().expect("a file is in a folder")).expect("made");
    std::fs::write(path, bytes).expect("written");
}

/// Returns everything below a folder, each file with its bytes; nothing is followed or waited for.
pub(crate) fn snapshot(root: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    walkdir::WalkDir::new(root)
        .min_depth(1)
        .into_iter()
        .map(|entry| entry.expect("readable"))
        .map(|entry| {
            let name = entry.path().strip_prefix(root).expect("below");
            let is_file = entry.file_type().is_file();
            let bytes = is_file.then(|| std::fs::read(entry.path()).expect("readable"));
            (name.to_path_buf(), bytes.unwrap_or_default())
        })
        .collect()
}

/// Loads, lints and compiles a book in this process.
pub(crate) fn compile_here(book: &Path, out: &Path) -> (Lint, Compiled) {
    let book = Book::load(book, &Silent).expect("the folder is there");
    let lint = lint(&book, &Silent);
    let how = Options {
        out,
        templates: None,
    };
    let compiled = compile(&book, &lint, how, &Silent).expect("compiled");
    (lint, compiled)
}
