/// Returns " (and at 3 more places)" where a fault is found at four, or nothing where it is at one.
pub(super) fn and_more(count: usize) -> String {
    match count.saturating_sub(1) {
        0 => String::new(),
        1 => " (and at 1 more place)".into(),
        more => format!(" (and at {more} more places)"),
    }
}

#[cfg(test)]
mod tests {
    use super::and_more;

    #[test]
    fn only_the_others_are_counted() {
        assert_eq!(and_more(1), "", "no other");
        assert_eq!(and_more(2), " (and at 1 more place)", "one other");
        assert_eq!(and_more(9), " (and at 8 more places)", "several");
    }
}
