//! The rules, one file each, named after what is wrong.

mod idle_accept;
mod outside_outline;
mod shared_marking;
mod unknown_key;

use super::Rule;

/// Every rule, by name.
pub static ALL: &[&Rule] = &[
    &idle_accept::RULE,
    &outside_outline::RULE,
    &shared_marking::RULE,
    &unknown_key::RULE,
];
