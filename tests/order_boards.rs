//! The order of whole boards: every demo board's replayed by a bench that knows only what holds, hides,
//! ties and covers what, and small boards that are odd somewhere.

use std::collections::BTreeSet;
use std::path::Path;

use gapbook::book::{Board, Book, Face};
use gapbook::guide::{Move as Told, OrderFacts};
use gapbook::order::{Move, Step, closing, crossing, opening};
use gapbook::progress::Silent;
use gapbook::record::{BodyKind, Connector, ConnectorKind, Side};

fn demo() -> Book {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
    Book::load(&root, &Silent).expect("the demo book loads")
}

/// A board on the bench, as far as it is apart.
struct Bench<'a> {
    board: &'a Board,
    lifted: BTreeSet<usize>,
    out: BTreeSet<usize>,
    unplugged: BTreeSet<usize>,
    open: BTreeSet<usize>,
    peeled: BTreeSet<usize>,
}

impl<'a> Bench<'a> {
    fn new(board: &'a Board) -> Self {
        Self {
            board,
            lifted: BTreeSet::new(),
            out: BTreeSet::new(),
            unplugged: BTreeSet::new(),
            open: BTreeSet::new(),
            peeled: BTreeSet::new(),
        }
    }

    fn body(&self, id: &str) -> Option<usize> {
        let (body, _) = self.board.body(id)?;
        Some(self.board.whole(body))
    }

    fn is_off(&self, id: &str) -> bool {
        self.body(id).is_none_or(|body| self.lifted.contains(&body))
    }

    /// Makes a move, or says why it cannot be made.
    fn make(&mut self, one: &Move) -> Result<(), String> {
        match one {
            Move::TakeOut(groups) => groups.iter().try_for_each(|&group| self.take_out(group)),
            Move::Unplug(plug) => self.unplug(*plug),
            Move::Swing(bodies) => {
                self.check_free(bodies[0])?;
                self.open.insert(bodies[0]);
                Ok(())
            }
            Move::Lift(bodies) => self.lift(bodies),
            Move::Peel(zones) => zones.iter().try_for_each(|&zone| self.peel(zone)),
        }
    }

    fn take_out(&mut self, group: usize) -> Result<(), String> {
        let screws = &self.board.record.fasteners[group];
        if let Some(hiding) = screws.under.iter().find(|id| !self.is_off(id)) {
            return Err(format!("{hiding} hides {}", screws.id));
        }
        if !self.out.insert(group) {
            return Err(format!("{} are out already", screws.id));
        }
        Ok(())
    }

    fn unplug(&mut self, plug: usize) -> Result<(), String> {
        let connector = &self.board.record.connector[plug];
        let tied = connector.ties.as_deref().and_then(|id| self.body(id));
        if let Some(body) = tied {
            let same_side = self.board.record.body[body].side == connector.side;
            if same_side && !self.open.contains(&body) {
                return Err(format!("{} is beneath what it ties", connector.id));
            }
        }
        let covers = self.board.record.body.iter().enumerate();
        let covering = covers.filter(|(index, body)| {
            let is_over = body.at.iter().any(|at| at.distance_to(connector.at) <= 0.0);
            body.kind == BodyKind::Cover
                && body.side == connector.side
                && (is_over || body.at.is_empty())
                && tied != Some(self.board.whole(*index))
        });
        for (_, body) in covering {
            if !self.is_off(&body.id) {
                return Err(format!("{} covers {}", body.id, connector.id));
            }
        }
        if !self.unplugged.insert(plug) {
            return Err(format!("{} is unplugged already", connector.id));
        }
        Ok(())
    }

    /// Makes sure that nothing holds a body and nothing lies over it.
    fn check_free(&self, body: usize) -> Result<(), String> {
        let pieces = self.board.pieces(body);
        let record = &self.board.record;
        let own = |id: &String| self.body(id) == Some(body);
        for (index, group) in record.fasteners.iter().enumerate() {
            let is_within = group.holds.len() > 1 && group.holds.iter().all(own);
            if group.holds.iter().any(own) && !is_within && !self.out.contains(&index) {
                return Err(format!("{} hold {}", group.id, record.body[body].id));
            }
        }
        for over in &record.body {
            let lies_over = |&piece: &usize| over.over.contains(&record.body[piece].id);
            if pieces.iter().any(lies_over)
                && self.body(&over.id) != Some(body)
                && !self.is_off(&over.id)
            {
                return Err(format!("{} lies over {}", over.id, record.body[body].id));
            }
        }
        Ok(())
    }

