//! Lettering on a map: names and thicknesses, each where there is room for it.

use super::map::{Map, thickness};
use super::marks::{LETTER, LINE, line, lines_box, text, text_box};
use super::svg::Element;
use crate::record::PartKind;
use crate::units::{Point, Rect};

/// Pieces that share a label, near one another.
struct Labelled {
    pieces: Vec<Rect>,
    /// What must be said: a thickness, or one for each revision.
    said: Vec<String>,
    /// What they are called, said where there is room.
    name: String,
}

impl Map<'_> {
    /// Writes the dies' names and, where pads are drawn, their thicknesses and what takes none.
    pub(super) fn labels(&mut self) -> Element {
        let mut group = Element::new("g");
        self.dies(&mut group);
        if self.layers.pads {
            let (wordy, short): (Vec<Labelled>, Vec<Labelled>) = self
                .labelled()
                .into_iter()
                .partition(|one| one.said.len() > 1);
            // What takes most room first.
            for labelled in wordy.into_iter().chain(short) {
                self.label_pieces(&mut group, &labelled);
            }
            self.bare_parts(&mut group);
        }
        group
    }

    /// Writes on each die what it is; one that a pad lies on has the pad's label.
    fn dies(&mut self, group: &mut Element) {
        let board = self.board;
        for (index, part) in board.record.part.iter().enumerate() {
            if part.kind != PartKind::Die || part.side != self.view.side {
                continue;
            }
            let name = match (self.layers.pads, board.is_padded(index)) {
                (true, true) => continue,
                (true, false) => "die · paste",
                (false, _) => "die",
            };
            for place in &part.at {
                let drawn = self.view.rect(place);
                if text_box(drawn.centre(), name).width <= drawn.width {
                    self.room.take(text_box(drawn.centre(), name));
                    group.push(text("name", drawn.centre(), name));
                } else {
                    self.label_beside(group, "name", &drawn, &[name.to_owned()]);
                }
            }
        }
    }

    /// Gathers the pieces of this side by what must be said of them, each cluster by itself.
    fn labelled(&self) -> Vec<Labelled> {
        let mut kinds: Vec<(&[usize], Vec<Rect>)> = Vec::new();
        for piece in &self.pieces {
            let drawn = piece.drawn;
            match kinds.iter_mut().find(|(zones, _)| *zones == piece.zones) {
                // Another revision's pad at the same place needs no label of its own.
                Some((_, same)) if same.iter().any(|one| one.shared_area(&drawn) > 0.0) => {}
                Some((_, same)) => same.push(drawn),
                None => kinds.push((&piece.zones, vec![drawn])),
            }
        }
        let labelled = |(zones, pieces): (&[usize], Vec<Rect>)| {
            let said: Vec<String> = zones.iter().map(|&zone| self.said(zone)).collect();
            let name = match *zones {
                [zone] => self.board.zone_name(zone),
                _ => String::new(),
            };
            clusters(&pieces).into_iter().map(move |pieces| Labelled {
                pieces,
                said: said.clone(),
                name: name.clone(),
            })
        };
        kinds.into_iter().flat_map(labelled).collect()
    }

    /// Says what must be known of a zone's pads: the thickness, for which revisions where not for all,
    /// and on which body where not on the board.
    fn said(&self, zone: usize) -> String {
        let pad_mm = self.board.record.zone[zone].pad_mm;
        let mut said = pad_mm.map_or_else(|| "?".to_owned(), thickness);
        if let Some(body) = self.board.zones[zone].carrier() {
            let name = self.board.name(&self.board.record.body[body].id);
            said = format!("on {name} {said}");
        }
        match self.board.revisions_of_zone(zone) {
            [] => said,
            revisions => format!("{}: {said}", revisions.join(", ")),
        }
    }

    /// Writes a label on each piece, or once beside a cluster of small ones, with its name where there
    /// is room.
    fn label_pieces(&mut self, group: &mut Element, labelled: &Labelled) {
        let Labelled { pieces, said, name } = labelled;
        let whole = match said.as_slice() {
            // "on frame 1.0" names the place already.
            [one] if !name.is_empty() && !one.contains("on ") => vec![format!("{name} {one}")],
            _ => said.clone(),
        };
        let around = bounds(pieces);
        if self.fit(pieces, &whole) {
            self.label_each(group, pieces, &whole);
        } else if self.fit(pieces, said) {
            self.label_each(group, pieces, said);
            if whole != *said {
                self.name_beside(group, "name", &around, name);
            }
        } else if whole == *said || !self.name_beside(group, "thickness", &around, &whole[0]) {
            self.label_beside(group, "thickness", &around, said);
        }
    }

    /// Tells whether every piece has free room for a label.
    fn fit(&self, pieces: &[Rect], lines: &[String]) -> bool {
        pieces.iter().all(|piece| {
            let needed = lines_box(piece.centre(), lines);
            piece.width >= needed.width
                && piece.height >= needed.height
                && self.room.is_free(&needed)
        })
    }

    fn label_each(&mut self, group: &mut Element, pieces: &[Rect], lines: &[String]) {
        for piece in pieces {
            self.write(group, "thickness", piece.centre(), lines);
        }
    }

    /// Names the parts that take no pad, where there is room: else they look forgotten.
    fn bare_parts(&mut self, group: &mut Element) {
        let board = self.board;
        for (index, part) in board.record.part.iter().enumerate() {
            let is_named = part.kind == PartKind::Die || board.is_padded(index);
            if is_named || part.side != self.view.side {
                continue;
            }
            let places: Vec<Rect> = part.at.iter().map(|place| self.view.rect(place)).collect();
            let name = format!("{}, no pad", board.name(&part.id));
            for cluster in clusters(&places) {
                self.name_beside(group, "name", &bounds(&cluster), &name);
            }
        }
    }

    /// Writes a label next to something if it covers nothing there, and tells whether it did.
    fn name_beside(
        &mut self,
        group: &mut Element,
        class: &'static str,
        thing: &Rect,
        label: &str,
    ) -> bool {
        let lines = [label.to_owned()];
        let at = beside(thing, &lines)
            .into_iter()
            .find(|at| self.room.is_clear(&lines_box(*at, &lines)));
        if let Some(at) = at {
            self.write(group, class, at, &lines);
        }
        at.is_some()
    }

    /// Writes a label next to something, or at the best free place near it with a leader.
    pub(super) fn label_beside(
        &mut self,
        group: &mut Element,
        class: &'static str,
        thing: &Rect,
        lines: &[String],
    ) {
        let places = beside(thing, lines);
        let clear = places
            .into_iter()
            .find(|at| self.room.is_clear(&lines_box(*at, lines)));
        let free = || {
            let mut above_and_below = places.into_iter().take(2);
            above_and_below.find(|at| self.room.is_free(&lines_box(*at, lines)))
        };
        let at = clear.or_else(free).unwrap_or_else(|| {
            let middle = thing.centre();
            let needed = lines_box(middle, lines);
            let at = self.room.near(middle, needed.width, needed.height);
            group.push(line("leader", middle, at));
            at
        });
        self.write(group, class, at, lines);
    }

    fn write(&mut self, group: &mut Element, class: &'static str, at: Point, lines: &[String]) {
        self.room.take(lines_box(at, lines));
        let mut y = at.y;
        for (position, words) in lines.iter().enumerate() {
            if position == 0 {
                y -= lines_box(at, lines).height / 2.0 - text_box(at, words).height / 2.0;
            } else {
                y += LINE;
            }
            group.push(text(class, Point { x: at.x, y }, words));
        }
    }
}

