//! The site: a drawing set for each board, an index, the rules, and the same facts as JSON.

mod bundle;
mod cautions;
mod facts;
mod fit;
mod form;
mod heat;
mod index;
mod maps;
mod others;
mod photo;
mod plots;
mod rules;
mod screws;
mod sheet;
mod site;
mod small;
mod templates;
mod views;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use rayon::prelude::*;
use serde::Serialize;

pub use bundle::{BoardBundle, IndexBundle, IndexEntry};
pub use facts::{
    Act, BoardFacts, BodyFacts, ConnectorFacts, CuttingFacts, FindingFacts, HeatFacts, HeightFrom,
    JobFacts, Move, NoteFacts, OrderFacts, PartFacts, PhotoFacts, SensorFacts, Tightening,
    TrayFacts, WrongPad, ZoneFacts,
};
pub use site::{MANIFEST, Tally};

use crate::book::{Board, Book, Job, Role};
use crate::lint::{Finding, Lint, Severity};
use crate::progress::Progress;
use crate::record::schema;
use crate::source::FileId;
use crate::stack::{Fit, Trial};
use crate::{Failure, markdown};
use site::Site;
use templates::Templates;

/// How to compile a book.
#[derive(Clone, Copy, Debug)]
pub struct Options<'a> {
    /// The folder the site is written into.
    pub out: &'a Path,
    /// A folder of templates that replace the built-in ones of the same name.
    pub templates: Option<&'a Path>,
}

/// What a compile did.
#[derive(Debug)]
pub struct Compiled {
    /// Boards that have a guide.
    pub boards: usize,
    /// Boards that have none, and why.
    pub withheld: Vec<Withheld>,
    /// Pictures that are not shown, and why.
    pub unshown: Vec<Withheld>,
    /// What happened to the folder.
    pub tally: Tally,
}

/// Something of the book that is not in the site: a board whose record says what cannot be true, or a
/// picture that cannot be decoded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Withheld {
    /// The record's or the picture's file.
    pub file: String,
    /// Why: of a record, its first error.
    pub why: String,
}

/// What every page says about the book.
#[derive(Debug, Serialize)]
struct BookFacts {
    title: String,
    publisher: String,
    licence: String,
    about_html: Option<String>,
}

/// Writes the site of a book: a guide for every board whose record holds no error.
///
/// # Errors
/// When the folder cannot be written, or a template not be rendered.
pub fn compile(
    book: &Book,
    lint: &Lint,
    options: Options<'_>,
    progress: &dyn Progress,
) -> Result<Compiled, Failure> {
    let templates = Templates::load(options.templates)?;
    let site = Site::open(options.out)?;
    let about = book_facts(book);
    let findings = by_file(lint);
    let has_error = |file: FileId| first_error(&findings, file).is_some();
    let (good, bad): (Vec<&Board>, Vec<&Board>) =
        book.boards.iter().partition(|board| !has_error(board.file));

    progress.begin("writing", good.len());
    let written: Vec<(IndexEntry, Vec<Withheld>)> = good
        .par_iter()
        .map(|&board| {
            let mut told = gather(book, &findings, board);
            let (shown, unshown) = photo::write(&site, book, board)?;
            let photos = &mut told.facts.photos;
            photos.retain(|photo| shown.contains(&photo.file));
            write_board(&site, &templates, (book, &about), &told)?;
            progress.step();
            Ok((IndexEntry::of(&told.facts), unshown))
        })
        .collect::<Result<_, Failure>>()?;
    let (mut entries, unshown): (Vec<_>, Vec<_>) = written.into_iter().unzip();
    entries.sort_by(|left, right| (&left.name, &left.id).cmp(&(&right.name, &right.id)));
    let withheld = withheld(book, &findings, &bad);
    write_common(&site, &templates, &about, (&entries, &withheld))?;
    Ok(Compiled {
        boards: entries.len(),
        withheld,
        unshown: unshown.concat(),
        tally: site.finish()?,
    })
}

