//! Cutting plans: published instances, an exact solver written another way, and what every plan keeps to.

mod another_way;
mod hostile;
mod properties;
mod published;
mod shelf;

use gapbook::cutting::{Order, Piece, Size};

/// Returns an order of pieces `[width, height, count]` from sheets, with sharp blades and turning.
pub(crate) fn order(sheet: [u32; 2], pieces: &[[u32; 3]]) -> Order {
    Order {
        sheet: Size::new(sheet[0], sheet[1]),
        offcuts: Vec::new(),
        pieces: pieces
            .iter()
            .map(|&[width, height, count]| Piece {
                size: Size::new(width, height),
                count,
            })
            .collect(),
        may_turn: true,
        kerf: 0,
    }
}

/// A small generator, so that every run has the same cases.
pub(crate) struct Numbers(pub(crate) u64);

impl Numbers {
    /// Returns a number from one to another, both among them.
    pub(crate) fn between(&mut self, least: u32, most: u32) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        let number = u32::try_from(self.0 >> 33).expect("31 bits");
        least + number % (most - least + 1)
    }
}
