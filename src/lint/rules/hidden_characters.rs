use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::FaultKind;

declare_rule! {
    /// Looks for characters that do not show or that turn the direction of the text around them, in
    /// values, keys and comments alike.
    ///
    /// ## Why
    ///
    /// With them a record can show a reviewer one thing and say another. Most come unnoticed with text
    /// copied from a page; then two ids look alike and are not.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// why = "capac\u200Bitors"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// why = "capacitors"
    /// ```
    ///
    /// ## What to do
    ///
    /// Delete the character. If you cannot find it, type the words again.
    "hidden-characters", Reading, Error,
    "a character that does not show",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        if let FaultKind::Hidden(character) = fault.kind {
            let message = format!(
                "here stands U+{:04X}, {}",
                u32::from(character),
                described(character)
            );
            report
                .find(file.at(&fault.spot), message)
                .help("delete it; if you cannot find it, type the words again");
        }
    }
}

/// Returns what a hidden character does, in words.
fn described(character: char) -> &'static str {
    match character {
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            "which turns the direction of the text around it"
        }
        '\u{ad}' => "a hyphen that shows only at the end of a line",
        '\u{2028}' | '\u{2029}' => "a line break that does not show as one",
        '\u{180e}' | '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}' => "which has no width",
        character if character.is_control() => "a control character",
        _ => "which does not show",
    }
}
