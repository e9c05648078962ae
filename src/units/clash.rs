use super::Rect;

/// Where the rectangles of two lists overlap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clash {
    /// The first two that do, by their positions.
    pub first: (usize, usize),
    /// What those two share.
    pub shared: Rect,
    /// How many pairs do.
    pub count: usize,
}

impl Clash {
    /// Compares each rectangle of one list with each of another.
    pub fn between(left: &[Rect], right: &[Rect]) -> Option<Self> {
        let pairs = (0..right.len()).flat_map(|later| (0..left.len()).map(move |one| (one, later)));
        Self::among(left, right, pairs)
    }

    /// Compares each two rectangles of a list.
    pub fn within(list: &[Rect]) -> Option<Self> {
        let pairs = (0..list.len()).flat_map(|later| (0..later).map(move |one| (one, later)));
        Self::among(list, list, pairs)
    }

    fn among(
        left: &[Rect],
        right: &[Rect],
        pairs: impl Iterator<Item = (usize, usize)>,
    ) -> Option<Self> {
        let mut overlaps = pairs.filter_map(|(one, other)| {
            Some(((one, other), left[one].overlap_with(&right[other])?))
        });
        let (first, shared) = overlaps.next()?;
        let count = 1 + overlaps.count();
        Some(Self {
            first,
            shared,
            count,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clash_is_more_than_a_rulers_rounding() {
        let list = [
            Rect::from([0.0, 0.0, 10.0, 10.0]),
            Rect::from([9.95, 0.0, 10.0, 10.0]),
            Rect::from([18.0, 9.0, 10.0, 10.0]),
            Rect::from([0.0, 8.0, 4.0, 4.0]),
        ];
        let clash = Clash::within(&list).expect("two pairs overlap");
        assert_eq!(clash.first, (1, 2), "0.05 mm do not count");
        assert_eq!(clash.count, 2, "the corner, and the fourth on the first");
        assert!((clash.shared.width - 1.95).abs() < 1e-12, "19.95 less 18");
        let between = Clash::between(&list[..1], &list[1..]).map(|clash| clash.first);
        assert_eq!(between, Some((0, 2)), "by position in each list");
    }
}
