//! Where each reading stands: how far from its limit, and beside what healthy boards show.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Estimate, Limits, Normal, Range, Readings, SENSOR_K, Sensor};
use crate::record::schema::{Words, words};

/// How near to a limit a reading is worth watching, K. Common practice: what a hotter day adds.
pub const NEAR_K: f64 = 5.0;

/// How far beside the speeds of healthy boards a fan's is another, as a fraction. Common practice.
pub const FAN_SHARE: f64 = 0.2;

/// The share of a board's heat under full load from which on a reading counts as one under load.
/// Common practice.
pub const FULL_LOAD_SHARE: f64 = 0.8;

/// The share of it beyond which it is the heat that was misread. Common practice: no power limit is set
/// half as high again.
pub const MISREAD_LOAD_SHARE: f64 = 1.5;

/// The share of it below which nothing can be said for each watt: the point slipped, or the board idles.
/// Our own choice: even a board that throttles takes more.
pub const FAINT_LOAD_SHARE: f64 = 0.2;

/// The share of the least rise of healthy boards below which a sensor, or the load, was misread: paste and
/// pads win a few kelvins, never half. Our own choice.
pub const COLD_SHARE: f64 = 0.5;

/// The rise over the room below which nothing under full load stays, K. Our own choice.
pub const COLD_K: f64 = 3.0;

words! {
    /// Where a value stands beside the range that healthy boards show.
    pub enum Standing {
        /// Below it.
        Below = "below",
        /// In it.
        Within = "within",
        /// Above it.
        Above = "above",
        /// Not known: something was not read, or fewer than two healthy jobs are.
        Unknown = "not known",
    }
}

impl Standing {
    /// Places a value beside a range.
    pub(super) fn of(value: Option<Estimate>, range: Option<Range>) -> Self {
        match value.zip(range) {
            None => Self::Unknown,
            Some((value, range)) if value.value > range.high => Self::Above,
            Some((value, range)) if value.value < range.low => Self::Below,
            Some(_) => Self::Within,
        }
    }
}

/// Where one sensor's reading stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SensorState {
    /// The sensor.
    pub sensor: Sensor,
    /// What it read, °C.
    pub read_c: f64,
    /// The record's limit, °C.
    pub limit_c: Option<f64>,
    /// How far the reading is below it, K.
    pub margin_k: Option<f64>,
    /// The rise over ambient for each watt, K/W.
    pub rise_k_w: Option<f64>,
    /// Its expanded uncertainty, K/W.
    pub uncertainty_k_w: Option<f64>,
    /// What healthy boards show, K/W.
    pub healthy_k_w: Option<Range>,
    /// Where it stands beside them.
    pub standing: Standing,
}

impl SensorState {
    /// Tells whether it is at its limit, within what a sensor may be off.
    pub(super) fn is_at_limit(&self) -> bool {
        self.margin_k.is_some_and(|margin| margin <= SENSOR_K)
    }

    /// Tells whether it is near its limit.
    pub(super) fn is_near(&self) -> bool {
        self.margin_k.is_some_and(|margin| margin < NEAR_K)
    }

    pub(super) fn is_above(&self) -> bool {
        self.standing == Standing::Above
    }
}

/// Says where each sensor that was read stands.
pub(super) fn states(readings: &Readings, limits: &Limits, normal: &Normal) -> Vec<SensorState> {
    let state = |sensor| {
        let read_c = readings.of(sensor)?;
        let (rise, range) = (readings.rise(sensor), normal.range(sensor));
        let limit_c = limits.of(sensor);
        Some(SensorState {
            sensor,
            read_c,
            limit_c,
            margin_k: limit_c.map(|limit| limit - read_c),
            rise_k_w: rise.map(|rise| rise.value),
            uncertainty_k_w: rise.map(Estimate::expanded),
            healthy_k_w: range,
            standing: Standing::of(rise, range),
        })
    };
    Sensor::ALL.iter().copied().filter_map(state).collect()
}

