//! How wide a zone's gap is: what geometry, imprints and the maker's own pad say, and what they agree on.

use std::collections::BTreeSet;

use super::tolerance::{Interval, Length, Stack};
use crate::book::{Board, Book, Face, HeightOrigin, is_on};
use crate::evidence::ZoneEvidence;
use crate::evidence::squeeze::Extent;
use crate::record::schema::{Words, words};
use crate::record::{PartKind, Seat, Side, Thresholds};
use crate::source::{Place, keys};

/// Tolerance of a height for which the record gives none, mm: ISO 2768-1, class m, up to 6 mm.
pub const UNSTATED_TOLERANCE_MM: f64 = 0.1;

/// Bond line between a die and the cooler on it, mm, in the chain of a gap.
///
/// Common practice: 20 to 60 µm. Only gaps are worked out with it; how a die seats is solved.
const BOND_LINE_MM: f64 = 0.04;

/// How far off that is, plus or minus, mm.
const BOND_LINE_TOLERANCE_MM: f64 = 0.02;

words! {
    /// What a gap is known from.
    pub enum Source {
        /// The heights of what lies on both sides of it.
        Geometry = "geometry",
        /// What old pads were squeezed to.
        Imprints = "imprints",
        /// The pad that the maker fitted, which a healthy board squeezes within limits.
        MakersPad = "the maker's pad",
    }
}

/// One piece of evidence for a gap.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// What it is.
    pub source: Source,
    /// The likeliest gap by it, mm.
    pub likely_mm: f64,
    /// The gaps it allows.
    pub allows: Interval,
    /// Where the records say so.
    pub places: Vec<Place>,
}

/// What the evidence for a gap comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// The gap, with what it is known from.
    Known {
        /// The likeliest gap, mm.
        value_mm: f64,
        /// The gaps that all evidence allows.
        within: Interval,
        /// What it is known from.
        from: Vec<Source>,
    },
    /// Two pieces of evidence exclude each other: the stack-up is impossible as recorded.
    Impossible {
        /// The one that asks for a narrow gap.
        narrow: Evidence,
        /// The one that asks for a wide gap.
        wide: Evidence,
    },
    /// There is no evidence.
    Unknown,
}

/// What is known of one zone's gap.
#[derive(Clone, Debug, PartialEq)]
pub struct GapFinding {
    /// What the evidence comes to.
    pub gap: Finding,
    /// Height of the near face, mm.
    pub near: Option<Length>,
    /// Height of the far body's datum face, mm.
    pub datum: Option<Length>,
    /// The far face's recess that the other evidence implies, mm, where the record gives none.
    pub derived_recess_mm: Option<f64>,
    /// The measurement that would settle the gap, where nothing is known of it or only the maker's pad.
    pub settle: Option<String>,
    /// Keys of heights that are given without a tolerance.
    pub without_tolerance: Vec<String>,
    /// Parts whose height is their package's usual one.
    pub usual_heights: Vec<String>,
}

impl Finding {
    /// Weighs evidence, the most trusted first: the gaps that all of it allows, and within these the
    /// likeliest by the first.
    ///
    /// Intervals that have nothing in common always hold two that have nothing in common: the one that
    /// ends first and the one that begins last.
    pub fn of(evidence: &[Evidence]) -> Self {
        let by = |left: f64, right: f64| left.total_cmp(&right);
        let narrow = evidence
            .iter()
            .min_by(|a, b| by(a.allows.high_mm, b.allows.high_mm));
        let wide = evidence
            .iter()
            .max_by(|a, b| by(a.allows.low_mm, b.allows.low_mm));
        let (Some(first), Some(narrow), Some(wide)) = (evidence.first(), narrow, wide) else {
            return Self::Unknown;
        };
        let within = Interval {
            low_mm: wide.allows.low_mm,
            high_mm: narrow.allows.high_mm,
        };
        if within.low_mm <= within.high_mm {
            Self::Known {
                value_mm: first.likely_mm.clamp(within.low_mm, within.high_mm),
                within,
                from: evidence.iter().map(|one| one.source).collect(),
            }
        } else {
            Self::Impossible {
                narrow: narrow.clone(),
                wide: wide.clone(),
            }
        }
    }

    /// Returns the likeliest gap, mm, where the evidence agrees on one.
    pub fn value_mm(&self) -> Option<f64> {
        match self {
            Self::Known { value_mm, .. } => Some(*value_mm),
            Self::Impossible { .. } | Self::Unknown => None,
        }
    }

