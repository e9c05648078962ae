//! The rules, one file each, named after what is wrong.

mod idle_accept;
mod outside_outline;
mod unknown_key;

use super::Rule;

/// Every rule, by name.
pub static ALL: &[&Rule] = &[
    &idle_accept::RULE,
    &outside_outline::RULE,
    &unknown_key::RULE,
];
