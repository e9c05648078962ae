//! What stands about a section: names, dimensions, callouts and the title.

use super::{Drawing, NAMES, RIM_MM, TITLE, TOP};
use crate::drawing::callout::{self, Callout, Row, Words};
use crate::drawing::dimensions::arrow;
use crate::drawing::map::thickness;
use crate::drawing::marks::{line, text};
use crate::drawing::profile::{Face, Pad};
use crate::drawing::svg::{Element, number};
use crate::record::Side;
use crate::stack::gap::Finding;
use crate::units::Point;

/// Zones that are dimensioned on one side, at most.
const MOST: usize = 12;

/// Distance of a dimension line from the faces it measures, how far extension lines pass it, and length of an arrow
/// head, drawing units.
const AWAY: f64 = 2.0;
const PAST: f64 = 1.4;
const HEAD: f64 = 2.6;

impl<'d> Drawing<'d, '_> {
    /// Names the board, its bodies and its dies.
    pub(super) fn names(&self) -> Element {
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
    pub(super) fn dimensions(&self, side: Side) -> Element {
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

    pub(super) fn callouts(&self, side: Side) -> Vec<Callout> {
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

    pub(super) fn title(&self) -> Element {
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

/// Says how thick a bond line is.
pub(in crate::drawing) fn micrometres(least: f64, greatest: f64) -> String {
    let (least, greatest) = (format!("{least:.0}"), format!("{greatest:.0}"));
    if least == greatest {
        format!("{least} µm")
    } else {
        format!("{least}–{greatest} µm")
    }
}
