//! What a cut passes through, in millimetres: along the cut, and outward from the board's surface.

use std::collections::BTreeMap;

use super::cut::{Cut, Target};
use crate::book::{Board, Face as Touched, is_on};
use crate::record::{BodyKind, PartKind, Seat, Side};
use crate::stack::{Faces, Fit, Plate, Seated};
use crate::units::Rect;

/// How much of the board is shown beyond the outermost thing that is cut, mm.
const BEYOND_MM: f64 = 7.0;

/// How high a cooler's base is drawn over what stands under it, mm: its shape between the faces that
/// pads and dies touch is in no record.
const CLEAR_MM: f64 = 0.7;

/// What a cut passes through.
#[derive(Debug)]
pub(super) struct Profile {
    /// From where to where along the cut it is shown.
    pub(super) shown: [f64; 2],
    /// Whether the board goes on beyond either end.
    pub(super) goes_on: [bool; 2],
    /// Parts of known height.
    pub(super) parts: Vec<Part>,
    /// Pads as they are squeezed, or the gaps for them.
    pub(super) pads: Vec<Pad>,
    /// Paste on dies.
    pub(super) pastes: Vec<Paste>,
    /// Bodies that pads or dies touch.
    pub(super) bodies: Vec<Body>,
}

/// A part that is cut.
#[derive(Debug)]
pub(super) struct Part {
    /// By position in the record.
    pub(super) index: usize,
    pub(super) side: Side,
    pub(super) along: [f64; 2],
    pub(super) height: f64,
}

/// A piece of pad that is cut.
#[derive(Debug)]
pub(super) struct Pad {
    /// Its zone, by position in the stack-up.
    pub(super) zone: usize,
    pub(super) side: Side,
    pub(super) face: Face,
    /// Height of the near face.
    pub(super) near: f64,
}

/// The paste on a die that is cut.
#[derive(Debug)]
pub(super) struct Paste {
    /// Its die, by position in the assembly.
    pub(super) die: usize,
    pub(super) side: Side,
    pub(super) face: Face,
    pub(super) near: f64,
}

/// A face of a body that something touches, level or tilted.
#[derive(Clone, Copy, Debug)]
pub(super) struct Face {
    pub(super) along: [f64; 2],
    /// Its height at both ends.
    pub(super) heights: [f64; 2],
}

/// A body that is cut.
#[derive(Debug)]
pub(super) struct Body {
    /// By position in the record: what comes off as one.
    pub(super) index: usize,
    pub(super) side: Side,
    pub(super) spans: Vec<[f64; 2]>,
    /// Height of its near side where nothing touches it.
    pub(super) base: f64,
    /// Height of its far side; a cooler's fins are broken off.
    pub(super) far: Option<f64>,
    pub(super) faces: Vec<Face>,
}

/// Chooses the cut of a board: through the largest die that is cooled, where there is one.
pub fn cut(fit: &Fit<'_>) -> Option<Cut> {
    let zones = fit.assembly.zones.iter().enumerate();
    let pieces = zones.flat_map(|(thing, zone)| {
        let pieces = zone.pieces.iter();
        pieces.map(move |&place| Target { thing, place })
    });
    let after = fit.assembly.zones.len();
    let dies = fit.assembly.dies.iter().enumerate();
    let dies = dies.map(|(die, one)| Target {
        thing: after + die,
        place: one.place,
    });
    let targets: Vec<Target> = dies.chain(pieces).collect();
    let places = targets.iter().map(|target| &target.place);
    let within = die(fit)
        .or_else(|| fit.board.outline())
        .or_else(|| Rect::around(places))?;
    Cut::through(&within, &targets)
}

/// Returns the largest die that takes paste, or else the largest one.
fn die(fit: &Fit<'_>) -> Option<Rect> {
    let by_area = |left: &Rect, right: &Rect| left.area().total_cmp(&right.area());
    let cooled = fit.assembly.dies.iter().map(|die| die.place);
    let parts = fit.board.record.part.iter();
    let any = parts
        .filter(|part| part.kind == PartKind::Die)
        .flat_map(|part| part.at.iter().copied());
    cooled.max_by(by_area).or_else(|| any.max_by(by_area))
}

impl Face {
    pub(super) fn middle(&self) -> f64 {
        f64::midpoint(self.along[0], self.along[1])
    }

    /// Returns its height in the middle.
    pub(super) fn height(&self) -> f64 {
        f64::midpoint(self.heights[0], self.heights[1])
    }
}

