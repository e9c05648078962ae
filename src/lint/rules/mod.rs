//! The rules, one file each, named after what is wrong.

mod after_not_comparable;
mod body_held_by_nothing;
mod body_too_heavy;
mod cable_never_reached;
mod cable_without_body;
mod dangling_reference;
mod date_in_future;
mod die_held_off;
mod die_not_reached;
mod die_overloaded;
mod die_uneven;
mod duplicate_id;
mod faces_cannot_meet;
mod falling_body;
mod fixed_rule_lowered;
mod gap_unknown;
mod heat_beyond_board;
mod height_unknown;
mod hidden_characters;
mod id_not_folder;
mod idle_accept;
mod imprint_over_edge;
mod instrument_too_coarse;
mod integrated_body_screwed;
mod io_bracket_without_screws;
mod job_for_another_board;
mod jobs_in_dissent;
mod likely_fahrenheit;
mod limit_below_healthy;
mod limits_unsourced;
mod linked_file;
mod load_unbalanced;
mod look_alike_screws;
mod malformed_value;
mod measured_zone_missing;
mod mirrored_coordinates;
mod misplaced_decimal;
mod missing_key;
mod names_differ_in_case;
mod near_twin_boards;
mod no_stock_fits;
mod not_finite;
mod not_toml;
mod order_impossible;
mod out_of_range;
mod outlying_job;
mod outside_outline;
mod overlapping_pads;
mod overlapping_parts;
mod package_with_two_heights;
mod pad_crushed;
mod pad_floats;
mod pad_hard;
mod pad_larger_than_sheet;
mod pad_not_as_measured;
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
mod scatter_beyond_instrument;
mod screw_never_reached;
mod screw_too_long;
mod shared_marking;
mod stack_impossible;
mod stray_file;
mod success_disproved;
mod suspected_copy;
mod temperature_impossible;
mod thread_barely_engaged;
mod too_few_readings;
mod torque_too_high;
mod unexplained_pad;
mod unfitting_bit;
mod unknown_key;
mod unknown_revision;
mod unknown_schema_version;
mod unknown_word;
mod unmeasured_zone;
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
    &body_too_heavy::RULE,
    &cable_never_reached::RULE,
    &cable_without_body::RULE,
    &dangling_reference::RULE,
    &date_in_future::RULE,
    &die_held_off::RULE,
    &die_not_reached::RULE,
    &die_overloaded::RULE,
    &die_uneven::RULE,
    &duplicate_id::RULE,
    &faces_cannot_meet::RULE,
    &falling_body::RULE,
    &fixed_rule_lowered::RULE,
    &gap_unknown::RULE,
    &heat_beyond_board::RULE,
    &height_unknown::RULE,
    &hidden_characters::RULE,
    &id_not_folder::RULE,
    &idle_accept::RULE,
    &imprint_over_edge::RULE,
    &instrument_too_coarse::RULE,
    &integrated_body_screwed::RULE,
    &io_bracket_without_screws::RULE,
    &job_for_another_board::RULE,
    &jobs_in_dissent::RULE,
    &likely_fahrenheit::RULE,
    &limit_below_healthy::RULE,
    &limits_unsourced::RULE,
    &linked_file::RULE,
    &load_unbalanced::RULE,
    &look_alike_screws::RULE,
    &malformed_value::RULE,
    &measured_zone_missing::RULE,
    &mirrored_coordinates::RULE,
    &misplaced_decimal::RULE,
    &missing_key::RULE,
    &names_differ_in_case::RULE,
    &near_twin_boards::RULE,
    &no_stock_fits::RULE,
    &not_finite::RULE,
    &not_toml::RULE,
    &order_impossible::RULE,
    &out_of_range::RULE,
    &outlying_job::RULE,
    &outside_outline::RULE,
    &overlapping_pads::RULE,
    &overlapping_parts::RULE,
    &package_with_two_heights::RULE,
    &pad_crushed::RULE,
    &pad_floats::RULE,
    &pad_hard::RULE,
    &pad_larger_than_sheet::RULE,
    &pad_not_as_measured::RULE,
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
    &scatter_beyond_instrument::RULE,
    &screw_never_reached::RULE,
    &screw_too_long::RULE,
    &shared_marking::RULE,
    &stack_impossible::RULE,
    &stray_file::RULE,
    &success_disproved::RULE,
    &suspected_copy::RULE,
    &temperature_impossible::RULE,
    &thread_barely_engaged::RULE,
    &too_few_readings::RULE,
    &torque_too_high::RULE,
    &unexplained_pad::RULE,
    &unfitting_bit::RULE,
    &unknown_key::RULE,
    &unknown_revision::RULE,
    &unknown_schema_version::RULE,
    &unknown_word::RULE,
    &unmeasured_zone::RULE,
    &unnamed_cover::RULE,
    &unreadable_file::RULE,
    &unsafe_markdown::RULE,
    &unusable_photo::RULE,
    &wrong_type::RULE,
    &wrong_unit::RULE,
    &zone_of_two_stocks::RULE,
    &zone_off_its_part::RULE,
];
