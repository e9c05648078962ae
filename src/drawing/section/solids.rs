//! What a section cuts: bodies, board, parts, pads and paste, hatched, and where they are broken off.

use super::{Drawing, RIM_MM, SIDES};
use crate::drawing::hatch;
use crate::drawing::marks::rect;
use crate::drawing::profile::{Body, Face};
use crate::drawing::svg::{Element, number};
use crate::record::Side;
use crate::units::Point;

impl Drawing<'_, '_> {
    pub(super) fn patterns(&self, zones: &[usize]) -> Element {
        let thicknesses = zones.iter().filter_map(|&zone| self.fit.zones[zone].pad_mm);
        let pads = hatch::patterns("section", thicknesses);
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
    pub(super) fn body(&self, body: &Body, group: &mut Element) {
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

    pub(super) fn board(&self, group: &mut Element) {
        let [first, last] = self.profile.shown;
        let [before, after] = self.profile.goes_on.map(|on| if on { 5.0 } else { 0.0 });
        let along = [first - before, last + after];
        let board = self.block(Side::Front, along, [-self.board_mm, 0.0]);
        group.push(rect("cut-board", &board).with("fill", "url(#section-board)"));
    }

    pub(super) fn parts(&self, group: &mut Element) {
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

    pub(super) fn pads(&self, group: &mut Element) {
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
                    .with("fill", hatch::fill("section", pad_mm))
                    .with("data-zone", zone.id),
            );
            let outline = self.block(pad.side, pad.face.along, [pad.near, free]);
            group.push(rect("free", &outline));
        }
    }

    pub(super) fn pastes(&self, group: &mut Element) {
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
    pub(super) fn breaks(&self) -> Element {
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