    fn lift(&mut self, bodies: &[usize]) -> Result<(), String> {
        self.check_free(bodies[0])?;
        let ties = |plug: &Connector| {
            let tied = plug.ties.as_deref().and_then(|id| self.body(id));
            tied == Some(bodies[0])
        };
        let plugs = self.board.record.connector.iter().enumerate();
        let tied = plugs
            .filter(|(index, _)| !self.unplugged.contains(index))
            .find(|(_, plug)| ties(plug));
        if let Some((_, plug)) = tied {
            return Err(format!("{} still ties it", plug.id));
        }
        for &body in bodies {
            if !self.lifted.insert(body) {
                return Err(format!("body {body} is off already"));
            }
        }
        Ok(())
    }

    fn peel(&mut self, zone: usize) -> Result<(), String> {
        let bodies: Vec<usize> = self.board.zones[zone].bodies().collect();
        if !bodies.iter().any(|body| self.lifted.contains(body)) {
            return Err(format!("zone {zone} is not bare"));
        }
        self.peeled.insert(zone);
        Ok(())
    }

    /// Says what is left over.
    fn left(&self) -> Vec<String> {
        let record = &self.board.record;
        let bodies = (0..record.body.len()).filter(|body| !self.lifted.contains(body));
        let bodies = bodies.map(|body| record.body[body].id.clone());
        let within = |group: usize| {
            let held: BTreeSet<Option<usize>> = record.fasteners[group]
                .holds
                .iter()
                .map(|id| self.body(id))
                .collect();
            held.len() == 1 && record.fasteners[group].holds.len() > 1
        };
        let groups = (0..record.fasteners.len())
            .filter(|group| !self.out.contains(group) && !within(*group));
        let groups = groups.map(|group| record.fasteners[group].id.clone());
        let plugs = (0..record.connector.len()).filter(|plug| !self.unplugged.contains(plug));
        let plugs = plugs.map(|plug| record.connector[plug].id.clone());
        let is_internal = |zone: &gapbook::book::Zone| {
            let whole = |face: Option<Face>| match face {
                Some(Face::Body(body)) => Some(self.board.whole(body)),
                _ => None,
            };
            let [near, far] = zone.faces.map(whole);
            near == far
        };
        let zones = self.board.zones();
        let zones = zones
            .filter(|(index, _, zone)| !self.peeled.contains(index) && !is_internal(zone))
            .map(|(_, zone, _)| zone.id.clone());
        bodies.chain(groups).chain(plugs).chain(zones).collect()
    }
}

/// Replays the moves of an opening; returns what is left over.
#[track_caller]
fn replay<'a>(board: &Board, steps: impl IntoIterator<Item = &'a Step>) -> Vec<String> {
    let mut bench = Bench::new(board);
    for step in steps {
        if let Err(why) = bench.make(&step.one) {
            panic!("{}: {:?}: {why}", board.id(), step.one);
        }
    }
    bench.left()
}

#[test]
fn every_demo_board_comes_apart_whole() {
    for board in &demo().boards {
        let opening = opening(board);
        assert_eq!(
            replay(board, &opening.steps),
            [""; 0],
            "{}: left over",
            board.id()
        );
        assert!(opening.is_exact, "{}: searched whole", board.id());
        let turned = turn_overs(&opening.steps);
        assert_eq!(turned, opening.turn_overs, "{}: turned", board.id());
    }
}

fn turn_overs(steps: &[Step]) -> usize {
    let pairs = steps.windows(2);
    let turned =
        |pair: &&[Step]| pair[0].up.is_some() && pair[1].up.is_some() && pair[0].up != pair[1].up;
    pairs.filter(turned).count()
}

/// What was put together backwards comes apart, with the same bench.
#[test]
fn every_demo_board_goes_together_whole() {
    for board in &demo().boards {
        let closing = closing(board);
        let left = replay(board, closing.steps.iter().rev());
        assert_eq!(left, [""; 0], "{}: left over", board.id());
        assert!(closing.is_exact, "{}: searched whole", board.id());
        let turned = turn_overs(&closing.steps);
        assert_eq!(turned, closing.turn_overs, "{}: turned", board.id());
    }
}

