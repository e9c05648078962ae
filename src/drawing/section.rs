//! The section of a board: a cut through die, pads and cooler, heights exaggerated, gaps dimensioned.
//!
//! Cut faces are hatched as ISO 128-50 has it: neighbours in different directions, thin ones black.
//! A pad is hatched by its thickness, as on the maps, and drawn as it is squeezed; its free outline is
//! chain-dotted, as ISO 128 draws a form before it is pressed. What goes on is broken off.

use super::callout::{self, Callout, Row, Words};
use super::cut::Cut;
use super::dimensions::arrow;
use super::hatch;
use super::map::thickness;
use super::marks::{line, rect, text, text_box};
use super::profile::{Body, Face, Pad, Profile};
use super::svg::{Element, number};
use crate::record::Side;
use crate::stack::gap::Finding;
use crate::stack::{Fit, Seated};
use crate::units::{Point, Rect};

/// Width that a section is drawn, without its margins, drawing units; wider where its lettering needs it.
const WIDTH: f64 = 212.0;

/// Greatest height of what is cut, drawing units.
const HEIGHT: f64 = 96.0;

/// Free room at the left, and at the right at least and at most, where names stand, drawing units.
const LEFT: f64 = 12.0;
const RIGHT: [f64; 2] = [26.0, 80.0];

/// Room between a row of callouts and what is cut, and below everything for the title, drawing units.
const LEADERS: f64 = 11.0;
const TITLE: f64 = 13.0;

/// How far beside the section names stand, drawing units.
const NAMES: f64 = 3.0;

/// Room above everything, drawing units.
const TOP: f64 = 3.0;

/// How many times heights may be exaggerated over lengths.
const FACTORS: [f64; 17] = [
    1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0,
];

/// How much of a broken-off body is shown beyond everything else, mm.
const STUMP_MM: f64 = 1.2;

/// Thickness of a board of which none is recorded, mm. Common practice.
const USUAL_BOARD_MM: f64 = 1.6;

/// Zones that are dimensioned on one side, at most.
const MOST: usize = 12;

/// Distance of a dimension line from the faces it measures, how far extension lines pass it, and length of an arrow
/// head, drawing units.
const AWAY: f64 = 2.0;
const PAST: f64 = 1.4;
const HEAD: f64 = 2.6;

/// How far a body's face reaches beyond the pad on it, mm.
const RIM_MM: f64 = 1.0;

/// The sides of a board, the upper one of a section first.
const SIDES: [Side; 2] = [Side::Front, Side::Back];

/// A section, and what it shows.
#[derive(Debug)]
pub struct Section {
    /// The drawing.
    pub svg: Element,
    /// How many times heights are exaggerated over lengths.
    pub factor: f64,
    /// The zones that are cut, by position in the stack-up.
    pub zones: Vec<usize>,
}

/// Draws the section of a stack-up along a cut, as the cooler comes to rest; nothing where no gap or die
/// of known heights lies on it.
pub fn section(fit: &Fit<'_>, seated: Option<&Seated>, cut: &Cut) -> Option<Section> {
    let profile = Profile::of(fit, seated, cut)?;
    let drawing = Drawing::new(fit, seated, &profile);
    let mut zones: Vec<usize> = profile.pads.iter().map(|pad| pad.zone).collect();
    zones.sort_unstable();
    zones.dedup();
    Some(Section {
        svg: drawing.draw(&zones),
        factor: drawing.factor,
        zones,
    })
}

/// A section being drawn.
struct Drawing<'d, 'a> {
    fit: &'d Fit<'a>,
    seated: Option<&'d Seated>,
    profile: &'d Profile,
    board_mm: f64,
    /// What of it is seen, outward on both sides, mm.
    reach: [f64; 2],
    /// Drawing units a millimetre along the cut.
    scale: f64,
    factor: f64,
    sheet: [f64; 2],
    /// Where the board's front surface lies, drawing units.
    front: f64,
}

