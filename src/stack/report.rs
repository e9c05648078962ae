//! What a stack-up comes to, as plain data: for people, for programs and for the guide alike.

use schemars::JsonSchema;
use serde::Serialize;

use super::Domain;
use super::assembly::{DieSeated, DieVerdict, Outcome, PieceSeated, Seated, Verdict, ZoneSeated};
use super::chosen::FitChoice;
use super::fit::{Fit, ZoneFit};
use super::gap::{Evidence, Finding, GapFinding, Source};
use super::others::{FitSubstitute, FitWrong, FitYield};
use super::shelf::Shelf;
use crate::record::schema::Words as _;
use crate::record::{Pad, Thresholds};
use crate::units::Rect;

/// Milliradians in a radian.
const MRAD: f64 = 1000.0;

/// What a board's stack-up comes to.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitFacts {
    /// The board's id.
    pub board: String,
    /// The revision that is meant, where the board has any.
    pub revision: Option<String>,
    /// What is assumed, in sentences.
    pub assumed: Vec<String>,
    /// Height of the cooler's datum face over the board at the die's centre, mm.
    pub separation_mm: Option<f64>,
    /// How the cooler is tilted about x and about y, mrad, right-handed.
    pub tilt_mrad: Option<[f64; 2]>,
    /// How hard the cooler rests on its screws' standoffs together, N; null where its screws do not bottom.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standoffs_n: Option<f64>,
    /// The dies.
    pub dies: Vec<FitDie>,
    /// The zones, in the record's order.
    pub zones: Vec<FitZone>,
    /// In which fraction of sampled tolerances everything holds; null where it was not worked out.
    #[serde(rename = "yield")]
    pub yields: Option<FitYield>,
    /// What was chosen from a stock, where that was asked for: the zones' pads are then those.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub choice: Option<FitChoice>,
    /// Why the cooler cannot be seated, where it cannot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub problem: Option<String>,
    /// What to change, in sentences.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub change: Vec<String>,
}

/// How one die fares, at assembly.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitDie {
    /// The part's id.
    pub id: String,
    /// The force it gets, N.
    pub force_n: f64,
    /// Its mean pressure, kPa.
    pub mean_kpa: f64,
    /// Least and greatest bond line, µm.
    pub bond_um: [f64; 2],
    /// Temperature drop across the paste, K.
    pub drop_k: Option<f64>,
    /// Whether that is well.
    pub verdict: DieVerdict,
}

/// How one zone fares, at assembly.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitZone {
    /// The zone's id.
    pub id: String,
    /// The pad's free thickness, mm.
    pub pad_mm: Option<f64>,
    /// Its material, a key of the stock.
    pub pad: Option<String>,
    /// The nearest thicknesses in stock, mm, where the pad's own is not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nearest_mm: Option<Vec<f64>>,
    /// The gap by the evidence; null where there is none, or it contradicts itself.
    pub gap_mm: Option<FitGap>,
    /// Free thicknesses at which everything holds, mm; null where they were not worked out.
    pub window_mm: Option<[f64; 2]>,
    /// The worst piece's verdict; null where the gap or the pad is not known.
    pub verdict: Option<Verdict>,
    /// How hard its pads push together, N.
    pub force_n: Option<f64>,
    /// Its pieces.
    pub pieces: Vec<FitPiece>,
    /// What every pad of the stock would do here; empty where it was not worked out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub substitutes: Vec<FitSubstitute>,
    /// The stocked thickness of the same material nearest to the fitted one that does harm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nearest_wrong: Option<FitWrong>,
    /// What is wrong with the evidence, or would settle it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unknown: Option<String>,
    /// Whether the evidence contradicts itself.
    #[serde(skip)]
    pub impossible: bool,
}

/// A gap by the evidence.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitGap {
    /// The likeliest, mm.
    pub value: f64,
    /// The least that all evidence allows, mm.
    pub low: f64,
    /// The greatest, mm.
    pub high: f64,
    /// What it is known from.
    pub from: Vec<Source>,
}

/// How one piece fares, at assembly.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FitPiece {
    /// Where it lies.
    pub at: Rect,
    /// The strain at its centre; negative where it floats.
    pub strain: f64,
    /// Its mean pressure, kPa.
    pub pressure_kpa: f64,
    /// How hard it pushes, N.
    pub force_n: f64,
    /// Temperature drop from face to face, K, where it is known.
    pub drop_k: Option<f64>,
    /// Whether that is well.
    pub verdict: Verdict,
}

