use schemars::JsonSchema;
use serde::Serialize;

use crate::book::Board;
use crate::heat::{self, Normal, Range, Sensor};
use crate::record::schema::Words as _;

/// The room in which temperatures of different jobs are shown side by side, °C.
const ROOM_C: f64 = 23.0;

/// What a board shows under load when it is healthy, and where its limits are.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct HeatFacts {
    /// The room in which temperatures of different jobs are compared, °C.
    pub room_c: f64,
    /// The heat at which they are, W.
    pub heat_w: Option<f64>,
    /// Its sensors.
    pub sensors: Vec<SensorFacts>,
    /// Hotspot above the die's mean, K/W, by healthy jobs.
    pub excess: Option<Range>,
    /// Least and greatest fan speed of healthy jobs, 1/min.
    pub fan_rpm: Option<[f64; 2]>,
    /// How many healthy jobs there are.
    pub jobs: usize,
}

/// One sensor of a board.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SensorFacts {
    /// Which.
    pub sensor: Sensor,
    /// Its limit, °C.
    pub limit_c: Option<f64>,
    /// The rise over ambient, K/W, that healthy boards show.
    pub healthy: Option<Range>,
    /// That range in the room and at the heat of comparison, °C.
    pub healthy_c: Option<[f64; 2]>,
    /// What each healthy job comes to there, °C.
    pub points_c: Vec<f64>,
}

pub(super) fn facts(board: &Board) -> HeatFacts {
    let healthy: Vec<_> = heat::board::healthy(board).map(|(_, read)| read).collect();
    let normal = Normal::of(&healthy);
    let heats = || healthy.iter().filter_map(|read| read.heat_w);
    let heat_w = board
        .record
        .board
        .heat_w
        .or_else(|| heats().reduce(f64::max));
    let limits = heat::board::limits(board);
    let in_room = |rise: f64| heat_w.map(|heat_w| ROOM_C + rise * heat_w);
    let sensor = |&sensor: &Sensor| {
        let range = normal.range(sensor);
        let rises = healthy.iter().filter_map(|read| read.rise(sensor));
        SensorFacts {
            sensor,
            limit_c: limits.of(sensor),
            healthy: range,
            healthy_c: range.and_then(|range| Some([in_room(range.low)?, in_room(range.high)?])),
            points_c: rises.filter_map(|rise| in_room(rise.value)).collect(),
        }
    };
    HeatFacts {
        room_c: ROOM_C,
        heat_w,
        sensors: Sensor::ALL.iter().map(sensor).collect(),
        excess: normal.excess,
        fan_rpm: normal.fan_rpm,
        jobs: healthy.len(),
    }
}
