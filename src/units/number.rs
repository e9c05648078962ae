//! Numbers as they are written for people and into drawings.

/// Returns a number with at most two decimals and no needless zeros: a hundredth of a millimetre is
/// finer than any printer, and of a watt finer than any board's report.
pub fn number(value: f64) -> String {
    let mut written = String::new();
    push_number(value, &mut written);
    written
}

/// Writes a number as whole hundredths, since exact decimals of floats are slow.
pub(crate) fn push_number(value: f64, out: &mut String) {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a cast saturates; what is measured is small"
    )]
    let hundredths = (value * 100.0).round() as i64;
    let (whole, rest) = (
        hundredths.unsigned_abs() / 100,
        hundredths.unsigned_abs() % 100,
    );
    if hundredths < 0 {
        out.push('-');
    }
    let mut digits = itoa::Buffer::new();
    out.push_str(digits.format(whole));
    if rest > 0 {
        out.push_str(if rest < 10 { ".0" } else { "." });
        out.push_str(digits.format(if rest % 10 == 0 { rest / 10 } else { rest }));
    }
}

#[cfg(test)]
mod tests {
    use super::number;

    #[test]
    fn numbers_are_short() {
        let cases = [
            (1.0, "1"),
            (2.50, "2.5"),
            (-0.001, "0"),
            (10.0, "10"),
            (3.456, "3.46"),
            (0.1 + 0.2, "0.3"),
        ];
        for (value, written) in cases {
            assert_eq!(number(value), written, "{value}");
        }
    }
}
