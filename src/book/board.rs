use super::Stock;
use crate::record::{self, Side};
use crate::source::{FileId, KeyPath, Place, Spot};
use crate::units::Rect;

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
        self.record
            .body
            .iter()
            .enumerate()
            .find(|(_, body)| body.id == id)
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
