//! Readings of a running board that are likely a slip, to be told while it can still be read again.

use super::fahrenheit;
use super::state::{misread_heat, read_heat_again, too_cold};
use super::{AMBIENT_K, Limits, Normal, Read, Readings, SENSOR_K, Sensor};
use crate::record::schema::Words as _;

/// Says why one of several readings is likely a slip, if it is: in another unit, far above the board's heat,
/// or colder than what it is a part of.
pub fn odd(
    read: Read,
    readings: &Readings,
    (limits, normal): (&Limits, &Normal),
) -> Option<String> {
    let slip = likely_fahrenheit(read, readings, limits);
    slip.or_else(|| match read {
        Read::Room => None,
        Read::Heat => misread_heat(readings, normal).map(|fact| read_heat_again(&fact)),
        Read::Sensor(sensor) => colder_than_room(sensor, readings)
            .or_else(|| below_mean(readings).filter(|_| sensor == Sensor::Hotspot))
            .or_else(|| too_cold(sensor, readings, normal)),
    })
}

/// Says that a temperature is hard to believe in °C, and is believable in °F.
pub fn likely_fahrenheit(read: Read, readings: &Readings, limits: &Limits) -> Option<String> {
    let meant = fahrenheit::likely(read, readings, limits)?;
    match read {
        Read::Room => {
            let told = in_fahrenheit("a room", readings.ambient_c?, meant);
            Some(told + &turned(readings, limits))
        }
        Read::Heat => None,
        Read::Sensor(sensor) => {
            let what = format!("the {sensor}");
            Some(in_fahrenheit(&what, readings.of(sensor)?, meant))
        }
    }
}

/// Leaves out the temperatures that are likely in °F: what else they make odd is the same mistake.
#[must_use]
pub fn without_fahrenheit(readings: &Readings, limits: &Limits) -> Readings {
    let mut believable = readings.clone();
    let sensors = Sensor::ALL.iter().copied().map(Read::Sensor);
    for read in sensors.chain([Read::Room]) {
        if likely_fahrenheit(read, readings, limits).is_some() {
            *believable.slot(read) = None;
        }
    }
    believable
}

/// Says which chips were perhaps read in °F with their room, though they are believable as they stand.
fn turned(readings: &Readings, limits: &Limits) -> String {
    let all = fahrenheit::together(readings, limits).into_iter();
    let believable = all.filter(|(read, _)| fahrenheit::likely(*read, readings, limits).is_none());
    let words = believable.filter_map(|(read, meant)| match read {
        Read::Sensor(sensor) => Some(format!("the {sensor} at {meant:.0} °C")),
        Read::Room | Read::Heat => None,
    });
    let words: Vec<String> = words.collect();
    if words.is_empty() {
        return String::new();
    }
    format!(
        "; were the chips read so too, they are {}",
        words.join(", ")
    )
}

fn in_fahrenheit(what: &str, written: f64, meant: f64) -> String {
    format!("{what} at {written} °C is hard to believe; if it was read in °F, it is {meant:.0} °C")
}

/// Says which temperatures cannot be, if any: a running board is warmer than its room, and its hottest
/// place no cooler than its mean.
pub fn impossible(readings: &Readings) -> Option<String> {
    let colder = readings
        .read()
        .find_map(|sensor| colder_than_room(sensor, readings));
    colder.or_else(|| below_mean(readings))
}

fn colder_than_room(sensor: Sensor, readings: &Readings) -> Option<String> {
    let (read, ambient) = (readings.of(sensor)?, readings.ambient_c?);
    (read < ambient - AMBIENT_K - SENSOR_K).then(|| {
        format!("the {sensor} at {read} °C cannot be colder than the room at {ambient} °C")
    })
}

