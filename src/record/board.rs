//! One board: its bodies, parts, zones, fasteners and connectors.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::schema::{Words, words};
use crate::units::{Point, Rect};

/// One board of the book.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Board {
    /// The version of this record's form; 1.
    pub schema: u32,
    /// What the board is and how it is recognised.
    pub board: BoardHead,
    /// Where throttling or shutdown begins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<Limits>,
    /// Rigid things that come off the board.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub body: Vec<Body>,
    /// Components that stay on the board.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub part: Vec<Part>,
    /// Gaps filled by pads of one thickness, between two faces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub zone: Vec<Zone>,
    /// Groups of like screws; each group has its own tray.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub fasteners: Vec<Fasteners>,
    /// Connectors, and the bodies their cables lead to.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub connector: Vec<Connector>,
    /// Areas that no pad may touch.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub keepout: Vec<Keepout>,
    /// What a bench wants the next one to know.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub note: Vec<Note>,
    /// Findings that are accepted, each with its reason.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub accept: Vec<Accept>,
    /// Pictures in the board's photos folder.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub photo: Vec<Photo>,
}

/// What the board is and how it is recognised.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BoardHead {
    /// The record's name: the maker's folder, a hyphen, the board's folder.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 80))]
    pub id: String,
    /// Who made the board.
    #[schemars(length(min = 1, max = 80))]
    pub maker: String,
    /// The model, as its maker writes it.
    #[schemars(length(min = 1, max = 80))]
    pub model: String,
    /// What kind of board it is.
    pub class: Class,
    /// What is printed on the board: how it is recognised.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100), inner(length(min = 1, max = 80)))]
    pub markings: Vec<String>,
    /// Known revisions of the board.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 40), inner(length(min = 1, max = 40)))]
    pub revisions: Vec<String>,
    /// Width and height of the board, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(inner(range(min = 10.0, max = 1000.0)))]
    pub outline_mm: Option<[f64; 2]>,
    /// Thickness of the bare board, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.3, max = 6.0))]
    pub thickness_mm: Option<f64>,
    /// Heat of the whole board under full load, W.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.1, max = 3000.0))]
    pub heat_w: Option<f64>,
}

words! {
    /// What kind of board it is.
    pub enum Class {
        /// A graphics card.
        Graphics = "graphics",
        /// An accelerator or processor module.
        Compute = "compute",
        /// The main board of a games console.
        Console = "console",
        /// The main board of a laptop.
        Laptop = "laptop",
        /// A network card, switch or router.
        Network = "network",
        /// A solid-state drive.
        Drive = "drive",
        /// Anything else.
        Other = "other",
    }
}

/// Temperatures where throttling or shutdown begins.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// Of the die's mean sensor, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 30.0, max = 150.0))]
    pub die_c: Option<f64>,
    /// Of the die's hottest sensor, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 30.0, max = 150.0))]
    pub hotspot_c: Option<f64>,
    /// Of the memory's sensor, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 30.0, max = 150.0))]
    pub memory_c: Option<f64>,
    /// Where the limits are from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

words! {
    /// A side of the board.
    #[derive(PartialOrd, Ord)]
    pub enum Side {
        /// The side that carries the main die.
        Front = "front",
        /// The other side.
        Back = "back",
    }
}

impl Side {
    /// Returns the other side.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Front => Self::Back,
            Self::Back => Self::Front,
        }
    }
}

words! {
    /// What kind of body it is.
    pub enum BodyKind {
        /// Carries heat away.
        Cooler = "cooler",
        /// A plate between board and cooler, or beside the cooler.
        Bracket = "bracket",
        /// A plate on the back.
        Backplate = "backplate",
        /// The plate that fixes a card to its case.
        IoBracket = "io-bracket",
        /// A cover that guides air.
        Shroud = "shroud",
        /// A frame that keeps the board flat.
        Stiffener = "stiffener",
        /// A sticker that hides screws.
        Label = "label",
        /// A lid or cap.
        Cover = "cover",
    }
}

