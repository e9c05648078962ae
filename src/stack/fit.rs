//! From a board's record to its stack-up: which gaps, which cooler, which pads, and what is assumed.

use std::collections::BTreeSet;

use super::assembly::{Assembly, Cooler, Die, Faces, Fitted, Gap, Material, Outcome, Paste};
use super::gap::{Finding, GapFinding, Reader, Source, UNSTATED_TOLERANCE_MM};
use super::pressure::force_n;
use super::shelf::{nearest_stocked, not_stocked, pad_curve};
use super::{Domain, PasteLaw, Screw, Stop};
use crate::book::{Board, Book, Face, is_on};
use crate::record::schema::Words as _;
use crate::record::{self, BodyKind, Fasteners, Pad, Seat};
use crate::units::{Point, Rect};

/// Yield stress of a paste of which nothing is known, Pa: filled greases lie around 50 to 300.
const USUAL_YIELD_PA: f64 = 120.0;

/// Conductivity of such a paste, W/(m·K).
const USUAL_PASTE_W_MK: f64 = 4.0;

/// How stiff a standoff is, N/mm: a tenth of 15 mm² of brass, 5 mm high (`E·A / h` with `E` = 100 kN/mm²),
/// for its thread and the board under it give most. Rough, and without weight: under any screw that is a
/// few hundredths of a millimetre.
const STANDOFF_N_MM: f64 = 30_000.0;

/// Lengths without a tolerance that are named one by one.
const MOST_NAMED: usize = 3;

/// What is tried instead of what the record says.
#[derive(Clone, Debug, Default)]
pub struct Trial<'a> {
    /// Other pads.
    pub pads: Vec<TriedPad<'a>>,
    /// Another paste.
    pub paste: Option<&'a record::Paste>,
    /// Another force of each of the cooler's screws, N.
    pub clamp_n: Option<f64>,
    /// A revision of the board; left out, the newest.
    pub revision: Option<&'a str>,
}

/// A pad that is tried in a zone.
#[derive(Clone, Copy, Debug)]
pub struct TriedPad<'a> {
    /// The zone, by position in the record.
    pub zone: usize,
    /// Its free thickness, mm.
    pub thickness_mm: f64,
    /// Its material; left out, the record's.
    pub pad: Option<&'a Pad>,
}

/// A board's stack-up, ready to be seated.
#[derive(Clone, Debug)]
pub struct Fit<'a> {
    /// The board.
    pub board: &'a Board,
    /// The revision that is meant, where the board has any.
    pub revision: Option<&'a str>,
    /// The zones of that revision, one for each of the assembly's.
    pub zones: Vec<ZoneFit<'a>>,
    /// The body that the assembly's cooler is, by position in the record.
    pub cooler: Option<usize>,
    /// The parts that the assembly's dies are, by position in the record.
    pub die_parts: Vec<usize>,
    /// The numbers.
    pub assembly: Assembly,
    /// What is assumed, in sentences without a full stop.
    pub assumed: Vec<String>,
    /// The one of these that says which clamp force is assumed, where none is recorded.
    pub assumed_clamp: Option<String>,
}

/// One zone: its gap, and the pad in it.
#[derive(Clone, Debug)]
pub struct ZoneFit<'a> {
    /// The zone, by position in the record.
    pub zone: usize,
    /// Its id.
    pub id: &'a str,
    /// What is known of its gap.
    pub finding: GapFinding,
    /// The pad's free thickness, mm, where there is one.
    pub pad_mm: Option<f64>,
    /// The pad's material, where the stock has it.
    pub pad: Option<&'a Pad>,
    /// The material in numbers.
    pub material: Material,
    /// The nearest thicknesses that can be bought, mm, where the pad's own cannot.
    pub nearest_mm: Option<Vec<f64>>,
}