/// Returns the places next to something for the centre of a label: below, above, right, left.
fn beside(thing: &Rect, lines: &[String]) -> [Point; 4] {
    /// Free space between a thing and its label, drawing units.
    const GAP: f64 = LETTER * 0.25;
    let middle = thing.centre();
    let needed = lines_box(middle, lines);
    let (across, up) = (needed.width / 2.0 + GAP, needed.height / 2.0 + GAP);
    let at = |x: f64, y: f64| Point { x, y };
    [
        at(middle.x, thing.top() + up),
        at(middle.x, thing.y - up),
        at(thing.right() + across, middle.y),
        at(thing.x - across, middle.y),
    ]
}

/// Groups pieces that lie in a row or column close to one another.
fn clusters(pieces: &[Rect]) -> Vec<Vec<Rect>> {
    const NEAR: f64 = 16.0;
    let mut clusters: Vec<Vec<Rect>> = Vec::new();
    for piece in pieces {
        let near = |other: &Rect| other.grown(NEAR).shared_area(piece) > 0.0;
        let (joined, rest): (Vec<_>, Vec<_>) = clusters
            .into_iter()
            .partition(|cluster| cluster.iter().any(near));
        clusters = rest;
        let mut cluster: Vec<Rect> = joined.into_iter().flatten().collect();
        cluster.push(*piece);
        clusters.push(cluster);
    }
    clusters
}

/// Returns the rectangle round several.
fn bounds(rects: &[Rect]) -> Rect {
    let least = |edge: fn(&Rect) -> f64| rects.iter().map(edge).fold(f64::INFINITY, f64::min);
    let greatest =
        |edge: fn(&Rect) -> f64| rects.iter().map(edge).fold(f64::NEG_INFINITY, f64::max);
    let (x, y) = (least(|rect| rect.x), least(|rect| rect.y));
    Rect {
        x,
        y,
        width: greatest(Rect::right) - x,
        height: greatest(Rect::top) - y,
    }
}