impl<'d, 'a> Drawing<'d, 'a> {
    fn new(fit: &'d Fit<'a>, seated: Option<&'d Seated>, profile: &'d Profile) -> Self {
        let reach = SIDES.map(|side| {
            let stump = if profile.is_broken(side) {
                STUMP_MM
            } else {
                0.4
            };
            profile.height(side) + stump
        });
        let board_mm = fit.board.record.board.thickness_mm;
        let mut drawing = Self {
            fit,
            seated,
            profile,
            board_mm: board_mm.unwrap_or(USUAL_BOARD_MM),
            reach,
            scale: 1.0,
            factor: 1.0,
            sheet: [0.0; 2],
            front: 0.0,
        };
        drawing.fill_sheet();
        drawing
    }

    /// Chooses scale, factor and sheet so that everything has room.
    fn fill_sheet(&mut self) {
        let [callouts_above, callouts_below] = SIDES.map(|side| self.callouts(side));
        let lettering = callout::width(&callouts_above).max(callout::width(&callouts_below));
        let margin = self.margin();
        let width = WIDTH.max(lettering - LEFT - margin + 4.0);
        let length_mm = self.profile.shown[1] - self.profile.shown[0];
        let height_mm = self.reach[0] + self.board_mm + self.reach[1];
        self.scale = (width / length_mm).min(HEIGHT / height_mm);
        let room = HEIGHT / (height_mm * self.scale);
        let factors = FACTORS.iter().rev().copied();
        self.factor = factors.filter(|factor| *factor <= room).fold(1.0, f64::max);
        let row = |callouts: &[Callout]| {
            if callouts.is_empty() {
                TOP
            } else {
                TOP + callout::HEIGHT + LEADERS
            }
        };
        let above = row(&callouts_above);
        let tall = self.scale * self.factor;
        self.front = above + self.reach[0] * tall;
        self.sheet = [
            LEFT + width + margin,
            above + height_mm * tall + row(&callouts_below) + TITLE,
        ];
    }

    /// Returns how much room the names beside the section need.
    fn margin(&self) -> f64 {
        let board = self.fit.board;
        let bodies = self.profile.bodies.iter();
        let names = bodies.map(|body| board.name(&board.record.body[body.index].id));
        let widths = names.map(|name| text_box(Point { x: 0.0, y: 0.0 }, &name).width);
        let widest = widths.fold(0.0, f64::max);
        (widest + 2.0 * NAMES).clamp(RIGHT[0], RIGHT[1])
    }

    fn x(&self, along: f64) -> f64 {
        LEFT + (along - self.profile.shown[0]) * self.scale
    }

    /// Returns where a height over the board's surface is drawn.
    fn y(&self, side: Side, height: f64) -> f64 {
        let tall = self.scale * self.factor;
        match side {
            Side::Front => self.front - height * tall,
            Side::Back => self.front + (self.board_mm + height) * tall,
        }
    }

    fn at(&self, side: Side, along: f64, height: f64) -> Point {
        Point {
            x: self.x(along),
            y: self.y(side, height),
        }
    }

    /// Returns the rectangle between two heights.
    fn block(&self, side: Side, along: [f64; 2], heights: [f64; 2]) -> Rect {
        let (one, other) = (
            self.at(side, along[0], heights[0]),
            self.at(side, along[1], heights[1]),
        );
        Rect {
            x: one.x,
            y: one.y.min(other.y),
            width: other.x - one.x,
            height: (one.y - other.y).abs(),
        }
    }

    fn draw(&self, zones: &[usize]) -> Element {
        let [width, height] = self.sheet;
        let mut svg = Element::classed("svg", "map section")
            .with("xmlns", "http://www.w3.org/2000/svg")
            .with(
                "viewBox",
                format!("0 0 {} {}", number(width), number(height)),
            )
            .with("role", "img")
            .with("aria-label", self.in_words(zones))
            .lengths([("data-factor", self.factor)]);
        svg.push(self.patterns(zones));
        let mut seen = Element::new("g").with("clip-path", "url(#section-seen)");
        for body in &self.profile.bodies {
            self.body(body, &mut seen);
        }
        self.board(&mut seen);
        self.parts(&mut seen);
        self.pads(&mut seen);
        self.pastes(&mut seen);
        svg.push(seen);
        svg.push(self.breaks());
        svg.push(self.names());
        for side in SIDES {
            svg.push(self.dimensions(side));
        }
        svg.push(self.title());
        svg
    }