impl FitFacts {
    /// Seats a stack-up and gathers what it comes to.
    pub fn of(fit: &Fit<'_>) -> Self {
        let (outcome, problem) = match fit.seat() {
            Ok(outcome) => (Some(outcome), None),
            Err(domain) => (None, Some(problem(fit, &domain))),
        };
        let peak = outcome.as_ref().map(|outcome| &outcome.peak);
        let plate = peak.and_then(|peak| peak.plate);
        let zone = |(index, zone): (usize, &ZoneFit<'_>)| {
            let seated = peak.and_then(|peak| peak.zones[index].as_ref());
            zone_facts(fit, zone, index, seated)
        };
        Self {
            board: fit.board.id().to_owned(),
            revision: fit.revision.map(str::to_owned),
            assumed: fit.assumed.clone(),
            separation_mm: plate.map(|plate| plate.separation_mm),
            // It rises upwards by `b`: a turn about x; to the right by `a`: a turn back about y.
            tilt_mrad: plate.map(|plate| [MRAD * plate.tilt[1], -MRAD * plate.tilt[0]]),
            standoffs_n: peak.and_then(Seated::standoffs_n),
            dies: outcome.as_ref().map_or_else(Vec::new, |it| dies(fit, it)),
            zones: fit.zones.iter().enumerate().map(zone).collect(),
            yields: None,
            choice: None,
            change: changes(fit, outcome.as_ref()),
            problem,
        }
    }

    /// Adds what every pad of a stock would do in each zone, and which would do harm.
    pub fn add_substitutes(&mut self, fit: &Fit<'_>, stock: &[Pad]) {
        let vague: Vec<String> = Shelf::of(stock)
            .without_table()
            .map(|id| format!("`{id}`"))
            .collect();
        if !vague.is_empty() {
            self.assumed.push(format!(
                "among other pads, {} push like usual soft ones: the stock gives no usable table",
                vague.join(", ")
            ));
        }
        for (index, zone) in self.zones.iter_mut().enumerate() {
            zone.substitutes = fit.substitutes(index, stock);
            zone.nearest_wrong = fit.nearest_wrong(index);
        }
    }

    /// Tells whether something does not hold or should be changed: a pad floats, is crushed or ill chosen, a die
    /// is not reached, held off, uneven or overloaded, the evidence contradicts itself, or the cooler cannot be
    /// seated.
    pub fn is_wrong(&self) -> bool {
        let pad = |zone: &FitZone| zone.verdict.is_some_and(|it| it >= Verdict::Floating);
        self.problem.is_some()
            || !self.change.is_empty()
            || self.choice.as_ref().is_some_and(|choice| !choice.found)
            || self.zones.iter().any(|zone| pad(zone) || zone.impossible)
            || self
                .dies
                .iter()
                .any(|die| die.verdict >= DieVerdict::HeldOff)
    }
}

/// Says why the cooler cannot be seated.
fn problem(fit: &Fit<'_>, domain: &Domain) -> String {
    match *domain {
        Domain::NoBondLine { support, gap_mm } if support < fit.die_parts.len() => {
            let die = &fit.board.record.part[fit.die_parts[support]].id;
            format!(
                "the standoffs are {:.2} mm too low: the cooler would stand on `{die}`",
                -gap_mm
            )
        }
        _ => domain.to_string(),
    }
}

fn dies(fit: &Fit<'_>, outcome: &Outcome) -> Vec<FitDie> {
    let parts = fit.die_parts.iter();
    parts
        .zip(&outcome.peak.dies)
        .map(|(&part, die)| FitDie {
            id: fit.board.record.part[part].id.clone(),
            force_n: die.force_n,
            mean_kpa: die.mean_kpa,
            bond_um: die.bond_um,
            drop_k: die.drop_k,
            verdict: die.verdict,
        })
        .collect()
}

fn zone_facts(
    fit: &Fit<'_>,
    zone: &ZoneFit<'_>,
    index: usize,
    seated: Option<&ZoneSeated>,
) -> FitZone {
    FitZone {
        id: zone.id.to_owned(),
        pad_mm: zone.pad_mm,
        pad: zone.pad.map(|pad| pad.id.clone()),
        nearest_mm: zone.nearest_mm.clone(),
        gap_mm: gap(&zone.finding.gap),
        window_mm: window_mm(fit, index),
        verdict: seated.map(|seated| seated.verdict),
        force_n: seated.map(|seated| seated.force_n),
        pieces: seated.map_or_else(Vec::new, |seated| {
            pieces(&fit.assembly.zones[index].pieces, &seated.pieces)
        }),
        substitutes: Vec::new(),
        nearest_wrong: None,
        unknown: unknown(&zone.finding),
        impossible: matches!(zone.finding.gap, Finding::Impossible { .. }),
    }
}

fn gap(finding: &Finding) -> Option<FitGap> {
    let Finding::Known {
        value_mm,
        within,
        from,
    } = finding
    else {
        return None;
    };
    Some(FitGap {
        value: *value_mm,
        low: within.low_mm,
        high: within.high_mm,
        from: from.clone(),
    })
}

/// Says what contradicts itself about a gap, or what would settle it.
fn unknown(finding: &GapFinding) -> Option<String> {
    let settle = finding.settle.as_ref();
    match &finding.gap {
        Finding::Known { .. } => {
            settle.map(|measure| format!("known from the maker's pad alone; measure {measure}"))
        }
        Finding::Impossible { narrow, wide } => Some(format!(
            "{}, {}: one of them is wrong",
            asks(wide),
            asks(narrow)
        )),
        Finding::Unknown => settle.map(|measure| format!("measure {measure}")),
    }
}