impl<'a> Fit<'a> {
    /// Reads a board's stack-up, with what is tried.
    pub fn of(book: &'a Book, board: &'a Board, trial: &Trial<'a>) -> Self {
        let newest = board.record.board.revisions.last().map(String::as_str);
        let revision = trial.revision.or(newest);
        let mut builder = Builder {
            reader: Reader::new(book, board, revision),
            trial,
            assumed: Vec::new(),
            assumed_clamp: None,
        };
        let zones = builder.zones();
        let (cooler, dies) = builder.cooler();
        let gaps = builder.gaps(&zones, cooler.as_ref());
        let paste = builder.paste(&dies);
        let (parts, places): (Vec<_>, Vec<_>) = dies.into_iter().unzip();
        Self {
            board,
            revision,
            zones,
            cooler: cooler.as_ref().map(|(body, _)| *body),
            die_parts: parts,
            assembly: Assembly {
                cooler: cooler.map(|(_, cooler)| cooler),
                dies: places,
                zones: gaps,
                paste,
                thresholds: book.thresholds.clone(),
            },
            assumed: builder.assumed,
            assumed_clamp: builder.assumed_clamp,
        }
    }

    /// Returns the pads in the zones, one entry for each.
    pub fn fitted(&self) -> Vec<Option<Fitted<'_>>> {
        self.zones.iter().map(ZoneFit::fitted).collect()
    }

    /// Seats the cooler on the pads.
    ///
    /// # Errors
    /// [`Domain`] where it cannot balance.
    pub fn seat(&self) -> Result<Outcome, Domain> {
        self.assembly.seat(&self.fitted())
    }
}

impl ZoneFit<'_> {
    /// Returns the pad in the zone, where there is one.
    pub fn fitted(&self) -> Option<Fitted<'_>> {
        self.pad_mm.map(|thickness_mm| Fitted {
            thickness_mm,
            material: &self.material,
        })
    }
}

/// A body that is a cooler, and how it is held.
type Held = (usize, Cooler);

struct Builder<'a, 't> {
    reader: Reader<'a>,
    trial: &'t Trial<'a>,
    assumed: Vec<String>,
    assumed_clamp: Option<String>,
}

