//! One strip over several places: fewer pieces to cut and to lay.

use crate::units::Rect;

/// How far two places may be out of line with each other and still take one strip, mm: the rounding of
/// a ruler.
const IN_LINE_MM: f64 = 0.2;

/// How far apart two places may be and still take one strip, in lengths of a place: a longer bridge is
/// mostly pad that cools nothing. Common practice.
const FARTHEST: f64 = 2.0;

/// One piece of pad, and how many places it lies over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Where it lies.
    pub at: Rect,
    /// How many places it covers.
    pub places: usize,
}

/// Joins places that stand in a row to strips, along x or along y, whichever leaves fewer pieces.
///
/// Two places next to each other are joined if they are in line and at most two lengths apart, nothing of
/// `blocked` lies under the strip, and `fits` says that a sheet gives it.
pub fn strips(places: &[Rect], blocked: &[Rect], fits: impl Fn(&Rect) -> bool) -> Vec<Strip> {
    let is_free = |hull: &Rect| {
        let over = |one: &Rect| one.overlap_with(hull).is_some();
        fits(hull) && !blocked.iter().any(over)
    };
    let lying = joined(places, is_free);
    let turned: Vec<Rect> = places.iter().map(swapped).collect();
    let standing = joined(&turned, |hull| is_free(&swapped(hull)));
    if standing.len() < lying.len() {
        let back = |strip: Strip| Strip {
            at: swapped(&strip.at),
            ..strip
        };
        standing.into_iter().map(back).collect()
    } else {
        lying
    }
}

/// Joins along x, from the left.
fn joined(places: &[Rect], is_free: impl Fn(&Rect) -> bool) -> Vec<Strip> {
    let mut places = places.to_vec();
    let order =
        |one: &Rect, other: &Rect| one.x.total_cmp(&other.x).then(one.y.total_cmp(&other.y));
    places.sort_by(order);
    let mut strips: Vec<Strip> = Vec::new();
    for place in places {
        let hull = |strip: &Strip| Rect::around([&strip.at, &place]);
        let found = strips.iter_mut().find_map(|strip| {
            let hull = hull(strip).filter(|hull| is_next(strip, &place) && is_free(hull))?;
            Some((strip, hull))
        });
        match found {
            Some((strip, hull)) => {
                *strip = Strip {
                    at: hull,
                    places: strip.places + 1,
                }
            }
            None => strips.push(Strip {
                at: place,
                places: 1,
            }),
        }
    }
    strips
}

/// Tells whether a place stands in line with a strip, to its right and near.
fn is_next(strip: &Strip, place: &Rect) -> bool {
    let near = |left: f64, right: f64| (left - right).abs() <= IN_LINE_MM;
    let apart = place.x - strip.at.right();
    near(strip.at.y, place.y)
        && near(strip.at.height, place.height)
        && (-IN_LINE_MM..=FARTHEST * place.width).contains(&apart)
}

/// Returns a rectangle with x and y exchanged.
fn swapped(rect: &Rect) -> Rect {
    Rect {
        x: rect.y,
        y: rect.x,
        width: rect.height,
        height: rect.width,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rects<const N: usize>(list: [[f64; 4]; N]) -> Vec<Rect> {
        list.into_iter().map(Rect::from).collect()
    }

    const COLUMN: [[f64; 4]; 3] = [
        [10.0, 10.0, 6.0, 5.0],
        [10.0, 18.0, 6.0, 5.0],
        [10.0, 26.0, 6.0, 5.0],
    ];

    #[test]
    fn a_column_is_one_strip() {
        let found = strips(&rects(COLUMN), &[], |_| true);
        let whole = Rect::from([10.0, 10.0, 6.0, 21.0]);
        assert_eq!(
            found,
            [Strip {
                at: whole,
                places: 3
            }],
            "3 mm between them, 5 mm long"
        );
    }

    #[test]
    fn a_keepout_between_parts_them() {
        let between = rects([[12.0, 15.5, 2.0, 2.0]]);
        let found = strips(&rects(COLUMN), &between, |_| true);
        let places: Vec<usize> = found.iter().map(|strip| strip.places).collect();
        assert_eq!(places, [1, 2], "none over the keep-out");
    }

    #[test]
    fn a_strip_ends_where_the_sheet_does() {
        let found = strips(&rects(COLUMN), &[], |hull| hull.height <= 15.0);
        let places: Vec<usize> = found.iter().map(|strip| strip.places).collect();
        assert_eq!(places, [2, 1], "13 mm fit, 21 do not");
    }

    #[test]
    fn what_is_far_or_out_of_line_stays_apart() {
        let far = rects([
            [0.0, 0.0, 6.0, 5.0],
            [0.0, 15.5, 6.0, 5.0],
            [7.0, 1.0, 6.0, 5.0],
        ]);
        assert_eq!(
            strips(&far, &[], |_| true).len(),
            3,
            "10.5 mm apart; 1 mm out of line"
        );
    }
}
