//! The heat that passes through a bond line, be it a wedge.

use super::power::PowerMean;
use super::slices::{POWER, POWER_CUT, Wedge};
use super::{Domain, Plate, positive};
use crate::units::Rect;

/// Watts per kelvin of a conductivity of 1 W/(m·K) over an area of 1 mm², 1 mm thick.
const W_PER_K: f64 = 1e-3;

/// Returns `∫ dA / z` over a rectangle under a tilted plate, mm, with `z` the gap to a face: heat takes the
/// paths side by side, so a wedge conducts better than its mean thickness says.
///
/// # Errors
/// [`Domain::Unfit`] unless the gap is positive and finite all over the rectangle.
/// # Accuracy
/// About 1e-12, relative.
pub fn inverse_gap_mm(place: Rect, face_mm: f64, plate: &Plate) -> Result<f64, Domain> {
    let wedge = Wedge {
        half: [place.width / 2.0, place.height / 2.0],
        centre: plate.height_at(place.centre()) - face_mm,
        tilt: plate.tilt,
    };
    let [least, greatest] = wedge.gaps();
    positive("least gap (mm)", least)?;
    positive("greatest gap (mm)", greatest)?;
    if let Some(mean) = PowerMean::of(1.0, wedge.rises()) {
        return Ok(place.area() / wedge.centre * mean.value);
    }
    let mut sum = 0.0;
    wedge.slice(
        POWER,
        |gap| POWER_CUT * gap,
        |slice| sum += slice.area / slice.gap,
    );
    Ok(sum)
}

/// Returns the temperature drop across a layer, K, whose inverse gap is integrated over its area:
/// `heat / (k · ∫ dA / z)`.
///
/// # Units
/// `heat_w`: W; `conductivity_w_mk`: W/(m·K); `inverse_gap_mm`: mm, from [`inverse_gap_mm`].
/// # Errors
/// [`Domain::Unfit`] unless conductivity and integral are positive and finite.
pub fn drop_k(heat_w: f64, conductivity_w_mk: f64, inverse_gap_mm: f64) -> Result<f64, Domain> {
    let conductivity = positive("conductivity (W/(m·K))", conductivity_w_mk)?;
    let inverse_gap = positive("integral of the inverse gap (mm)", inverse_gap_mm)?;
    Ok(heat_w / (conductivity * inverse_gap * W_PER_K))
}
