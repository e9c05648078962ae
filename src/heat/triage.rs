//! Whether a board needs opening at all: leave it, watch it, open it, or measure first.
//!
//! Common practice, from the bench and without a source: only throttling, crashing, or temperatures truly
//! out of range justify opening; a few degrees inside the limits never do.

use schemars::JsonSchema;
use serde::Serialize;

use super::state::{
    believed, digits_apart, disbelieved_heat, doubt, fan, fan_words, pooled_words, sentence, states,
};
use super::{Limits, Normal, Readings, Sensor, SensorState, Standing};
use crate::record::schema::{Words, words};

/// How far a hotspot is above the die's mean where the die no longer touches everywhere, K, unless healthy
/// boards show as much. Common practice.
pub const HOTSPOT_FAR_K: f64 = 20.0;

/// How near its limit such a hotspot must be to justify opening, K. Common practice.
pub const HOTSPOT_ROOM_K: f64 = 10.0;

/// A room, or a case, that is itself to blame, °C. Common practice.
pub const HOT_ROOM_C: f64 = 35.0;

words! {
    /// What to do with a board.
    pub enum Verdict {
        /// Leave it closed.
        Leave = "leave it",
        /// Leave it closed, and read it again in a while.
        Watch = "watch it",
        /// Open it.
        Open = "open it",
        /// Something else has to be known first.
        NotKnown = "not known: measure this first",
    }
}

/// What to do with a board, and why.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Triage {
    /// What to do.
    pub verdict: Verdict,
    /// Why, with the numbers, in sentences without a full stop.
    pub reasons: Vec<String>,
    /// What to rule out before anything is opened.
    pub first: Vec<String>,
    /// What to measure, because it would decide or sharpen the answer.
    pub measure: Vec<String>,
    /// Where each sensor stands.
    pub sensors: Vec<SensorState>,
    /// How far the hotspot is above the die's mean, K.
    pub excess_k: Option<f64>,
    /// Where that stands beside healthy boards.
    pub excess: Standing,
    /// Where the fan's speed stands beside theirs.
    pub fan: Standing,
}

/// Decides whether a board needs opening.
pub fn triage(readings: &Readings, limits: &Limits, normal: &Normal) -> Triage {
    let believed = believed(readings, normal);
    let doubt = doubt(readings, normal);
    let heat_doubt = disbelieved_heat(readings, normal);
    let case = Case::of(&believed, limits, normal, doubt);
    let (verdict, why) = case.decide();
    // Where it decided, it has been told.
    let aside = heat_doubt.clone().filter(|_| case.is_trouble());
    let pooled = pooled_words(normal).filter(|_| heat_doubt.is_none());
    let numbers = case.sensors.iter().map(sentence);
    Triage {
        verdict,
        reasons: why
            .into_iter()
            .chain(aside)
            .chain(numbers)
            .chain(case.excess_words())
            .chain(pooled)
            .collect(),
        first: case.first(verdict),
        measure: case.measure(heat_doubt.is_some()),
        excess_k: readings.excess_k(),
        excess: case.excess,
        fan: case.fan,
        sensors: case.sensors,
    }
}

/// A board's readings beside limits and healthy boards.
struct Case<'a> {
    /// Without a heat that cannot be believed.
    readings: &'a Readings,
    /// What makes them no readings under full load.
    doubt: Option<String>,
    limits: &'a Limits,
    normal: &'a Normal,
    sensors: Vec<SensorState>,
    excess: Standing,
    fan: Standing,
}

impl<'a> Case<'a> {
    fn of(
        readings: &'a Readings,
        limits: &'a Limits,
        normal: &'a Normal,
        doubt: Option<String>,
    ) -> Self {
        Self {
            readings,
            doubt,
            limits,
            normal,
            sensors: states(readings, limits, normal),
            excess: Standing::of(readings.excess(), normal.excess),
            fan: fan(readings, normal),
        }
    }