    /// Says what the drawing shows, for those who cannot see it.
    fn in_words(&self, zones: &[usize]) -> String {
        let factor = number(self.factor);
        let names: Vec<String> = zones.iter().map(|&zone| self.zone_name(zone)).collect();
        format!(
            "Section A–A, heights drawn {factor} times as large as lengths, through {}.",
            names.join(", ")
        )
    }

    fn zone_name(&self, zone: usize) -> String {
        self.fit.board.zone_name(self.fit.zones[zone].zone)
    }

    fn patterns(&self, zones: &[usize]) -> Element {
        let thicknesses = zones.iter().filter_map(|&zone| self.fit.zones[zone].pad_mm);
        let mut thicknesses: Vec<f64> = thicknesses.collect();
        thicknesses.sort_by(f64::total_cmp);
        thicknesses.dedup_by_key(|pad_mm| hatch::name("", *pad_mm));
        let pads = thicknesses
            .iter()
            .map(|&pad_mm| hatch::pattern("section", pad_mm));
        let cut = [
            ("section-board", 45.0, 3.2),
            ("section-part", 135.0, 1.5),
            ("section-cooler", 135.0, 3.6),
            ("section-plate", 135.0, 2.2),
        ];
        let cut = cut.map(|(id, turn, apart)| hatch::lines(id, turn, apart));
        let [above, below] = self.reach;
        let (top, bottom) = (self.y(Side::Front, above), self.y(Side::Back, below));
        let [first, last] = self.profile.shown.map(|end| self.x(end));
        let seen = Element::new("rect").lengths([
            ("x", first),
            ("y", top),
            ("width", last - first),
            ("height", bottom - top),
        ]);
        let seen = Element::new("clipPath")
            .with("id", "section-seen")
            .holding([seen]);
        Element::new("defs").holding(pads.chain(cut).chain([seen]))
    }

    /// Draws a body: its base, with a step to each face that something touches.
    fn body(&self, body: &Body, group: &mut Element) {
        let side = body.side;
        let beyond = self.reach[usize::from(side == Side::Back)] + 1.0;
        let highest = body.faces.iter().flat_map(|face| face.heights);
        let least_far = highest.fold(body.base, f64::max) + 0.3;
        let far = body.far.map_or(beyond, |far| far.max(least_far));
        let (class, hatch) = match body.far {
            None => ("cut-body", "url(#section-cooler)"),
            Some(_) => ("cut-body", "url(#section-plate)"),
        };
        for span in &body.spans {
            let mut points = vec![
                self.at(side, span[0], far),
                self.at(side, span[0], body.base),
            ];
            for (face, rim) in rims(&body.faces, span) {
                let [left, right] = face.heights;
                points.push(self.at(side, rim[0], body.base));
                points.push(self.at(side, rim[0], left));
                points.push(self.at(side, rim[1], right));
                points.push(self.at(side, rim[1], body.base));
            }
            points.push(self.at(side, span[1], body.base));
            points.push(self.at(side, span[1], far));
            let id = &self.fit.board.record.body[body.index].id;
            group.push(
                Element::classed("path", class)
                    .with("d", closed(&points))
                    .with("fill", hatch)
                    .with("data-body", id),
            );
        }
    }

    fn board(&self, group: &mut Element) {
        let [first, last] = self.profile.shown;
        let [before, after] = self.profile.goes_on.map(|on| if on { 5.0 } else { 0.0 });
        let along = [first - before, last + after];
        let board = self.block(Side::Front, along, [-self.board_mm, 0.0]);
        group.push(rect("cut-board", &board).with("fill", "url(#section-board)"));
    }

    fn parts(&self, group: &mut Element) {
        for part in &self.profile.parts {
            let block = self.block(part.side, part.along, [0.0, part.height]);
            let id = &self.fit.board.record.part[part.index].id;
            group.push(
                rect("cut-part", &block)
                    .with("fill", "url(#section-part)")
                    .with("data-part", id),
            );
        }
    }

