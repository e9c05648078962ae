//! Whether a job has cured a board: after against before, against healthy boards, and against the limits.

use schemars::JsonSchema;
use serde::Serialize;

use super::state::{believed, disbelieved_heat, doubt, fan_words, pooled_words, sentence, states};
use super::{
    Difference, Estimate, Hypothesis, Limits, Normal, Range, Readings, Sensor, SensorState,
    Standing, Suspect, Verdict, rank, triage,
};
use crate::record::schema::{Words, words};

words! {
    /// What a job came to.
    pub enum Proved {
        /// As healthy boards of its kind.
        Normal = "back to normal",
        /// Better than before, and not as healthy boards.
        Better = "better, not normal",
        /// Better than before; what is normal nobody has measured.
        BetterAtLeast = "better; what is normal is not known",
        /// Not as healthy boards; what it was before nobody wrote down.
        NotNormal = "not normal",
        /// No different within what the readings can tell.
        NoBetter = "no better",
        /// Worse than before.
        Worse = "worse",
        /// The readings do not say.
        NotKnown = "not known: measure this first",
    }
}

words! {
    /// How a reading changed.
    pub enum Changed {
        /// It fell by more than its uncertainty.
        Better = "better",
        /// It changed by no more than its uncertainty.
        Same = "no change",
        /// It rose by more than its uncertainty.
        Worse = "worse",
    }
}

/// How one reading changed from before to after, as rise over ambient for each watt.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Change {
    /// The sensor; null for the hotspot's distance from the die's mean.
    pub sensor: Option<Sensor>,
    /// Before, K/W.
    pub before_k_w: f64,
    /// After, K/W.
    pub after_k_w: f64,
    /// Expanded uncertainty of the difference, K/W.
    pub uncertainty_k_w: f64,
    /// What that comes to.
    pub changed: Changed,
}

/// What a job came to, why, and where to look if it failed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Proof {
    /// What it came to.
    pub verdict: Proved,
    /// Why, with the numbers, in sentences without a full stop.
    pub reasons: Vec<String>,
    /// What changed.
    pub changes: Vec<Change>,
    /// Where each sensor stands afterwards.
    pub sensors: Vec<SensorState>,
    /// Where the hotspot's distance from the die's mean stands.
    pub excess: Standing,
    /// Where to look, the likeliest first; empty where it went well or the readings cannot tell.
    pub look: Vec<Suspect>,
    /// What to measure, because it would decide or sharpen the answer.
    pub measure: Vec<String>,
}

/// Judges a job by its temperatures.
pub fn prove(
    before: Option<&Readings>,
    after: &Readings,
    (limits, normal): (&Limits, &Normal),
    hypotheses: &[Hypothesis],
) -> Proof {
    let doubt = doubt(after, normal);
    let heat_doubt = disbelieved_heat(after, normal);
    let before_doubt = before.and_then(|before| disbelieved_heat(before, normal));
    let before = before.map(|before| believed(before, normal));
    let (before, after) = (before.as_ref(), &believed(after, normal));
    let case = Case {
        before,
        after,
        doubt,
        is_heat_doubted: heat_doubt.is_some(),
        limits,
        normal,
        changes: before.map_or_else(Vec::new, |before| changes(before, after)),
        sensors: states(after, limits, normal),
        excess: Standing::of(after.excess(), normal.excess),
    };
    let (verdict, why) = case.decide();
    let is_quiet = || match verdict {
        Proved::Normal => true,
        Proved::BetterAtLeast | Proved::NotKnown => {
            case.doubt.is_some() || triage(after, limits, normal).verdict == Verdict::Leave
        }
        _ => false,
    };
    let look = if is_quiet() {
        Vec::new()
    } else {
        rank(&case.differences(), hypotheses)
    };
    // Where it decided, it has been told.
    let aside = heat_doubt.filter(|_| verdict != Proved::NotKnown || !case.trouble().is_empty());
    let unused = before_doubt.map(|doubt| format!("before is not compared for each watt: {doubt}"));
    let pooled = pooled_words(normal).filter(|_| !case.is_heat_doubted);
    let numbers = case.sensors.iter().map(sentence);
    let changed = case.changes.iter().map(change_words);
    Proof {
        verdict,
        reasons: why
            .into_iter()
            .chain(aside)
            .chain(numbers)
            .chain(changed)
            .chain(unused)
            .chain(pooled)
            .collect(),
        look,
        measure: case.measure(verdict),
        excess: case.excess,
        changes: case.changes,
        sensors: case.sensors,
    }
}

struct Case<'a> {
    /// Without a heat that cannot be believed, as the readings after.
    before: Option<&'a Readings>,
    after: &'a Readings,
    /// What makes the readings after no readings under full load.
    doubt: Option<String>,
    is_heat_doubted: bool,
    limits: &'a Limits,
    normal: &'a Normal,
    changes: Vec<Change>,
    sensors: Vec<SensorState>,
    excess: Standing,
}

