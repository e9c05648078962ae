use super::Stock;
use crate::record::{self, Side};
use crate::source::{FileId, KeyPath, Place, Spot, keys};
use crate::units::{Flip, Rect};

/// Most things and places that a board's record may give: several times the largest believable
/// board's, and few enough that a rule may compare each with each.
pub(super) const MOST_PLACES: usize = 2000;

/// One board with its jobs, its ids resolved.
#[derive(Debug)]
pub struct Board {
    /// Its record's file.
    pub file: FileId,
    /// Its folder below the root: `osk/tern-240`.
    pub folder: String,
    /// The record as written.
    pub record: record::Board,
    /// Its zones resolved, one for each of the record's.
    pub zones: Vec<Zone>,
    /// Its parts' heights, one for each of the record's; `None` is not known.
    pub heights: Vec<Option<Height>>,
    /// Its jobs, oldest first.
    pub jobs: Vec<Job>,
    /// The files in its photos folder.
    pub photos: Vec<FileId>,
}

/// A job record and its file.
#[derive(Debug)]
pub struct Job {
    /// The record's file.
    pub file: FileId,
    /// The record as written.
    pub record: record::Job,
}

/// Something of a record that has an id, by its position in its list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thing {
    /// A body.
    Body(usize),
    /// A part.
    Part(usize),
    /// A zone.
    Zone(usize),
    /// A group of fasteners.
    Fasteners(usize),
    /// A connector.
    Connector(usize),
}

/// A surface a pad touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The bare board.
    Pcb,
    /// A part, by position.
    Part(usize),
    /// A body, by position.
    Body(usize),
}

/// A zone with its faces and pieces resolved.
#[derive(Debug)]
pub struct Zone {
    /// The two faces, the nearer to the board first; `None` where the name is nobody's.
    pub faces: [Option<Face>; 2],
    /// The side of the board it is on, where a face tells.
    pub side: Option<Side>,
    /// Its pieces: its own, or its near part's places.
    pub pieces: Vec<Rect>,
}

/// How high a part stands above the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Height {
    /// The height, mm.
    pub value_mm: f64,
    /// Its tolerance, plus or minus, mm, where stated.
    pub tolerance_mm: Option<f64>,
    /// Where it is from.
    pub origin: HeightOrigin,
}

/// Where a height is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeightOrigin {
    /// The board's record.
    Record,
    /// The book's list of packages.
    Package,
}

impl Board {
    /// Resolves a record's ids against itself and the stock.
    pub(super) fn resolve(
        file: FileId,
        folder: String,
        record: record::Board,
        stock: &Stock,
    ) -> Self {
        let zones = record
            .zone
            .iter()
            .map(|zone| Zone::resolve(&record, zone))
            .collect();
        let heights = record.part.iter().map(|part| height(part, stock)).collect();
        Self {
            file,
            folder,
            record,
            zones,
            heights,
            jobs: Vec::new(),
            photos: Vec::new(),
        }
    }

    /// Returns the board's id.
    pub fn id(&self) -> &str {
        &self.record.board.id
    }

    /// Returns a place in the board's record.
    pub fn at(&self, path: KeyPath) -> Place {
        Place {
            file: self.file,
            spot: Spot::Value(path),
        }
    }

    /// Tells whether a job says that it opened this board, by its id or by the id its folder asks for.
    pub fn is_board_of(&self, job: &Job) -> bool {
        job.record.board == self.id() || job.record.board == self.folder.replace('/', "-")
    }

    /// Returns its jobs that say so themselves: others lie in the wrong folder.
    pub fn own_jobs(&self) -> impl Iterator<Item = &Job> {
        self.jobs.iter().filter(|job| self.is_board_of(job))
    }

    /// Returns each zone as written and as resolved.
    pub fn zones(&self) -> impl Iterator<Item = (usize, &record::Zone, &Zone)> {
        let both = self.record.zone.iter().zip(&self.zones).enumerate();
        both.map(|(index, (written, zone))| (index, written, zone))
    }