impl Profile {
    /// Reads what a cut passes through; nothing where no gap or die of known heights is there.
    pub(super) fn of(fit: &Fit<'_>, seated: Option<&Seated>, cut: &Cut) -> Option<Self> {
        let reader = Reader {
            fit,
            plate: seated.and_then(|seated| seated.plate),
            cut,
        };
        let (pads, pastes) = (reader.pads(), reader.pastes());
        let faces = pads.iter().map(|pad| &pad.face);
        let faces = faces.chain(pastes.iter().map(|paste| &paste.face));
        let shown = reader.shown(faces)?;
        let parts = reader.parts(shown);
        let bodies = reader.bodies(&pads, &pastes, &parts, shown);
        let ends = fit.board.outline().map(|outline| cut.way.along(&outline));
        Some(Self {
            shown,
            goes_on: ends.map_or([true; 2], |ends| [shown[0] > ends[0], shown[1] < ends[1]]),
            parts,
            pads,
            pastes,
            bodies,
        })
    }

    /// Returns the greatest height that is reached on a side.
    pub(super) fn height(&self, side: Side) -> f64 {
        let parts = self.parts.iter().filter(|part| part.side == side);
        let parts = parts.map(|part| part.height);
        let bodies = self.bodies.iter().filter(|body| body.side == side);
        let bodies = bodies.flat_map(|body| {
            let faces = body.faces.iter().flat_map(|face| face.heights);
            faces.chain([body.base]).chain(body.far)
        });
        let pads = self.pads.iter().filter(|pad| pad.side == side);
        let pads = pads.flat_map(|pad| pad.face.heights);
        parts.chain(bodies).chain(pads).fold(0.0, f64::max)
    }

    /// Tells whether a body on a side is broken off.
    pub(super) fn is_broken(&self, side: Side) -> bool {
        let mut bodies = self.bodies.iter().filter(|body| body.side == side);
        bodies.any(|body| body.far.is_none())
    }
}

struct Reader<'f, 'a> {
    fit: &'f Fit<'a>,
    plate: Option<Plate>,
    cut: &'f Cut,
}

