//! A plan as a person follows it: rectangles of stock, cuts in order, pieces and remnants.

use super::order::Size;

/// A rectangle of stock, in steps from its lower-left corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Patch {
    /// Left edge.
    pub x: u32,
    /// Lower edge.
    pub y: u32,
    /// Width and height.
    pub size: Size,
}

/// A direction on the stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// Left to right: a cut at a distance from the left edge, over the full height.
    X,
    /// Upwards: a cut at a distance from the lower edge, over the full width.
    Y,
}

/// One cut, edge to edge through a rectangle that earlier cuts have freed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// What is cut.
    pub part: Patch,
    /// The direction that the distance is measured in.
    pub axis: Axis,
    /// The distance from the part's left or lower edge; the blade takes away what lies beyond it.
    pub at: u32,
}

/// A piece in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// Which of the order's pieces it is, by position.
    pub piece: usize,
    /// Whether it was turned by a quarter.
    pub turned: bool,
    /// Where it lies.
    pub patch: Patch,
}

/// What a layout is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// One of the order's offcuts, by position.
    Offcut(usize),
    /// A new sheet.
    Sheet,
}

/// How one sheet or offcut is cut up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// What is cut.
    pub source: Source,
    /// The cuts, in the order a person makes them.
    pub cuts: Vec<Cut>,
    /// The pieces that come of it.
    pub pieces: Vec<Placed>,
    /// What is left over, the largest first.
    pub remnants: Vec<Patch>,
}

/// How an order is cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Offcuts first, then sheets.
    pub layouts: Vec<Layout>,
    /// No plan needs fewer sheets than this.
    pub least_sheets: usize,
    /// Whether no plan with as few sheets and offcuts leaves a larger single remnant.
    pub remnant_is_proven: bool,
    /// No plan from as many sheets and offcuts makes fewer cuts than this.
    pub least_cuts: usize,
}

impl Axis {
    /// Returns the other direction.
    #[must_use]
    pub fn across(self) -> Self {
        match self {
            Self::X => Self::Y,
            Self::Y => Self::X,
        }
    }
}

impl Size {
    /// Returns the extent in a direction.
    pub fn along(self, axis: Axis) -> u32 {
        match axis {
            Axis::X => self.width,
            Axis::Y => self.height,
        }
    }

    /// Returns the size with another extent in a direction.
    #[must_use]
    pub(super) fn with(self, axis: Axis, length: u32) -> Self {
        match axis {
            Axis::X => Self::new(length, self.height),
            Axis::Y => Self::new(self.width, length),
        }
    }
}

impl Patch {
    /// Returns a whole piece of stock.
    pub fn whole(size: Size) -> Self {
        Self { x: 0, y: 0, size }
    }

    /// Returns the slice from one distance to another, measured in a direction.
    pub(super) fn slice(&self, axis: Axis, from: u32, to: u32) -> Self {
        let (x, y) = match axis {
            Axis::X => (self.x + from, self.y),
            Axis::Y => (self.x, self.y + from),
        };
        Self {
            x,
            y,
            size: self.size.with(axis, to - from),
        }
    }
}

impl Plan {
    /// Returns the number of new sheets.
    pub fn sheets(&self) -> usize {
        let new = self.layouts.iter();
        new.filter(|layout| layout.source == Source::Sheet).count()
    }

    /// Returns the area of the largest remnant; zero where nothing is left.
    pub fn largest_remnant(&self) -> u64 {
        let first = self.layouts.iter().filter_map(|one| one.remnants.first());
        first.map(|patch| patch.size.area()).max().unwrap_or(0)
    }

    /// Returns the number of cuts.
    pub fn cuts(&self) -> usize {
        self.layouts.iter().map(|layout| layout.cuts.len()).sum()
    }

    /// Tells whether no plan needs fewer sheets.
    pub fn sheets_are_proven(&self) -> bool {
        self.sheets() == self.least_sheets
    }

    /// Tells whether no plan is better in sheets, largest remnant and cuts.
    pub fn is_proven(&self) -> bool {
        self.sheets_are_proven() && self.remnant_is_proven && self.cuts() == self.least_cuts
    }
}
