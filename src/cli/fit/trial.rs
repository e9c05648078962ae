//! What `gapbook fit` tries, read off the command line.

use gapbook::Failure;
use gapbook::book::{Board, Book};
use gapbook::record::Pad;
use gapbook::record::schema::{Kind, range};
use gapbook::stack::{Trial, TriedPad};

use super::Options;
use crate::cli::text;

/// Greatest pad thickness that is tried, mm: above any that is sold.
const THICKEST_MM: f64 = 8.0;

/// Least thickness that is tried, mm: below any that is sold.
const THINNEST_MM: f64 = 0.05;

/// How alike two names are at least, from 0 to 1, for one to be offered for the other.
const ALIKE: f64 = 0.6;

/// Reads what is tried.
pub(super) fn read<'a>(
    book: &'a Book,
    board: &'a Board,
    stock: &'a [Pad],
    options: &'a Options,
) -> Result<Trial<'a>, Failure> {
    let tried = |written: &'a String| tried_pad(stock, board, written);
    let paste = |id: &'a String| {
        let ids = book.stock.pastes.iter().map(|paste| &*paste.id);
        book.stock
            .paste(id)
            .ok_or_else(|| unknown("paste", id, ids))
    };
    options.clamp.map_or(Ok(()), clamp)?;
    let named = options.revision.as_deref();
    Ok(Trial {
        pads: options.pad.iter().map(tried).collect::<Result<_, _>>()?,
        paste: options.paste.as_ref().map(paste).transpose()?,
        clamp_n: options.clamp,
        revision: named.map(|name| revision(board, name)).transpose()?,
    })
}

/// Makes sure that a screw can press with a force, N: that a record may say it.
fn clamp(force: f64) -> Result<(), Failure> {
    let range = range(&Kind::Board.schema(), "Fasteners", "clamp_n");
    let [least, greatest] = range.expect("invariant: a clamp force has a range");
    if (least..=greatest).contains(&force) {
        return Ok(());
    }
    let failure = Failure::new(format!("a screw cannot press with {force} N"));
    Err(failure.help(format!("give its force, {least} to {greatest} N")))
}

/// Finds a revision of a board.
pub(in crate::cli) fn revision<'a>(board: &'a Board, name: &str) -> Result<&'a str, Failure> {
    let revisions = || board.record.board.revisions.iter().map(String::as_str);
    revisions()
        .find(|&known| known == name)
        .ok_or_else(|| unknown("revision", name, revisions()))
}

/// Finds a material of a stock.
pub(in crate::cli) fn material<'a>(stock: &'a [Pad], id: &str) -> Result<&'a Pad, Failure> {
    let pad = stock.iter().find(|pad| pad.id == id);
    pad.ok_or_else(|| unknown("pad", id, stock.iter().map(|pad| &*pad.id)))
}

/// Reads `zone=2.5` or `zone=2.5:soft`.
pub(in crate::cli) fn tried_pad<'a>(
    stock: &'a [Pad],
    board: &Board,
    written: &str,
) -> Result<TriedPad<'a>, Failure> {
    let malformed = |what: &str| {
        Failure::new(format!("`--pad {}` {what}", text::line(written)))
            .help("write `--pad zone=2.5` or `--pad zone=2.5:soft`")
    };
    let (id, pad) = written
        .split_once('=')
        .ok_or_else(|| malformed("names no thickness"))?;
    let (thickness, material_of) = match pad.split_once(':') {
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
    let pad = material_of.map(|id| material(stock, id));
    Ok(TriedPad {
        zone: zone(board, id)?,
        thickness_mm,
        pad: pad.transpose()?,
    })
}

/// Returns the zone whose other pads are asked for.
pub(super) fn instead<'a>(board: &'a Board, options: &Options) -> Result<Option<&'a str>, Failure> {
    let named = options.instead.as_deref();
    let zone = named.map(|id| zone(board, id)).transpose()?;
    Ok(zone.map(|zone| &*board.record.zone[zone].id))
}

/// Finds a zone by its id, or by a name that means it alone.
fn zone(board: &Board, id: &str) -> Result<usize, Failure> {
    let zones = &board.record.zone;
    let of_name = || {
        let is_named = |&zone: &usize| board.zone_name(zone).eq_ignore_ascii_case(id);
        let named: Vec<usize> = (0..zones.len()).filter(is_named).collect();
        match named[..] {
            [zone] => Some(zone),
            _ => None,
        }
    };
    let zone = board.zone(id).map(|(zone, _)| zone);
    zone.or_else(of_name)
        .ok_or_else(|| unknown("zone", id, zones.iter().map(|zone| &*zone.id)))
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
