//! How long work tells that it goes on.

/// Listens to the progress of long work.
pub trait Progress: Sync {
    /// A stretch of work begins, of so many steps.
    fn begin(&self, what: &'static str, steps: usize);

    /// One step is done.
    fn step(&self);
}

/// Listens to nothing.
#[derive(Clone, Copy, Debug)]
pub struct Silent;

impl Progress for Silent {
    fn begin(&self, _: &'static str, _: usize) {}

    fn step(&self) {}
}