impl Case<'_> {
    fn decide(&self) -> (Proved, Vec<String>) {
        let mut why = Vec::new();
        if self.sensors.is_empty() {
            why.push("no temperature was read after the job".to_owned());
            return (Proved::NotKnown, why);
        }
        why.extend(self.trouble());
        if let Some(doubt) = self.doubt.as_ref().filter(|_| why.is_empty()) {
            return (Proved::NotKnown, vec![doubt.clone()]);
        }
        why.extend(fan_words(self.after, self.normal));
        let is_well = why.is_empty() && !self.is_warmer();
        let verdict = self.come_to(is_well);
        let is_good = matches!(
            verdict,
            Proved::Normal | Proved::Better | Proved::BetterAtLeast
        );
        let unanswered = self.unanswered();
        if is_good && !unanswered.is_empty() {
            let before = unanswered.join(" and ");
            why.insert(
                0,
                format!("it {before} before, and the job does not say whether it still does"),
            );
            return (Proved::NotKnown, why);
        }
        (verdict, why)
    }

    /// Returns what it came to, if each complaint has been answered.
    fn come_to(&self, is_well: bool) -> Proved {
        if is_well && self.is_judged() && self.unread().next().is_none() {
            return Proved::Normal;
        }
        match self.direction() {
            Some(Changed::Worse) => Proved::Worse,
            Some(Changed::Same) if is_well && !self.is_judged() => Proved::NotKnown,
            Some(Changed::Same) if !is_well => Proved::NoBetter,
            Some(Changed::Better) if !is_well => Proved::Better,
            Some(Changed::Better) if !self.is_judged() => Proved::BetterAtLeast,
            None if !is_well => Proved::NotNormal,
            // What was read is well, and something that this board reports was not read.
            _ => Proved::NotKnown,
        }
    }

    /// Returns the complaints before the job that nobody has answered after it.
    fn unanswered(&self) -> Vec<&'static str> {
        self.before
            .map_or_else(Vec::new, |before| before.unanswered(self.after))
    }

    /// Says what is wrong whatever the numbers say beside other boards.
    fn trouble(&self) -> Vec<String> {
        let is_passed = self.limits.is_passed(self.after);
        let told = [
            (self.after.throttling == Some(true), "it throttles"),
            (self.after.crashing == Some(true), "it crashes"),
            (is_passed, "a temperature is over its limit"),
            (
                !is_passed && self.limits.is_reached(self.after),
                "a temperature is at its limit",
            ),
        ];
        let told = told.into_iter().filter(|(is_so, _)| *is_so);
        told.map(|(_, words)| words.to_owned()).collect()
    }

    fn is_warmer(&self) -> bool {
        self.sensors.iter().any(SensorState::is_above) || self.excess == Standing::Above
    }

    /// Tells whether each reading has healthy boards to be compared with.
    fn is_judged(&self) -> bool {
        self.sensors
            .iter()
            .all(|state| state.standing != Standing::Unknown)
    }

    /// Returns the sensors that healthy boards, the limits or the reading before know and nobody read.
    fn unread(&self) -> impl Iterator<Item = Sensor> {
        let is_known = |sensor| {
            self.normal.range(sensor).is_some()
                || self.limits.of(sensor).is_some()
                || self
                    .before
                    .is_some_and(|before| before.of(sensor).is_some())
        };
        let is_unread = move |&sensor: &Sensor| self.after.of(sensor).is_none() && is_known(sensor);
        Sensor::ALL.iter().copied().filter(is_unread)
    }

    /// Returns which way it went, all in all: what stops a board counts before what warms it.
    fn direction(&self) -> Option<Changed> {
        let before = self.before?;
        let after = self.after;
        let is_new = |before, after| before == Some(false) && after == Some(true);
        match (before.complains(), after.complains()) {
            (true, false) if self.unanswered().is_empty() => return Some(Changed::Better),
            (false, true)
                if is_new(before.throttling, after.throttling)
                    || is_new(before.crashing, after.crashing) =>
            {
                return Some(Changed::Worse);
            }
            _ => {}
        }
        let any = |wanted| self.changes.iter().any(|change| change.changed == wanted);
        match (any(Changed::Better), any(Changed::Worse)) {
            _ if self.changes.is_empty() => None,
            (_, true) if !any(Changed::Better) => Some(Changed::Worse),
            (true, false) => Some(Changed::Better),
            // One reading won what another lost.
            _ => Some(Changed::Same),
        }
    }

    /// Returns how far the die's mean, the hotspot above it and the memory are from normal at this load: from
    /// healthy boards, or where there are none, from before.
    fn differences(&self) -> [Option<Difference>; 3] {
        let normal = self.normal;
        [
            self.difference(normal.die, &|one| one.rise(Sensor::Die)),
            self.difference(normal.excess, &Readings::excess),
            self.difference(normal.memory, &|one| one.rise(Sensor::Memory)),
        ]
    }

    fn difference(
        &self,
        usual: Option<Range>,
        read: &dyn Fn(&Readings) -> Option<Estimate>,
    ) -> Option<Difference> {
        let (heat_w, now) = (self.after.heat_w?, read(self.after)?);
        let (differ, freedom) = match usual {
            // Where the next healthy board reads holds one reading's own uncertainty already.
            Some(usual) => {
                let value = now.value - usual.mean;
                let (standard, freedom) = if now.standard > usual.standard {
                    (now.standard, f64::INFINITY)
                } else {
                    (usual.standard, usual.freedom())
                };
                (Estimate { value, standard }, freedom)
            }
            None => (now.minus(read(self.before?)?), f64::INFINITY),
        };
        Some(Difference {
            kelvin: heat_w * differ.value,
            standard: heat_w * differ.standard,
            freedom,
        })
    }

    fn measure(&self, verdict: Proved) -> Vec<String> {
        let after = self.after;
        let heat = self
            .is_heat_doubted
            .then(|| "the board's heat under full load".to_owned());
        let unread = self
            .unread()
            .map(|sensor| format!("the {sensor}'s temperature, which was not read after the job"));
        let mut measure: Vec<String> = heat.into_iter().chain(unread).collect();
        let mut ask = |is_missing: bool, what: &str| {
            if is_missing {
                measure.push(what.to_owned());
            }
        };
        ask(
            self.unanswered().contains(&"crashed"),
            "whether it still crashes",
        );
        ask(after.ambient_c.is_none(), "the room's temperature");
        ask(
            after.heat_w.is_none() && !self.is_heat_doubted,
            "the board's heat under this load",
        );
        if verdict != Proved::Normal {
            ask(
                after.fan_rpm.is_none(),
                "the fan's speed, which tells air from contact",
            );
            ask(
                after.throttling.is_none(),
                "whether it throttles under load",
            );
            ask(
                !self.is_judged() && !self.is_heat_doubted,
                "healthy boards of this kind under full load: the other jobs show fewer than two, and no job is \
                 judged by itself",
            );
        }
        measure
    }
}

