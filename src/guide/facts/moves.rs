//! The moves of opening and of closing, in words.

use schemars::JsonSchema;
use serde::Serialize;

use super::screws::how_to_unplug;
use super::tightening::{self, Tightening};
use crate::book::Board;
use crate::order::{self, Opening, Step, tray_letter};
use crate::record::schema::{Words, words};
use crate::record::{Body, BodyKind, FastenerKind, Fasteners, From, Removal, Seat, Side};

/// One move of opening or closing a board.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Move {
    /// What kind of move it is.
    pub act: Act,
    /// What to do, in a sentence or two.
    pub text: String,
    /// The same in a few words.
    pub short: String,
    /// The ids it touches.
    pub ids: Vec<String>,
    /// The trays that screws go into, or come from.
    pub trays: Vec<String>,
    /// The bit it needs, where one is recorded.
    pub bit: Option<String>,
    /// The side of the board that is up; none as long as it does not matter.
    pub side_up: Option<Side>,
    /// Whether the board is turned over before it.
    pub turn_over: bool,
    /// What to hold to the board as it is turned over: bodies that no screw holds.
    pub hold: Option<String>,
    /// What the move leaves loose under the board.
    pub loose: Option<String>,
    /// How its screws are tightened, where it drives screws in.
    pub tightening: Option<Tightening>,
    /// The notes told with it, by their positions among the board's.
    pub notes: Vec<usize>,
}

words! {
    /// A kind of move.
    pub enum Act {
        /// Take screws out, or put them in.
        Screws = "screws",
        /// Open a tied body like a book, or close it.
        Swing = "swing",
        /// Unplug a connector, or plug it in.
        Plug = "plug",
        /// Lift a body away, or put it on.
        Body = "body",
        /// Peel and measure pads, or lay them.
        Pads = "pads",
    }
}

impl Act {
    fn of(one: &order::Move) -> Self {
        match one {
            order::Move::Unplug(_) => Self::Plug,
            order::Move::TakeOut(_) => Self::Screws,
            order::Move::Swing(_) => Self::Swing,
            order::Move::Lift(_) => Self::Body,
            order::Move::Peel(_) => Self::Pads,
        }
    }
}

/// Says what to do in a move of opening.
pub(super) fn opened(board: &Board, step: &Step, all: &Opening) -> Move {
    let one = &step.one;
    let (text, short) = match one {
        order::Move::Unplug(plug) => {
            let (name, latch) = connector(board, *plug);
            let how = how_to_unplug(latch);
            (format!("Unplug {name}: {how}."), format!("unplug {name}"))
        }
        order::Move::TakeOut(groups) => take_out(board, groups),
        order::Move::Swing(bodies) => swing(board, bodies),
        order::Move::Lift(bodies) => {
            let lift = lift(board, bodies, is_swung(bodies, all));
            let text = format!("{lift}{}", along(board, bodies, "comes"));
            (text, format!("lift {}", body_name(board, bodies)))
        }
        order::Move::Peel(zones) => {
            let names = zone_names(board, zones);
            let text = format!(
                "Before any pad is moved, measure it: {names}.{}",
                sticky(board, zones)
            );
            (text, format!("measure {names}"))
        }
    };
    let mut told = worded(board, step, text, short);
    told.loose = loose_beneath(board, step, all);
    told
}

/// Says what to do in a move of closing.
pub(super) fn closed(board: &Board, step: &Step, all: &Opening) -> Move {
    let (text, short) = match &step.one {
        order::Move::Unplug(plug) => {
            let (name, _) = connector(board, *plug);
            (
                format!("Plug {name} in until it seats; lay its cable clear of fans and screws."),
                format!("plug {name} in"),
            )
        }
        order::Move::TakeOut(groups) => put_in(board, groups),
        order::Move::Swing(bodies) => close_up(board, bodies),
        order::Move::Lift(bodies) => {
            let (text, short) = put_on(board, bodies, is_swung(bodies, all));
            (format!("{text}{}", along(board, bodies, "goes")), short)
        }
        order::Move::Peel(zones) => {
            let names = zone_names(board, zones);
            (
                format!("Lay the pads, both films off, each covering its part: {names}."),
                format!("lay {names}"),
            )
        }
    };
    let mut told = worded(board, step, text, short);
    if let order::Move::TakeOut(groups) = &step.one {
        told.tightening = tightening::of(board, groups);
    }
    told
}

/// Tells whether a body is opened like a book before it is lifted.
fn is_swung(bodies: &[usize], all: &Opening) -> bool {
    let mut moves = all.steps.iter().map(|step| &step.one);
    moves.any(|other| matches!(other, order::Move::Swing(swung) if swung == bodies))
}