    /// Decides, and says why in a sentence or two. The order of the questions is the order of the bench.
    fn decide(&self) -> (Verdict, Vec<String>) {
        let say = |verdict, why: &str| (verdict, vec![why.to_owned()]);
        if self.sensors.is_empty() {
            return say(Verdict::NotKnown, "no temperature was read");
        }
        if self.is_trouble() {
            return match self.outside() {
                Some(outside) => (Verdict::NotKnown, vec![outside]),
                None => say(Verdict::Open, self.trouble_words()),
            };
        }
        if let Some(doubt) = &self.doubt {
            return (Verdict::NotKnown, vec![doubt.clone()]);
        }
        if self.readings.complains() {
            return say(
                Verdict::NotKnown,
                "it throttles or crashes, and no temperature that was read explains it: neither pads nor \
                 paste cure that",
            );
        }
        if self.is_unjudged() {
            return say(Verdict::NotKnown, self.unjudged_words());
        }
        if let Some(fan) = fan_words(self.readings, self.normal) {
            return match self.fan {
                Standing::Below => (
                    Verdict::NotKnown,
                    vec![format!("{fan}: put that right, and measure again")],
                ),
                _ => (
                    Verdict::Watch,
                    vec![format!("{fan}: it may hide what would else be warm")],
                ),
            };
        }
        if self.any(SensorState::is_near) {
            return say(
                Verdict::Watch,
                "a temperature is near its limit, and nothing has failed",
            );
        }
        if self.is_warmer() {
            return say(
                Verdict::Watch,
                "it is warmer than healthy boards of its kind and inside its limits: opening it would risk \
                 more than it wins",
            );
        }
        say(
            Verdict::Leave,
            "it is inside its limits, and nothing has failed",
        )
    }

    fn any(&self, is_so: impl Fn(&SensorState) -> bool) -> bool {
        self.sensors.iter().any(is_so)
    }

    fn state(&self, sensor: Sensor) -> Option<&SensorState> {
        self.sensors.iter().find(|state| state.sensor == sensor)
    }

    fn is_above(&self, sensor: Sensor) -> bool {
        self.state(sensor).is_some_and(SensorState::is_above)
    }

    /// Tells whether some heat is more than healthy boards show.
    fn is_warmer(&self) -> bool {
        self.any(SensorState::is_above) || self.excess == Standing::Above
    }

    /// Tells whether something has gone wrong that heat can explain.
    fn is_trouble(&self) -> bool {
        let could_explain = self.any(SensorState::is_near) || self.is_warmer() || self.is_far();
        self.any(SensorState::is_at_limit)
            || (self.is_far() && self.has_little_room())
            || (self.readings.complains() && could_explain)
    }

    /// Tells whether the hotspot is so far above the die's mean that the die cannot touch everywhere.
    fn is_far(&self) -> bool {
        let far = self
            .readings
            .excess_k()
            .is_some_and(|excess| excess >= HOTSPOT_FAR_K);
        far && !matches!(self.excess, Standing::Within | Standing::Below)
    }

    fn has_little_room(&self) -> bool {
        let margin = self.state(Sensor::Hotspot).and_then(|state| state.margin_k);
        margin.is_some_and(|margin| margin < HOTSPOT_ROOM_K)
    }

    /// Tells whether a sensor that has a limit was not read, so that it may be at it, or nothing that was
    /// read has anything to be judged by.
    fn is_unjudged(&self) -> bool {
        // A limit is where throttling begins: a board that does not throttle has reached none.
        let may_throttle = self.readings.throttling != Some(false);
        let has_measure =
            |state: &SensorState| state.limit_c.is_some() || state.standing != Standing::Unknown;
        (may_throttle && self.unread().next().is_some()) || !self.any(has_measure)
    }

