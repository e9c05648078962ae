//! The rules, one file each, named after what is wrong.

mod body_held_by_nothing;
mod cable_without_body;
mod height_unknown;
mod idle_accept;
mod io_bracket_without_screws;
mod mirrored_coordinates;
mod outside_outline;
mod overlapping_pads;
mod overlapping_parts;
mod pad_over_keepout;
mod pad_over_screw;
mod pad_overhangs_part;
mod pad_too_small;
mod part_barely_covered;
mod part_without_zone;
mod scaled_coordinates;
mod unknown_key;
mod zone_off_its_part;

use super::Rule;

/// Every rule, by name.
pub static ALL: &[&Rule] = &[
    &body_held_by_nothing::RULE,
    &cable_without_body::RULE,
    &height_unknown::RULE,
    &idle_accept::RULE,
    &io_bracket_without_screws::RULE,
    &mirrored_coordinates::RULE,
    &outside_outline::RULE,
    &overlapping_pads::RULE,
    &overlapping_parts::RULE,
    &pad_over_keepout::RULE,
    &pad_over_screw::RULE,
    &pad_overhangs_part::RULE,
    &pad_too_small::RULE,
    &part_barely_covered::RULE,
    &part_without_zone::RULE,
    &scaled_coordinates::RULE,
    &unknown_key::RULE,
    &zone_off_its_part::RULE,
];
