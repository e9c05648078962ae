use super::Rect;

/// Returns the area that rectangles cover together, mm²; what several cover counts once.
///
/// A line sweeps over them from left to right, and a tree over their heights keeps how much of the
/// line is covered: `n log n` steps, with no rounding but that of the sums.
///
/// # References
/// J. L. Bentley (1977), the solution of Klee's problem in the plane; from memory.
pub fn covered_area(rects: &[Rect]) -> f64 {
    let mut heights: Vec<f64> = rects.iter().flat_map(|rect| [rect.y, rect.top()]).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup();
    let mut edges: Vec<Edge> = rects
        .iter()
        .flat_map(|rect| edges(rect, &heights))
        .collect();
    edges.sort_by(|left, right| left.x.total_cmp(&right.x));

    let mut line = Line::new(&heights);
    let mut area = 0.0;
    let mut from = 0.0;
    for edge in edges {
        area += line.covered() * (edge.x - from);
        from = edge.x;
        line.turn(edge.lower, edge.upper, edge.begins);
    }
    area
}

/// Returns the area that lies under both lists of rectangles, mm².
pub fn shared_area(left: &[Rect], right: &[Rect]) -> f64 {
    let both = [left, right].concat();
    (covered_area(left) + covered_area(right) - covered_area(&both)).max(0.0)
}

/// A rectangle's left or right side; `lower` and `upper` are positions among the heights.
struct Edge {
    x: f64,
    lower: usize,
    upper: usize,
    begins: bool,
}

fn edges(rect: &Rect, heights: &[f64]) -> [Edge; 2] {
    let position = |height: f64| heights.partition_point(|&other| other < height);
    let (lower, upper) = (position(rect.y), position(rect.top()));
    [(rect.x, true), (rect.right(), false)].map(|(x, begins)| Edge {
        x,
        lower,
        upper,
        begins,
    })
}

/// The sweeping line: a binary tree over the steps between neighbouring heights.
struct Line<'a> {
    heights: &'a [f64],
    /// By node, how many rectangles cover its whole step and no larger one.
    counts: Vec<u32>,
    /// By node, how much of its step is covered, mm.
    lengths: Vec<f64>,
}

impl<'a> Line<'a> {
    fn new(heights: &'a [f64]) -> Self {
        let nodes = 4 * heights.len();
        Self {
            heights,
            counts: vec![0; nodes],
            lengths: vec![0.0; nodes],
        }
    }

    fn covered(&self) -> f64 {
        self.lengths.get(1).copied().unwrap_or(0.0)
    }

    fn turn(&mut self, lower: usize, upper: usize, begins: bool) {
        if lower < upper {
            self.turn_below(1, (0, self.heights.len() - 1), (lower, upper), begins);
        }
    }

    fn turn_below(
        &mut self,
        node: usize,
        (first, last): (usize, usize),
        (lower, upper): (usize, usize),
        begins: bool,
    ) {
        if upper <= first || last <= lower {
            return;
        }
        if lower <= first && last <= upper {
            let count = &mut self.counts[node];
            *count = if begins { *count + 1 } else { *count - 1 };
        } else {
            let middle = first.midpoint(last);
            self.turn_below(2 * node, (first, middle), (lower, upper), begins);
            self.turn_below(2 * node + 1, (middle, last), (lower, upper), begins);
        }
        self.lengths[node] = if self.counts[node] > 0 {
            self.heights[last] - self.heights[first]
        } else if last - first > 1 {
            self.lengths[2 * node] + self.lengths[2 * node + 1]
        } else {
            0.0
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rects(rects: &[[f64; 4]]) -> Vec<Rect> {
        rects.iter().copied().map(Rect::from).collect()
    }

    fn assert_near(found: f64, expected: f64, what: &str) {
        assert!(
            (found - expected).abs() < 1e-9,
            "{what}: {found}, not {expected}"
        );
    }

    #[test]
    fn what_several_cover_counts_once() {
        let apart = rects(&[[0.0, 0.0, 2.0, 3.0], [5.0, 5.0, 1.0, 1.0]]);
        assert_near(covered_area(&apart), 7.0, "6 and 1");
        let corner = rects(&[[0.0, 0.0, 4.0, 4.0], [2.0, 2.0, 4.0, 4.0]]);
        assert_near(covered_area(&corner), 28.0, "twice 16 less 2 by 2");
        let cross = rects(&[[0.0, 4.0, 10.0, 2.0], [4.0, 0.0, 2.0, 10.0]]);
        assert_near(covered_area(&cross), 36.0, "twice 20 less 2 by 2");
        let nested = rects(&[
            [0.0, 0.0, 9.0, 9.0],
            [1.0, 1.0, 2.0, 2.0],
            [0.0, 0.0, 9.0, 9.0],
        ]);
        assert_near(covered_area(&nested), 81.0, "one within, one twice");
    }

    #[test]
    fn no_rectangle_covers_nothing() {
        assert_near(covered_area(&[]), 0.0, "none");
    }

    #[test]
    fn a_ring_leaves_its_hole() {
        let ring = rects(&[
            [0.0, 0.0, 10.0, 2.0],
            [0.0, 8.0, 10.0, 2.0],
            [0.0, 0.0, 2.0, 10.0],
            [8.0, 0.0, 2.0, 10.0],
        ]);
        assert_near(covered_area(&ring), 64.0, "100 less 6 by 6");
    }

    #[test]
    fn pads_share_with_places_what_lies_under_both() {
        let places = rects(&[[0.0, 0.0, 12.0, 14.0], [20.0, 0.0, 12.0, 14.0]]);
        let strip = rects(&[[6.0, 0.0, 20.0, 7.0]]);
        assert_near(shared_area(&places, &strip), 84.0, "6 by 7 on each");
    }

    #[test]
    fn the_sweep_agrees_with_counting_squares() {
        // Whole numbers from a small generator, so that unit squares can be counted.
        let mut seed = 7_u32;
        let mut next = |limit: u32| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 16) % limit
        };
        for round in 0..50 {
            let list: Vec<[u32; 4]> = (0..12)
                .map(|_| [next(20), next(20), 1 + next(8), 1 + next(8)])
                .collect();
            let is_covered = |x: u32, y: u32| {
                list.iter().any(|&[left, low, width, height]| {
                    (left..left + width).contains(&x) && (low..low + height).contains(&y)
                })
            };
            let squares = (0..30)
                .flat_map(|x| (0..30).map(move |y| (x, y)))
                .filter(|&(x, y)| is_covered(x, y))
                .count();
            let list: Vec<Rect> = list.iter().map(|one| one.map(f64::from).into()).collect();
            let squares = f64::from(u32::try_from(squares).expect("few"));
            assert_near(covered_area(&list), squares, &format!("round {round}"));
        }
    }
}
