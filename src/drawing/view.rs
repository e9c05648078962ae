//! From board millimetres to drawing units, for one side.

use crate::record::Side;
use crate::units::{Point, Rect};

/// How one side of a board lies on its drawing.
///
/// Drawing units are millimetres on a sheet about as wide as A4 is long: small boards are enlarged
/// by a whole factor so that their lettering stays legible.
#[derive(Clone, Copy, Debug)]
pub struct View {
    /// The side that is seen.
    pub side: Side,
    /// Drawing units a millimetre.
    pub scale: f64,
    outline: [f64; 2],
    margin: f64,
}

/// Space round the board for balloons, labels and dimensions, drawing units.
const MARGIN: f64 = 19.0;

/// Width that small boards are enlarged towards, drawing units.
const TARGET_WIDTH: f64 = 220.0;

impl View {
    /// Returns the view of one side of a board of this size, mm.
    pub fn new(side: Side, outline_mm: [f64; 2]) -> Self {
        let longest = outline_mm[0].max(outline_mm[1]);
        let scale = (TARGET_WIDTH / longest).floor().clamp(1.0, 5.0);
        Self {
            side,
            scale,
            outline: outline_mm,
            margin: MARGIN,
        }
    }

    /// Returns the view of one side at its own size, mm, with so much space round the board.
    pub(super) fn at_own_size(side: Side, outline_mm: [f64; 2], margin: f64) -> Self {
        Self {
            side,
            scale: 1.0,
            outline: outline_mm,
            margin,
        }
    }

    /// Returns the width and height of the drawing, in its units.
    pub fn size(&self) -> [f64; 2] {
        self.outline
            .map(|length| length * self.scale + 2.0 * self.margin)
    }

    /// Returns where a point of the board is on the drawing; the back is mirrored.
    pub fn point(&self, point: Point) -> Point {
        let x = match self.side {
            Side::Front => point.x,
            Side::Back => self.outline[0] - point.x,
        };
        Point {
            x: self.margin + x * self.scale,
            y: self.margin + (self.outline[1] - point.y) * self.scale,
        }
    }

    /// Returns where a rectangle of the board is on the drawing: `x`, `y` its upper left corner.
    pub fn rect(&self, rect: &Rect) -> Rect {
        let left_edge = match self.side {
            Side::Front => rect.x,
            Side::Back => rect.right(),
        };
        let corner = self.point(Point {
            x: left_edge,
            y: rect.top(),
        });
        Rect {
            x: corner.x,
            y: corner.y,
            width: rect.width * self.scale,
            height: rect.height * self.scale,
        }
    }
}
