//! A board's stack-up as the rules look at it: read and seated once for all of them.

use std::collections::BTreeSet;

use crate::book::{Board, Book};
use crate::record::Pad;
use crate::stack::{
    DieSeated, DieVerdict, Domain, Faces, Fit, Moment, SAME_THICKNESS_MM, Seated, Trial, Verdict,
    ZoneFit,
};

/// The stack-up of one revision of a board, as it is at assembly.
#[derive(Debug)]
pub struct StackUp<'a> {
    /// Its gaps, its cooler and its pads.
    pub fit: Fit<'a>,
    /// The pads that can be fitted.
    pub stock: &'a [Pad],
    /// How everything lies, or why the cooler cannot come to rest.
    pub seated: Result<Seated, Domain>,
    /// Whether the board is different on another revision.
    varies: bool,
}

/// A zone whose pads fare ill.
pub(super) struct IllPad<'s, 'a> {
    pub(super) stack: &'s StackUp<'a>,
    pub(super) zone: &'s ZoneFit<'a>,
    /// Its pads' free thickness, mm.
    pub(super) pad_mm: f64,
    /// The gap in which they do, mm.
    pub(super) gap_mm: f64,
    /// What that gap is by.
    pub(super) by: &'static str,
}

impl<'a> StackUp<'a> {
    /// Reads and seats a board, each of its revisions where they differ.
    pub(super) fn all(book: &'a Book, board: &'a Board) -> Vec<Self> {
        let revisions = &board.record.board.revisions;
        let of = |revision: Option<&'a str>, varies: bool| {
            let trial = Trial {
                revision,
                ..Trial::default()
            };
            let fit = Fit::of(book, board, &trial);
            let seated = fit.assembly.seat_at(&fit.fitted(), Moment::Assembly);
            Self {
                fit,
                stock: &book.stock.pads,
                seated,
                varies,
            }
        };
        if revisions.len() < 2 || !board.varies() {
            return vec![of(None, false)];
        }
        revisions
            .iter()
            .rev()
            .map(|revision| of(Some(revision), true))
            .collect()
    }

    /// Tells whether everything holds with the recorded pads.
    pub(super) fn is_well(&self) -> bool {
        self.seated.as_ref().is_ok_and(Seated::holds)
    }

    /// Tells whether the stock has the recorded pads of every known gap, or there is no stock to speak of.
    pub(super) fn is_stocked(&self) -> bool {
        let stocked = |zone: &ZoneFit<'a>| {
            let sizes = zone.pad.map_or(&[][..], |pad| &pad.thickness_mm);
            let is_it = |mm: &f64| {
                zone.pad_mm
                    .is_some_and(|pad_mm| (mm - pad_mm).abs() < SAME_THICKNESS_MM)
            };
            zone.finding.gap.value_mm().is_none() || sizes.iter().any(is_it)
        };
        self.stock.is_empty() || self.fit.zones.iter().all(stocked)
    }

    /// Returns " on R1.2" where the board is different on another revision.
    pub(super) fn on(&self) -> String {
        match self.fit.revision {
            Some(revision) if self.varies => format!(" on {revision}"),
            _ => String::new(),
        }
    }

    /// Returns what is said of a clamp force that nobody recorded; nothing where somebody did.
    pub(super) fn clamp(&self) -> String {
        let said = self.fit.assumed_clamp.as_ref();
        said.map_or_else(String::new, |said| format!(" (with {said})"))
    }

    /// Tells whether nobody recorded a clamp force.
    pub(super) fn assumes_clamp(&self) -> bool {
        self.fit.assumed_clamp.is_some()
    }

    /// Returns the zone whose pads carry most of the cooler, by position in the record, with their
    /// force, N.
    pub(super) fn heaviest(&self) -> Option<(usize, f64)> {
        let seated = self.seated.as_ref().ok()?;
        let zones = self.fit.zones.iter().zip(&seated.zones);
        let gaps = zones.zip(&self.fit.assembly.zones);
        gaps.filter(|(_, gap)| matches!(gap.faces, Faces::OnCooler { .. }))
            .filter_map(|((zone, seated), _)| Some((zone.zone, seated.as_ref()?.force_n)))
            .max_by(|(_, left), (_, right)| left.total_cmp(right))
    }

    /// Returns the dies with their part's position in the record.
    fn dies(&self) -> impl Iterator<Item = (usize, &DieSeated)> {
        let seated = self.seated.as_ref().map_or(&[][..], |seated| &seated.dies);
        self.fit.die_parts.iter().copied().zip(seated)
    }
}

