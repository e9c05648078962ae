//! The crossing sequence in which screws are tightened. Plain points.

use crate::units::Point;

/// How far a screw may lie off a regular circle, as a share of its radius, for the published sequence.
const OFF_CIRCLE: f64 = 0.02;

/// Imbalances that differ by no more than this, mm, are the same: finer than any record.
const SAME_MM: f64 = 1e-6;

/// Most screws for which a crossing sequence is worked out, the search by pairs being cubic: a board draws
/// a few dozen together at most.
pub const MOST_CROSSED: usize = 200;

/// Returns the order in which screws are tightened round a centre, by position.
///
/// Four, eight, twelve … screws on a regular circle have the published star sequence: two opposite, the
/// two across, and on with the next four. Elsewhere they are taken by pairs, each the one after which the
/// screws that are tight pull as nearly as possible at the centre; among equals the pair that lies
/// farthest from those that are tight, then the earlier in the list. More than 200 screws stay in the list's
/// order.
///
/// # References
/// ASME PCC-1, table 4, legacy patterns (from memory); the pairs elsewhere are our own rule.
pub fn tightening(screws: &[Point], centre: Point) -> Vec<usize> {
    if screws.len() > MOST_CROSSED {
        return (0..screws.len()).collect();
    }
    star(screws, centre).unwrap_or_else(|| pairs(screws, centre))
}

/// Returns the published sequence, where the screws are on a regular circle and their number is a
/// multiple of four.
fn star(screws: &[Point], centre: Point) -> Option<Vec<usize>> {
    let count = screws.len();
    if count == 0 || !count.is_multiple_of(4) {
        return None;
    }
    let clockwise = clockwise(screws, centre);
    if !is_regular(screws, &clockwise, centre) {
        return None;
    }
    let quarter = count / 4;
    let groups = groups(quarter);
    let of_group =
        |group: usize| [0, 2, 1, 3].map(|quarters: usize| clockwise[group + quarters * quarter]);
    Some(groups.into_iter().flat_map(of_group).collect())
}

/// Returns the order in which the groups of four are visited: each half-way round the rest, or where
/// that is done, the next one.
fn groups(count: usize) -> Vec<usize> {
    let mut order = vec![0];
    while order.len() < count {
        let last = order[order.len() - 1];
        let across = (last + count / 2) % count;
        let next = (across..count).chain(0..across);
        order.extend(
            next.filter(|group| !order.contains(group))
                .take(1)
                .collect::<Vec<_>>(),
        );
    }
    order
}

/// Returns the screws clockwise round the centre, beginning with the first of the list.
fn clockwise(screws: &[Point], centre: Point) -> Vec<usize> {
    let angle = |screw: usize| {
        let at = screws[screw];
        (at.y - centre.y).atan2(at.x - centre.x)
    };
    let from_first = |screw: usize| {
        let turned = (angle(0) - angle(screw)).rem_euclid(std::f64::consts::TAU);
        // What rounding puts a hair before the first is the first.
        if std::f64::consts::TAU - turned < 1e-9 {
            0.0
        } else {
            turned
        }
    };
    let mut order: Vec<usize> = (0..screws.len()).collect();
    order.sort_by(|&left, &right| from_first(left).total_cmp(&from_first(right)));
    order
}

/// Tells whether screws, given clockwise, lie evenly on a circle.
fn is_regular(screws: &[Point], clockwise: &[usize], centre: Point) -> bool {
    let first = screws[clockwise[0]];
    let (x, y) = (first.x - centre.x, first.y - centre.y);
    let radius = x.hypot(y);
    #[expect(clippy::cast_precision_loss, reason = "screws are few")]
    let step = std::f64::consts::TAU / clockwise.len() as f64;
    let mut angle = 0.0_f64;
    radius > 0.0
        && clockwise.iter().all(|&screw| {
            let (sine, cosine) = angle.sin_cos();
            angle -= step;
            let even = [x * cosine - y * sine, x * sine + y * cosine];
            let at = screws[screw];
            (at.x - centre.x - even[0]).hypot(at.y - centre.y - even[1]) <= OFF_CIRCLE * radius
        })
}

/// Returns the screws by pairs, each the one that leaves the least imbalance; an odd one comes last.
fn pairs(screws: &[Point], centre: Point) -> Vec<usize> {
    let mut left: Vec<usize> = (0..screws.len()).collect();
    let mut order: Vec<usize> = Vec::with_capacity(screws.len());
    while left.len() > 1 {
        let [first, second] = best_pair(screws, centre, &order, &left);
        left.retain(|&screw| screw != first && screw != second);
        order.extend([first, second]);
    }
    order.extend(left);
    order
}

/// Returns the pair of the screws left that, with those that are tight, pulls nearest to the centre.
fn best_pair(screws: &[Point], centre: Point, tight: &[usize], left: &[usize]) -> [usize; 2] {
    let pull = tight.iter().fold([0.0; 2], |[x, y], &screw| {
        [
            x + screws[screw].x - centre.x,
            y + screws[screw].y - centre.y,
        ]
    });
    let after = |[first, second]: [usize; 2]| {
        let (one, other) = (screws[first], screws[second]);
        let x = pull[0] + one.x + other.x - 2.0 * centre.x;
        let y = pull[1] + one.y + other.y - 2.0 * centre.y;
        x.hypot(y)
    };
    let away: Vec<f64> = screws
        .iter()
        .map(|&at| away_mm(screws, tight, at))
        .collect();
    let away = |[first, second]: [usize; 2]| away[first].min(away[second]);
    let candidates = left.iter().enumerate().flat_map(|(position, &first)| {
        let later = &left[position + 1..];
        later.iter().map(move |&second| [first, second])
    });
    let better = |best: [usize; 2], pair: [usize; 2]| {
        let gain = after(best) - after(pair);
        let is_better = gain > SAME_MM || (gain >= -SAME_MM && away(pair) > away(best) + SAME_MM);
        if is_better { pair } else { best }
    };
    candidates
        .reduce(better)
        .expect("invariant: two screws are left")
}

/// Returns how far a screw lies from the nearest that is tight, mm.
fn away_mm(screws: &[Point], tight: &[usize], at: Point) -> f64 {
    let distance = |&screw: &usize| (screws[screw].x - at.x).hypot(screws[screw].y - at.y);
    tight.iter().map(distance).fold(f64::INFINITY, f64::min)
}