    /// Returns every id of the record with what it names, in the record's order.
    pub fn things(&self) -> impl Iterator<Item = (Thing, &str)> {
        let record = &self.record;
        let bodies = record
            .body
            .iter()
            .enumerate()
            .map(|(i, one)| (Thing::Body(i), &*one.id));
        let parts = record
            .part
            .iter()
            .enumerate()
            .map(|(i, one)| (Thing::Part(i), &*one.id));
        let zones = record
            .zone
            .iter()
            .enumerate()
            .map(|(i, one)| (Thing::Zone(i), &*one.id));
        let screws = record.fasteners.iter().enumerate();
        let screws = screws.map(|(i, one)| (Thing::Fasteners(i), &*one.id));
        let plugs = record.connector.iter().enumerate();
        let plugs = plugs.map(|(i, one)| (Thing::Connector(i), &*one.id));
        bodies.chain(parts).chain(zones).chain(screws).chain(plugs)
    }

    /// Returns the body with this id, and its position.
    pub fn body(&self, id: &str) -> Option<(usize, &record::Body)> {
        let mut bodies = self.record.body.iter().enumerate();
        bodies.find(|(_, body)| body.id == id)
    }

    /// Returns the zone with this id, and its position.
    pub fn zone(&self, id: &str) -> Option<(usize, &record::Zone)> {
        let mut zones = self.record.zone.iter().enumerate();
        zones.find(|(_, zone)| zone.id == id)
    }