fn swing(board: &Board, bodies: &[usize]) -> (String, String) {
    let name = body_name(board, bodies);
    let slack = slack(board, bodies);
    let far = slack.map_or_else(
        || "only as far as its cables go: their slack is not known".to_owned(),
        how_far,
    );
    let free = if is_pasted(&board.record.body[bodies[0]]) {
        format!("Twist the {name} a few degrees until the paste lets go, then open it")
    } else {
        format!("Free the {name} and open it")
    };
    let short = slack.map_or_else(
        || format!("{name}: open like a book, slack not known"),
        |slack| format!("{name}: open like a book, {}", how_far(slack)),
    );
    (format!("{free} like a book, {far}."), short)
}

/// Says how far a body may be moved from the board, short of its cables' slack: at its end they pull.
fn how_far(slack_mm: f64) -> String {
    format!("well under {slack_mm} mm: its cables end there")
}

fn close_up(board: &Board, bodies: &[usize]) -> (String, String) {
    let name = body_name(board, bodies);
    let meet = if is_pasted(&board.record.body[bodies[0]]) {
        " The die meets it flat, not edge first."
    } else {
        ""
    };
    let plugs = 0..board.record.connector.len();
    let plugs = plugs.filter(|&plug| order::graph::swung_by(board, plug) == Some(bodies[0]));
    let plugs: Vec<String> = plugs.map(|plug| connector(board, plug).0).collect();
    let text = format!(
        "Look once more: {} in, no cable between. Then close the {name} and the board like a book, level \
         at the end.{meet}",
        plugs.join(" and ")
    );
    (text, format!("close {name}, no cable between"))
}

/// Says which of the pads stick, and with what they come off.
fn sticky(board: &Board, zones: &[usize]) -> String {
    let sticks = |zone: &&usize| board.record.zone[**zone].removal == Some(Removal::Scrape);
    let stuck: Vec<usize> = zones.iter().filter(sticks).copied().collect();
    if stuck.is_empty() {
        return String::new();
    }
    let names = zone_names(board, &stuck);
    format!(" These stick: a flexible plastic scraper, flat, never metal ({names}).")
}

/// Puts a move's words, ids, trays and revisions together.
fn worded(board: &Board, step: &Step, text: String, short: String) -> Move {
    let revisions = match revisions(board, &step.one) {
        [] => String::new(),
        only => format!(" ({} only)", only.join(", ")),
    };
    let (trays, bit) = match &step.one {
        order::Move::TakeOut(groups) => (
            groups.iter().map(|&group| tray_letter(group)).collect(),
            board.record.fasteners[groups[0]].drive.clone(),
        ),
        _ => (Vec::new(), None),
    };
    Move {
        act: Act::of(&step.one),
        text: text + &revisions,
        short: short + &revisions,
        ids: ids(board, &step.one),
        trays,
        bit,
        side_up: step.up,
        turn_over: false,
        hold: None,
        loose: None,
        tightening: None,
        notes: Vec::new(),
    }
}

/// Returns the ids of what a move touches.
fn ids(board: &Board, one: &order::Move) -> Vec<String> {
    let record = &board.record;
    match one {
        order::Move::Unplug(plug) => vec![record.connector[*plug].id.clone()],
        order::Move::TakeOut(groups) => each(groups, |group| &record.fasteners[group].id),
        order::Move::Swing(bodies) | order::Move::Lift(bodies) => {
            each(bodies, |body| &record.body[body].id)
        }
        order::Move::Peel(zones) => each(zones, |zone| &record.zone[zone].id),
    }
}

fn each<'a>(things: &[usize], id: impl Fn(usize) -> &'a String) -> Vec<String> {
    things.iter().map(|&thing| id(thing).clone()).collect()
}

/// Returns the revisions on which a move is made; of pads each name says its own.
fn revisions<'a>(board: &'a Board, one: &order::Move) -> &'a [String] {
    match one {
        order::Move::Unplug(plug) => &board.record.connector[*plug].only,
        order::Move::TakeOut(groups) => board.revisions_of_fasteners(groups[0]),
        order::Move::Swing(bodies) | order::Move::Lift(bodies) => {
            &board.record.body[bodies[0]].only
        }
        order::Move::Peel(_) => &[],
    }
}

