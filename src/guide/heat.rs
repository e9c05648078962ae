//! What the *Decide* and *Prove* sheets draw and hand to their script: a strip of temperatures, and the
//! numbers by which readings are judged.

use minijinja::value::Value;
use serde::Serialize;

use super::facts::HeatFacts;
use crate::drawing::{StripRow, number, strip};
use crate::heat::{self, Cause, fahrenheit};
use crate::record::schema::Words as _;

/// The kernels' numbers that the page's script judges with: it has none of its own.
#[derive(Debug, Serialize)]
pub(super) struct Practice {
    sensor_k: f64,
    ambient_k: f64,
    heat_share: f64,
    near_k: f64,
    far_k: f64,
    far_room_k: f64,
    hot_room_c: f64,
    fan_share: f64,
    full_load_share: f64,
    misread_load_share: f64,
    faint_load_share: f64,
    cold_share: f64,
    cold_k: f64,
    warmest_room_c: f64,
    coldest_chip_c: f64,
    hottest_chip_c: f64,
    beyond_limit_k: f64,
}

/// Those numbers.
pub(super) const PRACTICE: Practice = Practice {
    sensor_k: heat::SENSOR_K,
    ambient_k: heat::AMBIENT_K,
    heat_share: heat::HEAT_SHARE,
    near_k: heat::NEAR_K,
    far_k: heat::HOTSPOT_FAR_K,
    far_room_k: heat::HOTSPOT_ROOM_K,
    hot_room_c: heat::HOT_ROOM_C,
    fan_share: heat::FAN_SHARE,
    full_load_share: heat::FULL_LOAD_SHARE,
    misread_load_share: heat::MISREAD_LOAD_SHARE,
    faint_load_share: heat::FAINT_LOAD_SHARE,
    cold_share: heat::COLD_SHARE,
    cold_k: heat::COLD_K,
    warmest_room_c: fahrenheit::WARMEST_ROOM_C,
    coldest_chip_c: fahrenheit::COLDEST_CHIP_C,
    hottest_chip_c: fahrenheit::HOTTEST_CHIP_C,
    beyond_limit_k: fahrenheit::BEYOND_LIMIT_K,
};

/// Draws the strip of a board; nothing where neither limits nor healthy jobs are known.
pub(super) fn drawn(facts: &HeatFacts) -> Option<Value> {
    let row = |sensor: &super::facts::SensorFacts| StripRow {
        name: sensor.sensor.word(),
        healthy_c: sensor.points_c.clone(),
        range_c: sensor.healthy_c,
        limit_c: sensor.limit_c,
    };
    let rows: Vec<StripRow> = facts.sensors.iter().map(row).collect();
    let load = facts
        .heat_w
        .map_or_else(String::new, |heat_w| format!(" and {} W", number(heat_w)));
    let title = format!(
        "Limits and healthy boards, as in a room of {} °C{load}",
        number(facts.room_c)
    );
    strip(&rows, &title).map(|svg| Value::from_safe_string(svg.serialise()))
}

/// What can be wrong after a job, what shows it, and what confirms it.
#[derive(Debug, Serialize)]
pub(super) struct CauseFacts {
    cause: Cause,
    signs: &'static str,
    confirm: &'static str,
}

/// Returns what can be wrong after a job, in the kernel's order.
pub(super) fn causes() -> Vec<CauseFacts> {
    let facts = |&cause: &Cause| CauseFacts {
        cause,
        signs: cause.signs(),
        confirm: cause.confirm(),
    };
    Cause::ALL.iter().map(facts).collect()
}