    /// Returns the body that this one is one piece with, at last: it comes off with that one.
    ///
    /// Bodies that are parts of each other in a ring are one piece, named after the first of them.
    pub fn whole(&self, body: usize) -> usize {
        let parent = |body: usize| {
            let named = self.record.body[body].part_of.as_deref()?;
            self.body(named).map(|(index, _)| index)
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

    /// Returns a body and those that are one piece with it, itself first.
    pub fn pieces(&self, whole: usize) -> Vec<usize> {
        let others = (0..self.record.body.len()).filter(|&body| body != whole);
        let own = others.filter(|&body| self.whole(body) == whole);
        std::iter::once(whole).chain(own).collect()
    }

    /// Returns the groups of fasteners that hold this body, by position.
    pub fn fasteners_of(&self, body: &str) -> impl Iterator<Item = (usize, &record::Fasteners)> {
        let groups = self.record.fasteners.iter().enumerate();
        groups.filter(move |(_, group)| group.holds.iter().any(|held| held == body))
    }

    /// Returns the places of the part that a zone touches; none where it touches no part.
    pub fn places_of(&self, zone: &Zone) -> &[Rect] {
        zone.part()
            .map_or(&[], |part| self.record.part[part].at.as_slice())
    }

    /// Tells whether a zone names a part: then a pad lies on it.
    pub fn is_padded(&self, part: usize) -> bool {
        self.zones.iter().any(|zone| zone.part() == Some(part))
    }

    /// Tells how a zone's pieces are mirrored: all of them miss its part, and all hit it when turned.
    pub fn mirroring(&self, zone: &Zone) -> Option<Flip> {
        let places = self.places_of(zone);
        let outline = self.outline()?;
        let hits = |piece: &Rect| {
            places
                .iter()
                .any(|place| place.overlap_with(piece).is_some())
        };
        if zone.pieces.is_empty() || zone.pieces.iter().any(hits) {
            return None;
        }
        Flip::ALL.into_iter().find(|flip| {
            let mut turned = zone.pieces.iter().map(|piece| flip.rect(piece, &outline));
            turned.all(|piece| hits(&piece))
        })
    }

    /// Returns where a zone's piece is written: in the zone, or as a place of its part.
    pub fn piece_path(&self, zone: usize, piece: usize) -> KeyPath {
        match self.zones[zone].part() {
            Some(part) if self.record.zone[zone].at.is_empty() => {
                keys!["part", part, "at", piece]
            }
            _ => keys!["zone", zone, "at", piece],
        }
    }

    /// Returns the revisions that have a zone: its own `only`, or else that of one of its faces.
    pub fn revisions_of_zone(&self, zone: usize) -> &[String] {
        let of_face = |face: &Option<Face>| match *face {
            Some(Face::Part(part)) => &*self.record.part[part].only,
            Some(Face::Body(body)) => &*self.record.body[body].only,
            Some(Face::Pcb) | None => &[],
        };
        let own = &*self.record.zone[zone].only;
        let faces = self.zones[zone].faces.iter().map(of_face);
        let mut stated = std::iter::once(own)
            .chain(faces)
            .filter(|only| !only.is_empty());
        stated.next().unwrap_or(&[])
    }

    /// Tells whether something that bears on the stack-up is on some revisions only.
    pub fn varies(&self) -> bool {
        let record = &self.record;
        record.body.iter().any(|one| !one.only.is_empty())
            || record.part.iter().any(|one| !one.only.is_empty())
            || record.zone.iter().any(|one| !one.only.is_empty())
            || record.fasteners.iter().any(|one| !one.only.is_empty())
    }

    /// Returns the revisions that have a group of fasteners: its own `only`, or else that of a body it
    /// holds.
    pub fn revisions_of_fasteners(&self, group: usize) -> &[String] {
        let group = &self.record.fasteners[group];
        let held = group.holds.iter().filter_map(|id| self.body(id));
        let held = held.map(|(_, body)| &*body.only);
        let mut stated = std::iter::once(&*group.only)
            .chain(held)
            .filter(|only| !only.is_empty());
        stated.next().unwrap_or(&[])
    }

    /// Returns a thing's name in words: its own, or its id with spaces.
    pub fn name(&self, id: &str) -> String {
        let thing = self
            .things()
            .find(|&(_, other)| other == id)
            .map(|(thing, _)| thing);
        let named = match thing {
            Some(Thing::Body(index)) => self.record.body[index].name.clone(),
            Some(Thing::Part(index)) => self.record.part[index].name.clone(),
            Some(Thing::Zone(index)) => self.record.zone[index].name.clone(),
            Some(Thing::Fasteners(index)) => self.record.fasteners[index].name.clone(),
            Some(Thing::Connector(index)) => self.record.connector[index].name.clone(),
            None => None,
        };
        named.unwrap_or_else(|| id.replace('-', " "))
    }

    /// Returns a zone's name in words: its own, or its part's that has the same id, or its id with
    /// spaces.
    pub fn zone_name(&self, zone: usize) -> String {
        let written = &self.record.zone[zone];
        let of_part = || {
            let part = &self.record.part[self.zones[zone].part()?];
            (part.id == written.id).then(|| self.name(&part.id))
        };
        let named = written.name.clone().or_else(of_part);
        named.unwrap_or_else(|| written.id.replace('-', " "))
    }

    /// Returns the id of the list item that a key path leads into, or "board".
    pub fn id_at(&self, path: &KeyPath) -> Option<&str> {
        let Some((table, index)) = path.item() else {
            return Some("board");
        };
        match table {
            "body" => self.record.body.get(index).map(|one| &*one.id),
            "part" => self.record.part.get(index).map(|one| &*one.id),
            "zone" => self.record.zone.get(index).map(|one| &*one.id),
            "fasteners" => self.record.fasteners.get(index).map(|one| &*one.id),
            "connector" => self.record.connector.get(index).map(|one| &*one.id),
            _ => Some("board"),
        }
    }

    /// Returns the outline as a rectangle, where it is known.
    pub fn outline(&self) -> Option<Rect> {
        self.record.board.outline_mm.map(Rect::of_size)
    }
}

impl Job {
    /// Returns a place in the job's record.
    pub fn at(&self, path: KeyPath) -> Place {
        Place {
            file: self.file,
            spot: Spot::Value(path),
        }
    }

    /// Returns the id of the zone that a key path's reading or fitting is of, or "board".
    pub fn id_at(&self, path: &KeyPath) -> &str {
        let zone = match path.item() {
            Some(("reading", index)) => self.record.reading.get(index).map(|one| &*one.zone),
            Some(("fitted", index)) => self.record.fitted.get(index).map(|one| &*one.zone),
            _ => None,
        };
        zone.unwrap_or("board")
    }
}

/// Tells whether what belongs to these revisions, such as a zone's `only`, is on a board of this one; with
/// none named, it is on some board.
pub fn is_on(only: &[String], revision: Option<&str>) -> bool {
    only.is_empty() || revision.is_none_or(|revision| only.iter().any(|one| one == revision))
}

/// Tells whether two lists of revisions, such as two zones' `only`, have one in common; an empty list
/// means every revision.
pub fn share_a_revision(left: &[String], right: &[String]) -> bool {
    left.is_empty() || right.is_empty() || left.iter().any(|one| right.contains(one))
}

/// Returns how many things and places a record gives, with those that its zones take from their parts.
pub(super) fn extent(record: &record::Board) -> usize {
    let written = [
        record.connector.len(),
        record.body.iter().map(|body| 1 + body.at.len()).sum(),
        record.part.iter().map(|part| 1 + part.at.len()).sum(),
        record.zone.iter().map(|zone| 1 + zone.at.len()).sum(),
        record
            .fasteners
            .iter()
            .map(|group| 1 + group.at.len())
            .sum(),
        record.keepout.iter().map(|area| 1 + area.at.len()).sum(),
    ];
    let written = written.iter().sum();
    if written > MOST_PLACES {
        return written;
    }
    let taken = |zone: &record::Zone| {
        let part = record
            .part
            .iter()
            .find(|part| zone.between.contains(&part.id));
        part.map_or(0, |part| part.at.len())
    };
    let silent = record.zone.iter().filter(|zone| zone.at.is_empty());
    written + silent.map(taken).sum::<usize>()
}

impl Zone {
    fn resolve(record: &record::Board, zone: &record::Zone) -> Self {
        let faces = zone.between.each_ref().map(|name| face(record, name));
        let side = faces.iter().flatten().find_map(|&face| match face {
            Face::Pcb => None,
            Face::Part(index) => Some(record.part[index].side),
            Face::Body(index) => Some(record.body[index].side),
        });
        let pieces = match (zone.at.is_empty(), faces) {
            (true, [Some(Face::Part(part)), _] | [_, Some(Face::Part(part))]) => {
                record.part[part].at.clone()
            }
            _ => zone.at.clone(),
        };
        Self {
            faces,
            side,
            pieces,
        }
    }

    /// Tells whether its pads lie on the bare board or on a part, not between two bodies over them.
    pub fn is_on_board(&self) -> bool {
        self.faces
            .iter()
            .any(|face| matches!(face, Some(Face::Pcb | Face::Part(_))))
    }

    /// Returns the body whose far face its pads lie on, where they lie between two bodies.
    pub fn carrier(&self) -> Option<usize> {
        match self.faces {
            [Some(Face::Body(near)), Some(Face::Body(_))] => Some(near),
            _ => None,
        }
    }

    /// Returns the part it touches, if it touches one.
    pub fn part(&self) -> Option<usize> {
        self.faces.iter().find_map(|face| match face {
            Some(Face::Part(part)) => Some(*part),
            _ => None,
        })
    }

    /// Returns the bodies it touches.
    pub fn bodies(&self) -> impl Iterator<Item = usize> {
        self.faces.into_iter().filter_map(|face| match face {
            Some(Face::Body(body)) => Some(body),
            _ => None,
        })
    }
}

fn face(record: &record::Board, name: &str) -> Option<Face> {
    if name == "pcb" {
        return Some(Face::Pcb);
    }
    let part = record
        .part
        .iter()
        .position(|part| part.id == name)
        .map(Face::Part);
    part.or_else(|| {
        record
            .body
            .iter()
            .position(|body| body.id == name)
            .map(Face::Body)
    })
}

/// Returns a part's height from its record, or from the book's packages.
fn height(part: &record::Part, stock: &Stock) -> Option<Height> {
    let written = part.height_mm.map(|value_mm| Height {
        value_mm,
        tolerance_mm: part.tolerance_mm,
        origin: HeightOrigin::Record,
    });
    written.or_else(|| {
        let package = stock.package(part.package.as_deref()?)?;
        Some(Height {
            value_mm: package.height_mm,
            tolerance_mm: Some(package.tolerance_mm),
            origin: HeightOrigin::Package,
        })
    })
}
