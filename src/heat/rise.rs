//! The rise over ambient for each watt: what makes temperatures of two jobs comparable.

use super::Estimate;
use crate::stack::{Domain, positive};

/// How far a chip's own sensor may be off under steady load, plus or minus, K: it shows whole kelvins and
/// wanders by one. Common practice. A constant error of its own cancels between two readings of one board,
/// and is in the spread between boards.
pub const SENSOR_K: f64 = 1.0;

/// How far a room thermometer may be off, plus or minus, K. Common practice.
pub const AMBIENT_K: f64 = 1.0;

/// How far a reported load may be off, plus or minus, as a fraction. Common practice: a board's own
/// report, averaged by eye.
pub const HEAT_SHARE: f64 = 0.03;

/// Returns a sensor's rise over ambient for each watt, K/W.
///
/// It holds for steady heat and one fan speed; a faster fan makes it smaller.
///
/// # Units
/// `sensor_c`, `ambient_c`: °C; `heat_w`: W.
/// # Errors
/// [`Domain::Unfit`] unless the heat is positive.
pub fn per_watt(sensor_c: f64, ambient_c: f64, heat_w: f64) -> Result<Estimate, Domain> {
    let ambient = Estimate::rectangular(ambient_c, AMBIENT_K);
    let rise = Estimate::rectangular(sensor_c, SENSOR_K).minus(ambient);
    rise.over(heat(heat_w)?, 0.0)
}

/// Returns how far a hotspot is above the die's mean for each watt, K/W. It needs no room's temperature.
///
/// # Errors
/// [`Domain::Unfit`] unless the heat is positive.
pub fn excess_per_watt(hotspot_c: f64, die_c: f64, heat_w: f64) -> Result<Estimate, Domain> {
    let die = Estimate::rectangular(die_c, SENSOR_K);
    let excess = Estimate::rectangular(hotspot_c, SENSOR_K).minus(die);
    excess.over(heat(heat_w)?, 0.0)
}

fn heat(heat_w: f64) -> Result<Estimate, Domain> {
    let heat_w = positive("heat (W)", heat_w)?;
    Ok(Estimate::rectangular(heat_w, HEAT_SHARE * heat_w))
}

#[cfg(test)]
mod tests {
    use super::{excess_per_watt, per_watt};

    /// 48 K over 240 W: ±1 K twice gives 0.816 K, 1.70 %; ±3 % gives 1.73 %; together 2.43 %.
    #[test]
    fn the_uncertainty_is_worked_by_hand() {
        let rise = per_watt(72.0, 24.0, 240.0).expect("heat");
        assert!((rise.value - 0.2).abs() < 1e-12, "{rise:?}");
        assert!(
            (rise.standard / rise.value - 0.0243).abs() < 1e-4,
            "{rise:?}"
        );
    }

    #[test]
    fn no_heat_is_refused() {
        for heat_w in [0.0, -5.0, f64::NAN, f64::INFINITY] {
            assert!(per_watt(72.0, 24.0, heat_w).is_err(), "{heat_w}");
            assert!(excess_per_watt(84.0, 72.0, heat_w).is_err(), "{heat_w}");
        }
    }
}
