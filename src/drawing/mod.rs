//! Drawings as SVG: the maps of a board, to scale.
//!
//! Line weights follow ISO 128 (wide for outlines, half of that for the rest), lettering ISO 3098.
//! Colours and weights are classes, set by the one style sheet of drawings; nothing here depends on
//! them to be understood.

mod dimensions;
mod dots;
mod hatch;
mod labels;
mod map;
mod marks;
mod piece;
mod place;
mod svg;
mod view;

pub use dots::{Ranged, Row, dot_plot};
pub(crate) use map::thickness;
pub use map::{Layers, map, swatch};
pub use svg::{Element, number};
pub use view::View;

/// The style sheet of drawings, for pages and for drawings that stand alone.
pub const STYLE: &str = include_str!("../../templates/assets/drawing.css");