    fn pads(&self, group: &mut Element) {
        for pad in &self.profile.pads {
            let zone = &self.fit.zones[pad.zone];
            let Some(pad_mm) = zone.pad_mm else { continue };
            let free = pad.near + pad_mm;
            // A pad that misses the far face stands free.
            let top = pad.face.heights.map(|far| far.min(free));
            let [first, last] = pad.face.along;
            let corners = [
                self.at(pad.side, first, pad.near),
                self.at(pad.side, last, pad.near),
                self.at(pad.side, last, top[1]),
                self.at(pad.side, first, top[0]),
            ];
            group.push(
                Element::classed("path", "zone cut-pad")
                    .with("d", closed(&corners))
                    .with("fill", format!("url(#{})", hatch::name("section", pad_mm)))
                    .with("data-zone", zone.id),
            );
            let outline = self.block(pad.side, pad.face.along, [pad.near, free]);
            group.push(rect("free", &outline));
        }
    }

    fn pastes(&self, group: &mut Element) {
        for paste in &self.profile.pastes {
            let [first, last] = paste.face.along;
            let corners = [
                self.at(paste.side, first, paste.near),
                self.at(paste.side, last, paste.near),
                self.at(paste.side, last, paste.face.heights[1]),
                self.at(paste.side, first, paste.face.heights[0]),
            ];
            group.push(Element::classed("path", "paste").with("d", closed(&corners)));
        }
    }

    /// Draws the edges where board and bodies go on: thin, with a zigzag or by hand.
    fn breaks(&self) -> Element {
        let mut group = Element::new("g");
        let [above, below] = self.reach;
        let (front, back) = (self.y(Side::Front, 0.0), self.y(Side::Back, 0.0));
        for (end, goes_on) in self.profile.shown.into_iter().zip(self.profile.goes_on) {
            if goes_on {
                group.push(zigzag(self.x(end), front - 3.0, back + 3.0));
            }
        }
        for (side, reach) in SIDES.into_iter().zip([above, below]) {
            let broken = self.profile.bodies.iter();
            let broken = broken.filter(|body| body.side == side && body.far.is_none());
            for span in broken.flat_map(|body| &body.spans) {
                let [low, high] = self.profile.shown;
                let [first, last] = [span[0].max(low), span[1].min(high)].map(|end| self.x(end));
                group.push(by_hand(first, last, self.y(side, reach)));
            }
        }
        group
    }

    /// Names the board, its bodies and its dies.
    fn names(&self) -> Element {
        let mut group = Element::new("g");
        let board = &self.fit.board;
        let [low, high] = self.profile.shown;
        let beside = |y: f64| Point {
            x: self.x(high) + NAMES,
            y,
        };
        for body in &self.profile.bodies {
            let name = board.name(&board.record.body[body.index].id);
            let reach = self.reach[usize::from(body.side == Side::Back)];
            let height = f64::midpoint(body.base, body.far.unwrap_or(reach));
            let last = body.spans.last().map_or(low, |span| span[1]);
            let at = if last >= high {
                beside(self.y(body.side, height))
            } else {
                let wide = |span: &&[f64; 2]| span[1] - span[0];
                let by_width = |a: &&[f64; 2], b: &&[f64; 2]| wide(a).total_cmp(&wide(b));
                let Some(span) = body.spans.iter().max_by(by_width) else {
                    continue;
                };
                let middle = f64::midpoint(span[0].max(low), span[1].min(high));
                self.at(body.side, middle, height)
            };
            let class = if last >= high { "name start" } else { "name" };
            group.push(text(class, at, &name));
        }
        let words = match board.record.board.thickness_mm {
            Some(mm) => format!("board {}", thickness(mm)),
            None => "board".to_owned(),
        };
        let middle = -self.board_mm / 2.0;
        let at = beside(self.y(Side::Front, middle));
        group.push(text("name start", at, &words));
        for paste in &self.profile.pastes {
            let die = &self.fit.assembly.dies[paste.die];
            let at = self.at(paste.side, paste.face.middle(), paste.near / 2.0);
            group.push(text(
                "name",
                at,
                &format!("die {}", thickness(die.height_mm)),
            ));
        }
        group
    }

    /// Dimensions the gaps of one side, and says what fills them.
    fn dimensions(&self, side: Side) -> Element {
        let mut group = Element::new("g");
        for pad in self.chosen(side) {
            self.dimension(pad, &mut group);
        }
        let callouts = self.callouts(side);
        if !callouts.is_empty() {
            let (top, leaves) = match side {
                Side::Front => (TOP, TOP + callout::HEIGHT),
                Side::Back => {
                    let top = self.sheet[1] - TITLE - callout::HEIGHT;
                    (top, top)
                }
            };
            let sheet = [2.0, self.sheet[0] - 2.0];
            group.push(callout::draw(callouts, Row { top, leaves, sheet }));
        }
        group
    }

