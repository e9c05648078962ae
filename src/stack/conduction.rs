//! Steady conduction straight through layers: resistances in series, each that of a unit of area.

use super::{Domain, not_negative, positive};

/// Square millimetres times kelvins per watt of a millimetre of 1 W/(m·K).
const MM2_K_W_PER_MM: f64 = 1000.0;

/// Returns the thermal resistance of a unit of area of an even layer, mm²·K/W: `t / k`.
///
/// # Units
/// `thickness_mm`: mm; `conductivity_w_mk`: W/(m·K).
/// # Errors
/// [`Domain::Unfit`] unless the conductivity is positive and the thickness is not negative.
/// # Accuracy
/// About 1e-15, relative; of the layer itself, as far as heat goes straight through and does not spread.
/// # References
/// Incropera, Bergman and others, Fundamentals of Heat and Mass Transfer, 3.1.2 (from memory).
pub fn layer_mm2_k_w(thickness_mm: f64, conductivity_w_mk: f64) -> Result<f64, Domain> {
    let thickness = not_negative("thickness (mm)", thickness_mm)?;
    let conductivity = positive("conductivity (W/(m·K))", conductivity_w_mk)?;
    Ok(MM2_K_W_PER_MM * thickness / conductivity)
}

/// Returns the temperature drop, K, of a heat flow across resistances in series: `q·ΣR / A`.
///
/// # Units
/// `heat_w`: W; `resistances_mm2_k_w`: mm²·K/W, of layers and of contacts; `area_mm2`: mm².
/// # Errors
/// [`Domain::Unfit`] unless the area is positive.
/// # Accuracy
/// About 1e-15, relative, of resistances that are not negative.
/// # References
/// Incropera, Bergman and others, Fundamentals of Heat and Mass Transfer, 3.1.3 and 3.1.4 (from memory);
/// example 3.3 is its first test.
pub fn drop_k(heat_w: f64, resistances_mm2_k_w: &[f64], area_mm2: f64) -> Result<f64, Domain> {
    let whole: f64 = resistances_mm2_k_w.iter().sum();
    Ok(heat_w * whole / positive("area (mm²)", area_mm2)?)
}