/// Common practice (no source): supplies first; the demo boards show it.
#[test]
fn supplies_come_before_every_screw_that_does_not_hide_them() {
    for board in &demo().boards {
        let supplies = board.record.connector.iter().enumerate();
        let supplies = supplies.filter(|(_, plug)| {
            plug.ties.is_none()
                && matches!(plug.kind, ConnectorKind::Power | ConnectorKind::Battery)
        });
        let steps = opening(board).steps;
        let at = |wanted: &Move| steps.iter().position(|step| step.one == *wanted);
        for (index, plug) in supplies {
            let covers = board
                .record
                .body
                .iter()
                .filter(|body| body.kind == BodyKind::Cover);
            let is_covered = covers.clone().any(|body| body.side == plug.side);
            let lifted = steps
                .iter()
                .position(|step| matches!(step.one, Move::Lift(_)));
            let unplugged = at(&Move::Unplug(index)).expect("unplugged");
            assert!(
                is_covered || lifted.is_none_or(|lifted| unplugged < lifted),
                "{}: {}",
                board.id(),
                plug.id
            );
        }
    }
}

/// Common practice (no source): four screws in an X; two near the centre and two near the edges; two or
/// three I/O-bracket screws; some screws reached only from inside.
#[test]
fn the_demo_boards_show_the_usual_builds() {
    let book = demo();
    let groups = || book.boards.iter().flat_map(|board| &board.record.fasteners);
    let crossed = groups().filter(|group| group.sprung && group.at.len() == 4);
    assert!(crossed.count() >= 10, "four in an X");
    let brackets = groups().filter(|group| group.holds.iter().any(|held| held == "io-bracket"));
    let counts: Vec<usize> = brackets.map(|group| group.at.len()).collect();
    assert!(
        counts.iter().all(|count| (1..=3).contains(count)),
        "{counts:?}"
    );
    assert!(counts.contains(&2) && counts.contains(&3), "{counts:?}");
    let inside = groups().filter(|group| group.under.iter().any(|over| over == "cooler"));
    assert!(inside.count() >= 2, "reached only when the cooler is off");
}

/// Common practice (no source): a crossing pattern, never one side fully first.
#[test]
fn four_screws_about_a_die_are_crossed() {
    for board in &demo().boards {
        for (index, group) in board.record.fasteners.iter().enumerate() {
            if group.captive || group.at.len() != 4 || !group.sprung {
                continue;
            }
            let order = crossing(board, &[index]);
            let at = |place: usize| group.at[order[place].1];
            let apart =
                |one: usize, other: usize| (at(one).x - at(other).x).hypot(at(one).y - at(other).y);
            let across = apart(0, 1);
            assert!(
                across > apart(0, 2) && across > apart(0, 3),
                "{}: {}: the second is the farthest from the first",
                board.id(),
                group.id
            );
        }
    }
}

/// Loads one board with these bodies, screws and connectors.
fn board(record: &str) -> Book {
    let root = tempfile::tempdir().expect("a folder");
    let folder = root.path().join("osk/demo");
    std::fs::create_dir_all(&folder).expect("made");
    let head = "schema = 1\n[board]\nid = \"osk-demo\"\nmaker = \"Osk\"\nmodel = \"Demo\"\n\
                class = \"other\"\noutline_mm = [100.0, 60.0]\n";
    std::fs::write(folder.join("board.toml"), format!("{head}{record}")).expect("written");
    Book::load(root.path(), &Silent).expect("loaded")
}

/// Returns in which order bodies come off, as ids, and those that do not.
fn lifted(record: &str) -> (Vec<Vec<String>>, Vec<String>) {
    let book = board(record);
    let board = book.board("osk-demo").expect("the record can be read");
    let ids = |bodies: &[usize]| -> Vec<String> {
        let id = |&body: &usize| board.record.body[body].id.clone();
        bodies.iter().map(id).collect()
    };
    let opening = opening(board);
    let lifts = opening.steps.iter().filter_map(|step| match &step.one {
        Move::Lift(bodies) => Some(ids(bodies)),
        _ => None,
    });
    (lifts.collect(), ids(&opening.stuck))
}

fn body(id: &str, more: &str) -> String {
    format!("[[body]]\nid = \"{id}\"\nkind = \"cover\"\nside = \"front\"\n{more}\n")
}