    fn unjudged_words(&self) -> &'static str {
        if self.unread().next().is_some() {
            "a sensor that has a limit was not read, and may be at it: see what to measure"
        } else {
            "nothing that was read has a limit, or healthy boards, to be judged by: see what to measure"
        }
    }

    /// Returns the sensors that have a limit and were not read.
    fn unread(&self) -> impl Iterator<Item = Sensor> {
        let is_unread = |&sensor: &Sensor| {
            self.limits.of(sensor).is_some() && self.readings.of(sensor).is_none()
        };
        Sensor::ALL.iter().copied().filter(is_unread)
    }

    /// Says what outside the stack of cooler, paste and pads already explains the trouble.
    fn outside(&self) -> Option<String> {
        if let (Standing::Below, Some(speed)) = (self.fan, self.readings.fan_rpm) {
            return Some(match self.normal.fan_rpm {
                Some([least, greatest]) if speed > 0.0 => format!(
                    "the fan turns {speed:.0} times a minute where healthy boards have {least:.0} to \
                     {greatest:.0}: put that right, and measure again"
                ),
                _ => "the fan stands still: put that right, and measure again".to_owned(),
            });
        }
        if self.readings.dusty {
            return Some("there is dust in the fins: blow it out, and measure again".to_owned());
        }
        if let Some(ambient) = self
            .readings
            .ambient_c
            .filter(|&ambient| ambient >= HOT_ROOM_C)
        {
            return Some(format!(
                "the air around it is at {ambient:.0} °C: cool the room or open the case, and measure again"
            ));
        }
        self.is_all_risen().then(|| {
            "die and memory are both warmer than healthy, and the hotspot is no further from the die: that is \
             air, not paste. Clean the fins, see the fans turn, take it out of its case, and measure again"
                .to_owned()
        })
    }

    /// Tells whether everything is warmer alike, as from too little air, while nobody read the fan.
    fn is_all_risen(&self) -> bool {
        let alike = matches!(self.excess, Standing::Within | Standing::Below);
        alike
            && self.is_above(Sensor::Die)
            && self.is_above(Sensor::Memory)
            && self.fan == Standing::Unknown
    }

    fn trouble_words(&self) -> &'static str {
        if self.limits.is_passed(self.readings) {
            "a temperature is over its limit"
        } else if self.any(SensorState::is_at_limit) {
            "a temperature is at its limit"
        } else if self.readings.complains() {
            "it throttles or crashes, and its temperatures explain it"
        } else {
            "the hotspot is far above the die's mean and near its limit: the die does not touch everywhere"
        }
    }

    fn excess_words(&self) -> Option<String> {
        let excess_k = self.readings.excess_k()?;
        let mut digits = 1;
        let beside = match (
            self.readings.excess(),
            self.normal.excess,
            self.readings.heat_w,
        ) {
            (Some(own), Some(range), Some(heat_w)) => {
                let [low, high] = [(range.low * heat_w).max(0.0), range.high * heat_w];
                digits = digits_apart(excess_k, [low, high], self.excess, digits);
                format!(
                    " ± {:.digits$} K; {} the {low:.digits$} to {high:.digits$} K of {} healthy jobs at this \
                     load",
                    own.expanded() * heat_w,
                    self.excess,
                    range.jobs
                )
            }
            (None, Some(_), _) => " K".to_owned(),
            _ => " K; what healthy boards show is not known".to_owned(),
        };
        Some(format!(
            "the hotspot is above the die's mean by {excess_k:.digits$}{beside}"
        ))
    }

    /// Says what to rule out before a board is opened: what paste cannot explain.
    fn first(&self, verdict: Verdict) -> Vec<String> {
        let mut first = Vec::new();
        // Readings that are doubted point at nothing.
        let is_doubted = self.doubt.is_some() && !self.is_trouble();
        if verdict == Verdict::Leave || is_doubted {
            return first;
        }
        let mut add = |text: &str| first.push(text.to_owned());
        if !self.readings.dusty {
            add("dust in the fins");
        }
        if self.fan == Standing::Unknown {
            add("a fan that stands still or turns slowly");
        }
        add("a case without air: read it once more on the open bench");
        if self.readings.complains() && !self.is_trouble() {
            add(
                "the supply, its cables and the software: none of these temperatures stops a board",
            );
        }
        first
    }

    /// Says what to measure: first a heat that could not be believed.
    fn measure(&self, is_heat_doubted: bool) -> Vec<String> {
        let readings = self.readings;
        let heat = is_heat_doubted.then(|| "the board's heat under full load".to_owned());
        let unread = self
            .unread()
            .map(|sensor| format!("the {sensor}'s temperature, for which the record has a limit"));
        let mut measure: Vec<String> = heat.into_iter().chain(unread).collect();
        let mut ask = |is_missing: bool, what: &str| {
            if is_missing {
                measure.push(what.to_owned());
            }
        };
        ask(
            readings.ambient_c.is_none(),
            "the room's temperature, to compare with other boards",
        );
        ask(
            readings.heat_w.is_none() && !is_heat_doubted,
            "the board's heat under this load, to compare with other boards",
        );
        ask(
            readings.throttling.is_none(),
            "whether it throttles under load",
        );
        ask(
            readings.read().next().is_none() && self.limits.die_c.is_none(),
            "the die's temperature under steady load",
        );
        measure
    }
}
