//! `gapbook fit`: whether these pads let the die touch the cooler.

use std::io::{self, Write};

use gapbook::Failure;
use gapbook::book::{Board, Book};
use gapbook::record;
use gapbook::stack::{Fit, FitDie, FitFacts, FitZone, Trial, TriedPad};

use super::find::{nothing, search};
use super::output::BOLD;
use super::progress::Bar;
use super::text::{self, Table};
use super::{Context, Form, Outcome, output};

/// Stands where something is not known.
const UNKNOWN: &str = "not known";

/// Greatest pad thickness that is tried, mm: above any that is sold.
const THICKEST_MM: f64 = 8.0;

/// Least thickness that is tried, mm: below any that is sold.
const THINNEST_MM: f64 = 0.05;

/// Least and greatest force of a screw that is tried, N: what a record may say.
const LEAST_CLAMP_N: f64 = 0.1;
const GREATEST_CLAMP_N: f64 = 5000.0;

/// How alike two names are at least, from 0 to 1, for one to be offered for the other.
const ALIKE: f64 = 0.6;

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
  gapbook fit osk-tern-240 --paste thick --clamp 40 --as json

Exit status: 0 nothing found wrong, 1 something does not fit, 2 could not run.")]
pub(super) struct Options {
    /// The board's id, or another name that means it alone
    #[arg(value_name = "BOARD")]
    board: String,

    /// Try a pad: its zone, its thickness in mm, and its material where that changes too
    #[arg(long, value_name = "ZONE=MM[:PAD]")]
    pad: Vec<String>,

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
    let root = context.root(None)?;
    let bar = Bar::new();
    let book = Book::load(&root, &bar)?;
    let board = board(&book, &options.board)?;
    let trial = trial(&book, board, options)?;
    let facts = FitFacts::of(&Fit::of(&book, board, &trial));
    drop(bar);
    output::print(|out| match options.form {
        Form::Json => {
            let json = serde_json::to_string(&facts).map_err(io::Error::other)?;
            writeln!(out, "{}", text::json(&json))
        }
        Form::Text => print(out, board, &facts, output::width()),
    })?;
    Ok(if facts.is_wrong() {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}

pub(super) fn board<'a>(book: &'a Book, name: &str) -> Result<&'a Board, Failure> {
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

/// Reads what is tried.
fn trial<'a>(book: &'a Book, board: &'a Board, options: &'a Options) -> Result<Trial<'a>, Failure> {
    let tried = |written: &'a String| tried_pad(book, board, written);
    let paste = |id: &'a String| {
        let ids = book.stock.pastes.iter().map(|paste| &*paste.id);
        book.stock
            .paste(id)
            .ok_or_else(|| unknown("paste", id, ids))
    };
    if let Some(force) = options.clamp
        && !(LEAST_CLAMP_N..=GREATEST_CLAMP_N).contains(&force)
    {
        return Err(
            Failure::new(format!("a screw cannot press with {force} N")).help(format!(
                "give its force, {LEAST_CLAMP_N} to {GREATEST_CLAMP_N} N"
            )),
        );
    }
    let revision = options.revision.as_deref();
    if let Some(revision) = revision {
        let revisions = &board.record.board.revisions;
        if !revisions.iter().any(|known| known == revision) {
            let known = revisions.iter().map(String::as_str);
            return Err(unknown("revision", revision, known));
        }
    }
    Ok(Trial {
        pads: options.pad.iter().map(tried).collect::<Result<_, _>>()?,
        paste: options.paste.as_ref().map(paste).transpose()?,
        clamp_n: options.clamp,
        revision,
    })
}