    /// Chooses a piece of each zone to be dimensioned, far from those of other zones.
    fn chosen(&self, side: Side) -> Vec<&'d Pad> {
        let mut chosen: Vec<&Pad> = Vec::new();
        let pads = || self.profile.pads.iter().filter(|pad| pad.side == side);
        let mut zones: Vec<usize> = pads().map(|pad| pad.zone).collect();
        zones.sort_unstable();
        zones.dedup();
        let count = |zone: usize| pads().filter(|pad| pad.zone == zone).count();
        zones.sort_by_key(|&zone| count(zone));
        for zone in zones.into_iter().take(MOST) {
            let room = |pad: &Pad| {
                let away = chosen
                    .iter()
                    .map(|other| (other.face.middle() - pad.face.middle()).abs());
                away.fold(f64::INFINITY, f64::min)
            };
            let best = pads().filter(|pad| pad.zone == zone);
            chosen.extend(best.max_by(|left, right| room(left).total_cmp(&room(right))));
        }
        chosen
    }

    /// Draws a gap's dimension beside its pad, as ISO 129-1 has it.
    fn dimension(&self, pad: &Pad, group: &mut Element) {
        let Face { along, heights } = pad.face;
        let (low, high) = (
            self.at(pad.side, along[1], pad.near),
            self.at(pad.side, along[1], heights[1]),
        );
        let x = low.x + self.away();
        let far = Point { x: x + PAST, ..low };
        group.push(line("dimension", low, far));
        group.push(line("dimension", high, Point { x: far.x, ..high }));
        let (upper, lower) = (low.y.min(high.y), low.y.max(high.y));
        let at = |y: f64| Point { x, y };
        // Where there is no room between them the arrows point inwards from outside.
        let inside = lower - upper >= 2.5 * HEAD;
        let (out, head) = if inside {
            (0.0, HEAD)
        } else {
            (1.8 * HEAD, -HEAD)
        };
        group.push(line("dimension", at(upper - out), at(lower + out)));
        group.push(arrow(at(upper), 0.0, head));
        group.push(arrow(at(lower), 0.0, -head));
    }

    /// Returns how far beside a pad its dimension line stands: clear of the rim over it.
    fn away(&self) -> f64 {
        RIM_MM * self.scale + AWAY
    }

    fn callouts(&self, side: Side) -> Vec<Callout> {
        let pads = self.chosen(side).into_iter().map(|pad| self.of_pad(pad));
        let pastes = self.profile.pastes.iter();
        let pastes = pastes
            .filter(|paste| paste.side == side)
            .filter_map(|paste| {
                let die = self.seated?.dies.get(paste.die)?;
                let part = &self.fit.board.record.part[self.fit.die_parts[paste.die]];
                let [least, greatest] = die.bond_um;
                Some(Callout {
                    at: self.at(side, paste.face.middle(), paste.face.height()),
                    dotted: true,
                    lines: vec![
                        Words::Name(self.fit.board.name(&part.id)),
                        Words::Plain(format!("paste {}", micrometres(least, greatest))),
                        Words::Plain(die.verdict.to_string()),
                    ],
                })
            });
        pads.chain(pastes).collect()
    }

    fn of_pad(&self, pad: &Pad) -> Callout {
        let zone = &self.fit.zones[pad.zone];
        let gap_mm = pad.face.height() - pad.near;
        let gap = format!("{gap_mm:.2}");
        let gap = match &zone.finding.gap {
            Finding::Known {
                value_mm, within, ..
            } => {
                let up = format!("{:.2}", within.high_mm - value_mm);
                let down = format!("{:.2}", value_mm - within.low_mm);
                if up == down {
                    Words::Plain(format!("{gap} ± {up}"))
                } else {
                    Words::Toleranced(gap, [format!("+{up}"), format!("−{down}")])
                }
            }
            Finding::Impossible { .. } | Finding::Unknown => Words::Plain(gap),
        };
        let material = zone
            .pad
            .map_or_else(String::new, |pad| format!(" {}", pad.id));
        let fitted = zone.pad_mm.map_or_else(
            || "pad not known".to_owned(),
            |pad_mm| format!("pad {}{material}", thickness(pad_mm)),
        );
        let height = f64::midpoint(pad.near, pad.face.heights[1]);
        let end = self.at(pad.side, pad.face.along[1], height);
        Callout {
            at: Point {
                x: end.x + self.away(),
                ..end
            },
            dotted: false,
            lines: vec![
                Words::Name(self.zone_name(pad.zone)),
                gap,
                Words::Plain(fitted),
            ],
        }
    }

    fn title(&self) -> Element {
        let [_, height] = self.sheet;
        let left = self.x(self.profile.shown[0]);
        let round = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
        let fits = round.into_iter().filter(|mm| mm * self.scale <= 40.0);
        let length_mm = fits.fold(1.0, f64::max);
        let (drawn, level) = (length_mm * self.scale, height - 3.5);
        let bar = format!(
            "M{0} {1}v-2M{0} {1}h{2}M{3} {1}v-2",
            number(left),
            number(level),
            number(drawn),
            number(left + drawn)
        );
        let at = |x: f64| Point { x, y: level - 1.0 };
        let factor = number(self.factor);
        Element::classed("g", "scale").holding([
            Element::classed("path", "dimension").with("d", bar),
            text(
                "measure start",
                at(left + drawn + 2.0),
                &format!("{length_mm} mm along"),
            ),
            text("cut-letter", at(self.sheet[0] / 2.0), "A–A"),
            text(
                "measure end",
                at(self.sheet[0] - NAMES),
                &format!("heights × {factor}; gaps in mm"),
            ),
        ])
    }
}