/// A rigid thing that comes off the board.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// Its name in this record.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub id: String,
    /// Its name in words; left out, the id in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 80))]
    pub name: Option<String>,
    /// What kind of body it is.
    pub kind: BodyKind,
    /// The side of the board it is on.
    pub side: Side,
    /// What it rests on when the board is closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seats: Option<Seats>,
    /// Mass, g.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.1, max = 20000.0))]
    pub mass_g: Option<f64>,
    /// Thickness, mm, where its far face takes pads too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.1, max = 50.0))]
    pub thickness_mm: Option<f64>,
    /// The body it is one piece with: it comes off with that one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part_of: Option<String>,
    /// Bodies that it lies over: they cannot come off before it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 20))]
    pub over: Vec<String>,
    /// Its outline in plan; it may reach beyond the board.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 100))]
    pub at: Vec<Rect>,
    /// Revisions of the board it belongs to; left out, all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 40))]
    pub only: Vec<String>,
}

impl Body {
    /// Returns its seats, where they are of this kind.
    #[must_use]
    pub fn seats_on(&self, seat: Seat) -> Option<&Seats> {
        self.seats.as_ref().filter(|seats| seats.on == seat)
    }
}

words! {
    /// What a body rests on.
    pub enum Seat {
        /// On the die, through paste.
        Die = "die",
        /// On standoffs of a known height.
        Standoffs = "standoffs",
    }
}

/// What a body rests on when the board is closed.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Seats {
    /// What it rests on.
    pub on: Seat,
    /// Height of the standoffs above the board, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.1, max = 50.0))]
    pub height_mm: Option<f64>,
    /// Tolerance of that height, plus or minus, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 5.0))]
    pub tolerance_mm: Option<f64>,
}

words! {
    /// What kind of part it is.
    pub enum PartKind {
        /// A processor die, cooled through paste.
        Die = "die",
        /// A memory package.
        Memory = "memory",
        /// A power stage of a voltage regulator.
        PowerStage = "power-stage",
        /// An inductor of a voltage regulator.
        Inductor = "inductor",
        /// A controller chip.
        Controller = "controller",
        /// Anything else that a pad may touch.
        Other = "other",
    }
}

/// A component that stays on the board, at one or more places.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Its name in this record.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub id: String,
    /// Its name in words; left out, the id in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 80))]
    pub name: Option<String>,
    /// What kind of part it is.
    pub kind: PartKind,
    /// The side of the board it is on.
    pub side: Side,
    /// Its places, each [x, y, width, height], mm.
    #[schemars(length(min = 1, max = 500))]
    pub at: Vec<Rect>,
    /// Height above the board, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.2, max = 30.0))]
    pub height_mm: Option<f64>,
    /// Tolerance of that height, plus or minus, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 5.0))]
    pub tolerance_mm: Option<f64>,
    /// Its package, a key of stock/packages.toml, which knows a usual height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub package: Option<String>,
    /// Heat of each under full load, W.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.01, max = 1500.0))]
    pub heat_w: Option<f64>,
    /// Revisions of the board it belongs to; left out, all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 40))]
    pub only: Vec<String>,
}

words! {
    /// How an old pad comes off.
    pub enum Removal {
        /// It rolls off under a finger.
        RollsOff = "rolls-off",
        /// It sticks and is scraped with flexible plastic.
        Scrape = "scrape",
    }
}

/// One gap filled by pads of one thickness, between two faces.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// Its name in this record; it may be its part's.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub id: String,
    /// Its name in words; left out, the id in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 80))]
    pub name: Option<String>,
    /// The two faces, the nearer to the board first; "pcb" is the bare board.
    pub between: [String; 2],
    /// Free thickness of the pad that the maker fitted, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.2, max = 8.0))]
    pub pad_mm: Option<f64>,
    /// Its material, a key of stock/pads.toml.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pad: Option<String>,
    /// How far the far face lies back from its body's datum face, mm; negative: it stands proud.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -20.0, max = 20.0))]
    pub recess_mm: Option<f64>,
    /// Tolerance of the recess, plus or minus, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 5.0))]
    pub recess_tolerance_mm: Option<f64>,
    /// How the old pad comes off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub removal: Option<Removal>,
    /// Its pieces, each [x, y, width, height], mm; left out, one a place of the near part.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 500))]
    pub at: Vec<Rect>,
    /// Whether one strip may lie over several places next to each other, where nothing lies between.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub strip: bool,
    /// Revisions of the board it applies to; left out, all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 40))]
    pub only: Vec<String>,
}

