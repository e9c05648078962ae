//! From a board's record, its jobs and its solved stack-up to plain numbers: the one place here that looks
//! at them.

use std::collections::BTreeSet;

use super::state::fan;
use super::{
    Cause, Hypothesis, Limits, MISREAD_LOAD_SHARE, Normal, Proof, Proved, Read, Readings, Sensor,
    Standing, Whence, prove,
};
use crate::book::{Board, Book, Face, Job};
use crate::record::{Ended, PartKind, Symptom, Temperatures};
use crate::stack::{Assembly, Cooler, Domain, Faces, Fit, Fitted, Moment, Seated, Trial, TriedPad};

pub use super::FULL_LOAD_SHARE;

/// How much more heat the hottest places of a die give off than its mean. Common practice: two to three.
const HOT_PLACES: f64 = 2.0;

/// How much hotter a memory package gets without its pad, K at full load. Common practice: the board
/// still cools it.
const BARE_MEMORY_K: f64 = 25.0;

/// By how much a cooler's own rise grows with its fan at half speed. Forced convection goes with the
/// speed to the power 0.5 to 0.8 (flat plate, laminar to turbulent, from memory): 1.4 to 1.7 times.
const HALF_SPEED: f64 = 1.5;

/// How many times as bad as predicted a fault can be. A screw is taken out, so little is left for the
/// rigid plate that the solver takes for a cooler; half a die may be dry, and a pad lie in double.
const MOST: f64 = 4.0;
const MOST_WEDGE: f64 = 2.0;
const MOST_AIR: f64 = 2.0;

/// The same of pads that the job says it fitted: that they differ is known, and only how much they do is
/// the solver's guess.
const MOST_FITTED: f64 = 40.0;

/// How many stocked steps too thick a pad is tried. Our own choice: the next one, or one left from another
/// zone.
const STEPS_TOO_THICK: usize = 2;

/// How much thicker the next pad is where the stock does not say, mm.
const NEXT_PAD_MM: f64 = 0.5;

/// A dry corner, as a fraction of the die's shorter side. Our own choice.
const DRY_SIDE: f64 = 0.2;

/// Conductance along a die's silicon, W/K: 0.12 W/(mm·K) at working temperature, 0.75 mm thick (from
/// memory).
const SILICON_W_K: f64 = 0.12 * 0.75;

/// The hottest and the mean temperature of an evenly heated square with two cold sides that meet, in
/// units of heat flux × side² / conductance: four times those of a whole square with four cold sides,
/// 0.0737 and 0.0351 (series solution of the membrane, from memory).
const CORNER_PEAK: f64 = 0.295;
const CORNER_MEAN: f64 = 0.141;

/// A change below which a fault would not be seen, K.
const UNSEEN_K: f64 = 0.5;

/// How much likelier pads are to blame that the job itself says differ from the record. Our own choice.
const FITTED_ODDS: f64 = 10.0;

/// How much likelier the air is to blame where the fan was read: too slow, or as it should be.
const SLOW_FAN_ODDS: f64 = 20.0;
const GOOD_FAN_ODDS: f64 = 0.1;

/// Reads what a job wrote down.
pub fn readings(written: &Temperatures) -> Readings {
    let shows = |symptom| written.symptoms.contains(&symptom);
    let stops = shows(Symptom::ShutsDown) || shows(Symptom::Artefacts);
    Readings {
        ambient_c: written.ambient_c,
        heat_w: written.heat_w,
        die_c: written.die_c,
        hotspot_c: written.hotspot_c,
        memory_c: written.memory_c,
        fan_rpm: written.fan_rpm.or(shows(Symptom::FanStands).then_some(0.0)),
        throttling: written.throttling,
        crashing: stops.then_some(true).or(written.crashing),
        dusty: shows(Symptom::Dusty),
    }
}

/// Returns which reading a key of a job's temperatures holds, if it is one that can be judged.
pub fn read_at(key: &str) -> Option<Read> {
    match key {
        "ambient_c" => Some(Read::Room),
        "heat_w" => Some(Read::Heat),
        "die_c" => Some(Read::Sensor(Sensor::Die)),
        "hotspot_c" => Some(Read::Sensor(Sensor::Hotspot)),
        "memory_c" => Some(Read::Sensor(Sensor::Memory)),
        _ => None,
    }
}

