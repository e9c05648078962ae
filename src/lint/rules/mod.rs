//! The rules, one file each, named after what is wrong.

mod body_held_by_nothing;
mod cable_without_body;
mod faces_cannot_meet;
mod height_unknown;
mod idle_accept;
mod integrated_body_screwed;
mod io_bracket_without_screws;
mod job_for_another_board;
mod measured_zone_missing;
mod mirrored_coordinates;
mod outside_outline;
mod overlapping_pads;
mod overlapping_parts;
mod package_with_two_heights;
mod pad_over_keepout;
mod pad_over_screw;
mod pad_overhangs_part;
mod pad_too_small;
mod part_barely_covered;
mod part_without_zone;
mod scaled_coordinates;
mod unknown_key;
mod unknown_revision;
mod zone_off_its_part;

use super::Rule;

/// Every rule, by name.
pub static ALL: &[&Rule] = &[
    &body_held_by_nothing::RULE,
    &cable_without_body::RULE,
    &faces_cannot_meet::RULE,
    &height_unknown::RULE,
    &idle_accept::RULE,
    &integrated_body_screwed::RULE,
    &io_bracket_without_screws::RULE,
    &job_for_another_board::RULE,
    &measured_zone_missing::RULE,
    &mirrored_coordinates::RULE,
    &outside_outline::RULE,
    &overlapping_pads::RULE,
    &overlapping_parts::RULE,
    &package_with_two_heights::RULE,
    &pad_over_keepout::RULE,
    &pad_over_screw::RULE,
    &pad_overhangs_part::RULE,
    &pad_too_small::RULE,
    &part_barely_covered::RULE,
    &part_without_zone::RULE,
    &scaled_coordinates::RULE,
    &unknown_key::RULE,
    &unknown_revision::RULE,
    &zone_off_its_part::RULE,
];
