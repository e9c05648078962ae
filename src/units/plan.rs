use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A point on the board, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "[f64; 2]", into = "[f64; 2]")]
pub struct Point {
    /// Distance from the left edge, mm.
    pub x: f64,
    /// Distance from the lower edge, mm.
    pub y: f64,
}

/// An axis-parallel rectangle on the board, mm: one place of a part or zone.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "[f64; 4]", into = "[f64; 4]")]
pub struct Rect {
    /// Left edge, mm.
    pub x: f64,
    /// Lower edge, mm.
    pub y: f64,
    /// Extent to the right, mm; positive.
    pub width: f64,
    /// Extent upwards, mm; positive.
    pub height: f64,
}

impl From<[f64; 2]> for Point {
    fn from([x, y]: [f64; 2]) -> Self {
        Self { x, y }
    }
}

impl From<Point> for [f64; 2] {
    fn from(point: Point) -> Self {
        [point.x, point.y]
    }
}

impl From<[f64; 4]> for Rect {
    fn from([x, y, width, height]: [f64; 4]) -> Self {
        Self {
            x,
            y,
            width,
            height,
        }
    }
}

impl From<Rect> for [f64; 4] {
    fn from(rect: Rect) -> Self {
        [rect.x, rect.y, rect.width, rect.height]
    }
}

impl Rect {
    /// Returns the rectangle from the origin to a size, mm: a board's outline.
    pub fn of_size([width, height]: [f64; 2]) -> Self {
        Self {
            x: 0.0,
            y: 0.0,
            width,
            height,
        }
    }

    /// Returns the rectangle without extent at a point.
    pub fn at_point(point: Point) -> Self {
        Self {
            x: point.x,
            y: point.y,
            width: 0.0,
            height: 0.0,
        }
    }

    /// Returns the right edge, mm.
    pub fn right(&self) -> f64 {
        self.x + self.width
    }

    /// Returns the upper edge, mm.
    pub fn top(&self) -> f64 {
        self.y + self.height
    }

    /// Returns the centre.
    pub fn centre(&self) -> Point {
        Point {
            x: self.x + self.width / 2.0,
            y: self.y + self.height / 2.0,
        }
    }

    /// Returns the area, mm².
    pub fn area(&self) -> f64 {
        self.width * self.height
    }

    /// Returns the part that two rectangles share, if it has an area.
    pub fn shared_with(&self, other: &Self) -> Option<Self> {
        let (x, y) = (self.x.max(other.x), self.y.max(other.y));
        let width = self.right().min(other.right()) - x;
        let height = self.top().min(other.top()) - y;
        (width > 0.0 && height > 0.0).then_some(Self {
            x,
            y,
            width,
            height,
        })
    }

    /// Returns the area that two rectangles share, mm².
    pub fn shared_area(&self, other: &Self) -> f64 {
        self.shared_with(other).map_or(0.0, |shared| shared.area())
    }

    /// Returns the part that two rectangles share, if it is more than [`OVERLAP_MM`] both ways.
    pub fn overlap_with(&self, other: &Self) -> Option<Self> {
        self.shared_with(other)
            .filter(|shared| shared.width > OVERLAP_MM && shared.height > OVERLAP_MM)
    }

    /// Returns the smallest rectangle round all of these, if there are any.
    pub fn around<'a>(rects: impl IntoIterator<Item = &'a Self>) -> Option<Self> {
        rects.into_iter().copied().reduce(|all, one| {
            let (x, y) = (all.x.min(one.x), all.y.min(one.y));
            Self {
                x,
                y,
                width: all.right().max(one.right()) - x,
                height: all.top().max(one.top()) - y,
            }
        })
    }

    /// Tells whether `inner` lies within this rectangle, give or take `slack` mm on each side.
    pub fn holds(&self, inner: &Self, slack: f64) -> bool {
        self.x - slack <= inner.x
            && self.y - slack <= inner.y
            && inner.right() <= self.right() + slack
            && inner.top() <= self.top() + slack
    }

    /// Returns how far a rectangle reaches beyond this one at its worst, mm; negative within it.
    pub fn excess_of(&self, other: &Self) -> f64 {
        (self.x - other.x)
            .max(self.y - other.y)
            .max(other.right() - self.right())
            .max(other.top() - self.top())
    }

    /// Returns the distance between two rectangles, mm; zero where they meet.
    pub fn distance_between(&self, other: &Self) -> f64 {
        let dx = (self.x - other.right())
            .max(other.x - self.right())
            .max(0.0);
        let dy = (self.y - other.top()).max(other.y - self.top()).max(0.0);
        dx.hypot(dy)
    }

    /// Returns the distance from a point to the rectangle, mm; zero inside.
    pub fn distance_to(&self, point: Point) -> f64 {
        let dx = (self.x - point.x).max(point.x - self.right()).max(0.0);
        let dy = (self.y - point.y).max(point.y - self.top()).max(0.0);
        dx.hypot(dy)
    }

    /// Returns the rectangle grown (or, negative, shrunk) by `margin` mm on each side.
    #[must_use]
    pub fn grown(&self, margin: f64) -> Self {
        Self {
            x: self.x - margin,
            y: self.y - margin,
            width: self.width + 2.0 * margin,
            height: self.height + 2.0 * margin,
        }
    }
}

