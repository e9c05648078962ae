//! How many pieces of which size there are.

use super::Rect;

/// How far sizes may differ and still be called the same, mm: a tenth of what a ruler shows.
const SAME_MM: f64 = 0.05;

/// Counts pieces by their size, the shorter side first, mm: which way each lies is on the map, and whether it
/// may be turned when it is cut is the cutting plan's. Sizes come in the order in which they first appear.
pub fn sizes(pieces: &[Rect]) -> Vec<([f64; 2], usize)> {
    let mut counted: Vec<([f64; 2], usize)> = Vec::new();
    for piece in pieces {
        let size = [piece.width.min(piece.height), piece.width.max(piece.height)];
        let same = |other: &[f64; 2]| {
            let mut sides = size.iter().zip(other);
            sides.all(|(one, other)| (one - other).abs() < SAME_MM)
        };
        match counted.iter_mut().find(|(other, _)| same(other)) {
            Some((_, count)) => *count += 1,
            None => counted.push((size, 1)),
        }
    }
    counted
}