    /// Tells whether it is known from the maker's pad at most, which says what should be there, not what is.
    fn is_guess(&self) -> bool {
        match self {
            Self::Known { from, .. } => from[..] == [Source::MakersPad],
            Self::Impossible { .. } => false,
            Self::Unknown => true,
        }
    }
}

/// Returns the gaps that the consensus of imprints allows.
pub fn from_imprints(gap: Extent) -> Evidence {
    Evidence {
        source: Source::Imprints,
        likely_mm: gap.likely,
        allows: Interval {
            low_mm: gap.low,
            high_mm: gap.high,
        },
        places: Vec::new(),
    }
}

/// Returns the gaps in which a healthy board squeezes the maker's pad between two strains:
/// `[pad × (1 − greatest), pad × (1 − least)]`.
pub fn from_pad(pad_mm: f64, thresholds: &Thresholds, max_strain: Option<f64>) -> Evidence {
    let usual = f64::midpoint(thresholds.light, thresholds.hard);
    Evidence {
        source: Source::MakersPad,
        likely_mm: pad_mm * (1.0 - usual),
        allows: Interval {
            low_mm: pad_mm * (1.0 - max_strain.unwrap_or(thresholds.crushed)),
            high_mm: pad_mm * (1.0 - thresholds.floating),
        },
        places: Vec::new(),
    }
}

/// Returns the gap by a chain of lengths, worst case.
pub fn from_geometry(chain: impl IntoIterator<Item = Length>) -> Evidence {
    let stack = Stack::of(chain);
    Evidence {
        source: Source::Geometry,
        likely_mm: stack.nominal_mm,
        allows: stack.worst_case(),
        places: Vec::new(),
    }
}

/// A board of one revision, and what is read off it for a gap.
#[derive(Debug)]
pub(super) struct Reader<'a> {
    pub(super) book: &'a Book,
    pub(super) board: &'a Board,
    pub(super) revision: Option<&'a str>,
    /// The dies that no pad touches, by position, the tallest first; a height not known counts as
    /// tallest, for nothing can be said over it.
    dies: Vec<usize>,
}

/// A height read off a record.
struct Read {
    length: Length,
    places: Vec<Place>,
}

/// What reading a gap's heights leaves to be said.
#[derive(Default)]
struct Remarks {
    settle: Option<String>,
    without_tolerance: Vec<String>,
    usual_heights: Vec<String>,
}

impl Remarks {
    fn settle(&mut self, measure: String) {
        self.settle.get_or_insert(measure);
    }

    /// Returns a length, with the usual tolerance where none is stated.
    fn length(&mut self, key: String, nominal_mm: f64, tolerance_mm: Option<f64>) -> Length {
        let tolerance_mm = tolerance_mm.unwrap_or_else(|| {
            self.without_tolerance.push(key);
            UNSTATED_TOLERANCE_MM
        });
        Length::new(nominal_mm, tolerance_mm)
    }
}

impl<'a> Reader<'a> {
    pub(super) fn new(book: &'a Book, board: &'a Board, revision: Option<&'a str>) -> Self {
        let here = board
            .zones()
            .filter(|(zone, ..)| is_on(board.revisions_of_zone(*zone), revision));
        let padded: BTreeSet<usize> = here.filter_map(|(.., zone)| zone.part()).collect();
        let parts = board.record.part.iter().enumerate();
        let mut dies: Vec<usize> = parts
            .filter(|(index, part)| {
                part.kind == PartKind::Die && is_on(&part.only, revision) && !padded.contains(index)
            })
            .map(|(index, _)| index)
            .collect();
        let height =
            |index: &usize| board.heights[*index].map_or(f64::INFINITY, |height| height.value_mm);
        dies.sort_by(|left, right| height(right).total_cmp(&height(left)));
        Self {
            book,
            board,
            revision,
            dies,
        }
    }