/// Returns the faces of one stretch of a body, in order, each with how far it reaches: a rim beyond what
/// touches it, but no nearer to the next than half way.
fn rims<'f>(faces: &'f [Face], span: &[f64; 2]) -> Vec<(&'f Face, [f64; 2])> {
    let mut here: Vec<&Face> = faces
        .iter()
        .filter(|face| span[0] <= face.middle() && face.middle() <= span[1])
        .collect();
    here.sort_by(|left, right| left.along[0].total_cmp(&right.along[0]));
    let mut end = span[0];
    let mut rims = Vec::with_capacity(here.len());
    for (index, face) in here.iter().enumerate() {
        let [first, last] = face.along;
        let next = here.get(index + 1).map_or(span[1], |next| next.along[0]);
        let rim = |free: f64| (free / 2.0).clamp(0.0, RIM_MM);
        let from = (first - rim(first - end)).max(end);
        let to = (last + rim(next - last)).max(from);
        end = to;
        rims.push((*face, [from, to]));
    }
    rims
}

/// Says how thick a bond line is.
pub(super) fn micrometres(least: f64, greatest: f64) -> String {
    let (least, greatest) = (format!("{least:.0}"), format!("{greatest:.0}"));
    if least == greatest {
        format!("{least} µm")
    } else {
        format!("{least}–{greatest} µm")
    }
}

/// Returns a closed path through points.
fn closed(points: &[Point]) -> String {
    let mut d = String::new();
    for (index, point) in points.iter().enumerate() {
        d.push(if index == 0 { 'M' } else { 'L' });
        d.push_str(&number(point.x));
        d.push(' ');
        d.push_str(&number(point.y));
    }
    d.push('z');
    d
}

/// Draws an upright break: a thin line with one zigzag.
fn zigzag(x: f64, top: f64, bottom: f64) -> Element {
    let middle = f64::midpoint(top, bottom);
    let [x, top, bottom, upper] = [x, top, bottom, middle - 2.0].map(number);
    Element::classed("path", "break").with(
        "d",
        format!("M{x} {top}L{x} {upper}l1.6 1-3.2 2 1.6 1L{x} {bottom}"),
    )
}

/// Draws a level break: a thin line as by hand.
fn by_hand(first: f64, last: f64, y: f64) -> Element {
    const WAVE: f64 = 14.0;
    let mut d = format!("M{} {}", number(first), number(y));
    let mut x = first;
    while x + WAVE <= last {
        d.push_str("q3.5-1.6 7 0t7 0");
        x += WAVE;
    }
    d.push('L');
    d.push_str(&number(last));
    d.push(' ');
    d.push_str(&number(y));
    Element::classed("path", "break").with("d", d)
}
