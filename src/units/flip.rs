use std::fmt;

use super::Rect;

/// A way to take coordinates from the wrong corner, undone by doing it again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flip {
    /// From the right edge: the back as it is seen from the back.
    Sideways,
    /// From the upper edge: y down, as in a picture.
    UpsideDown,
    /// From the upper right corner.
    Turned,
}

impl Flip {
    /// Every way, the most usual first.
    pub const ALL: [Self; 3] = [Self::Sideways, Self::UpsideDown, Self::Turned];

    /// Returns where a rectangle lies when this is undone on a board.
    pub fn rect(self, rect: &Rect, outline: &Rect) -> Rect {
        Rect {
            x: if self == Self::UpsideDown {
                rect.x
            } else {
                outline.width - rect.right()
            },
            y: if self == Self::Sideways {
                rect.y
            } else {
                outline.height - rect.top()
            },
            ..*rect
        }
    }
}

impl fmt::Display for Flip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Sideways => "left to right",
            Self::UpsideDown => "upside down",
            Self::Turned => "by half a turn",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_way_is_undone_by_itself() {
        let outline = Rect::of_size([100.0, 60.0]);
        let rect = Rect::from([20.0, 10.0, 12.0, 14.0]);
        let expected = [
            [68.0, 10.0, 12.0, 14.0],
            [20.0, 36.0, 12.0, 14.0],
            [68.0, 36.0, 12.0, 14.0],
        ];
        for (flip, expected) in Flip::ALL.into_iter().zip(expected) {
            let flipped = flip.rect(&rect, &outline);
            assert_eq!(flipped, Rect::from(expected), "{flip}");
            assert_eq!(flip.rect(&flipped, &outline), rect, "{flip}, twice");
        }
    }
}
