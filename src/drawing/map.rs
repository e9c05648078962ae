//! The map of one side of a board: what is where, to scale.

use super::dimensions::scale_bar;
use super::hatch;
use super::marks::{self, LETTER, circle, line, rect, text};
use super::piece::{Piece, pieces};
use super::place::{Room, around};
use super::svg::{Element, number};
use super::view::View;
use crate::book::Board;
use crate::order::{screw_numbers, tray_letter};
use crate::record::schema::Words as _;
use crate::record::{BodyKind, PartKind, Side};
use crate::units::{Point, Rect, nominal_mm};

/// What a map draws strong; outlines, parts and keep-outs are always there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layers {
    /// Pads, hatched by thickness.
    pub pads: bool,
    /// Screws with their balloons, and connectors.
    pub screws: bool,
}

impl Layers {
    /// Everything.
    pub const ALL: Self = Self {
        pads: true,
        screws: true,
    };
    /// What a driver needs.
    pub const SCREWS: Self = Self {
        pads: false,
        screws: true,
    };
    /// What a caliper needs.
    pub const PADS: Self = Self {
        pads: true,
        screws: false,
    };
}

/// Radius of a balloon, drawing units.
const BALLOON: f64 = 4.3;

/// Returns the map of a side, or `None` where the outline is not known.
///
/// `name` is unique on the page: the names of the drawing's hatches begin with it.
pub fn map(board: &Board, side: Side, layers: Layers, name: &str) -> Option<Element> {
    let outline = board.record.board.outline_mm?;
    let view = View::new(side, outline);
    let [width, height] = view.size();
    let sheet = Rect {
        x: 0.0,
        y: 0.0,
        width,
        height,
    };
    let pcb = view.rect(&Rect::of_size(outline));
    let mut map = Map {
        board,
        view,
        layers,
        name,
        pieces: pieces(board, &view),
        pcb,
        room: Room::new(sheet, pcb.centre()),
    };

    let seen = if side == Side::Front {
        "Front"
    } else {
        "Back, mirrored: as you see it"
    };
    let label = format!("{seen}. {}", map.in_words());
    let mut svg = Element::drawing("map", [width, height])
        .with("role", "img")
        .with("aria-label", label)
        .with("data-side", side.word())
        .with("data-scale", number(view.scale));
    svg.push(map.hatches());
    svg.push(rect("pcb", &pcb).lengths([("rx", 1.2)]));
    svg.push(map.bodies());
    svg.push(map.parts());
    svg.push(map.keepouts());
    if layers.pads {
        svg.push(map.pads());
    }
    svg.push(map.dimensions(&pcb));
    if layers.screws {
        svg.push(map.screws());
        svg.push(map.connectors());
    }
    svg.push(map.labels());
    svg.push(scale_bar(&view, height));
    Some(svg)
}

/// Returns a small square that shows a thickness's hatch, for tables.
pub fn swatch(pad_mm: f64, name: &str) -> Element {
    let square = Rect {
        x: 0.5,
        y: 0.5,
        width: 25.0,
        height: 13.0,
    };
    Element::classed("svg", "swatch")
        .with("viewBox", "0 0 26 14")
        .with("aria-hidden", "true")
        .holding([
            Element::new("defs").holding([hatch::pattern(name, pad_mm)]),
            rect("zone", &square).with("fill", hatch::fill(name, pad_mm)),
        ])
}

/// A map being drawn.
pub(super) struct Map<'a> {
    pub(super) board: &'a Board,
    pub(super) view: View,
    pub(super) layers: Layers,
    name: &'a str,
    pub(super) pieces: Vec<Piece>,
    pub(super) pcb: Rect,
    pub(super) room: Room,
}

