//! `gapbook find`: looks a board up and prints its sheet.

pub(super) mod canvas;
mod map;
mod search;
mod sheet;

use std::io::{self, Write};

pub(super) use sheet::warnings;

use gapbook::Failure;
use gapbook::book::{Board, Book, Role};
use gapbook::guide::board_json;
use gapbook::lint::lint as check;
use gapbook::record::schema::Kind;

use super::progress::Bar;
use super::text::{self, Table};
use super::{Context, Form, Outcome, lint, output};

/// Most names offered when nothing is found.
const MOST_OFFERED: usize = 3;

/// Look a board up: its pads, screws, order and map
///
/// Finds boards by id, maker, model, class or marking: any words, in any order. A single board is
/// printed in full, with a map where there are 80 columns; several are listed.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook find                       every board of the book
  gapbook find osk graphics          those that have both words
  gapbook find TRN240-MB R1.2        what is printed on the board: its sheet
  gapbook find tern 240 --as json    its facts, one JSON object a line")]
pub(super) struct Options {
    /// Words of the board's id, maker, model, class or marking; left out, every board
    #[arg(value_name = "WORDS")]
    words: Vec<String>,

    /// Print text for people, or one JSON object a line
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,
}

/// Finds boards and prints them.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let root = context.root(None)?;
    let bar = Bar::new();
    let book = Book::load(&root, &bar)?;
    if !lint::has_boards(&book) {
        output::remark(&lint::how_to_begin(&root));
        return Ok(Outcome::Clean);
    }
    let found = search::matching(&book, &options.words);
    if found.is_empty() {
        return Err(nothing(&book, &options.words));
    }
    let checked = check(&book, &bar);
    drop(bar);
    output::print(|out| match (options.form, &found[..]) {
        (Form::Json, boards) => boards.iter().try_for_each(|board| {
            write!(out, "{}", text::json(&board_json(&book, &checked, board)))
        }),
        (Form::Text, [board]) => sheet::print(out, &book, board, output::width()),
        (Form::Text, boards) => list(out, boards),
    })?;
    if let Some(remark) = unreadable(&book) {
        output::remark(&remark);
    }
    Ok(Outcome::Clean)
}

fn list(out: &mut dyn Write, boards: &[&Board]) -> io::Result<()> {
    let mut table = Table::new(&["id", "maker", "model", "class", "markings"]);
    for board in boards {
        let head = &board.record.board;
        table.row(vec![
            text::line(&head.id),
            text::line(&head.maker),
            text::line(&head.model),
            head.class.to_string(),
            text::line(&head.markings.join(", ")),
        ]);
    }
    for line in table.lines(output::width()) {
        writeln!(out, "{line}")?;
    }
    let count = text::count(boards.len(), "board");
    writeln!(out, "\n{count}; `gapbook find ID` prints one in full.")
}

/// Returns the board that a name alone means.
pub(super) fn one_board<'a>(book: &'a Book, name: &str) -> Result<&'a Board, Failure> {
    if name.trim().is_empty() {
        return Err(
            Failure::new("no board is named").help("`gapbook find` alone lists every board")
        );
    }
    let words = [name.to_owned()];
    match search::matching(book, &words)[..] {
        [] => Err(nothing(book, &words)),
        [board] => Ok(board),
        ref several => {
            let ids: Vec<String> = several
                .iter()
                .map(|board| format!("`{}`", text::line(board.id())))
                .collect();
            let name = text::line(name);
            Err(
                Failure::new(format!("`{name}` means {} boards", several.len()))
                    .help(format!("name one of {}", ids.join(", "))),
            )
        }
    }
}

/// Returns the failure of finding nothing, with the nearest names.
fn nothing(book: &Book, words: &[String]) -> Failure {
    if let Some(record) = search::unread(book, words) {
        let record = text::line(record);
        return Failure::new(format!("`{record}` cannot be used: it has errors"))
            .help("`gapbook lint` says which");
    }
    let near: Vec<String> = search::nearest(book, words)
        .into_iter()
        .take(MOST_OFFERED)
        .map(|board| format!("`{}`", text::line(board.id())))
        .collect();
    let words = text::line(&words.join(" "));
    let failure = match near.split_last() {
        None => Failure::new(format!("found no board by `{words}`")),
        Some((last, [])) => {
            Failure::new(format!("found no board by `{words}`; did you mean {last}?"))
        }
        Some((last, others)) => Failure::new(format!(
            "found no board by `{words}`; did you mean {} or {last}?",
            others.join(", ")
        )),
    };
    let failure = failure.help("`gapbook find` alone lists every board");
    match unreadable(book) {
        Some(remark) => failure.help(format!("`gapbook find` alone lists every board; {remark}")),
        None => failure,
    }
}

/// Says how many boards cannot be found because their records cannot be read.
fn unreadable(book: &Book) -> Option<String> {
    let records = book
        .files
        .iter()
        .filter(|file| file.role == Role::Record(Kind::Board));
    let unread = records.count().saturating_sub(book.boards.len());
    (unread > 0).then(|| {
        let boards = text::count(unread, "board record");
        format!("{boards} cannot be read; `gapbook lint` says why")
    })
}
