//! Temperatures that look like degrees Fahrenheit: recognised and asked about, never converted silently.

use super::{COLD_K, Limits, Read, Readings, Sensor};
use crate::record::schema::Words as _;

/// The warmest believable room, °C.
pub const WARMEST_ROOM_C: f64 = 45.0;

/// The hottest a chip reports before it switches itself off, °C. Common practice: 105 to 125.
pub const HOTTEST_CHIP_C: f64 = 125.0;

/// How far above its limit a running board is believable, K.
pub const BEYOND_LIMIT_K: f64 = 15.0;

/// The coldest a chip stays under full load, °C. Common practice.
pub const COLDEST_CHIP_C: f64 = 30.0;

/// Returns what a reading is in °C if it was likely written in °F, judged together with those beside it.
pub fn likely(read: Read, readings: &Readings, limits: &Limits) -> Option<f64> {
    match read {
        Read::Room => room(readings.ambient_c?),
        Read::Heat => None,
        Read::Sensor(sensor) => {
            let written = readings.of(sensor)?;
            let meant = chip(written, limits.of(sensor))?;
            (written > HOTTEST_CHIP_C || !are_celsius(readings)).then_some(meant)
        }
    }
}

/// Returns all readings that were written in °F, if the likely ones were: with a room in °F, also the chips
/// that are believable beside it, since one switch turns a whole program over.
pub fn together(readings: &Readings, limits: &Limits) -> Vec<(Read, f64)> {
    let is_turned = is_turned(readings);
    let meant = |sensor| {
        let turned = || readings.of(sensor).filter(|_| is_turned).map(celsius);
        likely(Read::Sensor(sensor), readings, limits).or_else(turned)
    };
    let chips = Sensor::ALL
        .iter()
        .map(|&sensor| (Read::Sensor(sensor), meant(sensor)));
    let room = (Read::Room, likely(Read::Room, readings, limits));
    let all = std::iter::once(room).chain(chips);
    all.filter_map(|(read, meant)| Some((read, meant?)))
        .collect()
}

/// Returns the chips that are far over their limits and stand beside readings in °C: what they would be in
/// °F, if the chips alone were read so. A chip that would be too cold in °F leaves no such doubt.
pub fn beside_celsius(readings: &Readings, limits: &Limits) -> Vec<(Sensor, f64)> {
    let far = |&sensor: &Sensor| {
        let meant = chip(readings.of(sensor)?, limits.of(sensor))?;
        let is_asked = likely(Read::Sensor(sensor), readings, limits).is_some();
        (!is_asked).then_some((sensor, meant))
    };
    if is_cold_chip(readings) {
        return Vec::new();
    }
    Sensor::ALL.iter().filter_map(far).collect()
}

/// Tells whether readings of chips are taken for °C: the room is believable in °C, or a chip would be too
/// cold in °F.
fn are_celsius(readings: &Readings) -> bool {
    let is_room = readings
        .ambient_c
        .is_some_and(|room_c| room_c <= WARMEST_ROOM_C);
    is_room || is_cold_chip(readings)
}

fn is_cold_chip(readings: &Readings) -> bool {
    chips(readings).any(|written| celsius(written) < COLDEST_CHIP_C)
}

/// Tells whether a room is in °F, and each chip believable in °F beside it.
fn is_turned(readings: &Readings) -> bool {
    let is_warm = |room_c: f64| {
        chips(readings)
            .map(celsius)
            .all(|chip_c| (room_c + COLD_K..=HOTTEST_CHIP_C).contains(&chip_c))
    };
    readings.ambient_c.and_then(room).is_some_and(is_warm)
}

fn chips(readings: &Readings) -> impl Iterator<Item = f64> {
    readings.read().filter_map(|sensor| readings.of(sensor))
}

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
    use super::*;

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

    fn read(ambient_c: Option<f64>, [die_c, hotspot_c, memory_c]: [f64; 3]) -> Readings {
        Readings {
            ambient_c,
            die_c: Some(die_c),
            hotspot_c: Some(hotspot_c),
            memory_c: Some(memory_c),
            ..Readings::default()
        }
    }

    const LIMITS: Limits = Limits {
        die_c: Some(90.0),
        hotspot_c: Some(108.0),
        memory_c: Some(100.0),
    };

    #[test]
    fn readings_are_judged_together() {
        let (room, die) = (Read::Room, Read::Sensor(Sensor::Die));
        let (hotspot, memory) = (Read::Sensor(Sensor::Hotspot), Read::Sensor(Sensor::Memory));
        let cases: [(&str, _, [f64; 3], &[Read]); 7] = [
            (
                "far over its limits",
                Some(24.0),
                [110.0, 125.0, 105.0],
                &[],
            ),
            (
                "no room, and all hot",
                None,
                [110.0, 125.0, 105.0],
                &[die, hotspot],
            ),
            (
                "no room, and one too cold in °F",
                None,
                [110.0, 125.0, 70.0],
                &[],
            ),
            (
                "beyond any chip",
                Some(24.0),
                [162.0, 180.0, 176.0],
                &[die, hotspot, memory],
            ),
            (
                "all of them",
                Some(75.0),
                [100.0, 104.0, 99.0],
                &[room, die, hotspot, memory],
            ),
            ("the room alone", Some(77.0), [72.0, 84.0, 80.0], &[room]),
            ("none", Some(24.0), [72.0, 84.0, 80.0], &[]),
        ];
        for (what, ambient_c, chips, wanted) in cases {
            let found = together(&read(ambient_c, chips), &LIMITS);
            let found: Vec<Read> = found.into_iter().map(|(read, _)| read).collect();
            assert_eq!(found, wanted, "{what}");
        }
    }

    #[test]
    fn a_doubt_is_left_where_chips_alone_may_be_in_fahrenheit() {
        let far = |chips| beside_celsius(&read(Some(24.0), chips), &LIMITS).len();
        assert_eq!(far([110.0, 125.0, 105.0]), 2, "they may be");
        assert_eq!(far([110.0, 125.0, 70.0]), 0, "one would be at 21 °C");
        assert_eq!(far([162.0, 180.0, 176.0]), 0, "they are asked about");
    }
}
