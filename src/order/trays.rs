/// Letters to name trays with.
const LETTERS: usize = 26;

/// Returns the name of the tray at a position: A to Z, then AA, AB and so on.
pub fn tray_letter(index: usize) -> String {
    let mut letters = Vec::new();
    let mut left = index;
    loop {
        let letter = u8::try_from(left % LETTERS).expect("invariant: below 26");
        letters.push(char::from(b'A' + letter));
        if left < LETTERS {
            break;
        }
        // There is no letter for nought: AA follows Z.
        left = left / LETTERS - 1;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::tray_letter;

    #[test]
    fn letters_run_on_after_z() {
        let named = [0, 1, 25, 26, 27, 51, 52, 701, 702].map(tray_letter);
        let expected = ["A", "B", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA"];
        assert_eq!(named, expected, "as the columns of a spreadsheet");
    }
}
