//! How long a book of 1,000 and of 10,000 boards takes to lint and to compile, and how much memory,
//! beside the bare typed parse of the same files and beside writing the same bytes.
//!
//! `cargo bench --bench book` runs all; `-- 1000` a size of your own. Each measurement is a process
//! of its own, so that its peak memory is its own; the figure is the best of three.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]
#![expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "round figures"
)]

mod common;

use std::path::{Path, PathBuf};
use std::process::Command;

use gapbook::book::Book;
use gapbook::guide::{Options, compile};
use gapbook::lint::lint;
use gapbook::progress::Silent;
use gapbook::record;
use rayon::prelude::*;

/// Runs of each measurement; the best counts.
const RUNS: usize = 3;

fn main() {
    let arguments: Vec<String> = std::env::args()
        .skip(1)
        .filter(|one| one != "--bench")
        .collect();
    if let [task, book, out] = &arguments[..] {
        return measure(task, Path::new(book), Path::new(out));
    }
    let sizes: Vec<usize> = arguments
        .iter()
        .filter_map(|one| one.parse().ok())
        .collect();
    let sizes = if sizes.is_empty() {
        vec![1_000, 10_000]
    } else {
        sizes
    };
    println!(
        "{:>7} {:>8} {:>9} {:>9} {:>13}",
        "boards", "task", "seconds", "peak MB", "ratio"
    );
    for boards in sizes {
        report(boards);
    }
}

fn report(boards: usize) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("book");
    common::write_book(&book, boards);
    let site = folder.path().join("site");
    let copy = folder.path().join("copy");
    let run = |task: &str, out: &Path| (0..RUNS).map(|_| child(task, &book, out)).min_by(faster);
    let parse = run("parse", &site).expect("runs");
    let lint = run("lint", &site).expect("runs");
    let compile = run("compile", &site).expect("runs");
    let write = run("write", &copy_of(&site, &copy)).expect("runs");
    let against = |(seconds, _): (f64, f64), other: f64| seconds / other;
    for (task, figures, ratio) in [
        ("parse", parse, String::new()),
        (
            "lint",
            lint,
            format!("{:.2} x parse", against(lint, parse.0)),
        ),
        ("write", write, String::new()),
        (
            "compile",
            compile,
            format!("{:.2} x l+w", against(compile, lint.0 + write.0)),
        ),
    ] {
        println!(
            "{boards:>7} {task:>8} {:>9.3} {:>9.1} {ratio:>13}",
            figures.0, figures.1
        );
    }
    let files = walkdir::WalkDir::new(&book)
        .into_iter()
        .filter_map(Result::ok);
    let bytes: u64 = files
        .filter_map(|entry| entry.metadata().ok())
        .map(|file| file.len())
        .sum();
    println!(
        "{boards:>7}  records of {} bytes a board; {:.1} KB of memory a board to lint, {:.1} to compile",
        bytes / boards as u64,
        lint.1 * 1024.0 / boards as f64,
        compile.1 * 1024.0 / boards as f64,
    );
}

/// The folder that `write` reads the site's bytes from, with the folder it writes them to.
fn copy_of(site: &Path, copy: &Path) -> PathBuf {
    let both = format!("{}:{}", site.display(), copy.display());
    PathBuf::from(both)
}

fn faster(left: &(f64, f64), right: &(f64, f64)) -> std::cmp::Ordering {
    left.0.total_cmp(&right.0)
}

/// Runs one measurement in a process of its own: seconds, and peak memory in MB.
fn child(task: &str, book: &Path, out: &Path) -> (f64, f64) {
    if task == "compile" {
        // A first compile: everything is new.
        std::fs::remove_dir_all(out).unwrap_or_default();
    }
    let program = std::env::current_exe().expect("this program");
    let output = Command::new(program)
        .arg(task)
        .arg(book)
        .arg(out)
        .output()
        .expect("runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let text = String::from_utf8(output.stdout).expect("figures");
    let mut figures = text
        .split_whitespace()
        .map(|one| one.parse::<f64>().expect("a figure"));
    (
        figures.next().expect("seconds"),
        figures.next().expect("megabytes"),
    )
}

#[expect(clippy::disallowed_methods, reason = "a benchmark measures time")]
fn measure(task: &str, book: &Path, out: &Path) {
    let bytes = (task == "write").then(|| load_site(out));
    let start = std::time::Instant::now();
    match (task, &bytes) {
        ("parse", _) => parse(book),
        ("lint", _) => {
            let book = Book::load(book, &Silent).expect("loads");
            let found = lint(&book, &Silent);
            let first = found.open().next();
            assert!(first.is_none(), "generated books are clean: {first:?}");
        }
        ("compile", _) => {
            let book = Book::load(book, &Silent).expect("loads");
            let found = lint(&book, &Silent);
            compile(
                &book,
                &found,
                Options {
                    out,
                    templates: None,
                },
                &Silent,
            )
            .expect("compiles");
        }
        (_, Some((copy, files))) => write(copy, files),
        _ => {}
    }
    println!("{} {}", start.elapsed().as_secs_f64(), peak_mb());
}

/// The bare typed parse: every record read and deserialised, in parallel, nothing more.
fn parse(book: &Path) {
    let files: Vec<PathBuf> = walkdir::WalkDir::new(book)
        .into_iter()
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_file())
        .map(walkdir::DirEntry::into_path)
        .collect();
    files.par_iter().for_each(|path| {
        let text = std::fs::read_to_string(path).expect("readable");
        if path.ends_with("board.toml") {
            let record: record::Board = toml::from_str(&text).expect("a board");
            std::hint::black_box(record);
        } else if path.parent().is_some_and(|folder| folder.ends_with("jobs")) {
            let record: record::Job = toml::from_str(&text).expect("a job");
            std::hint::black_box(record);
        }
    });
}

type Files = Vec<(PathBuf, Vec<u8>)>;

fn load_site(both: &Path) -> (PathBuf, Files) {
    let both = both.to_string_lossy();
    let (site, copy) = both.split_once(':').expect("two folders");
    let files = walkdir::WalkDir::new(site)
        .into_iter()
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| {
            let name = entry
                .path()
                .strip_prefix(site)
                .expect("below")
                .to_path_buf();
            (name, std::fs::read(entry.path()).expect("readable"))
        })
        .collect();
    std::fs::remove_dir_all(copy).unwrap_or_default();
    (PathBuf::from(copy), files)
}

/// Writes the same bytes as plainly as can be, in parallel.
fn write(copy: &Path, files: &Files) {
    files.par_iter().for_each(|(name, bytes)| {
        let path = copy.join(name);
        std::fs::create_dir_all(path.parent().expect("in a folder")).expect("made");
        std::fs::write(path, bytes).expect("written");
    });
}

/// Returns this process's peak memory, MB, as Linux counts it.
fn peak_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes: f64 = line
        .and_then(|line| line.split_whitespace().next()?.parse().ok())
        .unwrap_or(f64::NAN);
    kilobytes / 1024.0
}