fn screws(holds: &str, under: &str) -> String {
    format!(
        "[[fasteners]]\nid = \"x\"\nfrom = \"back\"\nat = [[1.0, 1.0]]\nholds = {holds}\nunder = {under}\n"
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
    let (steps, stuck) = lifted(&record.concat());
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
    let (steps, _) = lifted(&record.concat());
    assert_eq!(
        steps,
        [vec!["cooler", "rail"], vec!["plate"]],
        "rail stays on"
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
    let (steps, stuck) = lifted(&record.concat());
    assert_eq!(steps, [vec!["c"], vec!["d", "e"]], "the others come off");
    assert_eq!(stuck, ["a", "b"], "these wait for each other");
}

#[test]
fn a_body_over_itself_is_stuck() {
    let (steps, stuck) = lifted(&body("a", r#"over = ["a"]"#));
    assert_eq!(
        (steps.len(), stuck),
        (0, vec!["a".to_owned()]),
        "it waits for itself"
    );
}

#[test]
fn a_body_over_its_own_screws_into_the_board_is_stuck() {
    let own = [body("a", ""), screws(r#"["a", "pcb"]"#, r#"["a"]"#)];
    assert_eq!(lifted(&own.concat()).1, ["a"], "no way to its screws");
}

/// What is screwed to a body from inside comes along with it, and waits for all that holds either.
#[test]
fn what_is_screwed_on_from_inside_comes_along() {
    let record = [
        body("a", ""),
        body("b", ""),
        screws(r#"["a", "b"]"#, r#"["a"]"#),
        body("lid", r#"over = ["b"]"#),
    ];
    let (steps, stuck) = lifted(&record.concat());
    assert_eq!(
        steps,
        [vec!["lid"], vec!["a"], vec!["b"]],
        "lid, both, apart"
    );
    assert!(stuck.is_empty(), "everything comes off");
}

/// A hundred groups, the most that a record may have, all hidden by all bodies: told, and quickly.
#[test]
fn a_hundred_groups_that_hide_each_other() {
    let bodies: String = (0..19)
        .map(|number| body(&format!("b{number}"), ""))
        .collect();
    let under: Vec<String> = (0..19).map(|number| format!("\"b{number}\"")).collect();
    let under = under.join(", ");
    let group = |number: usize| {
        format!(
            "[[fasteners]]\nid = \"g{number}\"\nfrom = \"front\"\nat = [[1.0, 1.0]]\n\
             holds = [\"b{}\", \"pcb\"]\nunder = [{under}]\n",
            number % 19
        )
    };
    let groups: Vec<String> = (0..100).map(group).collect();
    let (steps, stuck) = lifted(&(bodies + &groups.concat()));
    assert_eq!((steps.len(), stuck.len()), (0, 19), "nothing comes off");
}

/// A group with no position is no record; nothing here panics on one.
#[test]
fn a_group_with_no_position_is_refused() {
    let record = body("a", "")
        + "[[fasteners]]\nid = \"x\"\nfrom = \"back\"\nat = []\nholds = [\"a\", \"pcb\"]\n";
    let book = board(&record);
    assert!(book.board("osk-demo").is_none(), "`at` wants one at least");
}

/// Returns how a small board is opened and closed, in words.
fn told(record: &str) -> OrderFacts {
    let book = board(record);
    OrderFacts::of(book.board("osk-demo").expect("the record can be read"))
}

fn cooler(more: &str) -> String {
    format!(
        "[[body]]\nid = \"cooler\"\nkind = \"cooler\"\nside = \"front\"\nmass_g = 300\n\
         seats = {{ on = \"die\" }}\n{more}\n"
    )
}

fn group(id: &str, more: &str) -> String {
    format!(
        "[[fasteners]]\nid = \"{id}\"\nfrom = \"back\"\nat = [[1.0, 1.0], [9.0, 1.0]]\n\
         holds = [\"cooler\", \"pcb\"]\n{more}\n"
    )
}

/// A body that no screw holds, or holds yet, falls when the board is turned over: each time it is said.
#[test]
fn what_no_screw_holds_is_held_when_the_board_is_turned() {
    let facts = told(&(cooler("") + &group("x", "")));
    let hold = "Hold the cooler (300 g) to the board as you turn it: no screw holds it.";
    let held = |moves: &[Told]| -> Vec<(String, Option<String>)> {
        let turned = moves.iter().filter(|one| one.turn_over);
        turned
            .map(|one| (one.short.clone(), one.hold.clone()))
            .collect()
    };
    let expected = |short: &str| vec![(short.to_owned(), Some(hold.to_owned()))];
    assert_eq!(held(&facts.opening), expected("lift cooler"), "loose");
    assert_eq!(held(&facts.closing), expected("in"), "not held yet");
    assert_eq!(facts.closing[1].side_up, Some(Side::Back), "its screws");

    let book = demo();
    for id in [
        "brinnow-coble",
        "sennick-futtock",
        "uthby-hithe",
        "uthby-fairlead",
    ] {
        let facts = OrderFacts::of(book.board(id).expect("a demo board"));
        let turned = facts.closing.iter().find(|one| one.turn_over);
        let hold = turned.and_then(|one| one.hold.as_deref());
        assert!(hold.is_some_and(|hold| hold.contains("cooler")), "{id}");
    }
}

/// Closing is mostly the opening reversed, but a heavy cooler on the bench asks for another order, and more.
#[test]
fn closing_has_its_own_turn_overs() {
    for board in &demo().boards {
        let facts = OrderFacts::of(board);
        let turned = |moves: &[Told]| moves.iter().filter(|one| one.turn_over).count();
        let counted = (turned(&facts.opening), turned(&facts.closing));
        let told = (facts.turn_overs, facts.closing_turn_overs);
        assert_eq!(counted, told, "{}", board.id());
    }
    let book = demo();
    let bollard = OrderFacts::of(book.board("sennick-bollard-c").expect("a demo board"));
    let told = (bollard.turn_overs, bollard.closing_turn_overs);
    assert_eq!(
        told,
        (1, 2),
        "its cooler is screwed on before its duct goes on"
    );
    let held = bollard.closing.iter().find_map(|one| one.hold.clone());
    assert_eq!(held, None, "nothing is turned over loose");
}

#[test]
fn sprung_groups_go_together_only_where_they_are_alike() {
    let groups = |more: &str| {
        let record = cooler("") + &group("x", "sprung = true") + &group("y", more);
        let acts = told(&record).opening.into_iter();
        acts.filter(|one| !one.trays.is_empty()).count()
    };
    assert_eq!(groups("sprung = true"), 1, "alike");
    assert_eq!(groups("sprung = true\ncaptive = true"), 2, "one stays in");
    assert_eq!(groups("sprung = true\nkind = \"clip\""), 2, "no screw");
    assert_eq!(groups("sprung = true\nonly = [\"R2\"]"), 2, "on another");
}

/// A recorded torque is told with the ceiling where it is above it; a spring's force does not follow from it.
#[test]
fn a_torque_is_told_for_what_it_is() {
    let how = |more: &str| {
        let record = cooler("") + &group("x", &format!("thread = \"M2.5\"\n{more}"));
        let tightening = told(&record).closing.into_iter();
        let mut tightening = tightening.filter_map(|one| one.tightening);
        tightening
            .next()
            .map_or_else(String::new, |one| one.how_tight.concat())
    };
    assert!(
        how("torque_nm = 0.2").contains("each then pulls with"),
        "a preload"
    );
    let above = how("torque_nm = 0.9");
    assert!(
        above.contains("more than the ceiling") && above.contains("an M2.5"),
        "{above}"
    );
    let sprung = how("torque_nm = 0.2\nsprung = true");
    assert_eq!(
        sprung, "0.2 N·m, where they stop: the springs set the force.",
        "no preload"
    );
}

/// Drawn off at one corner, a cooler tilts on its die, sprung or not.
#[test]
fn screws_of_a_pasted_cooler_come_out_crosswise() {
    let first = |record: String| told(&record).opening.remove(0).text;
    assert!(
        first(cooler("") + &group("x", "")).contains("crosswise"),
        "on a die"
    );
    let edge = group("x", "").replace("\"back\"", "\"edge\"");
    assert!(
        !first(cooler("") + &edge).contains("crosswise"),
        "a bracket's"
    );
    let flat = cooler("").replace("on = \"die\"", "on = \"standoffs\"");
    assert!(
        !first(flat + &group("x", "")).contains("crosswise"),
        "on standoffs"
    );
}

/// What differs between revisions is an alternative, not one more pad to lay.
#[test]
fn pads_of_revisions_are_told_as_alternatives() {
    let book = demo();
    let facts = OrderFacts::of(book.board("osk-tern-180").expect("a demo board"));
    let lay = &facts.closing[0].short;
    assert_eq!(
        lay, "lay power stages; on R1.0 only: memory; on R2.0 only: memory",
        "each revision's own"
    );
}