/// Reads a board's limits.
pub fn limits(board: &Board) -> Limits {
    let written = board.record.limits.as_ref();
    Limits {
        die_c: written.and_then(|limits| limits.die_c),
        hotspot_c: written.and_then(|limits| limits.hotspot_c),
        memory_c: written.and_then(|limits| limits.memory_c),
    }
}

/// Returns the jobs of a board that show it healthy under load, and what they read: after they ended well,
/// or at once where the board was left alone.
pub fn healthy(board: &Board) -> impl Iterator<Item = (&Job, Readings)> {
    board.own_jobs().filter_map(|job| {
        let record = &job.record;
        let written = match (&record.after, &record.before) {
            (Some(after), _) => after,
            (None, Some(before)) if before.throttling == Some(false) => before,
            _ => return None,
        };
        let read = readings(written);
        let is_well = record.ended != Some(Ended::Failed)
            && !read.complains()
            && !limits(board).is_reached(&read);
        (is_well && is_full_load(board, &read)).then_some((job, read))
    })
}

/// Tells whether a board was under full load, or nobody knows better.
fn is_full_load(board: &Board, readings: &Readings) -> bool {
    let both = readings.heat_w.zip(board.record.board.heat_w);
    both.is_none_or(|(heat_w, full_w)| {
        (FULL_LOAD_SHARE * full_w..=MISREAD_LOAD_SHARE * full_w).contains(&heat_w)
    })
}

/// Returns what healthy boards show, by every job but one: a job is not judged by itself. Jobs of all revisions are
/// taken together, which is said: few boards have enough of one.
pub fn normal(board: &Board, but: Option<&Job>) -> Normal {
    let is_other = |job: &Job| but.is_none_or(|but| but.file != job.file);
    let others: Vec<_> = healthy(board).filter(|(job, _)| is_other(job)).collect();
    let revisions: BTreeSet<String> = others
        .iter()
        .filter_map(|(job, _)| job.record.revision.clone())
        .collect();
    let read: Vec<Readings> = others.into_iter().map(|(_, readings)| readings).collect();
    let seen = Normal::of(&read);
    Normal {
        full_w: board.record.board.heat_w.or(seen.full_w),
        pooled: if revisions.len() > 1 {
            revisions.into_iter().collect()
        } else {
            Vec::new()
        },
        ..seen
    }
}

/// Judges a job by what it wrote down; nothing where it wrote down nothing afterwards.
pub fn proof(book: &Book, board: &Board, job: &Job) -> Option<Proof> {
    let after = readings(job.record.after.as_ref()?);
    let before = job.record.before.as_ref().map(readings);
    let (limits, normal) = (limits(board), normal(board, Some(job)));
    let hypotheses = hypotheses(book, board, Some(job), &after, &normal);
    let judges = (&limits, &normal);
    let found = prove(before.as_ref(), &after, judges, &hypotheses);
    Some(as_ended(found, job))
}

/// Lets the bench contradict temperatures that say that all is well: some parts have no sensor.
fn as_ended(mut found: Proof, job: &Job) -> Proof {
    let doubted = match found.verdict {
        Proved::Normal => Proved::NotKnown,
        Proved::BetterAtLeast => Proved::Better,
        _ => return found,
    };
    if job.record.ended == Some(Ended::Failed) {
        found.verdict = doubted;
        let why = "the bench says that the job failed, and no temperature shows why";
        found.reasons.insert(0, why.to_owned());
        let ask = "what the bench saw: write it down as `symptoms`; a part without a sensor shows no temperature";
        found.measure.push(ask.to_owned());
    }
    found
}

/// Returns what a job came to, without looking for what went wrong: nothing has to be solved.
pub fn proved(board: &Board, job: &Job) -> Option<Proved> {
    let after = readings(job.record.after.as_ref()?);
    let before = job.record.before.as_ref().map(readings);
    let judges = (&limits(board), &normal(board, Some(job)));
    let found = prove(before.as_ref(), &after, judges, &[]);
    Some(as_ended(found, job).verdict)
}

