//! `gapbook fit`: whether these pads let the die touch the cooler.

mod print;
mod trial;

use std::path::{Path, PathBuf};

use gapbook::Failure;
use gapbook::book::Book;
use gapbook::lint::{Severity, lint as check, render};
use gapbook::progress::Silent;
use gapbook::stack::{Fit, FitFacts};

pub(super) use trial::{material, revision, tried_pad};

use super::find::one_board;
use super::{Context, Form, Outcome, output, text};

/// Say whether the pads let the cooler touch the die
///
/// Works out each zone's gap from the heights, the old pads' imprints and the maker's pads, seats the
/// cooler on dies and pads, and says how each is squeezed: as recorded, or with other pads.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook fit osk-tern-240                             as the record says
  gapbook fit osk-tern-240 --pad mem-front=2.5         with another thickness
  gapbook fit osk-tern-240 --pad coils=2:soft --pad mem-front=1.5
  gapbook fit osk-tern-240 --instead mem-front         what every stocked pad would do there
  gapbook fit osk-tern-240 --choose                    the best of the stock, in every zone
  gapbook fit osk-tern-240 --choose --pad coils=2      the best beside this one
  gapbook fit osk-tern-240 --paste thick --clamp 40 --as json

Exit status: 0 nothing found wrong, 1 something does not fit, 2 could not run.")]
pub(super) struct Options {
    /// The board's id, or another name that means it alone
    #[arg(value_name = "BOARD")]
    board: String,

    /// Try a pad: its zone, its thickness in mm, and its material where that changes too
    #[arg(long, value_name = "ZONE=MM[:PAD]")]
    pad: Vec<String>,

    /// Choose the pads of all other zones from the stock: those with the least greatest drop
    #[arg(long)]
    choose: bool,

    /// A list of pads, like `stock/pads.toml`, to take instead of the book's
    #[arg(long, value_name = "FILE")]
    stock: Option<PathBuf>,

    /// Show what every pad of the stock would do in a zone, the others as they are
    #[arg(long, value_name = "ZONE")]
    instead: Option<String>,

    /// Try a paste of the stock
    #[arg(long, value_name = "PASTE")]
    paste: Option<String>,

    /// Try a force of each of the cooler's screws, N
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    clamp: Option<f64>,

    /// The revision of the board; left out, the newest
    #[arg(long, value_name = "REVISION")]
    revision: Option<String>,

    /// Print text for people, or one JSON object
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,
}

/// Solves a board's stack-up and prints it.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let (book, bar) = context.load()?;
    let board = one_board(&book, &options.board)?;
    let own = options.stock.as_deref().map(own_stock).transpose()?;
    let stock = &own.as_ref().unwrap_or(&book).stock.pads;
    let mut trial = trial::read(&book, board, stock, options)?;
    let instead = trial::instead(board, options)?;

    let mut fit = Fit::of(&book, board, &trial);
    let mut choice = None;
    if options.choose {
        let held: Vec<usize> = trial.pads.iter().map(|tried| tried.zone).collect();
        let chosen = fit.choose(stock, &held);
        choice = Some(chosen.facts(&fit));
        trial.pads.extend(chosen.pads.into_iter().flatten());
        fit = Fit::of(&book, board, &trial);
    }
    let mut facts = FitFacts::of(&fit);
    facts.choice = choice;
    facts.add_substitutes(&fit, stock);
    facts.yields = fit.yields();
    drop(bar);

    output::print(|out| match options.form {
        Form::Json => text::write_json(out, &facts),
        Form::Text => {
            match instead.and_then(|zone| facts.zones.iter().find(|one| one.id == zone)) {
                Some(zone) => print::instead(out, board, &facts, zone, output::width()),
                None => print::all(out, board, &facts, output::width()),
            }
        }
    })?;
    Ok(if facts.is_wrong() {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}

/// Loads a list of pads that is not the book's; what is wrong with it is printed.
fn own_stock(path: &Path) -> Result<Book, Failure> {
    let stock = Book::of_pads(path);
    let found = check(&stock, &Silent);
    let mut errors = found
        .open()
        .filter(|finding| finding.severity == Severity::Error)
        .peekable();
    if errors.peek().is_none() {
        return Ok(stock);
    }
    for error in errors {
        output::remark(&text::rendered(&render::text(&stock, error, true)));
    }
    Err(
        Failure::new(format!("`{}` cannot be used as a stock", path.display()))
            .help("write it like the book's `stock/pads.toml`"),
    )
}
