//! Whether a load passes between what carries it.
//!
//! Supports push and do not pull, so the energy has a least value exactly when the load passes
//! through the inside of the convex hull of the supports: then every movement of the plate that
//! opens gaps lifts the load. Deciding that first means that the search that follows has something
//! to find.

use crate::units::Point;

/// Returns how far a point lies outside the convex hull of others, mm; nothing where it lies inside
/// by more than `margin_mm`, and zero within that margin of the edge.
pub(super) fn outside(point: Point, others: Vec<Point>, margin_mm: f64) -> Option<f64> {
    let hull = hull(others);
    let edges = || hull.iter().zip(hull.iter().cycle().skip(1));
    let depth = edges()
        .map(|(from, to)| left_of(*from, *to, point))
        .fold(f64::INFINITY, f64::min);
    if hull.len() > 2 && depth > margin_mm {
        return None;
    }
    let nearest = edges()
        .map(|(from, to)| distance(*from, *to, point))
        .fold(f64::INFINITY, f64::min);
    Some(if hull.len() > 2 && depth >= 0.0 {
        0.0
    } else {
        nearest
    })
}

/// Returns the corners of the convex hull, anticlockwise: Andrew's monotone chain (1979).
fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut lower = chain(points.iter());
    let mut upper = chain(points.iter().rev());
    // Each chain ends where the other begins.
    lower.pop();
    upper.pop();
    lower.append(&mut upper);
    lower
}

/// Returns the points of a chain that turns left all the way.
fn chain<'a>(points: impl Iterator<Item = &'a Point>) -> Vec<Point> {
    let mut chain: Vec<Point> = Vec::new();
    for &point in points {
        while let [.., from, to] = chain[..]
            && left_of(from, to, point) <= 0.0
        {
            chain.pop();
        }
        chain.push(point);
    }
    chain
}

/// Returns how far a point lies to the left of the line between two others, mm.
fn left_of(from: Point, to: Point, point: Point) -> f64 {
    let (along_x, along_y) = (to.x - from.x, to.y - from.y);
    let twice_area = along_x * (point.y - from.y) - along_y * (point.x - from.x);
    twice_area / along_x.hypot(along_y)
}

/// Returns how far a point lies from the stretch between two others, mm.
fn distance(from: Point, to: Point, point: Point) -> f64 {
    let (along_x, along_y) = (to.x - from.x, to.y - from.y);
    let (x, y) = (point.x - from.x, point.y - from.y);
    let length_squared = along_x * along_x + along_y * along_y;
    let along = if length_squared > 0.0 {
        ((x * along_x + y * along_y) / length_squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (x - along * along_x).hypot(y - along * along_y)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[[f64; 2]]) -> Vec<Point> {
        list.iter().copied().map(Point::from).collect()
    }

    #[test]
    fn inside_edge_and_outside_of_a_square() {
        let square = points(&[
            [0.0, 0.0],
            [2.0, 0.0],
            [1.0, 1.0],
            [2.0, 2.0],
            [0.0, 2.0],
            [0.0, 1.0],
        ]);
        let at = |x, y| outside(Point { x, y }, square.clone(), 1e-9);
        assert_eq!(at(1.0, 1.5), None, "inside");
        assert_eq!(at(2.0, 1.5), Some(0.0), "on the edge");
        assert_eq!(at(5.0, 6.0), Some(5.0), "3-4-5 from the corner");
        assert_eq!(at(1.0, -0.5), Some(0.5), "beside an edge");
    }

    #[test]
    fn a_line_or_a_point_has_no_inside() {
        let line = points(&[[0.0, 0.0], [2.0, 0.0], [1.0, 0.0]]);
        assert_eq!(
            outside(Point { x: 1.0, y: 0.0 }, line, 1e-9),
            Some(0.0),
            "on the line"
        );
        let one = points(&[[1.0, 1.0]]);
        assert_eq!(
            outside(Point { x: 1.0, y: 3.0 }, one, 1e-9),
            Some(2.0),
            "beside the point"
        );
    }
}
