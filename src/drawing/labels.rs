//! Lettering on a map: names and thicknesses, each where there is room for it.

use super::map::Map;
use super::map::thickness;
use super::marks::{LETTER, line, text, text_box};
use super::svg::Element;
use crate::record::PartKind;
use crate::units::{Point, Rect};

impl Map<'_> {
    /// Writes the dies' names and, where pads are drawn, their thicknesses.
    pub(super) fn labels(&mut self) -> Element {
        let mut group = Element::new("g");
        for part in &self.board.record.part {
            if part.kind == PartKind::Die && part.side == self.view.side {
                let name = if self.layers.pads {
                    "die · paste"
                } else {
                    "die"
                };
                let at = self.view.rect(&part.at[0]).centre();
                self.room.take(text_box(at, name));
                group.push(text("name", at, name));
            }
        }
        if self.layers.pads {
            self.thicknesses(&mut group);
        }
        group
    }

    /// Writes each zone's thickness on its pieces, or once beside a cluster of small ones.
    fn thicknesses(&mut self, group: &mut Element) {
        let clusters: Vec<(String, Vec<Rect>)> = self
            .zones()
            .flat_map(|(written, zone)| {
                let label = written.pad_mm.map_or_else(|| "?".to_owned(), thickness);
                let pieces: Vec<Rect> = zone
                    .pieces
                    .iter()
                    .map(|piece| self.view.rect(piece))
                    .collect();
                clusters(&pieces)
                    .into_iter()
                    .map(move |cluster| (label.clone(), cluster))
            })
            .collect();
        for (label, cluster) in clusters {
            let is_roomy = cluster.iter().all(|piece| {
                let needed = text_box(piece.centre(), &label);
                piece.width >= needed.width && piece.height >= needed.height
            });
            if !is_roomy {
                self.label_beside(group, "thickness", &bounds(&cluster), &label);
                continue;
            }
            for piece in &cluster {
                self.room.take(text_box(piece.centre(), &label));
                group.push(text("thickness", piece.centre(), &label));
            }
        }
    }

    /// Writes a label above or below something, or at the best free place near it with a leader.
    pub(super) fn label_beside(
        &mut self,
        group: &mut Element,
        class: &'static str,
        thing: &Rect,
        label: &str,
    ) {
        let middle = thing.centre();
        let above = Point {
            x: middle.x,
            y: thing.y - LETTER * 0.8,
        };
        let below = Point {
            x: middle.x,
            y: thing.top() + LETTER * 0.8,
        };
        let is_free = |at: &Point| self.room.is_free(&text_box(*at, label));
        let at = [below, above].into_iter().find(is_free).unwrap_or_else(|| {
            let needed = text_box(middle, label);
            let at = self.room.near(middle, needed.width, needed.height);
            group.push(line("leader", middle, at));
            at
        });
        self.room.take(text_box(at, label));
        group.push(text(class, at, label));
    }
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
    let x = rects
        .iter()
        .map(|rect| rect.x)
        .fold(f64::INFINITY, f64::min);
    let y = rects
        .iter()
        .map(|rect| rect.y)
        .fold(f64::INFINITY, f64::min);
    let right = rects
        .iter()
        .map(Rect::right)
        .fold(f64::NEG_INFINITY, f64::max);
    let top = rects
        .iter()
        .map(Rect::top)
        .fold(f64::NEG_INFINITY, f64::max);
    Rect {
        x,
        y,
        width: right - x,
        height: top - y,
    }
}