/// Reads `zone=2.5` or `zone=2.5:soft`.
fn tried_pad<'a>(book: &'a Book, board: &Board, written: &str) -> Result<TriedPad<'a>, Failure> {
    let malformed = |what: &str| {
        Failure::new(format!("`--pad {}` {what}", text::line(written)))
            .help("write `--pad zone=2.5` or `--pad zone=2.5:soft`")
    };
    let (id, pad) = written
        .split_once('=')
        .ok_or_else(|| malformed("names no thickness"))?;
    let (thickness, material) = match pad.split_once(':') {
        Some((thickness, material)) => (thickness, Some(material)),
        None => (pad, None),
    };
    let thickness_mm: f64 = thickness
        .trim()
        .parse()
        .map_err(|_| malformed("has a thickness that is no number"))?;
    if !(THINNEST_MM..=THICKEST_MM).contains(&thickness_mm) {
        return Err(malformed(&format!(
            "has a thickness that is not between {THINNEST_MM} and {THICKEST_MM} mm"
        )));
    }
    let zones = &board.record.zone;
    let zone = zones.iter().position(|zone| zone.id == id);
    let zone = zone.ok_or_else(|| unknown("zone", id, zones.iter().map(|zone| &*zone.id)))?;
    let pads = &book.stock.pads;
    let pad = material.map(|id| {
        let ids = pads.iter().map(|pad| &*pad.id);
        book.stock.pad(id).ok_or_else(|| unknown("pad", id, ids))
    });
    Ok(TriedPad {
        zone,
        thickness_mm,
        pad: pad.transpose()?,
    })
}

/// Returns the failure of naming something that is not there, with the nearest name.
fn unknown<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str>) -> Failure {
    let known: Vec<&str> = known.collect();
    let likeness = |other: &str| strsim::normalized_damerau_levenshtein(name, other);
    let near = known
        .iter()
        .map(|&other| (likeness(other), other))
        .filter(|&(likeness, other)| likeness >= ALIKE || other.starts_with(name))
        .max_by(|(left, _), (right, _)| left.total_cmp(right));
    let near = near.map_or_else(String::new, |(_, near)| {
        format!("; did you mean `{}`?", text::line(near))
    });
    let failure = Failure::new(format!("there is no {what} `{}`{near}", text::line(name)));
    if known.is_empty() {
        return failure;
    }
    let known: Vec<String> = known
        .iter()
        .map(|known| format!("`{}`", text::line(known)))
        .collect();
    failure.help(format!("there are {}", known.join(", ")))
}

fn print(out: &mut dyn Write, board: &Board, facts: &FitFacts, width: usize) -> io::Result<()> {
    let record::BoardHead { maker, model, .. } = &board.record.board;
    let (maker, model, id) = (
        text::line(maker),
        text::line(model),
        text::line(&facts.board),
    );
    let revision = facts.revision.as_deref().map(text::line);
    let revision = revision.map_or_else(String::new, |revision| format!(", {revision}"));
    writeln!(out, "{BOLD}{maker} {model}{BOLD:#}  {id}{revision}")?;

    title(out, "Die")?;
    dies(out, facts)?;
    title(out, "Pads")?;
    zones(out, facts, width)?;
    let wrong = facts.zones.iter().filter_map(|zone| {
        let why = zone.unknown.as_ref()?;
        Some(format!("{}: {why}", zone.id))
    });
    let to_do: Vec<String> = facts.change.iter().cloned().chain(wrong).collect();
    if !to_do.is_empty() {
        title(out, "To do")?;
        sentences(out, &to_do, width)?;
    }
    if !facts.assumed.is_empty() {
        title(out, "Assumed")?;
        sentences(out, &facts.assumed, width)?;
    }
    Ok(())
}

fn title(out: &mut dyn Write, text: &str) -> io::Result<()> {
    writeln!(out, "\n{BOLD}{text}{BOLD:#}")
}

/// Prints a list of sentences, each set in from the left.
fn sentences(out: &mut dyn Write, sentences: &[String], width: usize) -> io::Result<()> {
    for sentence in sentences {
        let lines = text::wrap(&text::line(sentence), width.saturating_sub(4));
        for (index, line) in lines.iter().enumerate() {
            let mark = if index == 0 { "- " } else { "  " };
            writeln!(out, "  {mark}{line}")?;
        }
    }
    Ok(())
}

