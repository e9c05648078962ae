use std::cell::LazyCell;
use std::collections::BTreeMap;
use std::ops::Range;

use rayon::prelude::*;

use super::{ALL, Check, Finding, Report, Rule, Severity, StackUp};
use crate::book::{Board, Book};
use crate::evidence::ZoneEvidence;
use crate::progress::Progress;
use crate::source::{FileId, Place, Spot, locate};

/// What the linter found in a book.
#[derive(Debug)]
pub struct Lint {
    /// Every finding, accepted ones included, by file and line.
    pub findings: Vec<Finding>,
}

impl Lint {
    /// Returns the findings that no record accepts.
    pub fn open(&self) -> impl Iterator<Item = &Finding> {
        self.findings
            .iter()
            .filter(|finding| finding.accepted.is_none())
    }

    /// Returns the findings at a file.
    pub fn of_file(&self, file: FileId) -> impl Iterator<Item = &Finding> {
        self.findings
            .iter()
            .filter(move |finding| finding.marks[0].place.file == file)
    }
}

/// Runs every rule over a book, in parallel over its files and boards.
pub fn lint(book: &Book, progress: &dyn Progress) -> Lint {
    let active: Vec<(&'static Rule, Severity)> = ALL
        .iter()
        .filter_map(|&rule| {
            let level = book.rules.get(rule.name).copied();
            Some((rule, rule.severity_at(level)?))
        })
        .collect();
    progress.begin("checking", book.boards.len());

    let of_files = book.files.par_iter().flat_map_iter(|file| {
        run(&active, |check, report| {
            if let Check::File(check) = check {
                check(file, report);
            }
        })
    });
    let of_boards = book.boards.par_iter().flat_map_iter(|board| {
        let evidence = LazyCell::new(|| ZoneEvidence::all(book, board));
        let stacks = LazyCell::new(|| StackUp::all(book, board));
        let findings = run(&active, |check, report| match check {
            Check::Board(check) => check(book, board, report),
            Check::Evidence(check) => check(book, board, &evidence, report),
            Check::Stack(check) => check(board, &stacks, report),
            Check::File(_) | Check::Book(_) | Check::Accept(_) => {}
        });
        progress.step();
        findings
    });
    let of_book = active.par_iter().flat_map_iter(|one| {
        run(std::slice::from_ref(one), |check, report| {
            if let Check::Book(check) = check {
                check(book, report);
            }
        })
    });
    let mut findings: Vec<Finding> = of_files.chain(of_boards).chain(of_book).collect();
    accept(book, &active, &mut findings);
    locate_all(book, &mut findings);
    Lint { findings }
}

fn run(
    active: &[(&'static Rule, Severity)],
    check: impl Fn(Check, &mut Report<'_>),
) -> Vec<Finding> {
    let mut findings = Vec::new();
    for &(rule, severity) in active {
        for &one in rule.checks {
            check(one, &mut Report::new(rule, severity, &mut findings));
        }
    }
    findings
}

/// Marks the findings that their board's record accepts, in it or in another file of its folder, and finds
/// acceptances of nothing.
///
/// An error cannot be accepted: it cannot be true, or would harm.
fn accept(book: &Book, active: &[(&'static Rule, Severity)], findings: &mut Vec<Finding>) {
    let mut by_file: BTreeMap<FileId, Vec<usize>> = BTreeMap::new();
    for (index, finding) in findings.iter().enumerate() {
        for mark in &finding.marks {
            by_file.entry(mark.place.file).or_default().push(index);
        }
    }
    let mut idle = Vec::new();
    for board in book
        .boards
        .iter()
        .filter(|board| !board.record.accept.is_empty())
    {
        let folder = book.files_below(&board.folder);
        let of_board = || by_file.range(folder.clone());
        for accept in board.record.accept.iter().enumerate() {
            let mut used = false;
            for &index in of_board().flat_map(|(_, findings)| findings) {
                let finding = &mut findings[index];
                if finding.rule.name == accept.1.rule
                    && finding.severity != Severity::Error
                    && concerns(finding, board, &folder, &accept.1.at)
                {
                    finding.accepted = Some(accept.1.why.clone());
                    used = true;
                }
            }
            if !used {
                idle.push((board, accept));
            }
        }
    }
    for (board, accept) in idle {
        findings.extend(run(active, |check, report| {
            if let Check::Accept(check) = check {
                check(board, accept, report);
            }
        }));
    }
}

/// Tells whether a finding rests on the thing with this id in a board's record, or in what its folder
/// holds beside the record.
fn concerns(finding: &Finding, board: &Board, folder: &Range<FileId>, id: &str) -> bool {
    let marks = finding.marks.iter().map(|mark| &mark.place);
    let mut places = marks.filter(|place| folder.contains(&place.file));
    places.any(|place| thing_at(board, place) == Some(id))
}

/// Returns the id of what a place in a board's folder is about.
fn thing_at<'a>(board: &'a Board, place: &Place) -> Option<&'a str> {
    match &place.spot {
        Spot::Value(path) | Spot::Key(path) if place.file == board.file => board.id_at(path),
        Spot::Value(path) | Spot::Key(path) => {
            let mut jobs = board.jobs.iter();
            jobs.find(|job| job.file == place.file)
                .map(|job| job.id_at(path))
        }
        Spot::File | Spot::Bytes(..) => (place.file != board.file).then_some("board"),
    }
}

/// Finds every mark's line and column, parsing each file concerned once, and sorts by them.
fn locate_all(book: &Book, findings: &mut [Finding]) {
    let mut by_file: BTreeMap<FileId, Vec<(usize, usize)>> = BTreeMap::new();
    for (index, finding) in findings.iter().enumerate() {
        for (position, mark) in finding.marks.iter().enumerate() {
            by_file
                .entry(mark.place.file)
                .or_default()
                .push((index, position));
        }
    }
    let located: Vec<_> = by_file
        .into_par_iter()
        .map(|(file, marks)| {
            let spots = marks
                .iter()
                .map(|&(index, mark)| &findings[index].marks[mark].place.spot);
            let locations = locate(&book.file(file).text, spots);
            (marks, locations)
        })
        .collect();
    for (marks, locations) in located {
        for ((index, mark), location) in marks.into_iter().zip(locations) {
            findings[index].marks[mark].location = location;
        }
    }
    findings.sort_by(|left, right| sort_key(left).cmp(&sort_key(right)));
}

fn sort_key(finding: &Finding) -> (FileId, usize, usize, &'static str, &str) {
    let mark = &finding.marks[0];
    let location = &mark.location;
    (
        mark.place.file,
        location.line,
        location.column,
        finding.rule.name,
        &finding.message,
    )
}