words! {
    /// The side the driver works from.
    pub enum From {
        /// From the front.
        Front = "front",
        /// From the back.
        Back = "back",
        /// From the board's edge.
        Edge = "edge",
    }
}

impl From {
    /// Returns the side of the board that must be up to work from here; from the edge, either may be.
    #[must_use]
    pub fn side(self) -> Option<Side> {
        match self {
            Self::Front => Some(Side::Front),
            Self::Back => Some(Side::Back),
            Self::Edge => None,
        }
    }

    /// Returns the side on whose drawing a head is shown; those at the edge are on the front's.
    #[must_use]
    pub fn seen_on(self) -> Side {
        self.side().unwrap_or(Side::Front)
    }
}

words! {
    /// What a screw's thread engages.
    pub enum Engages {
        /// Steel.
        Steel = "steel",
        /// Brass.
        Brass = "brass",
        /// Aluminium.
        Aluminium = "aluminium",
        /// Plastic.
        Plastic = "plastic",
    }
}

words! {
    /// What kind of fastener it is.
    pub enum FastenerKind {
        /// A screw.
        Screw = "screw",
        /// A clip or spring that is unhooked.
        Clip = "clip",
        /// A pin pushed through the board and spread behind it.
        PushPin = "push-pin",
    }
}

/// A group of like screws, clips or pins, one tray.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fasteners {
    /// Its name in this record.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub id: String,
    /// Its name in words; left out, the id in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 80))]
    pub name: Option<String>,
    /// What kind of fastener they are.
    #[serde(default = "screws")]
    pub kind: FastenerKind,
    /// Thread: ISO metric ("M2.5"), unified ("#4-40"), or "self-tapping 2.2".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(regex(
        pattern = r"^(M[0-9]{1,2}(\.[0-9]{1,2})?(x[0-9]\.[0-9]{1,2})?|#[0-9]{1,2}-[0-9]{2}|self-tapping [0-9](\.[0-9])?)$"
    ))]
    pub thread: Option<String>,
    /// Length under the head, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.5, max = 100.0))]
    pub length_mm: Option<f64>,
    /// Drive and size: PH/PZ (ISO 8764), T (ISO 10664), H (ISO 2936), SL (ISO 2380).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(regex(
        pattern = r"^(PH[0-9]{1,3}|PZ[0-9]|T[0-9]{1,2}|H[0-9](\.[0-9])?|SL[0-9](\.[0-9])?)$"
    ))]
    pub drive: Option<String>,
    /// The side the driver works from.
    pub from: From,
    /// Where the screws are.
    #[schemars(length(min = 1, max = 200))]
    pub at: Vec<Point>,
    /// What they hold together: bodies, or "pcb".
    #[schemars(length(min = 1, max = 20))]
    pub holds: Vec<String>,
    /// Bodies or labels that hide the heads.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 20))]
    pub under: Vec<String>,
    /// Whether a spring sets their force.
    #[serde(default)]
    pub sprung: bool,
    /// Whether they stay in the body when they are loose.
    #[serde(default)]
    pub captive: bool,
    /// Force of one, seated, N.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.1, max = 5000.0))]
    pub clamp_n: Option<f64>,
    /// Height above the board at which they bottom, mm: what they hold rests on their standoffs there, and is
    /// pulled no lower.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.1, max = 50.0))]
    pub bottoms_mm: Option<f64>,
    /// What the thread engages.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub engages: Option<Engages>,
    /// Strength class: of steel (ISO 898-1), such as "8.8", or of stainless steel (ISO 3506-1), such as
    /// "A2-70".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(regex(
        pattern = r"^(4\.6|4\.8|5\.6|5\.8|6\.8|8\.8|9\.8|10\.9|12\.9|A2-50|A2-70|A4-80)$"
    ))]
    pub class: Option<String>,
    /// The maker's tightening torque, N·m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.01, max = 10.0))]
    pub torque_nm: Option<f64>,
    /// Revisions of the board they belong to; left out, all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 40))]
    pub only: Vec<String>,
}

