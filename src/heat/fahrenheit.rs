//! Temperatures that look like degrees Fahrenheit: recognised and asked about, never converted silently.

/// The warmest believable room, °C.
pub const WARMEST_ROOM_C: f64 = 45.0;

/// The hottest a chip reports before it switches itself off, °C. Common practice: 105 to 125.
pub const HOTTEST_CHIP_C: f64 = 125.0;

/// How far above its limit a running board is believable, K.
pub const BEYOND_LIMIT_K: f64 = 15.0;

/// Returns what a room's temperature is in °C if it was written in °F; nothing where it is believable as
/// it stands.
pub fn room(written: f64) -> Option<f64> {
    let celsius = celsius(written);
    (written > WARMEST_ROOM_C && (0.0..=WARMEST_ROOM_C).contains(&celsius)).then_some(celsius)
}

/// Returns the same of a chip's temperature, given its limit where it is known, °C.
pub fn chip(written: f64, limit_c: Option<f64>) -> Option<f64> {
    let hottest = limit_c.map_or(HOTTEST_CHIP_C, |limit| {
        (limit + BEYOND_LIMIT_K).min(HOTTEST_CHIP_C)
    });
    let celsius = celsius(written);
    (written > hottest && (0.0..=HOTTEST_CHIP_C).contains(&celsius)).then_some(celsius)
}

/// Turns °F into °C.
pub fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

#[cfg(test)]
mod tests {
    use super::{chip, room};

    #[test]
    fn rooms_and_chips_in_fahrenheit_are_recognised() {
        assert_eq!(room(77.0), Some(25.0), "a room of 25 °C");
        assert_eq!(chip(162.0, None), Some(130.0 / 1.8), "a die of 72 °C");
        assert_eq!(chip(122.0, Some(90.0)), Some(50.0), "beyond any limit");
    }

    #[test]
    fn believable_temperatures_are_not_asked_about() {
        for room_c in [-5.0, 18.0, 38.0, 44.0] {
            assert_eq!(room(room_c), None, "{room_c}");
        }
        for chip_c in [30.0, 72.0, 104.0, 112.0] {
            assert_eq!(chip(chip_c, Some(100.0)), None, "{chip_c}");
        }
        assert_eq!(chip(400.0, None), None, "neither");
    }
}
