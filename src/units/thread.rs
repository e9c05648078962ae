/// Millimetres in an inch, exactly.
const INCH_MM: f64 = 25.4;

/// Returns the nominal diameter of a screw thread, mm: of "M2.5", "M3x0.35", "#4-40" or
/// "self-tapping 2.2".
///
/// # References
/// ISO 261 for M; ASME B1.1 for #: number 0 is 0.060 in, and each number adds 0.013 in (from memory).
pub fn nominal_mm(thread: &str) -> Option<f64> {
    if let Some(metric) = thread.strip_prefix('M') {
        metric.split('x').next()?.parse().ok()
    } else if let Some(unified) = thread.strip_prefix('#') {
        let number: f64 = unified.split('-').next()?.parse().ok()?;
        Some((0.060 + 0.013 * number) * INCH_MM)
    } else {
        thread.strip_prefix("self-tapping ")?.parse().ok()
    }
}

#[cfg(test)]
mod tests {
    use super::nominal_mm;

    #[test]
    fn every_form_has_a_diameter() {
        for (thread, expected) in [
            ("M2.5", 2.5),
            ("M3x0.35", 3.0),
            ("#4-40", 2.8448), // 0.112 in
            ("#0-80", 1.524),  // 0.060 in
            ("self-tapping 2.2", 2.2),
        ] {
            let found = nominal_mm(thread).expect("known form");
            assert!((found - expected).abs() < 1e-9, "{thread}: {found} mm");
        }
        assert_eq!(nominal_mm("wood"), None, "no such form");
    }
}
