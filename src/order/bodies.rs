use std::collections::BTreeSet;

use crate::book::Board;

/// In which order a board's bodies come off.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BodyOrder {
    /// What comes off together, first to last: a body's position, then those of its pieces.
    pub steps: Vec<Vec<usize>>,
    /// Bodies that cannot be ordered: each waits for one that waits for it, or for such a body.
    pub stuck: Vec<usize>,
}

/// In which order nodes can be taken, each after those that must come before it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sequence {
    /// The nodes that can be taken, first to last.
    pub order: Vec<usize>,
    /// The nodes that lie on a cycle or wait for one, smallest first.
    pub stuck: Vec<usize>,
}

/// Returns the order in which a board's bodies come off.
///
/// What lies over a body comes off before it; so does what hides a screw that holds it. A body that
/// is part of another comes off with it, and the screws between the two stay in. Where the record
/// leaves a choice, its own order decides.
pub fn bodies(board: &Board) -> BodyOrder {
    let count = board.record.body.len();
    let wholes: Vec<usize> = (0..count).map(|body| whole(board, body)).collect();
    let sequence = sequence(count, &before(board, &wholes));
    let pieces = |whole: usize| {
        let others = (0..count).filter(move |&body| body != whole);
        let wholes = &wholes;
        std::iter::once(whole).chain(others.filter(move |&body| wholes[body] == whole))
    };
    let is_whole = |&body: &usize| wholes[body] == body;
    let (order, stuck) = (sequence.order.into_iter(), sequence.stuck.into_iter());
    let steps = order
        .filter(is_whole)
        .map(|whole| pieces(whole).collect())
        .collect();
    let mut stuck: Vec<usize> = stuck.filter(is_whole).flat_map(pieces).collect();
    stuck.sort_unstable();
    BodyOrder { steps, stuck }
}

/// Returns the body that a body comes off with: itself, or what it is part of.
///
/// Bodies that are parts of each other in a ring are one piece, named after the first of them.
fn whole(board: &Board, body: usize) -> usize {
    let parent = |body: usize| {
        let named = board.record.body[body].part_of.as_deref()?;
        board.body(named).map(|(index, _)| index)
    };
    let mut chain = vec![body];
    let mut last = body;
    while let Some(next) = parent(last) {
        if let Some(met) = chain.iter().position(|&seen| seen == next) {
            return chain[met..].iter().copied().min().unwrap_or(body);
        }
        chain.push(next);
        last = next;
    }
    last
}

/// Returns which whole bodies come off before which.
fn before(board: &Board, wholes: &[usize]) -> Vec<(usize, usize)> {
    let whole_of = |id: &String| board.body(id).map(|(index, _)| wholes[index]);
    let mut pairs = Vec::new();
    for (index, body) in board.record.body.iter().enumerate() {
        let lower = body.over.iter().filter_map(whole_of);
        let upper = wholes[index];
        pairs.extend(
            lower
                .filter(|&lower| lower != upper)
                .map(|lower| (upper, lower)),
        );
    }
    for group in &board.record.fasteners {
        let held: BTreeSet<usize> = group.holds.iter().filter_map(whole_of).collect();
        let into_board = group.holds.iter().any(|held| held == "pcb");
        if held.len() < 2 && !into_board {
            continue; // Within one piece, these stay in.
        }
        for hiding in group.under.iter().filter_map(whole_of) {
            // A body over screws of its own is in its own way only if they hold it to the board;
            // what they hold to it otherwise is reached when it is off.
            let hidden = held.iter().filter(|&&held| held != hiding || into_board);
            pairs.extend(hidden.map(|&held| (hiding, held)));
        }
    }
    pairs
}

