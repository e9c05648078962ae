/// Millimetres in an inch, exactly.
pub(crate) const INCH_MM: f64 = 25.4;

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

/// Radius of a screw's head per nominal diameter of its thread: pan heads are about twice as wide as
/// their thread, common practice.
const HEAD_RADIUS_PER_DIAMETER: f64 = 1.0;

/// Radius of a head whose thread is not known, mm: that of an M2, the smallest usual screw.
const UNKNOWN_HEAD_RADIUS_MM: f64 = 2.0;

/// Returns how far a screw's head reaches from its centre, mm.
pub fn head_radius_mm(thread: Option<&str>) -> f64 {
    let diameter = thread.and_then(nominal_mm);
    diameter.map_or(UNKNOWN_HEAD_RADIUS_MM, |diameter| {
        diameter * HEAD_RADIUS_PER_DIAMETER
    })
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
