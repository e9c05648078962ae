//! A plan in words: what to do at each cut, and how good it is.

use super::order::Refusal;
use super::plan::Plan;
use super::report::{CutLine, CutPiece, CutStep};

/// How far two lengths may differ and still be the same, mm: less than a step of the kernel.
const SAME_MM: f64 = 1e-6;

/// Says what to do at each cut of a sheet; like cuts in a row are one step.
pub(super) fn steps(cuts: &[CutLine]) -> Vec<CutStep> {
    let mut steps = Vec::new();
    let mut first = 0;
    while first < cuts.len() {
        let like = cuts[first..]
            .windows(2)
            .take_while(|pair| goes_on(&pair[0], &pair[1]));
        let last = first + like.count();
        let before = first.checked_sub(1).map(|before| &cuts[before]);
        steps.push(CutStep {
            first: first + 1,
            last: last + 1,
            says: says(before, &cuts[first], last - first + 1),
        });
        first = last + 1;
    }
    steps
}

/// Tells whether a cut goes on with what the one before left, at the same distance.
fn goes_on(one: &CutLine, next: &CutLine) -> bool {
    is_rest(one, next) && same(one.at_mm, next.at_mm)
}

/// Tells whether a cut is through what lay beyond the one before, in the same direction.
fn is_rest(one: &CutLine, next: &CutLine) -> bool {
    let [left, low, width, height] = one.part_mm;
    let [x, y, ..] = next.part_mm;
    let (end, other_end) = (left + width, low + height);
    one.from_left == next.from_left
        && same(end, x + next.part_mm[2])
        && same(other_end, y + next.part_mm[3])
        && (if one.from_left {
            same(y, low) && x > left
        } else {
            same(x, left) && y > low
        })
}

fn same(one: f64, other: f64) -> bool {
    (one - other).abs() < SAME_MM
}

fn says(before: Option<&CutLine>, cut: &CutLine, times: usize) -> String {
    let [.., width, height] = cut.part_mm;
    let (edge, full) = if cut.from_left {
        ("left", "full height")
    } else {
        ("lower", "full width")
    };
    let at = match times {
        1 => format!("cut at {:.1}", cut.at_mm),
        _ => format!(
            "cut {times} times at {:.1}, each from the new edge",
            cut.at_mm
        ),
    };
    match before {
        None => format!("from the {edge} edge, {at}, {full}"),
        Some(before) if is_rest(before, cut) => format!("from the new {edge} edge, {at}, {full}"),
        Some(_) => {
            format!("in the {width:.1} × {height:.1} part, from its {edge} edge, {at}, {full}")
        }
    }
}

impl Plan {
    /// Says how far the plan is proven best, in a sentence without a full stop.
    pub fn in_words(&self) -> String {
        let (sheets, least) = (self.sheets(), self.least_sheets);
        if !self.sheets_are_proven() {
            return format!(
                "{sheets} sheets; no plan needs fewer than {least}, which may be too few"
            );
        }
        if self.is_proven() {
            return "proven best: sheets, largest remnant and cuts".to_owned();
        }
        let remnant = if self.remnant_is_proven {
            "sheets and largest remnant are proven best"
        } else {
            "the sheets are proven fewest, the remnant may be larger"
        };
        let (cuts, least) = (self.cuts(), self.least_cuts);
        if cuts == least {
            remnant.to_owned()
        } else {
            format!("{remnant}; {cuts} cuts, of which at least {least} are needed")
        }
    }
}

impl Refusal {
    /// Says why there is no plan, in a sentence without a full stop.
    pub(super) fn in_words(self, pieces: &[CutPiece], [width, height]: [f64; 2]) -> String {
        match self {
            Self::FitsNoSheet(piece) => {
                let piece = &pieces[piece];
                let [own_width, own_height] = piece.size_mm;
                format!(
                    "not planned: a piece of `{}`, {own_width:.1} × {own_height:.1} mm, fits no sheet of \
                     {width} × {height} mm",
                    piece.of.zone
                )
            }
            other => format!("not planned: {other}"),
        }
    }
}