impl<'a> Builder<'a, '_> {
    fn board(&self) -> &'a Board {
        self.reader.board
    }

    fn is_here(&self, only: &[String]) -> bool {
        is_on(only, self.reader.revision)
    }

    fn zones(&mut self) -> Vec<ZoneFit<'a>> {
        let board = self.board();
        let here = |&(zone, ..): &(usize, _, _)| self.is_here(board.revisions_of_zone(zone));
        let zones: Vec<_> = board.zones().filter(here).collect();
        let zones: Vec<ZoneFit<'a>> = zones
            .into_iter()
            .map(|(zone, written, _)| self.zone(zone, written))
            .collect();
        self.say_heights(&zones);
        zones
    }

    fn zone(&mut self, zone: usize, written: &'a record::Zone) -> ZoneFit<'a> {
        let tried = self
            .trial
            .pads
            .iter()
            .rev()
            .find(|tried| tried.zone == zone);
        let pad_mm = tried.map(|tried| tried.thickness_mm).or(written.pad_mm);
        let of_record = || self.reader.book.stock.pad(written.pad.as_deref()?);
        let pad = tried.and_then(|tried| tried.pad).or_else(of_record);
        let material = self.material(&written.id, pad.filter(|_| pad_mm.is_some()), pad_mm);
        let nearest_mm = pad_mm.and_then(|pad_mm| self.nearest_mm(&written.id, pad, pad_mm));
        ZoneFit {
            zone,
            id: &written.id,
            finding: self.reader.gap(zone),
            pad_mm,
            pad,
            material,
            nearest_mm,
        }
    }

    /// Returns the nearest thicknesses of a material that can be bought, where this one cannot, and says so; of
    /// an unknown material, any that the book has will do.
    fn nearest_mm(&mut self, id: &str, pad: Option<&Pad>, pad_mm: f64) -> Option<Vec<f64>> {
        let stock = &self.reader.book.stock.pads[..];
        let stock = pad.map_or(stock, std::slice::from_ref);
        let stocked_mm = stock.iter().flat_map(|pad| &pad.thickness_mm).copied();
        let nearest_mm = nearest_stocked(pad_mm, stocked_mm)?;
        let told = not_stocked(pad.map(|pad| &*pad.id), pad_mm, &nearest_mm);
        self.assumed
            .push(format!("the pads at `{id}` can be had: {told}"));
        Some(nearest_mm)
    }

    fn material(&mut self, id: &str, pad: Option<&Pad>, pad_mm: Option<f64>) -> Material {
        let why = match pad {
            None => Some("no material of the stock is recorded".to_owned()),
            Some(pad) if pad_curve(pad).is_err() => {
                Some(format!("the stock gives no usable table for `{}`", pad.id))
            }
            Some(_) => None,
        };
        if let Some(why) = why.filter(|_| pad_mm.is_some()) {
            self.assumed.push(format!(
                "the pads at `{id}` push like usual soft ones: {why}"
            ));
        }
        Material::of(pad)
    }

    /// Says which heights and recesses are not the board's own.
    fn say_heights(&mut self, zones: &[ZoneFit<'_>]) {
        let findings = || zones.iter().map(|zone| &zone.finding);
        let usual: BTreeSet<&String> = findings().flat_map(|one| &one.usual_heights).collect();
        if !usual.is_empty() {
            let usual: Vec<String> = usual.iter().map(|id| format!("`{id}`")).collect();
            self.assumed
                .push(format!("usual package heights for {}", usual.join(", ")));
        }
        let open: BTreeSet<&String> = findings().flat_map(|one| &one.without_tolerance).collect();
        if !open.is_empty() {
            let named: Vec<&str> = open
                .iter()
                .take(MOST_NAMED)
                .map(|key| key.as_str())
                .collect();
            let more = if open.len() > named.len() {
                format!(" and {} more", open.len() - named.len())
            } else {
                String::new()
            };
            self.assumed.push(format!(
                "±{UNSTATED_TOLERANCE_MM} mm where no tolerance is recorded: {}{more}",
                named.join(", ")
            ));
        }
        for zone in zones {
            if let (Some(recess_mm), Finding::Known { from, .. }) =
                (zone.finding.derived_recess_mm, &zone.finding.gap)
            {
                let from: Vec<&str> = from.iter().map(|source: &Source| source.word()).collect();
                self.assumed.push(format!(
                    "a recess of {recess_mm:.2} mm at `{}`, derived from {}",
                    zone.id,
                    from.join(" and ")
                ));
            }
        }
    }

    /// Finds the cooler whose height has to be solved or known, with the dies under it.
    fn cooler(&mut self) -> (Option<Held>, Vec<(usize, Die)>) {
        let board = self.board();
        let on = |seat: Seat| {
            let bodies = board.record.body.iter().enumerate();
            bodies.filter(move |(index, body)| {
                let seats = body.seats.as_ref();
                board.whole(*index) == *index && seats.is_some_and(|seats| seats.on == seat)
            })
        };
        let mut drawn = on(Seat::Die).filter(|(_, body)| self.is_here(&body.only));
        let (first, others) = (drawn.next(), drawn.map(|(_, body)| &body.id));
        let others: Vec<&String> = others.collect();
        for other in others {
            self.assumed.push(format!(
                "`{other}` stays where it is: one cooler on a die is solved"
            ));
        }
        if let Some((body, _)) = first {
            let dies = self.dies(body);
            let Some(&(_, tallest)) = dies.first() else {
                let id = &board.record.body[body].id;
                self.assumed.push(format!(
                    "nothing of how `{id}` seats: no die of a known height lies under it"
                ));
                return (None, dies);
            };
            let pulling = self.pulling(body);
            let cooler = Cooler::Drawn {
                origin: tallest.place.centre(),
                screws: self.screws(&pulling, &dies),
                stops: stops(&pulling),
            };
            return (Some((body, cooler)), dies);
        }
        let fixed: Vec<_> = on(Seat::Standoffs)
            .filter(|(_, body)| body.kind == BodyKind::Cooler && self.is_here(&body.only))
            .collect();
        for (body, written) in fixed {
            let dies = self.dies(body);
            let height_mm = written.seats.as_ref().and_then(|seats| seats.height_mm);
            if let (false, Some(height_mm)) = (dies.is_empty(), height_mm) {
                return (Some((body, Cooler::Held { height_mm })), dies);
            }
        }
        (None, Vec::new())
    }

    /// Returns the dies under a cooler that no pad touches, the tallest first, where each height is known.
    fn dies(&self, body: usize) -> Vec<(usize, Die)> {
        let board = self.board();
        let outline: Vec<Rect> = (0..board.record.body.len())
            .filter(|&piece| board.whole(piece) == body)
            .flat_map(|piece| board.record.body[piece].at.iter().copied())
            .collect();
        let under = |place: &Rect| {
            outline.is_empty()
                || outline
                    .iter()
                    .any(|piece| piece.shared_with(place).is_some())
        };
        let mut dies = Vec::new();
        for part in self.reader.dies(board.record.body[body].side) {
            let written = &board.record.part[part];
            let Some(height) = board.heights[part] else {
                return Vec::new(); // The tallest, perhaps: nothing can be said.
            };
            dies.extend(
                written
                    .at
                    .iter()
                    .filter(|place| under(place))
                    .map(|&place| {
                        let die = Die {
                            place,
                            height_mm: height.value_mm,
                            heat_w: written.heat_w,
                        };
                        (part, die)
                    }),
            );
        }
        dies
    }

    /// Returns the screws that pull a cooler to the board.
    fn pulling(&self, cooler: usize) -> Vec<&'a Fasteners> {
        let groups = self.board().record.fasteners.iter();
        groups
            .filter(|group| self.is_here(&group.only) && self.pulls(group, cooler))
            .collect()
    }

    /// Returns them with their forces.
    fn screws(&mut self, pulling: &[&Fasteners], dies: &[(usize, Die)]) -> Vec<Screw> {
        let sprung = pulling.iter().any(|group| group.sprung);
        let sets_force = |group: &&Fasteners| group.sprung || !sprung;
        let force = |group: &Fasteners| {
            let tried = self.trial.clamp_n.filter(|_| sets_force(&group));
            tried.or(group.clamp_n)
        };
        let known: Vec<Screw> = pulling
            .iter()
            .filter_map(|group| Some((group, force(group)?)))
            .flat_map(|(group, force_n)| group.at.iter().map(move |&at| Screw { at, force_n }))
            .collect();
        let silent: Vec<String> = pulling
            .iter()
            .filter(|group| force(group).is_none())
            .map(|group| format!("`{}`", group.id))
            .collect();
        if !known.is_empty() {
            if !silent.is_empty() {
                self.assumed.push(format!(
                    "no force from {}: none is recorded",
                    silent.join(", ")
                ));
            }
            return known;
        }
        let at: Vec<Point> = pulling
            .iter()
            .filter(|group| sets_force(group))
            .flat_map(|group| group.at.iter().copied())
            .collect();
        self.usual_force(&at, dies)
    }

    /// Spreads the book's usual pressure over the dies to the screws.
    fn usual_force(&mut self, at: &[Point], dies: &[(usize, Die)]) -> Vec<Screw> {
        let usual_kpa = self.reader.book.thresholds.usual_die_kpa;
        let area: f64 = dies.iter().map(|(_, die)| die.place.area()).sum();
        let force_n = force_n(usual_kpa, area);
        // Without any screw in the record the force is taken to act on the die.
        let on_die = dies.first().map(|(_, die)| die.place.centre());
        let at: Vec<Point> = if at.is_empty() {
            on_die.into_iter().collect()
        } else {
            at.to_vec()
        };
        let said = format!(
            "the book's usual {usual_kpa} kPa over the die, {force_n:.0} N in all: no clamp force is recorded"
        );
        self.assumed.push(said.clone());
        self.assumed_clamp = Some(said);
        #[expect(clippy::cast_precision_loss, reason = "a few hundred screws at most")]
        let each_n = force_n / at.len().max(1) as f64;
        at.into_iter()
            .map(|at| Screw {
                at,
                force_n: each_n,
            })
            .collect()
    }

    /// Tells whether a group of fasteners pulls a cooler to the board, or to something behind it.
    fn pulls(&self, group: &Fasteners, cooler: usize) -> bool {
        let board = self.board();
        let bodies = || group.holds.iter().filter_map(|id| board.body(id));
        let behind = |kind: BodyKind| {
            matches!(
                kind,
                BodyKind::Backplate | BodyKind::Bracket | BodyKind::Stiffener
            )
        };
        bodies().any(|(body, _)| board.whole(body) == cooler)
            && (group.holds.iter().any(|id| id == "pcb")
                || bodies().any(|(body, held)| board.whole(body) != cooler && behind(held.kind)))
    }

    /// Returns the gaps in numbers.
    fn gaps(&mut self, zones: &[ZoneFit<'_>], cooler: Option<&Held>) -> Vec<Gap> {
        zones.iter().map(|zone| self.gap(zone, cooler)).collect()
    }

    fn gap(&mut self, fit: &ZoneFit<'_>, cooler: Option<&Held>) -> Gap {
        let board = self.board();
        let zone = &board.zones[fit.zone];
        let drawn = cooler.and_then(|(body, cooler)| match cooler {
            Cooler::Drawn { .. } => Some(*body),
            Cooler::Held { .. } => None,
        });
        let of_cooler = |face: Option<Face>| match face {
            Some(Face::Body(body)) => Some(board.whole(body)) == drawn,
            _ => false,
        };
        let on_cooler = drawn.is_some() && of_cooler(zone.faces[1]) && !of_cooler(zone.faces[0]);
        let faces = match (fit.finding.gap.value_mm(), fit.finding.datum) {
            (None, _) => Faces::Unknown,
            (Some(gap_mm), Some(datum)) if on_cooler => {
                let near_mm = fit.finding.near.map_or(0.0, |near| near.nominal_mm);
                Faces::OnCooler {
                    near_mm,
                    recess_mm: gap_mm - (datum.nominal_mm - near_mm),
                }
            }
            (Some(gap_mm), _) => Faces::Fixed { gap_mm },
        };
        if faces == Faces::Unknown && on_cooler && fit.pad_mm.is_some() {
            self.assumed.push(format!(
                "nothing of what the pads at `{}` push: their gap is not known",
                fit.id
            ));
        }
        Gap {
            pieces: zone.pieces.clone(),
            faces,
            heat_w: heat_of_piece(board, fit.zone),
        }
    }

    fn paste(&mut self, dies: &[(usize, Die)]) -> Paste {
        let book = self.reader.book;
        let newest = || {
            let mut jobs = self
                .board()
                .own_jobs()
                .collect::<Vec<_>>()
                .into_iter()
                .rev();
            jobs.find_map(|job| book.stock.paste(job.record.paste.as_deref()?))
        };
        let (paste, why) = if let Some(paste) = self.trial.paste {
            (Some(paste), None)
        } else if let Some(paste) = newest() {
            (Some(paste), Some("the newest job's"))
        } else {
            (book.stock.pastes.first(), Some("the book's first"))
        };
        let mut say = |sentence: String| {
            if !dies.is_empty() {
                self.assumed.push(sentence);
            }
        };
        match (paste, why) {
            (Some(paste), Some(why)) => say(format!("the paste is `{}`, {why}", paste.id)),
            (None, _) => say(format!(
                "a usual paste: {USUAL_YIELD_PA} Pa, {USUAL_PASTE_W_MK} W/(m·K)"
            )),
            (Some(_), None) => {}
        }
        let stated = paste.and_then(|paste| paste.yield_pa);
        if let (Some(paste), None) = (paste, stated) {
            say(format!(
                "a yield stress of {USUAL_YIELD_PA} Pa for `{}`: none is recorded",
                paste.id
            ));
        }
        let usual = || PasteLaw::new(USUAL_YIELD_PA).expect("invariant: the usual paste yields");
        Paste {
            law: stated
                .and_then(|stated| PasteLaw::new(stated).ok())
                .unwrap_or_else(usual),
            conductivity_w_mk: paste.map_or(USUAL_PASTE_W_MK, |paste| paste.conductivity_w_mk),
        }
    }
}

/// Returns the standoffs on which the screws bottom.
fn stops(pulling: &[&Fasteners]) -> Vec<Stop> {
    let bottoming = pulling
        .iter()
        .filter_map(|group| Some((group, group.bottoms_mm?)));
    bottoming
        .flat_map(|(group, height_mm)| {
            group.at.iter().map(move |&at| Stop {
                at,
                height_mm,
                stiffness_n_mm: STANDOFF_N_MM,
            })
        })
        .collect()
}

/// Returns the heat through each piece of a zone, W: its part's, shared where there are more or fewer
/// pieces than places.
fn heat_of_piece(board: &Board, zone: usize) -> Option<f64> {
    let zone = &board.zones[zone];
    let part = &board.record.part[zone.part()?];
    #[expect(clippy::cast_precision_loss, reason = "a few hundred places at most")]
    let share = part.at.len() as f64 / zone.pieces.len().max(1) as f64;
    Some(part.heat_w? * share)
}
