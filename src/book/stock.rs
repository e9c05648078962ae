use crate::record::{Offcut, Package, Pad, Paste};

/// What can be fitted, and the usual heights of packages.
#[derive(Debug, Default)]
pub struct Stock {
    /// Pad materials.
    pub pads: Vec<Pad>,
    /// What is left of earlier sheets.
    pub offcuts: Vec<Offcut>,
    /// Pastes.
    pub pastes: Vec<Paste>,
    /// Packages.
    pub packages: Vec<Package>,
}

impl Stock {
    /// Returns the pad material with this id.
    pub fn pad(&self, id: &str) -> Option<&Pad> {
        self.pads.iter().find(|pad| pad.id == id)
    }

    /// Returns the paste with this id.
    pub fn paste(&self, id: &str) -> Option<&Paste> {
        self.pastes.iter().find(|paste| paste.id == id)
    }

    /// Returns the package with this id.
    pub fn package(&self, id: &str) -> Option<&Package> {
        self.packages.iter().find(|package| package.id == id)
    }
}
