/// Returns the known name nearest to a word, where one is near enough to be meant.
///
/// Distance is Damerau–Levenshtein's (restricted); near is a third of the word's length, at least 1.
pub(super) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let most = (word.chars().count() / 3).max(1);
    known
        .into_iter()
        .map(|name| {
            (
                strsim::osa_distance(&word.to_lowercase(), &name.to_lowercase()),
                name,
            )
        })
        .filter(|&(distance, _)| distance <= most)
        .min()
        .map(|(_, name)| name)
}

/// Returns "; did you mean `x`?" for the nearest known name, or nothing.
pub(super) fn did_you_mean<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(word, known).map_or_else(String::new, |name| format!("; did you mean `{name}`?"))
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn only_near_names_are_offered() {
        let known = ["pad_mm", "recess_mm", "removal"];
        assert_eq!(
            nearest("recces_mm", known),
            Some("recess_mm"),
            "two letters swapped"
        );
        assert_eq!(nearest("torque", known), None, "nothing like it");
    }
}