/// Says what makes readings no readings under full load: too little heat or too much, or a chip that stays
/// cold.
pub(super) fn doubt(readings: &Readings, normal: &Normal) -> Option<String> {
    let both = readings.heat_w.zip(normal.full_w);
    let too_little = both.filter(|(heat_w, full_w)| *heat_w < FULL_LOAD_SHARE * full_w);
    let too_little = too_little.map(|(heat_w, full_w)| {
        let again = if heat_w < FAINT_LOAD_SHARE * full_w {
            "read the heat again, or all of it under full load"
        } else {
            "read it again under full load"
        };
        format!("{heat_w} W are not the {full_w} W of full load: {again}")
    });
    let too_cold = || {
        let mut read = readings.read();
        read.find_map(|sensor| too_cold(sensor, readings, normal))
    };
    misread_heat(readings, normal)
        .map(|fact| read_heat_again(&fact))
        .or(too_little)
        .or_else(too_cold)
}

/// Says that the heat was misread, so that nothing per watt can be said.
pub fn misread_heat(readings: &Readings, normal: &Normal) -> Option<String> {
    let (heat_w, full_w) = readings.heat_w.zip(normal.full_w)?;
    (heat_w > MISREAD_LOAD_SHARE * full_w).then(|| {
        format!(
            "the heat of {heat_w} W is far above the {full_w} W that the board gives off under full load"
        )
    })
}

/// Says why nothing can be said for each watt of a heat: there is far too much of it, or too little.
pub(super) fn disbelieved_heat(readings: &Readings, normal: &Normal) -> Option<String> {
    misread_heat(readings, normal).or_else(|| {
        let (heat_w, full_w) = readings.heat_w.zip(normal.full_w)?;
        (heat_w < FAINT_LOAD_SHARE * full_w).then(|| {
            format!(
                "the heat of {heat_w} W is far below the {full_w} W that the board gives off under full load"
            )
        })
    })
}

/// Leaves out a heat that cannot be believed.
pub(super) fn believed(readings: &Readings, normal: &Normal) -> Readings {
    let heat_w = readings
        .heat_w
        .filter(|_| disbelieved_heat(readings, normal).is_none());
    Readings {
        heat_w,
        ..readings.clone()
    }
}

/// Asks whoever stands at the board to read a misread heat again.
pub(super) fn read_heat_again(fact: &str) -> String {
    format!("{fact}: read the heat again")
}

/// Says that a sensor is too cold for a board under full load; nothing where the heat was misread, beside
/// which every sensor would be.
pub(super) fn too_cold(sensor: Sensor, readings: &Readings, normal: &Normal) -> Option<String> {
    if misread_heat(readings, normal).is_some() {
        return None;
    }
    let (read, ambient) = (readings.of(sensor)?, readings.ambient_c?);
    let low = readings.rise(sensor).zip(normal.range(sensor));
    let is_far_below = low.is_some_and(|(rise, range)| rise.value < COLD_SHARE * range.low);
    (is_far_below || read - ambient < COLD_K).then(|| {
        format!(
            "the {sensor} at {} °C in a room of {} °C is too cold for full load: read it again",
            tenths(read),
            tenths(ambient)
        )
    })
}

/// Says that jobs of several revisions are taken together.
pub(super) fn pooled_words(normal: &Normal) -> Option<String> {
    (!normal.pooled.is_empty()).then(|| {
        format!(
            "healthy jobs of the revisions {} are taken together",
            normal.pooled.join(", ")
        )
    })
}

