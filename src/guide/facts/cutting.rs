//! How a board's pads are cut from new sheets, for each revision whose pads differ.

use schemars::JsonSchema;
use serde::Serialize;

use crate::book::{Board, Book};
use crate::cutting::{CutFacts, Effort};
use crate::stack::{Fit, Trial};

/// How the pads of some revisions are cut.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CuttingFacts {
    /// The revisions that it is for; all, where there are none.
    pub revisions: Vec<String>,
    /// The plan.
    #[serde(flatten)]
    pub cut: CutFacts,
}

/// Plans the cutting of a board's pads as its record has them, from new sheets: a guide does not know
/// which offcuts its reader has.
pub(super) fn plans(book: &Book, board: &Board) -> Vec<CuttingFacts> {
    let mut groups: Vec<(Vec<String>, Fit<'_>)> = Vec::new();
    for fit in fits(book, board) {
        let revision = fit.revision.map(str::to_owned);
        match groups.iter_mut().find(|(_, other)| is_alike(other, &fit)) {
            Some((revisions, _)) => revisions.extend(revision),
            None => groups.push((revision.into_iter().collect(), fit)),
        }
    }
    let is_one = groups.len() == 1;
    let plan = |(revisions, fit): (Vec<String>, Fit<'_>)| CuttingFacts {
        revisions: if is_one { Vec::new() } else { revisions },
        cut: CutFacts::of(&[fit], &book.cutting, &[], Effort::BRIEF),
    };
    groups.into_iter().map(plan).collect()
}

/// Reads the stack-up of every revision, or of the board where it has none.
fn fits<'a>(book: &'a Book, board: &'a Board) -> Vec<Fit<'a>> {
    let revisions = board.record.board.revisions.iter();
    let mut revisions: Vec<Option<&str>> = revisions.rev().map(|one| Some(&**one)).collect();
    let varies = (0..board.zones.len()).any(|zone| !board.revisions_of_zone(zone).is_empty());
    revisions.truncate(if varies { revisions.len() } else { 1 });
    if revisions.is_empty() {
        revisions.push(None);
    }
    let fit = |revision| {
        let trial = Trial {
            revision,
            ..Trial::default()
        };
        Fit::of(book, board, &trial)
    };
    revisions.into_iter().map(fit).collect()
}

/// Tells whether the same zones take part in two revisions: their pads are the record's in both.
fn is_alike(one: &Fit<'_>, other: &Fit<'_>) -> bool {
    let (one, other) = (one.zones.iter(), other.zones.iter());
    one.map(|zone| zone.zone).eq(other.map(|zone| zone.zone))
}
