//! The rules, one file each, named after what is wrong.

mod hidden_characters;
mod idle_accept;
mod linked_file;
mod not_toml;
mod outside_outline;
mod record_too_large;
mod shared_marking;
mod unknown_key;
mod unknown_schema_version;
mod unreadable_file;
mod unusable_photo;

use super::Rule;

/// Every rule, by name.
pub static ALL: &[&Rule] = &[
    &hidden_characters::RULE,
    &idle_accept::RULE,
    &linked_file::RULE,
    &not_toml::RULE,
    &outside_outline::RULE,
    &record_too_large::RULE,
    &shared_marking::RULE,
    &unknown_key::RULE,
    &unknown_schema_version::RULE,
    &unreadable_file::RULE,
    &unusable_photo::RULE,
];