/// Writes a number with a decimal only where it has one.
fn tenths(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// Says what is wrong with a fan that stands, or turns faster than healthy boards need and so hides what is
/// wrong.
pub(super) fn fan_words(readings: &Readings, normal: &Normal) -> Option<String> {
    let speed = readings.fan_rpm?;
    match (fan(readings, normal), normal.fan_rpm) {
        (Standing::Below, _) if speed <= 0.0 => Some("its fan stands still".to_owned()),
        (Standing::Above, Some([_, greatest])) => Some(format!(
            "its fan turns {speed:.0} times a minute where healthy boards need {greatest:.0} at most"
        )),
        _ => None,
    }
}

/// Where a fan's speed stands beside those of healthy boards: a standing one is below, unless theirs stand too.
pub(super) fn fan(readings: &Readings, normal: &Normal) -> Standing {
    match (readings.fan_rpm, normal.fan_rpm) {
        (Some(speed), None) if speed <= 0.0 => Standing::Below,
        (Some(speed), Some([least, _])) if speed <= 0.0 && least > 0.0 => Standing::Below,
        (Some(speed), Some([least, greatest])) => {
            if speed < (1.0 - FAN_SHARE) * least {
                Standing::Below
            } else if speed > (1.0 + FAN_SHARE) * greatest {
                Standing::Above
            } else {
                Standing::Within
            }
        }
        _ => Standing::Unknown,
    }
}

/// Says where a sensor stands, with the numbers.
pub(super) fn sentence(state: &SensorState) -> String {
    /// Half of the last digit that is printed, K.
    const SEEN_K: f64 = 0.05;
    let SensorState { sensor, read_c, .. } = state;
    let margin = match (state.limit_c, state.margin_k) {
        (Some(limit), Some(margin)) if margin >= SEEN_K => format!(
            ", {} K below its limit of {} °C",
            tenths(margin),
            tenths(limit)
        ),
        (Some(limit), Some(margin)) if margin <= -SEEN_K => format!(
            ", {} K over its limit of {} °C",
            tenths(-margin),
            tenths(limit)
        ),
        (Some(limit), _) => format!(", at its limit of {} °C", tenths(limit)),
        _ => ", whose limit the record does not give".to_owned(),
    };
    let read = tenths(*read_c);
    format!("{sensor} at {read} °C{margin}{}", beside(state))
}

/// Says where a sensor stands beside healthy boards.
fn beside(state: &SensorState) -> String {
    let (Some(rise), Some(own)) = (state.rise_k_w, state.uncertainty_k_w) else {
        return String::new();
    };
    let Some(range) = state.healthy_k_w else {
        return format!("; it rises {rise:.3} ± {own:.3} K for each watt");
    };
    let Range {
        low, high, jobs, ..
    } = range;
    let standing = state.standing.word();
    let digits = digits_apart(rise, [low, high], state.standing, 3);
    format!(
        "; it rises {rise:.digits$} ± {own:.digits$} K for each watt, {standing} the {low:.digits$} to \
         {high:.digits$} of {jobs} healthy jobs"
    )
}

/// Returns how many digits after the point show that a value stands where it does, `least` or more.
pub(super) fn digits_apart(
    value: f64,
    [low, high]: [f64; 2],
    standing: Standing,
    least: usize,
) -> usize {
    /// More are no use to anybody.
    const MOST: usize = 6;
    let end = match standing {
        Standing::Above => high,
        Standing::Below => low,
        Standing::Within | Standing::Unknown => return least,
    };
    let are_apart = |&digits: &usize| format!("{value:.digits$}") != format!("{end:.digits$}");
    (least..MOST).find(are_apart).unwrap_or(MOST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_above_is_not_printed_as_equal() {
        let range = [0.224, 0.247_9];
        let digits = |value, standing| digits_apart(value, range, standing, 3);
        assert_eq!(digits(0.248_2, Standing::Above), 4, "0.2482 and 0.2479");
        assert_eq!(digits(0.26, Standing::Above), 3, "apart as it is");
        assert_eq!(digits(0.247_8, Standing::Within), 3, "it may be equal");
        assert_eq!(digits(0.223_98, Standing::Below), 5, "0.22398 and 0.22400");
    }
}