impl IllPad<'_, '_> {
    /// Says how much they are squeezed, or by how much they miss.
    pub(super) fn says(&self) -> String {
        let (pad_mm, gap_mm) = (self.pad_mm, self.gap_mm);
        let strain = 1.0 - gap_mm / pad_mm;
        let how = if strain < 0.0 {
            format!("misses by {:.2} mm", gap_mm - pad_mm)
        } else {
            format!("is squeezed by {:.1} %", 100.0 * strain)
        };
        let (id, on, by) = (self.zone.id, self.stack.on(), self.by);
        format!("the {pad_mm:.2} mm pad of `{id}` {how}{on} in a gap of {gap_mm:.2} mm {by}")
    }
}

/// Returns the dies that fare like this, each once.
pub(super) fn dies<'s, 'a>(
    stacks: &'s [StackUp<'a>],
    verdict: DieVerdict,
) -> Vec<(&'s StackUp<'a>, usize, &'s DieSeated)> {
    dies_that(stacks, |_, die| die.verdict == verdict)
}

/// Returns the dies that are pressed harder than the book allows, each once.
pub(super) fn overloaded<'s, 'a>(
    stacks: &'s [StackUp<'a>],
) -> Vec<(&'s StackUp<'a>, usize, &'s DieSeated)> {
    dies_that(stacks, |stack, die| {
        die.mean_kpa > stack.fit.assembly.thresholds.greatest_die_kpa
    })
}

fn dies_that<'s, 'a>(
    stacks: &'s [StackUp<'a>],
    is_one: impl Fn(&StackUp<'a>, &DieSeated) -> bool,
) -> Vec<(&'s StackUp<'a>, usize, &'s DieSeated)> {
    let mut told = BTreeSet::new();
    let mut found = Vec::new();
    for stack in stacks {
        for (part, die) in stack.dies() {
            if is_one(stack, die) && told.insert(part) {
                found.push((stack, part, die));
            }
        }
    }
    found
}

/// Returns the zones whose pads fare like this, each once: where the cooler comes to rest, or in the
/// gap that the recorded heights leave.
///
/// The likeliest gap is one in which the maker's pad fits; the recorded heights alone may leave another.
pub(super) fn pads<'s, 'a>(stacks: &'s [StackUp<'a>], verdict: Verdict) -> Vec<IllPad<'s, 'a>> {
    let mut told = BTreeSet::new();
    let mut found = Vec::new();
    for stack in stacks {
        for (index, zone) in stack.fit.zones.iter().enumerate() {
            let ill = ill_pad(stack, index, verdict);
            found.extend(ill.filter(|_| told.insert(zone.zone)));
        }
    }
    found
}

fn ill_pad<'s, 'a>(
    stack: &'s StackUp<'a>,
    index: usize,
    verdict: Verdict,
) -> Option<IllPad<'s, 'a>> {
    let zone = &stack.fit.zones[index];
    let pad_mm = zone.pad_mm?;
    zone.finding.gap.value_mm()?; // Evidence that excludes itself is another rule's.
    let ill = |gap_mm: f64, by: &'static str| IllPad {
        stack,
        zone,
        pad_mm,
        gap_mm,
        by,
    };
    let by_heights = heights_mm(stack.fit.board, zone)
        .map(|gap_mm| (of_gap(stack, zone, pad_mm, gap_mm), gap_mm));
    let seated = stack.seated.as_ref().ok();
    let seated = seated.and_then(|seated| seated.zones[index].as_ref());
    let worst = seated.and_then(|seated| {
        let mut ill = seated
            .pieces
            .iter()
            .filter(|one| one.verdict == seated.verdict);
        ill.next().map(|piece| (piece.verdict, piece.gap_mm))
    });
    match (worst, by_heights) {
        (Some((one, gap_mm)), other) if other.is_none_or(|(other, _)| other <= one) => {
            (one == verdict).then(|| ill(gap_mm, "as the cooler comes to rest"))
        }
        (_, Some((one, gap_mm))) => {
            (one == verdict).then(|| ill(gap_mm, "by the recorded heights"))
        }
        _ => None,
    }
}

/// Returns the gap that the recorded heights leave, mm, where they are all recorded.
fn heights_mm(board: &Board, zone: &ZoneFit<'_>) -> Option<f64> {
    let recess_mm = board.record.zone[zone.zone].recess_mm?;
    let (near, datum) = (zone.finding.near?, zone.finding.datum?);
    Some(datum.nominal_mm + recess_mm - near.nominal_mm)
}

fn of_gap(stack: &StackUp<'_>, zone: &ZoneFit<'_>, pad_mm: f64, gap_mm: f64) -> Verdict {
    let strain = 1.0 - gap_mm / pad_mm;
    stack.fit.assembly.verdict(strain, strain, &zone.material)
}