fn take_out(board: &Board, groups: &[usize]) -> (String, String) {
    let record = &board.record.fasteners;
    let first = &record[groups[0]];
    let what = what(board, groups);
    let crosswise = match (first.sprung, groups.len()) {
        (true, 1) => ", a turn at a time, crosswise: they are sprung",
        (true, _) => ", all together, a turn at a time, crosswise: they are sprung",
        (false, _) if first.at.len() > 1 && is_on_die(board, first) => {
            ", a turn at a time, crosswise: what they hold lies on a die"
        }
        (false, _) => "",
    };
    let from = first.from;
    let (text, short) = match first.kind {
        FastenerKind::Screw if first.captive => (
            format!(
                "Loosen {what} from the {from}{crosswise}; they are captive and stay in. Where numbers \
                 are printed beside them, from the highest down."
            ),
            format!("loose, from the {from}"),
        ),
        FastenerKind::Screw => (
            format!("Take out {what} from the {from}{crosswise}."),
            format!("out, from the {from}"),
        ),
        FastenerKind::Clip => (
            format!("Unhook {what} from the {from}, with plastic, one end at a time."),
            format!("unhooked, from the {from}"),
        ),
        FastenerKind::PushPin => (
            format!("Squeeze {what} together behind the board and push them out."),
            "pushed out".to_owned(),
        ),
    };
    (text, short)
}

/// Tells whether a group draws a body onto a die through paste: let go at one corner, it would tilt there.
/// From the edge nothing is drawn onto a die.
fn is_on_die(board: &Board, group: &Fasteners) -> bool {
    let mut held = group.holds.iter().filter_map(|id| board.body(id));
    group.from != From::Edge && held.any(|(_, body)| is_pasted(body))
}

/// Says which bodies the last of their screws leaves loose under the board.
fn loose_beneath(board: &Board, step: &Step, all: &Opening) -> Option<String> {
    let (names, are_one) = with_mass(board, &order::loose_beneath(board, step, all))?;
    let (lie, it) = if are_one {
        ("lies beneath and is", "it")
    } else {
        ("lie beneath and are", "them")
    };
    Some(format!(
        "The {names} {lie} loose now: keep {it} on the bench."
    ))
}

/// Says what to hold to the board when it is turned over while some moves of opening are made.
pub(super) fn hold(board: &Board, made: &[Step]) -> Option<String> {
    let (names, are_one) = with_mass(board, &order::unheld(board, made))?;
    let it = if are_one { "it" } else { "them" };
    Some(format!(
        "Hold the {names} to the board as you turn it: no screw holds {it}."
    ))
}

/// Names bodies with their masses, and tells whether it is only one; nothing where there is none.
fn with_mass(board: &Board, bodies: &[usize]) -> Option<(String, bool)> {
    let named = bodies.iter().map(|&body| {
        let body = &board.record.body[body];
        let mass = body
            .mass_g
            .map_or_else(String::new, |mass| format!(" ({mass} g)"));
        format!("{}{mass}", board.name(&body.id))
    });
    let named: Vec<String> = named.collect();
    (!named.is_empty()).then(|| (named.join(" and the "), named.len() == 1))
}

fn put_in(board: &Board, groups: &[usize]) -> (String, String) {
    let first = &board.record.fasteners[groups[0]];
    let what = what(board, groups);
    match first.kind {
        FastenerKind::Screw => {
            let numbers = if first.captive {
                " Where numbers are printed beside them, from the lowest up."
            } else {
                ""
            };
            let text = format!("Drive {what} in from the {}.{numbers}", first.from);
            (text, "in".to_owned())
        }
        FastenerKind::Clip => (format!("Hook {what} on again."), "hooked".to_owned()),
        FastenerKind::PushPin => (
            format!("Push {what} in until they spread."),
            "pushed in".to_owned(),
        ),
    }
}

fn what(board: &Board, groups: &[usize]) -> String {
    let what = groups
        .iter()
        .map(|&group| count_and_size(board, &board.record.fasteners[group]));
    what.collect::<Vec<_>>().join(" and ")
}

/// Says how many fasteners of which size and bit: "4 × cooler screws (M2.5 × 7, PH1)".
fn count_and_size(board: &Board, group: &Fasteners) -> String {
    let what = format!("{} × {}", group.at.len(), board.name(&group.id));
    if group.kind != FastenerKind::Screw {
        return what;
    }
    let thread = group.thread.as_deref().unwrap_or("thread not known");
    let length = group
        .length_mm
        .map_or_else(String::new, |length| format!(" × {length}"));
    let drive = group.drive.clone().unwrap_or_else(|| bit_to_try(group));
    format!("{what} ({thread}{length}, {drive})")
}

/// Says which bit to try where none is recorded.
fn bit_to_try(group: &Fasteners) -> String {
    let thread = group.thread.as_deref().unwrap_or_default();
    match &order::driver::usual(thread, "PH")[..] {
        [] => "bit not known: try before you turn".to_owned(),
        [one] => format!("bit not known: usually {one}, try before you turn"),
        several => format!(
            "bit not known: {}, the larger that seats fully",
            several.join(" or ")
        ),
    }
}

