//! The rules, one file each, named after what is wrong.

mod body_held_by_nothing;
mod cable_without_body;
mod height_unknown;
mod idle_accept;
mod io_bracket_without_screws;
mod outside_outline;
mod part_barely_covered;
mod part_without_zone;
mod unknown_key;

use super::Rule;

/// Every rule, by name.
pub static ALL: &[&Rule] = &[
    &body_held_by_nothing::RULE,
    &cable_without_body::RULE,
    &height_unknown::RULE,
    &idle_accept::RULE,
    &io_bracket_without_screws::RULE,
    &outside_outline::RULE,
    &part_barely_covered::RULE,
    &part_without_zone::RULE,
    &unknown_key::RULE,
];