/// Returns the thicknesses of the fitted material that would do in a zone, the others as they are, mm.
fn window_mm(fit: &Fit<'_>, zone: usize) -> Option<[f64; 2]> {
    let fitted = fit.fitted();
    let material = fitted[zone]?.material;
    let window = fit.assembly.window(&fitted, zone, material)?.window?;
    Some([window.low_mm, window.high_mm])
}

fn pieces(places: &[Rect], seated: &[PieceSeated]) -> Vec<FitPiece> {
    let both = places.iter().zip(seated);
    both.map(|(&at, piece)| FitPiece {
        at,
        strain: piece.strain,
        pressure_kpa: piece.pressure_kpa,
        force_n: piece.force_n,
        drop_k: piece.drop_k,
        verdict: piece.verdict,
    })
    .collect()
}

/// Says which gaps one piece of evidence allows.
fn asks(evidence: &Evidence) -> String {
    let (low, high) = (evidence.allows.low_mm, evidence.allows.high_mm);
    format!(
        "{} say {low:.2} to {high:.2} mm",
        match evidence.source {
            Source::MakersPad => "healthy squeezes of the maker's pad",
            Source::Geometry => "the recorded heights",
            Source::Imprints => Source::Imprints.word(),
        }
    )
}

/// Says what to change so that everything fits better.
fn changes(fit: &Fit<'_>, outcome: Option<&Outcome>) -> Vec<String> {
    let thresholds = &fit.assembly.thresholds;
    let mut changes: Vec<String> = fit
        .zones
        .iter()
        .filter_map(|zone| another_pad(zone, thresholds))
        .collect();
    let dies = outcome.map_or(&[][..], |outcome| &outcome.peak.dies);
    let worst = dies.iter().map(|die| die.verdict).max();
    let advice = match worst {
        Some(DieVerdict::NotReached) => "fit a pad on the die: paste does not bridge its gap",
        Some(DieVerdict::HeldOff) if outcome.is_some_and(|it| it.peak.is_on_standoffs()) => {
            "lower the standoffs, or correct their height: they carry what the die should get"
        }
        Some(DieVerdict::HeldOff) => {
            "fit softer or smaller pads, or more clamp force: the pads carry what the die should get"
        }
        Some(DieVerdict::Uneven) => {
            "even out the pads on both sides of the die, or its screws: the cooler tilts"
        }
        Some(DieVerdict::Seated) | None => "",
    };
    // How the cooler tilts says little where nobody knows how its screws pull.
    let is_guess = worst == Some(DieVerdict::Uneven) && fit.assumed_clamp.is_some();
    if changes.is_empty() && !advice.is_empty() && !is_guess {
        changes.push(advice.to_owned());
    }
    changes.extend(overload(fit, dies));
    changes
}

/// Says which dies are pressed harder than the book allows.
fn overload(fit: &Fit<'_>, dies: &[DieSeated]) -> Vec<String> {
    let greatest_kpa = fit.assembly.thresholds.greatest_die_kpa;
    let pressed = fit.die_parts.iter().zip(dies);
    pressed
        .filter(|(_, die)| die.mean_kpa > greatest_kpa)
        .map(|(&part, die)| {
            format!(
                "check the clamp force: `{}` would get {:.0} kPa, and a die takes {greatest_kpa} kPa at most",
                fit.board.record.part[part].id, die.mean_kpa
            )
        })
        .collect()
}

/// Says which pad would fit a zone better, where the one in it is squeezed too little or too much in the
/// gap that the evidence gives: in that gap, not in the one that the wrong pads elsewhere leave.
fn another_pad(zone: &ZoneFit<'_>, thresholds: &Thresholds) -> Option<String> {
    let gap_mm = zone.finding.gap.value_mm()?;
    let fitted_mm = zone.pad_mm?;
    let strain_of = |pad_mm: f64| 1.0 - gap_mm / pad_mm;
    let strain = strain_of(fitted_mm);
    if (thresholds.light..=thresholds.hard).contains(&strain) {
        return None;
    }
    let aim = f64::midpoint(thresholds.light, thresholds.hard);
    let off = |pad_mm: &f64| (strain_of(*pad_mm) - aim).abs();
    let stocked = zone.pad.map_or(&[][..], |pad| &pad.thickness_mm);
    let fits = |pad_mm: &&f64| (thresholds.light..=thresholds.hard).contains(&strain_of(**pad_mm));
    let best = stocked.iter().filter(fits);
    let best = best.min_by(|left, right| off(left).total_cmp(&off(right)));
    let id = zone.id;
    let how = if strain < 0.0 {
        format!("{fitted_mm} mm does not reach across a gap of {gap_mm:.2} mm")
    } else {
        let percent = 100.0 * strain;
        format!("{fitted_mm} mm is squeezed by {percent:.0} % in a gap of {gap_mm:.2} mm")
    };
    Some(match (best, zone.pad) {
        (Some(best), _) => format!("fit {best} mm at `{id}`: {how}"),
        (None, Some(pad)) => format!(
            "find another material for `{id}`: {how}, and no stocked thickness of `{}` fits",
            pad.id
        ),
        (None, None) => format!("find another pad for `{id}`: {how}"),
    })
}