fn lift(board: &Board, step: &[usize], is_swung: bool) -> String {
    let body = &board.record.body[step[0]];
    let name = body_name(board, step);
    match body.kind {
        BodyKind::Label => format!("Peel the {name} off and keep it."),
        _ if is_swung => format!("Lift the {name} away."),
        _ if is_pasted(body) => {
            format!(
                "Twist the {name} a few degrees until the paste lets go, then lift it straight off."
            )
        }
        BodyKind::Backplate | BodyKind::Bracket | BodyKind::Stiffener => {
            format!("Work round the edge of the {name} and lift it; never pull at one corner.")
        }
        _ => format!("Lift the {name} off evenly."),
    }
}

fn put_on(board: &Board, step: &[usize], is_swung: bool) -> (String, String) {
    let body = &board.record.body[step[0]];
    let name = body_name(board, step);
    let far = slack(board, step).map_or_else(String::new, |slack| format!(", {}", how_far(slack)));
    match (body.kind, order::is_heavy(body), is_swung) {
        (BodyKind::Label, ..) => (
            format!("Stick the {name} on again."),
            format!("stick {name} on"),
        ),
        (_, true, true) => (
            format!(
                "The {name} is the heavier: lay it on its back, and hold the board beside it like a \
                 book{far}."
            ),
            format!("{name} on its back, the board beside it like a book{far}"),
        ),
        (_, false, true) => (
            format!("Hold the {name} beside the board like a book{far}."),
            format!("hold {name} beside the board like a book{far}"),
        ),
        (_, true, false) => (
            format!(
                "The {name} is the heavier: lay it on its back, and put the board onto it, level."
            ),
            format!("{name} on its back, the board onto it"),
        ),
        (_, false, false) => (
            format!("Put the {name} on, level."),
            format!("put {name} on"),
        ),
    }
}

/// Tells whether a body sticks to the die by paste.
fn is_pasted(body: &Body) -> bool {
    body.seats_on(Seat::Die).is_some()
}

/// Says what comes or goes with a body because it is one piece with it.
fn along(board: &Board, step: &[usize], verb: &str) -> String {
    let names: Vec<String> = step[1..]
        .iter()
        .map(|&body| board.name(&board.record.body[body].id))
        .collect();
    match &names[..] {
        [] => String::new(),
        [one] => format!(" The {one} {verb} with it."),
        several => format!(
            " With it {} the {}.",
            plural(verb),
            several.join(" and the ")
        ),
    }
}

fn plural(verb: &str) -> &str {
    if verb == "goes" { "go" } else { "come" }
}

fn body_name(board: &Board, step: &[usize]) -> String {
    board.name(&board.record.body[step[0]].id)
}

fn connector(board: &Board, plug: usize) -> (String, Option<crate::record::Latch>) {
    let plug = &board.record.connector[plug];
    (board.name(&plug.id), plug.latch)
}

/// Names zones: those of all revisions first, then those of each set of revisions as alternatives.
fn zone_names(board: &Board, zones: &[usize]) -> String {
    let mut by_revisions: Vec<(&[String], Vec<String>)> = vec![(&[], Vec::new())];
    for &zone in zones {
        let only = board.revisions_of_zone(zone);
        let name = board.zone_name(zone);
        match by_revisions.iter_mut().find(|(other, _)| *other == only) {
            Some((_, names)) => names.push(name),
            None => by_revisions.push((only, vec![name])),
        }
    }
    let told = by_revisions
        .into_iter()
        .filter(|(_, names)| !names.is_empty())
        .map(|(only, names)| {
            if only.is_empty() {
                return names.join("; ");
            }
            let on = only.join(", ");
            // A name that ends with its revision need not say it twice.
            let ending = format!(", {on}");
            let names = names
                .iter()
                .map(|name| name.strip_suffix(&ending).unwrap_or(name));
            format!("on {on} only: {}", names.collect::<Vec<_>>().join(", "))
        });
    told.collect::<Vec<_>>().join("; ")
}

/// Returns the least slack of the cables that lead to a step's bodies, mm.
fn slack(board: &Board, step: &[usize]) -> Option<f64> {
    let in_step = |id: &String| board.body(id).is_some_and(|(body, _)| step.contains(&body));
    let plugs = board.record.connector.iter();
    plugs
        .filter(|plug| plug.ties.as_ref().is_some_and(in_step))
        .filter_map(|plug| plug.slack_mm)
        .reduce(f64::min)
}
