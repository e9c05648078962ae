//! What is asked of a sheet: pieces of these sizes, from stock of that size, with that blade.

use std::fmt;

/// Most pieces that one order may ask for: several times what the largest readable record can.
pub const MOST_PIECES: u64 = 10_000;

/// Greatest length, in steps: ten metres in hundredths of a millimetre, and small enough that areas
/// cannot overflow.
const LONGEST: u32 = 1_000_000;

/// Width and height in whole steps.
///
/// A step is any length: the kernel only compares and adds. A board's demand counts hundredths of a
/// millimetre, which no ruler reads; handbook instances are put as they are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Size {
    /// Extent along x.
    pub width: u32,
    /// Extent along y.
    pub height: u32,
}

/// Pieces of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The size.
    pub size: Size,
    /// How many are wanted.
    pub count: u32,
}

/// What is to be cut from one material of one thickness.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// A new sheet, of which there are as many as it takes.
    pub sheet: Size,
    /// Offcuts at hand, each of them once.
    pub offcuts: Vec<Size>,
    /// The pieces wanted.
    pub pieces: Vec<Piece>,
    /// Whether a piece may be turned by a quarter.
    pub may_turn: bool,
    /// What the blade takes away at each cut.
    pub kerf: u32,
}

/// Why an order cannot be planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// A length is zero, or longer than any stock.
    NotALength(u32),
    /// A piece, by position, is larger than a sheet.
    FitsNoSheet(usize),
    /// More pieces are wanted than are planned at once.
    TooMany(u64),
}

impl Size {
    /// Returns the size of this width and height.
    pub fn new(width: u32, height: u32) -> Self {
        Self { width, height }
    }

    /// Returns the area.
    pub fn area(self) -> u64 {
        u64::from(self.width) * u64::from(self.height)
    }

    /// Returns the size after a quarter turn.
    #[must_use]
    pub fn turned(self) -> Self {
        Self::new(self.height, self.width)
    }

    /// Tells whether another size fits in this one as it lies.
    pub fn holds(self, other: Self) -> bool {
        other.width <= self.width && other.height <= self.height
    }

    /// Returns the size with a blade's width more on two sides.
    ///
    /// Pieces and stock alike are planned so, and every cut is then without loss: n pieces side by
    /// side need n − 1 blades between them, and n pieces longer by one need stock longer by one.
    pub(super) fn grown(self, kerf: u32) -> Self {
        Self::new(self.width + kerf, self.height + kerf)
    }

    /// Returns what is left of a grown size, where anything is.
    pub(super) fn shrunk(self, kerf: u32) -> Option<Self> {
        (self.width > kerf && self.height > kerf)
            .then(|| Self::new(self.width - kerf, self.height - kerf))
    }
}

impl Order {
    /// Returns the ways a piece may lie: one or two, first as it is.
    pub(super) fn ways(&self, size: Size) -> impl Iterator<Item = (bool, Size)> + use<> {
        let turned = self.may_turn && size.width != size.height;
        std::iter::once((false, size)).chain(turned.then(|| (true, size.turned())))
    }

    /// Tells whether a piece fits in stock of a size.
    pub(super) fn fits(&self, size: Size, stock: Size) -> bool {
        self.ways(size).any(|(_, way)| stock.holds(way))
    }

    /// Returns the number of pieces.
    pub fn count(&self) -> u64 {
        self.pieces.iter().map(|piece| u64::from(piece.count)).sum()
    }

    /// Makes sure that the order can be planned.
    ///
    /// # Errors
    /// [`Refusal`] where it asks for what no sheet gives, or for more than is planned at once.
    pub fn check(&self) -> Result<(), Refusal> {
        let sizes = self.pieces.iter().map(|piece| piece.size);
        let all = sizes
            .chain([self.sheet])
            .chain(self.offcuts.iter().copied());
        let lengths = all.flat_map(|size| [size.width, size.height]);
        let unfit = |length: &u32| !(1..=LONGEST).contains(length);
        if let Some(length) = lengths.into_iter().find(unfit) {
            return Err(Refusal::NotALength(length));
        }
        if self.kerf > LONGEST {
            return Err(Refusal::NotALength(self.kerf));
        }
        if self.count() > MOST_PIECES {
            return Err(Refusal::TooMany(self.count()));
        }
        let too_large = |piece: &Piece| !self.fits(piece.size, self.sheet);
        match self.pieces.iter().position(too_large) {
            Some(piece) => Err(Refusal::FitsNoSheet(piece)),
            None => Ok(()),
        }
    }

    /// Returns the order with a blade's width added to everything, and pieces of one size put together.
    pub(super) fn grown(&self) -> Self {
        Self {
            sheet: self.sheet.grown(self.kerf),
            offcuts: self
                .offcuts
                .iter()
                .map(|size| size.grown(self.kerf))
                .collect(),
            pieces: self
                .pieces
                .iter()
                .map(|piece| Piece {
                    size: piece.size.grown(self.kerf),
                    ..*piece
                })
                .collect(),
            ..*self
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotALength(length) => write!(f, "{length} steps is no length to cut"),
            Self::FitsNoSheet(piece) => write!(f, "piece {} fits no sheet", piece + 1),
            Self::TooMany(count) => write!(
                f,
                "{count} pieces of one stock are wanted, and at most {MOST_PIECES} are planned at once"
            ),
        }
    }
}
