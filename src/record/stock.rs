//! What can be fitted (pads and pastes), and the usual heights of packages.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Pad materials that can be bought: `stock/pads.toml`.
#[derive(Clone, Debug, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pads {
    /// The version of this record's form; 1.
    pub schema: u32,
    /// The materials.
    #[serde(default)]
    pub pad: Vec<Pad>,
}

/// One pad material.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pad {
    /// Its name in records.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub id: String,
    /// Its name in words.
    #[schemars(length(min = 1, max = 80))]
    pub name: String,
    /// Who makes it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 80))]
    pub maker: Option<String>,
    /// Thermal conductivity, W/(m·K).
    #[schemars(range(min = 0.1, max = 100.0))]
    pub conductivity_w_mk: f64,
    /// Thicknesses it is sold in, mm.
    #[schemars(length(min = 1, max = 40), inner(range(min = 0.2, max = 8.0)))]
    pub thickness_mm: Vec<f64>,
    /// Tolerance of the thickness, plus or minus, as a fraction.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 0.5))]
    pub thickness_tolerance: Option<f64>,
    /// Width and height of a sheet, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(inner(range(min = 10.0, max = 1000.0)))]
    pub sheet_mm: Option<[f64; 2]>,
    /// Whether it conducts differently along and across the sheet: pieces are then cut as they will lie.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub directional: bool,
    /// Strain against pressure at assembly, rising; zero at zero is understood.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 40))]
    pub deflection: Vec<Deflection>,
    /// The fraction of the pressure at assembly that stays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.05, max = 1.0))]
    pub relaxed: Option<f64>,
    /// The greatest strain that does not crush it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.05, max = 0.9))]
    pub max_strain: Option<f64>,
    /// How much an imprint springs back, as a fraction of the gap.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub rebound: Option<f64>,
    /// Where these values are from.
    #[schemars(length(min = 1, max = 500))]
    pub source: String,
}

/// One point of a pad's deflection table.
#[derive(Clone, Copy, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deflection {
    /// Strain, 1 − gap / free thickness.
    #[schemars(range(min = 0.001, max = 0.95))]
    pub strain: f64,
    /// Pressure at assembly, kPa.
    #[schemars(range(min = 0.01, max = 20000.0))]
    pub pressure_kpa: f64,
}

/// What is left of earlier sheets and kept: `stock/offcuts.toml`.
#[derive(Clone, Debug, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Offcuts {
    /// The version of this record's form; 1.
    pub schema: u32,
    /// The offcuts.
    #[serde(default)]
    #[schemars(length(max = 500))]
    pub offcut: Vec<Offcut>,
}

/// One rectangle that is left of a sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Offcut {
    /// Its material, a key of stock/pads.toml.
    pub pad: String,
    /// Its free thickness, mm.
    #[schemars(range(min = 0.2, max = 8.0))]
    pub thickness_mm: f64,
    /// Width and height, mm, as it lay on its sheet.
    #[schemars(inner(range(min = 1.0, max = 1000.0)))]
    pub size_mm: [f64; 2],
}

/// Pastes that can be bought: `stock/pastes.toml`.
#[derive(Clone, Debug, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pastes {
    /// The version of this record's form; 1.
    pub schema: u32,
    /// The pastes.
    #[serde(default)]
    pub paste: Vec<Paste>,
}

/// One thermal paste.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Paste {
    /// Its name in records.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub id: String,
    /// Its name in words.
    #[schemars(length(min = 1, max = 80))]
    pub name: String,
    /// Who makes it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 80))]
    pub maker: Option<String>,
    /// Thermal conductivity, W/(m·K).
    #[schemars(range(min = 0.1, max = 100.0))]
    pub conductivity_w_mk: f64,
    /// Yield stress, Pa.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1.0, max = 5000.0))]
    pub yield_pa: Option<f64>,
    /// Whether it conducts electricity.
    #[serde(default)]
    pub conductive: bool,
    /// Where these values are from.
    #[schemars(length(min = 1, max = 500))]
    pub source: String,
}

/// Usual heights of part packages: `stock/packages.toml`.
#[derive(Clone, Debug, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Packages {
    /// The version of this record's form; 1.
    pub schema: u32,
    /// The packages.
    #[serde(default)]
    pub package: Vec<Package>,
}

/// The usual height of one package.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Package {
    /// Its name in records.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub id: String,
    /// Its name in words.
    #[schemars(length(min = 1, max = 80))]
    pub name: String,
    /// Height above the board, mm.
    #[schemars(range(min = 0.2, max = 30.0))]
    pub height_mm: f64,
    /// Tolerance of the height, plus or minus, mm.
    #[schemars(range(min = 0.0, max = 5.0))]
    pub tolerance_mm: f64,
    /// Where the height is from.
    #[schemars(length(min = 1, max = 500))]
    pub source: String,
}