impl<'a> Reader<'_, 'a> {
    fn board(&self) -> &'a Board {
        self.fit.board
    }

    /// Returns how high the cooler's datum lies at a point of the cut.
    fn datum(&self, along: f64) -> Option<f64> {
        Some(self.plate?.height_at(self.cut.point(along)))
    }

    fn pads(&self) -> Vec<Pad> {
        (0..self.fit.zones.len())
            .flat_map(|zone| self.pads_of(zone).unwrap_or_default())
            .collect()
    }

    /// Returns what is cut of a zone; nothing where its heights are not known.
    fn pads_of(&self, zone: usize) -> Option<Vec<Pad>> {
        let (finding, gap) = (
            &self.fit.zones[zone].finding,
            &self.fit.assembly.zones[zone],
        );
        let side = self.board().zones[self.fit.zones[zone].zone].side?;
        let near = finding.near?.nominal_mm;
        let likely_mm = finding.gap.value_mm()?;
        let far = |along: f64| match gap.faces {
            Faces::OnCooler { recess_mm, .. } => {
                let datum = self.datum(along);
                datum.map_or(near + likely_mm, |datum| datum + recess_mm)
            }
            Faces::Fixed { .. } | Faces::Unknown => near + likely_mm,
        };
        let pad = |along: [f64; 2]| Pad {
            zone,
            side,
            face: Face {
                along,
                heights: along.map(far),
            },
            near,
        };
        let cut = gap.pieces.iter().filter_map(|piece| self.cut.of(piece));
        Some(cut.map(pad).collect())
    }

    fn pastes(&self) -> Vec<Paste> {
        let dies = self.fit.assembly.dies.iter().enumerate();
        dies.filter_map(|(die, one)| {
            let along = self.cut.of(&one.place)?;
            let [first, last] = along.map(|end| self.datum(end));
            Some(Paste {
                die,
                side: self.board().record.part[self.fit.die_parts[die]].side,
                face: Face {
                    along,
                    heights: [first?, last?],
                },
                near: one.height_mm,
            })
        })
        .collect()
    }

    /// Returns from where to where the board is shown.
    fn shown<'i>(&self, faces: impl Iterator<Item = &'i Face>) -> Option<[f64; 2]> {
        let ends: Vec<f64> = faces.flat_map(|face| face.along).collect();
        let first = ends.iter().copied().reduce(f64::min)? - BEYOND_MM;
        let last = ends.iter().copied().reduce(f64::max)? + BEYOND_MM;
        let outline = self.board().outline();
        let Some([low, high]) = outline.map(|outline| self.cut.way.along(&outline)) else {
            return Some([first, last]);
        };
        Some([
            first.max(low.min(first + BEYOND_MM)),
            last.min(high.max(last - BEYOND_MM)),
        ])
    }

    fn parts(&self, shown: [f64; 2]) -> Vec<Part> {
        let board = self.board();
        let parts = board.record.part.iter().enumerate();
        let here = parts.filter(|(_, part)| is_on(&part.only, self.fit.revision));
        let cut = here.filter_map(|(part, written)| {
            let height = board.heights[part]?.value_mm;
            let places = written.at.iter().filter_map(|place| self.cut.of(place));
            Some(places.map(move |along| Part {
                index: part,
                side: written.side,
                along,
                height,
            }))
        });
        cut.flatten()
            .filter(|part| shares(part.along, shown))
            .collect()
    }

    /// Returns the bodies that the pads and dies touch, those nearer to the board first.
    fn bodies(&self, pads: &[Pad], pastes: &[Paste], parts: &[Part], shown: [f64; 2]) -> Vec<Body> {
        let mut touched: BTreeMap<usize, Vec<Face>> = BTreeMap::new();
        for pad in pads {
            let [near, far] = self.touches(pad.zone);
            if let Some(body) = near {
                touched.entry(body).or_default();
            }
            if let Some(body) = far {
                touched.entry(body).or_default().push(pad.face);
            }
        }
        if let Some(cooler) = self.fit.cooler {
            for paste in pastes {
                touched.entry(cooler).or_default().push(paste.face);
            }
        }
        let is_cooler = |&(body, _): &(usize, _)| self.kind(body) == BodyKind::Cooler;
        let (coolers, others): (Vec<_>, Vec<_>) = touched.into_iter().partition(is_cooler);
        let mut bodies: Vec<Body> = Vec::new();
        for (body, faces) in others.into_iter().chain(coolers) {
            let under = parts.iter().map(|part| (part.side, part.height));
            let under: Vec<(Side, f64)> = under.chain(bodies.iter().filter_map(top)).collect();
            bodies.push(self.body(body, faces, &under, shown));
        }
        bodies
    }

    fn body(&self, body: usize, faces: Vec<Face>, under: &[(Side, f64)], shown: [f64; 2]) -> Body {
        let written = &self.board().record.body[body];
        let side = written.side;
        let lowest = faces.iter().map(Face::height).reduce(f64::min);
        let standoffs = written.seats_on(Seat::Standoffs);
        let standoffs = standoffs.and_then(|seats| seats.height_mm);
        let is_cooler = written.kind == BodyKind::Cooler;
        let datum = standoffs.or(lowest).unwrap_or(0.0);
        let faces_mm = faces.iter().map(|face| (side, face.height()));
        let obstacles = under.iter().copied().chain(faces_mm);
        let highest = obstacles.filter(|(one, _)| *one == side);
        let highest = highest.map(|(_, height)| height).fold(datum, f64::max);
        let far = standoffs
            .and_then(|datum| Some(datum + written.thickness_mm?))
            .filter(|_| !is_cooler);
        let spans = self.spans(body, &faces, shown);
        Body {
            index: body,
            side,
            spans,
            base: if is_cooler { highest + CLEAR_MM } else { datum },
            far,
            faces,
        }
    }

    /// Returns where a body is cut: by its outline, or everywhere that is shown.
    fn spans(&self, body: usize, faces: &[Face], shown: [f64; 2]) -> Vec<[f64; 2]> {
        let board = self.board();
        let pieces = (0..board.record.body.len()).filter(|&piece| board.whole(piece) == body);
        let outline: Vec<&Rect> = pieces
            .flat_map(|piece| &board.record.body[piece].at)
            .collect();
        if outline.is_empty() {
            return vec![[shown[0] - BEYOND_MM, shown[1] + BEYOND_MM]];
        }
        let outline = outline.iter().filter_map(|place| self.cut.of(place));
        let touched = faces.iter().map(|face| face.along);
        let mut spans: Vec<[f64; 2]> = outline.chain(touched).collect();
        spans.sort_by(|left, right| left[0].total_cmp(&right[0]));
        spans.dedup_by(|next, kept| {
            let joins = next[0] <= kept[1];
            if joins {
                kept[1] = kept[1].max(next[1]);
            }
            joins
        });
        spans.retain(|span| shares(*span, shown));
        spans
    }

    fn kind(&self, body: usize) -> BodyKind {
        self.board().record.body[body].kind
    }

    /// Returns the bodies that a zone's pads touch on both sides: what comes off as one.
    fn touches(&self, zone: usize) -> [Option<usize>; 2] {
        let board = self.board();
        board.zones[self.fit.zones[zone].zone]
            .faces
            .map(|face| match face {
                Some(Touched::Body(body)) => Some(board.whole(body)),
                _ => None,
            })
    }
}

fn top(body: &Body) -> Option<(Side, f64)> {
    Some((body.side, body.far?))
}

/// Tells whether two stretches of the cut share more than a point.
fn shares(one: [f64; 2], other: [f64; 2]) -> bool {
    one[0] < other[1] && other[0] < one[1]
}