words! {
    /// What a connector carries.
    pub enum ConnectorKind {
        /// A fan.
        Fan = "fan",
        /// Lights.
        Lighting = "lighting",
        /// Supply.
        Power = "power",
        /// A sensor.
        Sensor = "sensor",
        /// A display.
        Display = "display",
        /// An antenna.
        Antenna = "antenna",
        /// A battery.
        Battery = "battery",
    }
}

words! {
    /// How a connector is locked.
    pub enum Latch {
        /// Friction alone.
        Friction = "friction",
        /// Clips at its sides.
        SideClips = "side-clips",
        /// A latch on top.
        TopLatch = "top-latch",
        /// A bar that flips up.
        FlipBar = "flip-bar",
        /// Screws.
        Screw = "screw",
    }
}

/// A connector on the board.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Connector {
    /// Its name in this record.
    #[schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"), length(max = 60))]
    pub id: String,
    /// Its name in words; left out, the id in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 80))]
    pub name: Option<String>,
    /// What it carries.
    pub kind: ConnectorKind,
    /// The side of the board it is on.
    pub side: Side,
    /// Its centre.
    pub at: Point,
    /// The body its cable leads to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ties: Option<String>,
    /// How it is locked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub latch: Option<Latch>,
    /// How far the tied body can be moved before the cable pulls, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1000.0))]
    pub slack_mm: Option<f64>,
    /// Revisions of the board it belongs to; left out, all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 40))]
    pub only: Vec<String>,
}

/// An area that no pad may touch.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Keepout {
    /// The side of the board it is on.
    pub side: Side,
    /// Its rectangles, mm.
    #[schemars(length(min = 1, max = 200))]
    pub at: Vec<Rect>,
    /// What stands there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(min = 1, max = 200))]
    pub why: Option<String>,
}

words! {
    /// A phase of the job; the guide has a sheet for each.
    #[derive(PartialOrd, Ord)]
    pub enum Phase {
        /// Does the board need opening at all?
        Decide = "decide",
        /// What holds what, and in what order it comes apart.
        Open = "open",
        /// What was fitted, before it is lost.
        Measure = "measure",
        /// Which pad goes in which gap.
        Fit = "fit",
        /// In what order and how tight.
        Close = "close",
        /// Are the temperatures back to normal?
        Prove = "prove",
    }
}

words! {
    /// A note's signal word, in the sense of ANSI Z535.6, or a tip.
    #[derive(PartialOrd, Ord)]
    pub enum NoteKind {
        /// Could kill or badly injure.
        Warning = "warning",
        /// Could injure.
        Caution = "caution",
        /// Could damage the board.
        Notice = "notice",
        /// Makes the job easier.
        Tip = "tip",
    }
}

/// What a bench wants the next one to know.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// What it is about: any id of this record, or "board".
    pub on: String,
    /// The phase in which it matters.
    pub when: Phase,
    /// Its signal word.
    pub kind: NoteKind,
    /// The note, in Markdown; raw HTML is dropped.
    #[schemars(length(min = 1, max = 4000))]
    pub text: String,
}

/// A finding that is accepted, with the reason.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Accept {
    /// The rule.
    pub rule: String,
    /// The id that the finding is about, also in a job, or "board".
    pub at: String,
    /// Why it is right as it is; shown in the guide.
    #[schemars(length(min = 8, max = 500))]
    pub why: String,
}

/// A picture in the board's photos folder.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// The file's plain name; PNG, JPEG or WebP.
    #[schemars(
        regex(pattern = r"^[A-Za-z0-9][A-Za-z0-9._-]*\.(png|jpg|jpeg|webp)$"),
        length(max = 100)
    )]
    pub file: String,
    /// What it shows: any id of this record, or "board".
    #[serde(default = "board_itself")]
    pub on: String,
    /// The phase in which it helps.
    #[serde(default = "while_opening")]
    pub when: Phase,
    /// What one sees in it, for those who cannot see it.
    #[schemars(length(min = 1, max = 300))]
    pub text: String,
}

fn screws() -> FastenerKind {
    FastenerKind::Screw
}

fn board_itself() -> String {
    "board".into()
}

fn while_opening() -> Phase {
    Phase::Open
}
