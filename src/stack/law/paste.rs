use super::Response;
use crate::stack::{Domain, positive};

/// `c` of the scaling law, mm. Prasher and others (2003); as remembered, the paper's page not seen.
const SCALE_MM: f64 = 0.131;

/// `m` of the scaling law. Source as for [`SCALE_MM`].
const EXPONENT: f64 = 0.166;

/// How paste thins under pressure: the scaling law of filled pastes, also read backwards.
///
/// Forwards `z = c·(τ / p)^m`; backwards `p = τ·(c / z)^(1/m)`. It holds once the paste has stopped
/// flowing; squeezed for less time than that, it is thicker.
///
/// # References
/// Prasher, Shipley, Prstic, Koning, Wang (2003), J. Heat Transfer 125(6), p. 1170.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PasteLaw {
    yield_kpa: f64,
}

/// The power of the gap by which pressure falls.
const POWER: f64 = 1.0 / EXPONENT;

impl PasteLaw {
    /// The power of the gap by which the energy falls.
    pub(in crate::stack) const ENERGY_POWER: f64 = POWER - 1.0;

    /// Returns the law of a paste with this yield stress.
    ///
    /// # Units
    /// `yield_pa`: Pa; filled pastes lie around 50 to 300.
    /// # Errors
    /// [`Domain::Unfit`] unless positive and finite.
    pub fn new(yield_pa: f64) -> Result<Self, Domain> {
        let yield_kpa = positive("yield stress (Pa)", yield_pa)? / 1000.0;
        Ok(Self { yield_kpa })
    }

    /// Returns the bond line under a pressure, mm; the pressure, kPa, must be positive.
    pub fn bond_line_mm(&self, pressure_kpa: f64) -> f64 {
        SCALE_MM * (self.yield_kpa / pressure_kpa).powf(EXPONENT)
    }

    /// Returns pressure, slope and energy at a bond line, mm, which must be positive.
    pub fn at(&self, gap_mm: f64) -> Response {
        let pressure_kpa = self.yield_kpa * (SCALE_MM / gap_mm).powf(POWER);
        Response {
            energy_kpa_mm: pressure_kpa * gap_mm / Self::ENERGY_POWER,
            pressure_kpa,
            slope_kpa_mm: -POWER * pressure_kpa / gap_mm,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn backwards_undoes_forwards() {
        let paste = PasteLaw::new(120.0).expect("positive");
        for pressure in [1e-3, 7.0, 150.0, 4e4] {
            let found = paste.at(paste.bond_line_mm(pressure)).pressure_kpa;
            assert!(
                (found / pressure - 1.0).abs() < 1e-13,
                "{found} is not {pressure}"
            );
        }
    }

    #[test]
    fn derivatives_agree_with_differences() {
        let paste = PasteLaw::new(120.0).expect("positive");
        for gap in [0.01, 0.04, 0.3, 2.0] {
            let step = 1e-6 * gap;
            let (here, [less, more]) = (
                paste.at(gap),
                [gap - step, gap + step].map(|gap| paste.at(gap)),
            );
            let pressure = (less.energy_kpa_mm - more.energy_kpa_mm) / (2.0 * step);
            let slope = (more.pressure_kpa - less.pressure_kpa) / (2.0 * step);
            assert!(
                (pressure / here.pressure_kpa - 1.0).abs() < 1e-8,
                "pressure at {gap}"
            );
            assert!(
                (slope / here.slope_kpa_mm - 1.0).abs() < 1e-8,
                "slope at {gap}"
            );
        }
    }

    #[test]
    fn refuses_a_paste_that_does_not_resist() {
        for value in [0.0, -5.0, f64::NAN, f64::INFINITY] {
            assert!(PasteLaw::new(value).is_err(), "{value}");
        }
    }
}
