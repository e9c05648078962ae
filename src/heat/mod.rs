//! How much warmer a part is than what cools it: temperature drops across pads, paste and contacts.

pub mod conduction;