    /// Finds out what is known of a zone's gap.
    pub(super) fn gap(&self, index: usize) -> GapFinding {
        let (written, zone) = (&self.board.record.zone[index], &self.board.zones[index]);
        let mut remarks = Remarks::default();
        let near = zone.faces[0].and_then(|face| self.near(face, &mut remarks));
        let datum = zone.faces[1].and_then(|face| self.far(face, &mut remarks));

        let heights = near.as_ref().zip(datum.as_ref());
        let geometry = heights.and_then(|heights| self.geometry(index, heights, &mut remarks));
        let evidence = [geometry, self.imprints(index), self.makers_pad(index)];
        let evidence: Vec<Evidence> = evidence.into_iter().flatten().collect();
        let gap = Finding::of(&evidence);

        let nominal = |read: &Option<Read>| read.as_ref().map(|read| read.length);
        let (near, datum) = (nominal(&near), nominal(&datum));
        let derived_recess_mm = match (gap.value_mm(), near, datum, written.recess_mm) {
            (Some(gap_mm), Some(near), Some(datum), None) => {
                Some(gap_mm - (datum.nominal_mm - near.nominal_mm))
            }
            _ => None,
        };
        let imprint = || format!("one imprint of an old pad at `{}`", written.id);
        let is_guess = gap.is_guess();
        GapFinding {
            gap,
            near,
            datum,
            derived_recess_mm,
            settle: is_guess.then(|| remarks.settle.unwrap_or_else(imprint)),
            without_tolerance: remarks.without_tolerance,
            usual_heights: remarks.usual_heights,
        }
    }

    /// Adds up the heights of a gap's faces, where the recess of the far one is recorded.
    fn geometry(
        &self,
        index: usize,
        (near, datum): (&Read, &Read),
        remarks: &mut Remarks,
    ) -> Option<Evidence> {
        let written = &self.board.record.zone[index];
        let id = &written.id;
        let Some(recess_mm) = written.recess_mm else {
            remarks.settle(format!(
                "one imprint of an old pad at `{id}`, or the recess of the face over it"
            ));
            return None;
        };
        let key = format!("recess of `{id}`");
        let recess = remarks.length(key, recess_mm, written.recess_tolerance_mm);
        let place = self.board.at(keys!["zone", index, "recess_mm"]);
        let of_faces = near.places.iter().chain(&datum.places).cloned();
        Some(Evidence {
            places: std::iter::once(place).chain(of_faces).collect(),
            ..from_geometry([datum.length, recess, -near.length])
        })
    }

    fn makers_pad(&self, index: usize) -> Option<Evidence> {
        let written = &self.board.record.zone[index];
        let pad = written.pad.as_deref();
        let material = pad.and_then(|id| self.book.stock.pad(id));
        let max_strain = material.and_then(|pad| pad.max_strain);
        Some(Evidence {
            places: vec![self.board.at(keys!["zone", index, "pad_mm"])],
            ..from_pad(written.pad_mm?, &self.book.thresholds, max_strain)
        })
    }

    /// Reads the height of a near face.
    fn near(&self, face: Face, remarks: &mut Remarks) -> Option<Read> {
        match face {
            Face::Pcb => Some(Read {
                length: Length::new(0.0, 0.0),
                places: Vec::new(),
            }),
            Face::Part(part) => self.part(part, remarks),
            Face::Body(body) => {
                let mut read = self.datum(body, remarks)?;
                let written = &self.board.record.body[body];
                let Some(thickness_mm) = written.thickness_mm else {
                    remarks.settle(format!("the thickness of `{}`", written.id));
                    return None;
                };
                read.length.nominal_mm += thickness_mm;
                read.places
                    .push(self.board.at(keys!["body", body, "thickness_mm"]));
                Some(read)
            }
        }
    }

    /// Reads the height of a far body's datum face.
    fn far(&self, face: Face, remarks: &mut Remarks) -> Option<Read> {
        match face {
            Face::Body(body) => self.datum(body, remarks),
            Face::Pcb | Face::Part(_) => None,
        }
    }

    fn part(&self, part: usize, remarks: &mut Remarks) -> Option<Read> {
        let written = &self.board.record.part[part];
        let Some(height) = self.board.heights[part] else {
            remarks.settle(format!("the height of `{}` above the board", written.id));
            return None;
        };
        let key = if height.origin == HeightOrigin::Package {
            remarks.usual_heights.push(written.id.clone());
            "package"
        } else {
            "height_mm"
        };
        let name = format!("height of `{}`", written.id);
        Some(Read {
            length: remarks.length(name, height.value_mm, height.tolerance_mm),
            places: vec![self.board.at(keys!["part", part, key])],
        })
    }