fn dies(out: &mut dyn Write, facts: &FitFacts) -> io::Result<()> {
    if let Some(problem) = &facts.problem {
        return writeln!(out, "  {problem}");
    }
    if facts.dies.is_empty() {
        return writeln!(
            out,
            "  none whose cooler can be seated: every gap below is a fixed one"
        );
    }
    for die in &facts.dies {
        writeln!(out, "  {}", of_die(die))?;
    }
    if let Some(tilt) = facts.tilt_mrad {
        // Plus zero, so that none is printed as less than nothing.
        let [about_x, about_y] = tilt.map(|mrad| (100.0 * mrad).round() / 100.0 + 0.0);
        writeln!(
            out,
            "  the cooler is tilted by {about_x:.2} mrad about x, {about_y:.2} mrad about y"
        )?;
    }
    Ok(())
}

fn of_die(die: &FitDie) -> String {
    let (id, verdict) = (text::line(&die.id), die.verdict);
    let [least, greatest] = die.bond_um;
    let drop = die
        .drop_k
        .map_or_else(String::new, |drop| format!(", {drop:.1} K across it"));
    format!(
        "{id}: {BOLD}{verdict}{BOLD:#}, {:.0} N, {:.0} kPa, bond line {least:.0} to {greatest:.0} µm{drop}",
        die.force_n, die.mean_kpa
    )
}

fn zones(out: &mut dyn Write, facts: &FitFacts, width: usize) -> io::Result<()> {
    if facts.zones.is_empty() {
        return writeln!(out, "  {UNKNOWN}");
    }
    let mut table = Table::new(&[
        "zone",
        "pad",
        "takes, mm",
        "gap, mm",
        "squeezed",
        "force",
        "drop",
        "verdict",
    ]);
    for zone in &facts.zones {
        table.row(row(zone));
    }
    let lines = table.lines(width);
    lines.iter().try_for_each(|line| writeln!(out, "{line}"))
}

fn row(zone: &FitZone) -> Vec<String> {
    let pad = match (zone.pad_mm, &zone.pad) {
        (None, _) => UNKNOWN.to_owned(),
        (Some(pad_mm), None) => format!("{pad_mm} mm"),
        (Some(pad_mm), Some(pad)) => format!("{pad_mm} mm {}", text::line(pad)),
    };
    let gap = zone.gap_mm.as_ref().map_or_else(
        || UNKNOWN.to_owned(),
        |gap| format!("{:.2} ({:.2} to {:.2})", gap.value, gap.low, gap.high),
    );
    let strains = zone.pieces.iter().map(|piece| 100.0 * piece.strain);
    let drops = zone.pieces.iter().filter_map(|piece| piece.drop_k);
    let takes = zone
        .window_mm
        .map_or_else(String::new, |[least, greatest]| {
            format!("{least:.2} to {greatest:.2}")
        });
    vec![
        text::line(&zone.id),
        pad,
        takes,
        gap,
        range(strains, 0, "%"),
        zone.force_n
            .map_or_else(String::new, |force| format!("{force:.0} N")),
        range(drops, 1, "K"),
        zone.verdict
            .map_or_else(|| UNKNOWN.to_owned(), |verdict| verdict.to_string()),
    ]
}

/// Says between which values some lie, with so many decimals; nothing where there are none.
fn range(values: impl Iterator<Item = f64> + Clone, decimals: usize, unit: &str) -> String {
    let least = values.clone().reduce(f64::min);
    let greatest = values.reduce(f64::max);
    let (Some(least), Some(greatest)) = (least, greatest) else {
        return String::new();
    };
    let print = |value: f64| format!("{value:.decimals$}");
    let (least, greatest) = (print(least), print(greatest));
    if least == greatest {
        format!("{least} {unit}")
    } else {
        format!("{least} to {greatest} {unit}")
    }
}
