//! Drawings as SVG: the maps of a board, to scale; its section; the bond line over its die; its pads on
//! their sheets, at 1:1.
//!
//! Line weights follow ISO 128 (wide for outlines, half of that for the rest), lettering ISO 3098.
//! Colours and weights are classes, set by the one style sheet of drawings; nothing here depends on
//! them to be understood.

mod bondline;
mod caliper;
mod callout;
mod cut;
mod cutting;
mod dimensions;
mod dots;
mod hatch;
mod labels;
mod map;
mod marks;
mod piece;
mod place;
mod profile;
mod screw_sheet;
mod section;
mod small;
mod strip;
mod svg;
mod view;

pub use bondline::bond_line;
pub use caliper::caliper;
pub use cut::{Cut, Way};
pub use cutting::cutting;
pub use dots::{Dot, Ranged, dot_plot};
pub(crate) use map::thickness;
pub use map::{Layers, map, swatch};
pub use profile::cut;
pub use screw_sheet::{fifty_mm, screw_sheets};
pub use section::{Section, section};
pub use small::{ground, side_of, small};
pub use strip::{Span, StripRow, strip};
pub use svg::{Element, number};
pub use view::View;

/// The style sheet of drawings, for pages and for drawings that stand alone.
pub const STYLE: &str = include_str!("../../templates/assets/drawing.css");