/// Puts nodes in an order in which the first of every pair comes before the second.
///
/// Where there is a choice the smallest node is taken. Nodes on a cycle, and those that wait for
/// one, are returned apart.
///
/// # Panics
/// If a pair names a node that is not below `count`.
///
/// # References
/// Kahn (1962), Topological sorting of large networks, CACM 5(11).
pub fn sequence(count: usize, before: &[(usize, usize)]) -> Sequence {
    let pairs: BTreeSet<(usize, usize)> = before.iter().copied().collect();
    let mut waits = vec![0_usize; count];
    for &(_, later) in &pairs {
        waits[later] += 1;
    }
    let mut free: BTreeSet<usize> = (0..count).filter(|&node| waits[node] == 0).collect();
    let mut order = Vec::with_capacity(count);
    while let Some(node) = free.pop_first() {
        order.push(node);
        for &(_, later) in pairs.range((node, 0)..=(node, usize::MAX)) {
            waits[later] -= 1;
            if waits[later] == 0 {
                free.insert(later);
            }
        }
    }
    let stuck = (0..count).filter(|&node| waits[node] > 0).collect();
    Sequence { order, stuck }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::book::Book;
    use crate::progress::Silent;

    /// Returns the order of a board with this record's bodies and screws, as ids.
    fn order_of(bodies_and_screws: &str) -> (Vec<Vec<String>>, Vec<String>) {
        let root = tempfile::tempdir().expect("a folder");
        let folder = root.path().join("osk/demo");
        std::fs::create_dir_all(&folder).expect("made");
        let head = "schema = 1\n[board]\nid = \"osk-demo\"\nmaker = \"Osk\"\nmodel = \"Demo\"\n\
                    class = \"other\"\n";
        let text = format!("{head}{bodies_and_screws}");
        std::fs::write(folder.join("board.toml"), text).expect("written");
        let book = Book::load(root.path(), &Silent).expect("loaded");
        let board = book.board("osk-demo").expect("the record can be read");
        let ids = |bodies: &[usize]| -> Vec<String> {
            let id = |&body: &usize| board.record.body[body].id.clone();
            bodies.iter().map(id).collect()
        };
        let order = bodies(board);
        let steps = order.steps.iter().map(|step| ids(step)).collect();
        (steps, ids(&order.stuck))
    }

    /// Returns a body's lines in a record.
    fn body(id: &str, more: &str) -> String {
        format!("[[body]]\nid = \"{id}\"\nkind = \"cover\"\nside = \"front\"\n{more}\n")
    }

    /// Returns a group of screws' lines in a record.
    fn screws(holds: &str, under: &str) -> String {
        format!(
            "[[fasteners]]\nid = \"x\"\nfrom = \"back\"\nat = [[1.0, 1.0]]\nholds = {holds}\n\
             under = {under}\n"
        )
    }

    #[test]
    fn what_lies_over_and_what_hides_comes_off_first() {
        let record = [
            body("frame", ""),
            body("cooler", r#"over = ["frame"]"#),
            body("shroud", r#"part_of = "cooler""#),
            body("seal", ""),
            screws(r#"["cooler", "pcb"]"#, r#"["seal"]"#),
        ];
        let (steps, stuck) = order_of(&record.concat());
        let expected = [vec!["seal"], vec!["cooler", "shroud"], vec!["frame"]];
        assert_eq!(steps, expected, "seal over its screws, cooler over frame");
        assert!(stuck.is_empty(), "everything comes off");
    }

    #[test]
    fn screws_within_one_piece_hold_nothing_back() {
        let record = [
            body("cooler", ""),
            body("rail", r#"part_of = "cooler""#),
            body("plate", ""),
            screws(r#"["rail", "cooler"]"#, r#"["plate"]"#),
        ];
        let (steps, _) = order_of(&record.concat());
        assert_eq!(
            steps,
            [vec!["cooler", "rail"], vec!["plate"]],
            "rail stays on"
        );
    }

    #[test]
    fn a_piece_that_hides_hides_as_the_whole() {
        let record = [
            body("plate", ""),
            body("cooler", ""),
            body("shroud", r#"part_of = "cooler""#),
            screws(r#"["plate", "pcb"]"#, r#"["shroud"]"#),
        ];
        let (steps, _) = order_of(&record.concat());
        assert_eq!(
            steps,
            [vec!["cooler", "shroud"], vec!["plate"]],
            "cooler first"
        );
    }

    #[test]
    fn a_cycle_is_told_and_the_rest_ordered() {
        let record = [
            body("a", r#"over = ["b"]"#),
            body("b", r#"over = ["a"]"#),
            body("c", ""),
            body("d", r#"part_of = "e""#),
            body("e", r#"part_of = "d""#),
        ];
        let (steps, stuck) = order_of(&record.concat());
        assert_eq!(steps, [vec!["c"], vec!["d", "e"]], "the others come off");
        assert_eq!(stuck, ["a", "b"], "these wait for each other");
    }

    #[test]
    fn a_body_over_its_own_screws_into_the_board_is_stuck() {
        let own = [body("a", ""), screws(r#"["a", "pcb"]"#, r#"["a"]"#)];
        assert_eq!(order_of(&own.concat()).1, ["a"], "no way to its screws");
        let other = [
            body("a", ""),
            body("b", ""),
            screws(r#"["a", "b"]"#, r#"["a"]"#),
        ];
        let (steps, _) = order_of(&other.concat());
        assert_eq!(
            steps,
            [vec!["a"], vec!["b"]],
            "b is screwed to a from below"
        );
    }

    proptest! {
        #[test]
        fn every_node_is_taken_once_and_after_those_before_it(
            pairs in prop::collection::vec((0_usize..9, 0_usize..9), 0..16),
        ) {
            let found = sequence(9, &pairs);
            let position = |node| found.order.iter().position(|&taken| taken == node);
            let mut all = [&found.order[..], &found.stuck].concat();
            all.sort_unstable();
            prop_assert_eq!(all, (0..9).collect::<Vec<_>>(), "each node once");
            for (first, second) in pairs {
                if let Some(second) = position(second) {
                    let first = position(first);
                    prop_assert!(first.is_some_and(|first| first < second), "in order");
                }
            }
        }

        #[test]
        fn nothing_is_stuck_without_a_cycle(
            pairs in prop::collection::vec((0_usize..9, 0_usize..9), 0..16),
        ) {
            let forward: Vec<_> = pairs.into_iter().filter(|(first, second)| first < second).collect();
            let found = sequence(9, &forward);
            prop_assert_eq!(found.order, (0..9).collect::<Vec<_>>(), "smallest first");
        }
    }
}
