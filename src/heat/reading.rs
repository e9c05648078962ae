//! Temperatures under load, limits and what healthy boards show, in plain numbers.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Estimate, Range, excess_per_watt, per_watt};
use crate::record::schema::{Words, words};

words! {
    /// A sensor that boards report.
    #[derive(PartialOrd, Ord)]
    pub enum Sensor {
        /// The die's mean.
        Die = "die",
        /// The die's hottest place.
        Hotspot = "hotspot",
        /// The hottest memory package.
        Memory = "memory",
    }
}

/// What a person reads off a running board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Read {
    /// The room's temperature.
    Room,
    /// The board's heat.
    Heat,
    /// A sensor's temperature.
    Sensor(Sensor),
}

/// What was read under steady load.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    /// Of the room, °C.
    pub ambient_c: Option<f64>,
    /// Heat of the board, W.
    pub heat_w: Option<f64>,
    /// Of the die's mean, °C.
    pub die_c: Option<f64>,
    /// Of the die's hottest place, °C.
    pub hotspot_c: Option<f64>,
    /// Of the memory, °C.
    pub memory_c: Option<f64>,
    /// Fan speed, 1/min.
    pub fan_rpm: Option<f64>,
    /// Whether it lowered its clock.
    pub throttling: Option<bool>,
    /// Whether it stopped working.
    pub crashing: Option<bool>,
    /// Whether dust was seen in the fins.
    pub dusty: bool,
}

impl Readings {
    /// Returns what a sensor read, °C.
    pub fn of(&self, sensor: Sensor) -> Option<f64> {
        match sensor {
            Sensor::Die => self.die_c,
            Sensor::Hotspot => self.hotspot_c,
            Sensor::Memory => self.memory_c,
        }
    }

    /// Returns where a reading is kept.
    pub fn slot(&mut self, read: Read) -> &mut Option<f64> {
        match read {
            Read::Room => &mut self.ambient_c,
            Read::Heat => &mut self.heat_w,
            Read::Sensor(Sensor::Die) => &mut self.die_c,
            Read::Sensor(Sensor::Hotspot) => &mut self.hotspot_c,
            Read::Sensor(Sensor::Memory) => &mut self.memory_c,
        }
    }

    /// Returns a sensor's rise over ambient for each watt, K/W.
    pub fn rise(&self, sensor: Sensor) -> Option<Estimate> {
        per_watt(self.of(sensor)?, self.ambient_c?, self.heat_w?).ok()
    }

    /// Returns how far the hotspot is above the die's mean, K.
    pub fn excess_k(&self) -> Option<f64> {
        Some(self.hotspot_c? - self.die_c?)
    }

    /// Returns the same for each watt, K/W.
    pub fn excess(&self) -> Option<Estimate> {
        excess_per_watt(self.hotspot_c?, self.die_c?, self.heat_w?).ok()
    }

    /// Tells whether it throttles or crashes.
    pub fn complains(&self) -> bool {
        self.throttling == Some(true) || self.crashing == Some(true)
    }

    /// Says which complaints of these readings later ones do not answer: throttling is no answer to
    /// crashing.
    pub fn unanswered(&self, later: &Self) -> Vec<&'static str> {
        let complaints = [
            (self.throttling, later.throttling, "throttled"),
            (self.crashing, later.crashing, "crashed"),
        ];
        let is_open = |(before, after, _): &(Option<bool>, Option<bool>, _)| {
            *before == Some(true) && after.is_none()
        };
        let open = complaints.into_iter().filter(is_open);
        open.map(|(.., word)| word).collect()
    }

    /// Returns the sensors that were read.
    pub fn read(&self) -> impl Iterator<Item = Sensor> {
        let sensors = Sensor::ALL.iter().copied();
        sensors.filter(|&sensor| self.of(sensor).is_some())
    }
}

/// Where throttling or shutdown begins, °C.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    /// Of the die's mean.
    pub die_c: Option<f64>,
    /// Of its hottest place.
    pub hotspot_c: Option<f64>,
    /// Of the memory.
    pub memory_c: Option<f64>,
}

impl Limits {
    /// Returns a sensor's limit, °C.
    pub fn of(&self, sensor: Sensor) -> Option<f64> {
        match sensor {
            Sensor::Die => self.die_c,
            Sensor::Hotspot => self.hotspot_c,
            Sensor::Memory => self.memory_c,
        }
    }

    /// Returns the sensors whose reading has reached its limit, and whether it is beyond it.
    pub fn reached(&self, readings: &Readings) -> impl Iterator<Item = (Sensor, bool)> {
        Sensor::ALL.iter().filter_map(|&sensor| {
            let (read, limit) = (readings.of(sensor)?, self.of(sensor)?);
            (read >= limit).then_some((sensor, read > limit))
        })
    }

    /// Tells whether a reading has reached a limit.
    pub fn is_reached(&self, readings: &Readings) -> bool {
        self.reached(readings).next().is_some()
    }

    /// Tells whether a reading is beyond a limit.
    pub fn is_passed(&self, readings: &Readings) -> bool {
        self.reached(readings).any(|(_, is_passed)| is_passed)
    }
}

/// What healthy boards of this build show.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Normal {
    /// Rise of the die's mean, K/W.
    pub die: Option<Range>,
    /// Rise of the hotspot, K/W.
    pub hotspot: Option<Range>,
    /// Rise of the memory, K/W.
    pub memory: Option<Range>,
    /// Hotspot above the die's mean, K/W.
    pub excess: Option<Range>,
    /// Least and greatest fan speed, 1/min.
    pub fan_rpm: Option<[f64; 2]>,
    /// The heat under full load, W.
    pub full_w: Option<f64>,
    /// The revisions whose jobs are taken together, where there are several.
    pub pooled: Vec<String>,
}

impl Normal {
    /// Gathers what healthy boards show from what each of them read.
    pub fn of(healthy: &[Readings]) -> Self {
        let range = |estimate: &dyn Fn(&Readings) -> Option<Estimate>| {
            let found: Vec<Estimate> = healthy.iter().filter_map(estimate).collect();
            let values: Vec<f64> = found.iter().map(|one| one.value).collect();
            let standard = found.iter().map(|one| one.standard).fold(0.0, f64::max);
            super::predict(&values, standard)
        };
        let fans = || healthy.iter().filter_map(|one| one.fan_rpm);
        let least = fans().reduce(f64::min);
        let greatest = fans().reduce(f64::max);
        Self {
            die: range(&|one| one.rise(Sensor::Die)),
            hotspot: range(&|one| one.rise(Sensor::Hotspot)),
            memory: range(&|one| one.rise(Sensor::Memory)),
            excess: range(&Readings::excess),
            fan_rpm: least
                .zip(greatest)
                .map(|(least, greatest)| [least, greatest]),
            full_w: healthy.iter().filter_map(|one| one.heat_w).reduce(f64::max),
            pooled: Vec::new(),
        }
    }

    /// Returns a sensor's range, K/W.
    pub fn range(&self, sensor: Sensor) -> Option<Range> {
        match sensor {
            Sensor::Die => self.die,
            Sensor::Hotspot => self.hotspot,
            Sensor::Memory => self.memory,
        }
    }
}