/// Returns what could be wrong with a board, and how each fault would change the temperatures: by the solved
/// stack-up where it can be solved, by common practice where not. A job that is known tells its pads.
pub fn hypotheses(
    book: &Book,
    board: &Board,
    job: Option<&Job>,
    after: &Readings,
    normal: &Normal,
) -> Vec<Hypothesis> {
    let mut found = vec![air(after, normal)];
    let sound = trial(book, board, job);
    let fit = Fit::of(book, board, &sound);
    let both = after.heat_w.zip(board.record.board.heat_w);
    let share = both.map_or(1.0, |(heat_w, full_w)| heat_w / full_w);
    let Some(faults) = Faults::of(&fit, share) else {
        found.extend(practice(share));
        return found;
    };
    found.extend(faults.held_off());
    found.extend(faults.wedges());
    found.extend(faults.dry());
    found.extend(faults.floats());
    let fitted = Trial {
        pads: job.map_or_else(Vec::new, |job| pads(book, board, job)),
        ..sound
    };
    found.extend(faults.as_fitted(&Fit::of(book, board, &fitted)));
    found
}

/// Returns the record's stack-up as a job had it on its bench: its revision, its paste.
fn trial<'a>(book: &'a Book, board: &Board, job: Option<&'a Job>) -> Trial<'a> {
    let record = job.map(|job| &job.record);
    let known = |one: &&str| {
        board
            .record
            .board
            .revisions
            .iter()
            .any(|known| known == one)
    };
    let revision = record.and_then(|record| record.revision.as_deref());
    let paste = record.and_then(|record| record.paste.as_deref());
    Trial {
        revision: revision.filter(known),
        paste: paste.and_then(|id| book.stock.paste(id)),
        ..Trial::default()
    }
}

/// Returns the pads that a job fitted.
fn pads<'a>(book: &'a Book, board: &Board, job: &'a Job) -> Vec<TriedPad<'a>> {
    let tried = |fitted: &'a crate::record::Fitted| {
        Some(TriedPad {
            zone: board.zone(&fitted.zone)?.0,
            thickness_mm: fitted.pad_mm,
            pad: fitted.pad.as_deref().and_then(|id| book.stock.pad(id)),
        })
    };
    job.record.fitted.iter().filter_map(tried).collect()
}

/// Too little air lifts everything by its own share and moves nothing against another.
fn air(after: &Readings, normal: &Normal) -> Hypothesis {
    let heat_w = after.heat_w.unwrap_or(0.0);
    let rise = |range: Option<super::Range>| range.map_or(0.2, |range| range.mean) * heat_w;
    let odds = match fan(after, normal) {
        Standing::Below => SLOW_FAN_ODDS,
        Standing::Within => GOOD_FAN_ODDS,
        Standing::Above | Standing::Unknown => 1.0,
    };
    Hypothesis {
        cause: Cause::Air,
        place: None,
        change_k: [
            (HALF_SPEED - 1.0) * rise(normal.die),
            0.0,
            (HALF_SPEED - 1.0) * rise(normal.memory),
        ],
        most: MOST_AIR,
        from: Whence::Practice,
        odds,
    }
}

/// What faults of contact do on any board, where nothing can be solved. Common practice.
fn practice(share: f64) -> impl Iterator<Item = Hypothesis> {
    let usual = [
        (Cause::HeldOff, [12.0, 14.0, 2.0]),
        (Cause::Wedge, [4.0, 12.0, 0.0]),
        (Cause::Dry, [1.0, 20.0, 0.0]),
        (Cause::Floats, [0.0, 0.0, BARE_MEMORY_K]),
    ];
    usual.into_iter().map(move |(cause, change)| Hypothesis {
        cause,
        place: None,
        change_k: change.map(|kelvin| share * kelvin),
        most: MOST,
        from: Whence::Practice,
        odds: 1.0,
    })
}

/// A solved stack-up into which faults are put.
struct Faults<'a> {
    fit: &'a Fit<'a>,
    /// The load as a share of the full one.
    share: f64,
    /// The drops without a fault: across the die's mean, at its hottest place above that, and at the
    /// memory, K.
    sound: [f64; 3],
}

impl<'a> Faults<'a> {
    /// Solves a stack-up without a fault; nothing where there is no die on paste to speak of.
    fn of(fit: &'a Fit<'a>, share: f64) -> Option<Self> {
        let mut faults = Self {
            fit,
            share,
            sound: [0.0; 3],
        };
        let seated = Self::seat(&fit.assembly, &fit.fitted()).ok()?;
        faults.sound = faults.drops(&fit.assembly, &seated)?;
        Some(faults)
    }