/// Says how each reading changed that was taken both times.
fn changes(before: &Readings, after: &Readings) -> Vec<Change> {
    let change = |sensor, before: Option<Estimate>, after: Option<Estimate>| {
        let (before, after) = (before?, after?);
        let differ = after.minus(before);
        let uncertainty_k_w = differ.expanded();
        Some(Change {
            sensor,
            before_k_w: before.value,
            after_k_w: after.value,
            uncertainty_k_w,
            changed: if differ.value < -uncertainty_k_w {
                Changed::Better
            } else if differ.value > uncertainty_k_w {
                Changed::Worse
            } else {
                Changed::Same
            },
        })
    };
    let of_sensor =
        |&sensor: &Sensor| change(Some(sensor), before.rise(sensor), after.rise(sensor));
    let sensors = Sensor::ALL.iter().filter_map(of_sensor);
    sensors
        .chain(change(None, before.excess(), after.excess()))
        .collect()
}

fn change_words(change: &Change) -> String {
    let what = change
        .sensor
        .map_or("hotspot above the die's mean", |sensor| sensor.word());
    format!(
        "{what}: {:.3} K for each watt before, {:.3} ± {:.3} after, {}",
        change.before_k_w, change.after_k_w, change.uncertainty_k_w, change.changed
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat::{Cause, Whence};

    /// A reading's own uncertainty is no scatter of healthy boards, however few of them there are.
    #[test]
    fn a_reading_s_own_uncertainty_has_no_heavy_tails() {
        let weight = |degrees, standard| {
            let range = |mean| {
                let (low, high) = (mean - 0.01, mean + 0.01);
                Some(Range {
                    mean,
                    low,
                    high,
                    standard,
                    degrees,
                    jobs: 2,
                })
            };
            let normal = Normal {
                die: range(0.2),
                memory: range(0.2),
                ..Normal::default()
            };
            let after = Readings {
                ambient_c: Some(24.0),
                heat_w: Some(240.0),
                die_c: Some(73.0),
                memory_c: Some(84.0),
                ..Readings::default()
            };
            let fault = |cause, change_k| Hypothesis {
                cause,
                place: None,
                change_k,
                most: 4.0,
                from: Whence::Practice,
                odds: 1.0,
            };
            let faults = [
                fault(Cause::Floats, [0.0, 0.0, 25.0]),
                fault(Cause::Air, [15.0, 0.0, 17.0]),
            ];
            let proof = prove(None, &after, (&Limits::default(), &normal), &faults);
            proof.look[0].weight
        };
        let of_few = |standard| (weight(Some(1), standard) - weight(None, standard)).abs();
        assert!(of_few(1e-4) < 1e-12, "a reading's own: {}", of_few(1e-4));
        assert!(of_few(0.02) > 1e-3, "boards' scatter: {}", of_few(0.02));
    }
}