/// Writes what belongs to no single board: index, rules, key, what pages are made with, and data.
fn write_common(
    site: &Site,
    templates: &Templates,
    about: &BookFacts,
    (entries, withheld): (&[IndexEntry], &[Withheld]),
) -> Result<(), Failure> {
    let mut pages = index::render(templates, about, entries, withheld)?;
    pages.extend(rules::render(templates, about)?);
    pages.push(("key.html".to_owned(), key(templates, about)?));
    for (name, page) in pages {
        site.write(&name, page.as_bytes())?;
    }
    for (name, bytes) in templates.assets() {
        site.write(&format!("assets/{name}"), bytes)?;
    }
    site.write("assets/boards.js", &index::search(entries)?)?;
    let index = bundle::bytes(&bundle::of_index(about, entries));
    site.write("data/index.json", &index)?;
    let of_board = bundle::bytes(&schema::of_json::<BoardBundle<'_>>());
    site.write("data/board.schema.json", &of_board)?;
    let of_index = bundle::bytes(&schema::of_json::<IndexBundle<'_>>());
    site.write("data/index.schema.json", &of_index)
}

/// Returns a board's facts, its record and its jobs as one line of JSON: its file in the bundle.
pub fn board_json(book: &Book, lint: &Lint, board: &Board) -> String {
    let told = gather(book, &by_file(lint), board);
    let bundle = bundle::of_board(&told.facts, &board.record, &told.jobs);
    String::from_utf8(bundle::bytes(&bundle)).expect("invariant: JSON is UTF-8")
}

/// A board, and all that its guide is made from.
struct Told<'a> {
    fit: Fit<'a>,
    jobs: Vec<&'a Job>,
    facts: BoardFacts,
}

/// Gathers a board's facts from its record and from the jobs that hold no error.
fn gather<'a>(
    book: &'a Book,
    findings: &BTreeMap<FileId, Vec<&Finding>>,
    board: &'a Board,
) -> Told<'a> {
    let is_good = |job: &&Job| first_error(findings, job.file).is_none();
    let jobs: Vec<&Job> = board.jobs.iter().filter(is_good).collect();
    let of_board: Vec<&Finding> = std::iter::once(board.file)
        .chain(board.jobs.iter().map(|job| job.file))
        .flat_map(|file| findings.get(&file).into_iter().flatten().copied())
        .collect();
    let fit = Fit::of(book, board, &Trial::default());
    let facts = BoardFacts::gather(book, &fit, &jobs, &of_board);
    Told { fit, jobs, facts }
}

fn write_board(
    site: &Site,
    templates: &Templates,
    (book, about): (&Book, &BookFacts),
    Told { fit, jobs, facts }: &Told<'_>,
) -> Result<(), Failure> {
    let board = fit.board;
    let folder = format!("boards/{}", board.id());
    for (name, text) in sheet::render(templates, (book, about), fit, facts)? {
        site.write(&format!("{folder}/{name}"), text.as_bytes())?;
    }
    let bundle = bundle::of_board(facts, &board.record, jobs);
    site.write(
        &format!("data/boards/{}.json", board.id()),
        &bundle::bytes(&bundle),
    )?;
    Ok(())
}

fn book_facts(book: &Book) -> BookFacts {
    let unknown = || "not known".to_owned();
    match &book.head {
        Some(head) => BookFacts {
            title: head.title.clone(),
            publisher: head.publisher.clone(),
            licence: head.licence.clone(),
            about_html: head.about.as_deref().map(markdown::html),
        },
        None => BookFacts {
            title: "A book of boards".to_owned(),
            publisher: unknown(),
            licence: unknown(),
            about_html: None,
        },
    }
}

fn by_file(lint: &Lint) -> BTreeMap<FileId, Vec<&Finding>> {
    let mut findings: BTreeMap<FileId, Vec<&Finding>> = BTreeMap::new();
    for finding in &lint.findings {
        findings
            .entry(finding.marks[0].place.file)
            .or_default()
            .push(finding);
    }
    findings
}

fn first_error<'a>(
    findings: &BTreeMap<FileId, Vec<&'a Finding>>,
    file: FileId,
) -> Option<&'a Finding> {
    let of_file = findings.get(&file)?;
    of_file
        .iter()
        .copied()
        .find(|finding| finding.severity == Severity::Error)
}

/// Returns the boards without a guide: those with an error, and those that could not be read.
fn withheld(
    book: &Book,
    findings: &BTreeMap<FileId, Vec<&Finding>>,
    bad: &[&Board],
) -> Vec<Withheld> {
    let read: BTreeSet<FileId> = book.boards.iter().map(|board| board.file).collect();
    let unread = book
        .files
        .iter()
        .filter(|file| file.role == Role::Record(schema::Kind::Board) && !read.contains(&file.id));
    let files = bad
        .iter()
        .map(|board| board.file)
        .chain(unread.map(|file| file.id));
    let mut withheld: Vec<Withheld> = files
        .map(|file| Withheld {
            file: book.file(file).name.clone(),
            why: first_error(findings, file)
                .map_or_else(String::new, |error| error.message.clone()),
        })
        .collect();
    withheld.sort_by(|left, right| left.file.cmp(&right.file));
    withheld
}

/// Renders the page that explains how to read the drawings.
fn key(templates: &Templates, book: &BookFacts) -> Result<String, Failure> {
    #[derive(Serialize)]
    struct Context<'a> {
        book: &'a BookFacts,
        root: &'static str,
        hatches: Vec<(f64, minijinja::Value)>,
    }
    let hatches = [0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0].map(|pad_mm| {
        let svg = crate::drawing::swatch(pad_mm, &format!("k{:.0}", pad_mm * 100.0)).serialise();
        (pad_mm, minijinja::Value::from_safe_string(svg))
    });
    templates.render(
        "key.html",
        Context {
            book,
            root: "",
            hatches: hatches.to_vec(),
        },
    )
}