    /// Seats a cooler as it is just after closing, when pads push hardest: that is when a job is proved.
    fn seat(assembly: &Assembly, pads: &[Option<Fitted<'_>>]) -> Result<Seated, Domain> {
        assembly.seat_at(pads, Moment::Assembly)
    }

    /// Returns the drops that the sensors of die, hotspot and memory see, K.
    fn drops(&self, assembly: &Assembly, seated: &Seated) -> Option<[f64; 3]> {
        let hottest = |left: &usize, right: &usize| {
            let heat = |die: usize| assembly.dies[die].heat_w.unwrap_or(0.0);
            heat(*left).total_cmp(&heat(*right))
        };
        let index = (0..seated.dies.len()).max_by(hottest)?;
        let (die, rests) = (&assembly.dies[index], &seated.dies[index]);
        let flux = die.heat_w? / die.place.area();
        // W/mm² times µm, over W/(m·K), are kelvins.
        let across = |bond_um: f64| flux * bond_um / assembly.paste.conductivity_w_mk;
        let [least, greatest] = rests.bond_um;
        let mean = rests
            .drop_k
            .unwrap_or_else(|| across(f64::midpoint(least, greatest)));
        let excess = (HOT_PLACES - 1.0) * mean + across(greatest) - mean;
        let memory = self.memory_drop(seated);
        Some([mean, excess, memory].map(|drop| self.share * drop))
    }

    /// Returns the greatest drop between a memory package and what cools it, K.
    fn memory_drop(&self, seated: &Seated) -> f64 {
        let drops = self.memory_zones().flat_map(|zone| {
            let pieces = seated.zones[zone].as_ref().map(|seated| &seated.pieces);
            let drop = |piece: &crate::stack::PieceSeated| piece.drop_k.unwrap_or(BARE_MEMORY_K);
            match pieces {
                Some(pieces) => pieces.iter().map(drop).collect(),
                None => vec![BARE_MEMORY_K],
            }
        });
        drops.fold(0.0, f64::max)
    }

    /// Returns the zones that cool memory and can be seated, by position in the assembly.
    fn memory_zones(&self) -> impl Iterator<Item = usize> {
        let board = self.fit.board;
        let is_memory = move |face: &Option<Face>| match face {
            Some(Face::Part(part)) => board.record.part[*part].kind == PartKind::Memory,
            _ => false,
        };
        let zones = self.fit.zones.iter().enumerate();
        let of_memory =
            zones.filter(move |(_, zone)| board.zones[zone.zone].faces.iter().any(is_memory));
        let seats = |index: &usize| {
            self.fit.zones[*index].pad_mm.is_some()
                && self.fit.assembly.zones[*index].faces != Faces::Unknown
        };
        of_memory.map(|(index, _)| index).filter(seats)
    }

    /// Returns how a faulty stack-up differs from the sound one; nothing where no sensor would see it.
    fn change(&self, assembly: &Assembly, pads: &[Option<Fitted<'_>>]) -> Option<[f64; 3]> {
        let seated = Self::seat(assembly, pads).ok()?;
        let drops = self.drops(assembly, &seated)?;
        let change = std::array::from_fn(|index| drops[index] - self.sound[index]);
        let seen = |kelvin: &f64| kelvin.abs() >= UNSEEN_K;
        change.iter().any(seen).then_some(change)
    }

    fn hypothesis(cause: Cause, place: Option<String>, change_k: [f64; 3]) -> Hypothesis {
        Hypothesis {
            cause,
            place,
            change_k,
            most: if cause == Cause::Wedge {
                MOST_WEDGE
            } else {
                MOST
            },
            from: Whence::Solved,
            odds: 1.0,
        }
    }

    fn name(&self, zone: usize) -> String {
        self.fit.board.name(self.fit.zones[zone].id)
    }

    /// Pads a step or two too thick in each zone under the cooler.
    fn held_off(&self) -> impl Iterator<Item = Hypothesis> {
        let zones = 0..self.fit.zones.len();
        zones.flat_map(move |zone| {
            (0..STEPS_TOO_THICK).filter_map(move |step| self.too_thick(zone, step))
        })
    }

    fn too_thick(&self, zone: usize, step: usize) -> Option<Hypothesis> {
        let under = matches!(self.fit.assembly.zones[zone].faces, Faces::OnCooler { .. });
        let mut pads = self.fit.fitted();
        let pad = pads[zone].as_mut().filter(|_| under)?;
        let stocked = self.fit.zones[zone]
            .pad
            .map_or(&[][..], |pad| &pad.thickness_mm);
        let mut thicker: Vec<f64> = stocked
            .iter()
            .copied()
            .filter(|&one| one > pad.thickness_mm)
            .collect();
        thicker.sort_by(f64::total_cmp);
        let next = if step == 0 {
            NEXT_PAD_MM
        } else {
            2.0 * NEXT_PAD_MM
        };
        pad.thickness_mm = thicker
            .get(step)
            .copied()
            .unwrap_or(pad.thickness_mm + next);
        let change = self.change(&self.fit.assembly, &pads)?;
        let place = Some(self.name(zone));
        (change[0] >= UNSEEN_K).then(|| Self::hypothesis(Cause::HeldOff, place, change))
    }

    /// Each of the cooler's screws out.
    fn wedges(&self) -> Vec<Hypothesis> {
        let assembly = &self.fit.assembly;
        let Some(Cooler::Drawn { screws, .. }) = &assembly.cooler else {
            return Vec::new();
        };
        let wedge = |(index, screw): (usize, &crate::stack::Screw)| {
            let mut loose = assembly.clone();
            if let Some(Cooler::Drawn { screws, .. }) = &mut loose.cooler {
                screws[index].force_n = 0.0;
            }
            let change = self.change(&loose, &self.fit.fitted())?;
            let place = format!(
                "the cooler's screw at {:.0}, {:.0} mm",
                screw.at.x, screw.at.y
            );
            Some(Self::hypothesis(Cause::Wedge, Some(place), change))
        };
        screws.iter().enumerate().filter_map(wedge).collect()
    }

    /// A corner of the hottest die without paste: heat reaches the paste only along the silicon.
    fn dry(&self) -> Option<Hypothesis> {
        let dies = self.fit.assembly.dies.iter();
        let heat = |die: &&crate::stack::Die| die.heat_w.unwrap_or(0.0);
        let die = dies.max_by(|left, right| heat(left).total_cmp(&heat(right)))?;
        let flux = self.share * die.heat_w? / die.place.area();
        let side = DRY_SIDE * die.place.width.min(die.place.height);
        let rise = flux * side * side / SILICON_W_K;
        let dry_share = side * side / die.place.area();
        let mean = dry_share * (CORNER_MEAN * rise + self.sound[0]);
        let change = [mean, CORNER_PEAK * rise - mean, 0.0];
        Some(Self::hypothesis(Cause::Dry, None, change))
    }

    /// Each zone of the memory without its pads.
    fn floats(&self) -> impl Iterator<Item = Hypothesis> {
        self.memory_zones().filter_map(|zone| {
            let mut pads = self.fit.fitted();
            pads[zone] = None;
            let change = self.change(&self.fit.assembly, &pads)?;
            Some(Self::hypothesis(
                Cause::Floats,
                Some(self.name(zone)),
                change,
            ))
        })
    }

    /// The pads that the job fitted, where they differ from the record's and it shows.
    fn as_fitted(&self, fitted: &Fit<'_>) -> Option<Hypothesis> {
        let change = self.change(&fitted.assembly, &fitted.fitted())?;
        let differ = |(own, record): (&crate::stack::ZoneFit<'_>, &crate::stack::ZoneFit<'_>)| {
            let differs = own.pad_mm != record.pad_mm
                || own.pad.map(|pad| &pad.id) != record.pad.map(|pad| &pad.id);
            differs.then(|| self.fit.board.name(own.id))
        };
        let places: Vec<String> = fitted
            .zones
            .iter()
            .zip(&self.fit.zones)
            .filter_map(differ)
            .collect();
        let [die, _, memory] = change;
        let cause = if die >= memory {
            Cause::HeldOff
        } else {
            Cause::Floats
        };
        (!places.is_empty() && die.max(memory) >= UNSEEN_K).then(|| Hypothesis {
            cause,
            place: Some(places.join(", ")),
            change_k: change,
            most: MOST_FITTED,
            from: Whence::Fitted,
            odds: FITTED_ODDS,
        })
    }
}