fn below_mean(readings: &Readings) -> Option<String> {
    let (hotspot, die) = (readings.hotspot_c?, readings.die_c?);
    (hotspot < die - SENSOR_K)
        .then(|| format!("the hotspot at {hotspot} °C cannot be below the die's mean at {die} °C"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat::Range;

    /// Judges a reading of a board of 240 W whose die may be at 90 °C, and of which no job is known.
    fn told(read: Read, readings: &Readings) -> String {
        let limits = Limits {
            die_c: Some(90.0),
            ..Limits::default()
        };
        let normal = Normal {
            full_w: Some(240.0),
            ..Normal::default()
        };
        odd(read, readings, (&limits, &normal)).unwrap_or_default()
    }

    #[test]
    fn a_slip_is_told_of_the_reading_that_is_asked_about() {
        let hot = Readings {
            ambient_c: Some(50.0),
            heat_w: Some(2400.0),
            die_c: Some(140.0),
            hotspot_c: Some(90.0),
            memory_c: Some(8.4),
            ..Readings::default()
        };
        let cases = [
            (Read::Room, "if it was read in °F, it is 10 °C"),
            (Read::Heat, "2400 W is far above the 240 W"),
            (Read::Sensor(Sensor::Die), "it is 60 °C"),
            (
                Read::Sensor(Sensor::Hotspot),
                "below the die's mean at 140 °C",
            ),
            (
                Read::Sensor(Sensor::Memory),
                "colder than the room at 50 °C",
            ),
        ];
        for (read, expected) in cases {
            let told = told(read, &hot);
            assert!(told.contains(expected), "{read:?}: {told}");
        }
    }

    #[test]
    fn a_room_in_fahrenheit_takes_its_chips_along() {
        let turned = Readings {
            ambient_c: Some(75.0),
            die_c: Some(100.0),
            memory_c: Some(99.0),
            ..Readings::default()
        };
        let room = told(Read::Room, &turned);
        let along = "were the chips read so too, they are the die at 38 °C, the memory at 37 °C";
        assert!(room.contains(along), "{room}");
        assert_eq!(told(Read::Sensor(Sensor::Die), &turned), "", "told once");
    }

    #[test]
    fn an_honest_reading_is_not_questioned() {
        let honest = Readings {
            ambient_c: Some(31.0),
            heat_w: Some(260.0),
            die_c: Some(104.0),
            hotspot_c: Some(103.5),
            memory_c: Some(95.0),
            ..Readings::default()
        };
        let sensors = Sensor::ALL.iter().copied().map(Read::Sensor);
        for read in [Read::Room, Read::Heat].into_iter().chain(sensors) {
            assert_eq!(told(read, &honest), "", "{read:?}");
        }
        assert_eq!(told(Read::Room, &Readings::default()), "", "nothing read");
    }

    #[test]
    fn a_chip_as_cold_as_its_room_is_questioned() {
        let cold = Readings {
            ambient_c: Some(24.0),
            die_c: Some(23.0),
            ..Readings::default()
        };
        let told = told(Read::Sensor(Sensor::Die), &cold);
        assert!(told.contains("too cold for full load"), "{told}");
    }

    #[test]
    fn a_misread_heat_makes_no_honest_chip_too_cold() {
        let die = Range {
            mean: 0.25,
            low: 0.22,
            high: 0.28,
            standard: 0.01,
            degrees: Some(4),
            jobs: 5,
        };
        let normal = Normal {
            full_w: Some(240.0),
            die: Some(die),
            ..Normal::default()
        };
        let told = |heat_w| {
            let readings = Readings {
                ambient_c: Some(24.0),
                heat_w: Some(heat_w),
                die_c: Some(50.0),
                ..Readings::default()
            };
            let die = Read::Sensor(Sensor::Die);
            odd(die, &readings, (&Limits::default(), &normal))
        };
        assert_eq!(told(2400.0), None, "the heat alone is odd");
        let told = told(240.0).unwrap_or_default();
        assert!(told.contains("too cold for full load"), "{told}");
    }

    #[test]
    fn what_is_likely_in_fahrenheit_is_not_impossible_as_well() {
        let limits = Limits {
            die_c: Some(90.0),
            ..Limits::default()
        };
        let read = |ambient_c, die_c, hotspot_c| Readings {
            ambient_c: Some(ambient_c),
            die_c: Some(die_c),
            hotspot_c: Some(hotspot_c),
            ..Readings::default()
        };
        let cases = [
            (read(75.0, 70.0, 80.0), false, "the room"),
            (read(24.0, 160.0, 80.0), false, "the die"),
            (read(75.0, 70.0, 60.0), true, "the room, and a hotspot"),
            (read(40.0, 30.0, 50.0), true, "none"),
        ];
        for (readings, is_impossible, what) in cases {
            assert!(impossible(&readings).is_some(), "{what}");
            let believable = without_fahrenheit(&readings, &limits);
            let told = impossible(&believable);
            assert_eq!(told.is_some(), is_impossible, "{what}: {told:?}");
        }
    }
}
