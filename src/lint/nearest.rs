/// Longest word that is compared, characters: no id, key or rule has a longer name that is mistyped.
const LONGEST: usize = 60;

/// Most names that a word is compared with: a list this long is no list of things known by heart.
const MOST_NAMES: usize = 100;

/// Returns the known name nearest to a word, where one is near enough to be meant.
///
/// Distance is Damerau–Levenshtein's (restricted); near is a third of the word's length, at least 1.
/// The work is bounded, whatever a record says: names that are too long to be near are passed over,
/// and of the rest the first [`MOST_NAMES`] are compared.
pub(super) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A character has at most four bytes: a far longer text is not worth counting.
    if word.len() > 4 * LONGEST {
        return None;
    }
    let word = word.to_lowercase();
    let length = word.chars().count();
    let most = (length / 3).max(1);
    if length > LONGEST {
        return None;
    }
    let is_as_long = |name: &&str| {
        name.len() <= 4 * (length + most) && name.chars().count().abs_diff(length) <= most
    };
    let known = known.into_iter().filter(is_as_long).take(MOST_NAMES);
    known
        .map(|name| (strsim::osa_distance(&word, &name.to_lowercase()), name))
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

    #[test]
    fn names_that_are_far_longer_or_too_many_are_not_compared() {
        let long = "x".repeat(1 << 20);
        assert_eq!(nearest(&long, [long.as_str()]), None, "a long word");
        assert_eq!(
            nearest("xx", [long.as_str(), "xy"]),
            Some("xy"),
            "a long name"
        );
        let many = (0..1000).map(|_| "pad-kk").chain(["pad-mm"]);
        assert_eq!(
            nearest("pad-mm", many),
            Some("pad-kk"),
            "the first names only"
        );
    }
}