    /// Reads the height of a body's datum face: what it is one piece with decides.
    fn datum(&self, body: usize, remarks: &mut Remarks) -> Option<Read> {
        let whole = self.board.whole(body);
        let written = &self.board.record.body[whole];
        let Some(seats) = &written.seats else {
            remarks.settle(format!("the height of `{}` above the board", written.id));
            return None;
        };
        if seats.on == Seat::Die {
            let Some(die) = self.dies(written.side).next() else {
                remarks.settle(format!("the height of the die under `{}`", written.id));
                return None;
            };
            let mut read = self.part(die, remarks)?;
            read.length.nominal_mm += BOND_LINE_MM;
            read.length.tolerance_mm += BOND_LINE_TOLERANCE_MM;
            return Some(read);
        }
        let Some(height_mm) = seats.height_mm else {
            remarks.settle(format!(
                "the height of the standoffs under `{}`",
                written.id
            ));
            return None;
        };
        let name = format!("standoffs under `{}`", written.id);
        Some(Read {
            length: remarks.length(name, height_mm, seats.tolerance_mm),
            places: vec![self.board.at(keys!["body", whole, "seats"])],
        })
    }

    /// Returns the dies of a side that no pad touches, the tallest first.
    pub(super) fn dies(&self, side: Side) -> impl Iterator<Item = usize> {
        let of_side = move |die: &usize| self.board.record.part[*die].side == side;
        self.dies.iter().copied().filter(of_side)
    }

    /// Returns what the imprints of the board's jobs say about a zone: of the jobs that found the record's
    /// pad there, and where revisions differ, of this one's.
    fn imprints(&self, index: usize) -> Option<Evidence> {
        let evidence = ZoneEvidence::of_makers_pad(self.book, self.board, index);
        let gap = evidence.on(self.revision).gap?;
        let read = evidence.jobs.iter().filter_map(|job| job.imprint.as_ref());
        Some(Evidence {
            places: read.map(|imprint| imprint.place.clone()).collect(),
            ..from_imprints(gap)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_near(found: f64, wanted: f64) {
        assert!((found - wanted).abs() < 1e-12, "{found} is not {wanted}");
    }

    fn evidence(source: Source, low_mm: f64, high_mm: f64) -> Evidence {
        Evidence {
            source,
            likely_mm: f64::midpoint(low_mm, high_mm),
            allows: Interval { low_mm, high_mm },
            places: Vec::new(),
        }
    }

    /// A die of 1.90 ± 0.05 with 0.04 ± 0.02 of paste, a recess of 0.8 ± 0.1, memory of 1.1 ± 0.1.
    #[test]
    fn geometry_adds_up_in_worst_case() {
        let chain = [
            Length::new(1.94, 0.07),
            Length::new(0.8, 0.1),
            -Length::new(1.1, 0.1),
        ];
        let found = from_geometry(chain);
        assert_near(found.likely_mm, 1.64);
        assert_near(found.allows.low_mm, 1.37);
        assert_near(found.allows.high_mm, 1.91);
    }

    #[test]
    fn the_maker_s_pad_is_squeezed_within_limits() {
        let found = from_pad(2.0, &Thresholds::default(), Some(0.6));
        assert_near(found.allows.low_mm, 0.8);
        assert_near(found.allows.high_mm, 1.9);
        assert_near(found.likely_mm, 1.6);
    }

    #[test]
    fn evidence_is_intersected_and_the_first_is_trusted_most() {
        let found = Finding::of(&[
            evidence(Source::Geometry, 1.2, 1.8),
            evidence(Source::Imprints, 1.6, 1.7),
            evidence(Source::MakersPad, 1.0, 1.9),
        ]);
        let Finding::Known {
            value_mm, within, ..
        } = found
        else {
            panic!("agrees: {found:?}");
        };
        assert_near(value_mm, 1.6);
        assert_near(within.low_mm, 1.6);
        assert_near(within.high_mm, 1.7);
        assert_eq!(Finding::of(&[]), Finding::Unknown, "nothing known");
    }

    #[test]
    fn the_two_that_exclude_each_other_are_named() {
        let found = Finding::of(&[
            evidence(Source::Geometry, 2.6, 2.8),
            evidence(Source::Imprints, 1.5, 1.7),
            evidence(Source::MakersPad, 1.0, 2.7),
        ]);
        let Finding::Impossible { narrow, wide } = found else {
            panic!("excluded: {found:?}");
        };
        assert_eq!(narrow.source, Source::Imprints, "ends first");
        assert_eq!(wide.source, Source::Geometry, "begins last");
    }
}