/// How far two things may overlap before it counts, mm: the rounding of a ruler.
pub const OVERLAP_MM: f64 = 0.1;

/// Greatest coordinate or size a record may give, mm: above any board that fits a bench.
pub(crate) const LARGEST_MM: f64 = 1000.0;

impl JsonSchema for Point {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Point".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "description": "A point, [x, y], mm from the board's lower-left corner seen from the front.",
            "type": "array",
            "items": { "type": "number", "minimum": -LARGEST_MM, "maximum": LARGEST_MM },
            "minItems": 2,
            "maxItems": 2,
        })
    }
}

impl JsonSchema for Rect {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Rect".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let coordinate = serde_json::json!({
            "type": "number", "minimum": -LARGEST_MM, "maximum": LARGEST_MM
        });
        let size = serde_json::json!({
            "type": "number", "exclusiveMinimum": 0.0, "maximum": LARGEST_MM
        });
        schemars::json_schema!({
            "description": "A rectangle, [x, y, width, height], mm; x and y are its lower-left corner \
                            from the board's lower-left corner seen from the front.",
            "type": "array",
            "prefixItems": [coordinate, coordinate, size, size],
            "items": { "type": "number" },
            "minItems": 4,
            "maxItems": 4,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sharing_needs_an_area() {
        let left = Rect::from([0.0, 0.0, 10.0, 10.0]);
        let touching = Rect::from([10.0, 0.0, 5.0, 10.0]);
        let over = Rect::from([8.0, 5.0, 5.0, 10.0]);
        assert_eq!(left.shared_with(&touching), None, "an edge has no area");
        assert_eq!(
            left.shared_with(&over),
            Some(Rect::from([8.0, 5.0, 2.0, 5.0])),
            "corner"
        );
        assert!((left.shared_area(&over) - 10.0).abs() < 1e-12, "2 by 5");
    }

    #[test]
    fn distance_between_is_from_edge_to_edge() {
        let left = Rect::from([0.0, 0.0, 10.0, 10.0]);
        let corner = Rect::from([13.0, 14.0, 2.0, 2.0]);
        assert!(
            (left.distance_between(&corner) - 5.0).abs() < 1e-12,
            "3-4-5"
        );
        assert!(
            (corner.distance_between(&left) - 5.0).abs() < 1e-12,
            "either way"
        );
        assert!((left.excess_of(&corner) - 6.0).abs() < 1e-12, "16 over 10");
    }

    #[test]
    fn around_is_the_hull() {
        let list = [
            Rect::from([3.0, 4.0, 1.0, 1.0]),
            Rect::from([-1.0, 6.0, 2.0, 2.0]),
        ];
        let hull = Rect::from([-1.0, 4.0, 5.0, 4.0]);
        assert_eq!(Rect::around(&list), Some(hull), "both corners");
        assert_eq!(Rect::around([]), None, "nothing to go round");
    }

    #[test]
    fn distance_is_zero_inside_and_euclidean_outside() {
        let rect = Rect::from([0.0, 0.0, 10.0, 10.0]);
        assert!(
            rect.distance_to(Point { x: 5.0, y: 5.0 }).abs() < 1e-12,
            "inside"
        );
        let corner = rect.distance_to(Point { x: 13.0, y: 14.0 });
        assert!((corner - 5.0).abs() < 1e-12, "3-4-5 from the corner");
    }
}
