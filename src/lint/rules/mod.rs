//! The rules, one file each, named after what is wrong.

mod after_not_comparable;
mod body_held_by_nothing;
mod cable_never_reached;
mod cable_without_body;
mod dangling_reference;
mod die_held_off;
mod die_not_reached;
mod die_uneven;
mod duplicate_id;
mod faces_cannot_meet;
mod falling_body;
mod fixed_rule_lowered;
mod gap_unknown;
mod height_unknown;
mod hidden_characters;
mod id_not_folder;
mod idle_accept;
mod integrated_body_screwed;
mod io_bracket_without_screws;
mod job_for_another_board;
mod limit_below_healthy;
mod limits_unsourced;
mod linked_file;
mod load_unbalanced;
mod look_alike_screws;
mod malformed_value;
mod measured_zone_missing;
mod mirrored_coordinates;
mod missing_key;
mod names_differ_in_case;
mod near_twin_boards;
mod no_stock_fits;
mod not_finite;
mod not_toml;
mod order_impossible;
mod out_of_range;
mod outside_outline;
mod overlapping_pads;
mod overlapping_parts;
mod package_with_two_heights;
mod pad_crushed;
mod pad_floats;
mod pad_hard;
mod pad_larger_than_sheet;
mod pad_over_keepout;
mod pad_over_screw;
mod pad_overhangs_part;
mod pad_table_falls;
mod pad_too_small;
mod part_barely_covered;
mod part_without_zone;
mod recess_uneven;
mod record_too_large;
mod scaled_coordinates;
mod screw_never_reached;
mod screw_too_long;
mod shared_marking;
mod stack_impossible;
mod stray_file;
mod success_disproved;
mod temperature_impossible;
mod thread_barely_engaged;
mod torque_too_high;
mod unfitting_bit;
mod unknown_key;
mod unknown_revision;
mod unknown_schema_version;
mod unknown_word;
mod unnamed_cover;
mod unreadable_file;
mod unsafe_markdown;
mod unusable_photo;
mod wrong_type;
mod wrong_unit;
mod zone_of_two_stocks;
mod zone_off_its_part;

use super::Rule;

/// Every rule, by name.
pub static ALL: &[&Rule] = &[
    &after_not_comparable::RULE,
    &body_held_by_nothing::RULE,
    &cable_never_reached::RULE,
    &cable_without_body::RULE,
    &dangling_reference::RULE,
    &die_held_off::RULE,
    &die_not_reached::RULE,
    &die_uneven::RULE,
    &duplicate_id::RULE,
    &faces_cannot_meet::RULE,
    &falling_body::RULE,
    &fixed_rule_lowered::RULE,
    &gap_unknown::RULE,
    &height_unknown::RULE,
    &hidden_characters::RULE,
    &id_not_folder::RULE,
    &idle_accept::RULE,
    &integrated_body_screwed::RULE,
    &io_bracket_without_screws::RULE,
    &job_for_another_board::RULE,
    &limit_below_healthy::RULE,
    &limits_unsourced::RULE,
    &linked_file::RULE,
    &load_unbalanced::RULE,
    &look_alike_screws::RULE,
    &malformed_value::RULE,
    &measured_zone_missing::RULE,
    &mirrored_coordinates::RULE,
    &missing_key::RULE,
    &names_differ_in_case::RULE,
    &near_twin_boards::RULE,
    &no_stock_fits::RULE,
    &not_finite::RULE,
    &not_toml::RULE,
    &order_impossible::RULE,
    &out_of_range::RULE,
    &outside_outline::RULE,
    &overlapping_pads::RULE,
    &overlapping_parts::RULE,
    &package_with_two_heights::RULE,
    &pad_crushed::RULE,
    &pad_floats::RULE,
    &pad_hard::RULE,
    &pad_larger_than_sheet::RULE,
    &pad_over_keepout::RULE,
    &pad_over_screw::RULE,
    &pad_overhangs_part::RULE,
    &pad_table_falls::RULE,
    &pad_too_small::RULE,
    &part_barely_covered::RULE,
    &part_without_zone::RULE,
    &recess_uneven::RULE,
    &record_too_large::RULE,
    &scaled_coordinates::RULE,
    &screw_never_reached::RULE,
    &screw_too_long::RULE,
    &shared_marking::RULE,
    &stack_impossible::RULE,
    &stray_file::RULE,
    &success_disproved::RULE,
    &temperature_impossible::RULE,
    &thread_barely_engaged::RULE,
    &torque_too_high::RULE,
    &unfitting_bit::RULE,
    &unknown_key::RULE,
    &unknown_revision::RULE,
    &unknown_schema_version::RULE,
    &unknown_word::RULE,
    &unnamed_cover::RULE,
    &unreadable_file::RULE,
    &unsafe_markdown::RULE,
    &unusable_photo::RULE,
    &wrong_type::RULE,
    &wrong_unit::RULE,
    &zone_of_two_stocks::RULE,
    &zone_off_its_part::RULE,
];
