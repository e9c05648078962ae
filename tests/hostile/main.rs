//! Records by somebody who means harm: nothing in one may run, escape its folder, or exhaust the
//! machine, and whoever reads the book is told what was refused.

mod common;
mod conformance;
mod disk;
mod fuzz;
mod names;
mod numbers;
mod page;
mod payloads;
mod photos;
mod places;
mod sizes;
mod sound;
