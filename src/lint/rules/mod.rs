//! The rules, one file each, named after what is wrong.

mod dangling_reference;
mod duplicate_id;
mod hidden_characters;
mod id_not_folder;
mod idle_accept;
mod linked_file;
mod malformed_value;
mod missing_key;
mod names_differ_in_case;
mod near_twin_boards;
mod not_finite;
mod not_toml;
mod out_of_range;
mod outside_outline;
mod record_too_large;
mod shared_marking;
mod stray_file;
mod unknown_key;
mod unknown_schema_version;
mod unknown_word;
mod unreadable_file;
mod unsafe_markdown;
mod unusable_photo;
mod wrong_type;
mod wrong_unit;

use super::Rule;

/// Every rule, by name.
pub static ALL: &[&Rule] = &[
    &dangling_reference::RULE,
    &duplicate_id::RULE,
    &hidden_characters::RULE,
    &id_not_folder::RULE,
    &idle_accept::RULE,
    &linked_file::RULE,
    &malformed_value::RULE,
    &missing_key::RULE,
    &names_differ_in_case::RULE,
    &near_twin_boards::RULE,
    &not_finite::RULE,
    &not_toml::RULE,
    &out_of_range::RULE,
    &outside_outline::RULE,
    &record_too_large::RULE,
    &shared_marking::RULE,
    &stray_file::RULE,
    &unknown_key::RULE,
    &unknown_schema_version::RULE,
    &unknown_word::RULE,
    &unreadable_file::RULE,
    &unsafe_markdown::RULE,
    &unusable_photo::RULE,
    &wrong_type::RULE,
    &wrong_unit::RULE,
];
