//! Where each reading stands: how far from its limit, and beside what healthy boards show.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Estimate, Limits, Normal, Range, Readings, SENSOR_K, Sensor};
use crate::record::schema::{Words, words};

/// How near to a limit a reading is worth watching, K. Common practice: what a hotter day adds.
pub const NEAR_K: f64 = 5.0;

/// How far beside the speeds of healthy boards a fan's is another, as a fraction. Common practice.
pub const FAN_SHARE: f64 = 0.2;

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

/// Where a fan's speed stands beside those of healthy boards: a standing one is below without any.
pub(super) fn fan(readings: &Readings, normal: &Normal) -> Standing {
    match (readings.fan_rpm, normal.fan_rpm) {
        (Some(speed), _) if speed <= 0.0 => Standing::Below,
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
    let SensorState { sensor, read_c, .. } = state;
    let margin = match (state.limit_c, state.margin_k) {
        (Some(limit), Some(margin)) if margin > 0.0 => {
            format!(", {margin:.0} K below its limit of {limit:.0} °C")
        }
        (Some(limit), Some(margin)) if margin < 0.0 => {
            format!(", {:.0} K over its limit of {limit:.0} °C", -margin)
        }
        (Some(limit), _) => format!(", at its limit of {limit:.0} °C"),
        _ => ", whose limit the record does not give".to_owned(),
    };
    format!("{sensor} at {read_c:.0} °C{margin}{}", beside(state))
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
    format!(
        "; it rises {rise:.3} ± {own:.3} K for each watt, {standing} the {low:.3} to {high:.3} of {jobs} \
         healthy jobs"
    )
}