impl Map<'_> {
    /// Says what the drawing shows, for those who cannot see it.
    fn in_words(&self) -> String {
        let record = &self.board.record;
        let side = self.view.side;
        let pads = self.pieces.len();
        let screws: usize = self.screw_groups().map(|(_, group)| group.at.len()).sum();
        let plugs = record
            .connector
            .iter()
            .filter(|plug| plug.side == side)
            .count();
        format!("Map to scale: {pads} pads, {screws} screws, {plugs} connectors.")
    }

    /// Returns the groups whose heads are on this side.
    fn screw_groups(&self) -> impl Iterator<Item = (usize, &crate::record::Fasteners)> {
        let side = self.view.side;
        self.board
            .record
            .fasteners
            .iter()
            .enumerate()
            .filter(move |(_, group)| group.from.seen_on() == side)
    }

    fn hatches(&self) -> Element {
        let hatched = self.pieces.iter().filter_map(|piece| piece.hatched_mm);
        Element::new("defs").holding(hatch::patterns(self.name, hatched))
    }

    fn bodies(&self) -> Element {
        let side = self.view.side;
        let shown = self.board.record.body.iter().filter(|body| {
            body.side == side && !matches!(body.kind, BodyKind::Shroud | BodyKind::Cover)
        });
        let outlines = shown
            .flat_map(|body| &body.at)
            .map(|place| rect("body", &self.view.rect(place)));
        Element::new("g").holding(outlines)
    }

    fn parts(&mut self) -> Element {
        let mut group = Element::new("g");
        for part in self
            .board
            .record
            .part
            .iter()
            .filter(|part| part.side == self.view.side)
        {
            let class = if part.kind == PartKind::Die {
                "die"
            } else {
                "part"
            };
            for place in &part.at {
                let drawn = self.view.rect(place);
                self.room.avoid(drawn);
                group.push(rect(class, &drawn));
            }
        }
        group
    }

    fn keepouts(&mut self) -> Element {
        let mut group = Element::new("g");
        for keepout in self
            .board
            .record
            .keepout
            .iter()
            .filter(|one| one.side == self.view.side)
        {
            for place in &keepout.at {
                let drawn = self.view.rect(place);
                self.room.avoid(drawn);
                let (left, right) = (number(drawn.x), number(drawn.right()));
                let (upper, lower) = (number(drawn.y), number(drawn.top()));
                group.push(rect("keepout", &drawn));
                group.push(Element::classed("path", "keepout").with(
                    "d",
                    format!("M{left} {upper}L{right} {lower}M{left} {lower}L{right} {upper}"),
                ));
            }
        }
        group
    }

    fn pads(&mut self) -> Element {
        let mut group = Element::new("g");
        for piece in &self.pieces {
            let fill = piece.hatched_mm.map_or_else(
                || "none".to_owned(),
                |pad_mm| hatch::fill(self.name, pad_mm),
            );
            let id = &self.board.record.zone[piece.zone].id;
            let mut drawn = rect("zone", &piece.drawn)
                .with("fill", fill)
                .with("data-zone", id);
            if let Some(body) = self.board.zones[piece.zone].carrier() {
                drawn = drawn.with("data-on", &self.board.record.body[body].id);
            }
            group.push(drawn);
            self.room.avoid(piece.drawn);
        }
        group
    }

    fn screws(&mut self) -> Element {
        let mut group = Element::new("g");
        let numbers = screw_numbers(self.board);
        let screws: Vec<(String, Point, f64, bool)> = self
            .screw_groups()
            .flat_map(|(index, screws)| {
                let letter = tray_letter(index);
                let radius = head_radius(screws) * self.view.scale;
                let numbered = screws.at.iter().zip(&numbers[index]);
                numbered.map(move |(&point, number)| {
                    (format!("{letter}{number}"), point, radius, screws.sprung)
                })
            })
            .map(|(tag, point, radius, sprung)| (tag, self.view.point(point), radius, sprung))
            .collect();
        for (_, at, radius, _) in &screws {
            self.room.take(around(*at, 2.0 * radius, 2.0 * radius));
        }
        for (tag, at, radius, sprung) in screws {
            let width = (2.0 * BALLOON).max(marks::width(&tag, LETTER) + 3.0);
            let balloon = self.room.near(at, width, 2.0 * BALLOON);
            group.push(line("leader", at, balloon));
            group.push(circle("screw", at, radius));
            let arm = radius * 0.6;
            group.push(Element::classed("path", "slot").with(
                "d",
                format!(
                    "M{} {}h{}M{} {}v{}",
                    number(at.x - arm),
                    number(at.y),
                    number(2.0 * arm),
                    number(at.x),
                    number(at.y - arm),
                    number(2.0 * arm)
                ),
            ));
            if sprung {
                group.push(circle("spring", at, radius + 1.0));
            }
            let pill = around(balloon, width, 2.0 * BALLOON);
            group.push(rect("balloon", &pill).lengths([("rx", BALLOON)]));
            group.push(text("tag", balloon, &tag));
        }
        group
    }

    fn connectors(&mut self) -> Element {
        let mut group = Element::new("g");
        let plugs: Vec<(Point, String)> = self
            .board
            .record
            .connector
            .iter()
            .filter(|plug| plug.side == self.view.side)
            .map(|plug| (self.view.point(plug.at), self.board.name(&plug.id)))
            .collect();
        for (at, _) in &plugs {
            self.room.take(around(*at, 8.0, 4.0));
        }
        for (at, name) in plugs {
            let plug = around(at, 8.0, 4.0);
            group.push(rect("plug", &plug));
            self.label_beside(&mut group, "name", &plug, &[name]);
        }
        group
    }
}

/// Returns the radius of a screw's head, mm: its thread's nominal diameter, as ISO 7045 heads are
/// twice that across; an M2's where the thread is not known (common practice).
pub(super) fn head_radius(screws: &crate::record::Fasteners) -> f64 {
    let nominal_mm = screws.thread.as_deref().and_then(nominal_mm);
    nominal_mm.unwrap_or(2.0).clamp(1.0, 6.0)
}

/// Returns a thickness as a label: one decimal, or two where it needs them.
pub(crate) fn thickness(pad_mm: f64) -> String {
    let hundredths = (pad_mm * 100.0).round();
    if (hundredths % 10.0).abs() < 0.5 {
        format!("{pad_mm:.1}")
    } else {
        format!("{pad_mm:.2}")
    }
}
