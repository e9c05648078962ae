//! Steady conduction straight through layers: resistances in series.

use crate::stack::{Domain, not_negative, positive};

/// Square millimetres in a square metre.
const MM2_PER_M2: f64 = 1e6;

/// Millimetres in a metre.
const MM_PER_M: f64 = 1e3;

/// Returns the thermal resistance of an even layer, K/W: `t / (k·A)`.
///
/// # Units
/// `thickness_mm`: mm; `conductivity_w_mk`: W/(m·K); `area_mm2`: mm².
/// # Errors
/// [`Domain::Unfit`] unless conductivity and area are positive and the thickness is not negative.
pub fn layer_k_w(thickness_mm: f64, conductivity_w_mk: f64, area_mm2: f64) -> Result<f64, Domain> {
    let thickness = not_negative("thickness (mm)", thickness_mm)? / MM_PER_M;
    let conductivity = positive("conductivity (W/(m·K))", conductivity_w_mk)?;
    Ok(thickness / (conductivity * area_m2(area_mm2)?))
}

/// Returns the thermal resistance of a contact, K/W, from that of a unit of area.
///
/// # Units
/// `contact_m2k_w`: m²·K/W, per contact face; `area_mm2`: mm².
/// # Errors
/// [`Domain::Unfit`] unless the area is positive and the contact is not negative.
pub fn contact_k_w(contact_m2k_w: f64, area_mm2: f64) -> Result<f64, Domain> {
    Ok(not_negative("contact resistance (m²·K/W)", contact_m2k_w)? / area_m2(area_mm2)?)
}

/// Returns the temperature drop, K, of a heat flow, W, across resistances in series, K/W.
pub fn drop_k(heat_w: f64, resistances_k_w: &[f64]) -> f64 {
    heat_w * resistances_k_w.iter().sum::<f64>()
}

fn area_m2(area_mm2: f64) -> Result<f64, Domain> {
    Ok(positive("area (mm²)", area_mm2)? / MM2_PER_M2)
}
