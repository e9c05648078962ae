//! What can be fitted: every thickness of every material of a stock, ready to be tried.

use super::Domain;
use super::assembly::{Fitted, Material};
use super::law::PadCurve;
use crate::evidence::nominal::USUAL_TOLERANCE;
use crate::record::Pad;

/// Strain against pressure, kPa, of a soft pad: the middle of what makers' tables give for Shore 00
/// 25 to 40. Taken where a record names no material, or the material has no table.
const SOFT: [[f64; 2]; 3] = [[0.22, 69.0], [0.35, 172.0], [0.50, 345.0]];

/// The fraction of a pad's pressure that stays, where its record does not say. Common practice: stress
/// falls by a third to two thirds within minutes.
const USUAL_RELAXED: f64 = 0.5;

/// How near thicknesses must be, mm, to be the same one; stocked ones lie 0.25 mm apart or more.
pub(crate) const SAME_THICKNESS_MM: f64 = 0.01;

/// A stock's pads.
#[derive(Clone, Debug)]
pub struct Shelf<'a> {
    materials: Vec<(&'a Pad, Material)>,
}

/// One thickness of one material.
#[derive(Clone, Copy, Debug)]
pub struct Offer<'a, 's> {
    /// The material as recorded.
    pub pad: &'a Pad,
    /// The same in numbers, with the thickness.
    pub fitted: Fitted<'s>,
}

impl<'a> Shelf<'a> {
    /// Puts a stock's pads on the shelf.
    pub fn of(pads: &'a [Pad]) -> Self {
        let materials = pads.iter().map(|pad| (pad, Material::of(Some(pad))));
        Self {
            materials: materials.collect(),
        }
    }

    /// Counts more strain than this as crushing any of them.
    pub(super) fn limit_strain(&mut self, strain: f64) {
        for (_, material) in &mut self.materials {
            let most = material.max_strain.unwrap_or(strain);
            material.max_strain = Some(most.min(strain));
        }
    }

    /// Returns every thickness of every material, in the stock's order.
    pub fn offers(&self) -> impl Iterator<Item = Offer<'a, '_>> {
        self.materials.iter().flat_map(|(pad, material)| {
            pad.thickness_mm.iter().map(move |&thickness_mm| Offer {
                pad,
                fitted: Fitted {
                    thickness_mm,
                    material,
                },
            })
        })
    }

    /// Returns the materials that give no usable table, by id: they count as usual soft ones.
    pub fn without_table(&self) -> impl Iterator<Item = &'a str> {
        let pads = self.materials.iter().map(|(pad, _)| *pad);
        pads.filter(|pad| pad_curve(pad).is_err())
            .map(|pad| &*pad.id)
    }
}

/// Returns the next thinner and the next thicker of stocked thicknesses, mm, where none of them is the one
/// that is asked for; nothing where one is, or nothing is stocked.
pub(super) fn nearest_stocked(
    pad_mm: f64,
    stocked_mm: impl Iterator<Item = f64> + Clone,
) -> Option<Vec<f64>> {
    if stocked_mm
        .clone()
        .any(|mm| (mm - pad_mm).abs() < SAME_THICKNESS_MM)
    {
        return None;
    }
    let thinner = stocked_mm.clone().filter(|&mm| mm < pad_mm);
    let thicker = stocked_mm.filter(|&mm| mm > pad_mm);
    let nearest = [thinner.reduce(f64::max), thicker.reduce(f64::min)];
    let nearest: Vec<f64> = nearest.into_iter().flatten().collect();
    (!nearest.is_empty()).then_some(nearest)
}

/// Says that the book knows no pad of a thickness that could be bought, and which it knows.
pub(crate) fn not_stocked(pad: Option<&str>, pad_mm: f64, nearest_mm: &[f64]) -> String {
    let pad = pad.map_or_else(|| "pad".to_owned(), |pad| format!("`{pad}`"));
    let nearest: Vec<String> = nearest_mm.iter().map(f64::to_string).collect();
    let (are, nearest) = match &nearest[..] {
        [one] => ("is", one.clone()),
        several => ("are", several.join(" and ")),
    };
    format!("the book knows no {pad} of {pad_mm} mm; the nearest {are} {nearest} mm")
}

impl Material {
    /// Returns a material in numbers; what its record does not say, or all of it, is that of a usual soft
    /// pad, but for the conductivity.
    pub fn of(pad: Option<&Pad>) -> Self {
        let soft = || PadCurve::new(&SOFT).expect("invariant: the usual table rises");
        Self {
            curve: pad.and_then(|pad| pad_curve(pad).ok()).unwrap_or_else(soft),
            conductivity_w_mk: pad.map(|pad| pad.conductivity_w_mk),
            max_strain: pad.and_then(|pad| pad.max_strain),
            relaxed: pad.and_then(|pad| pad.relaxed).unwrap_or(USUAL_RELAXED),
        }
    }
}

/// Returns a material's own pressure law.
///
/// # Errors
/// [`Domain`] where its table is empty or does not rise.
pub(crate) fn pad_curve(pad: &Pad) -> Result<PadCurve, Domain> {
    let points = pad.deflection.iter();
    let table: Vec<[f64; 2]> = points
        .map(|point| [point.strain, point.pressure_kpa])
        .collect();
    PadCurve::new(&table)
}

/// Returns how far a pad's thickness may be off, plus or minus, mm.
pub(super) fn thickness_tolerance_mm(pad: Option<&Pad>, thickness_mm: f64) -> f64 {
    let stated = pad.and_then(|pad| pad.thickness_tolerance);
    stated.unwrap_or(USUAL_TOLERANCE) * thickness_mm
}
