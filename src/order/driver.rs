//! Which bits there are, and which of them a screw of a size wants.

/// Bits there are: PH and PZ by ISO 8764-1, with the two small sizes of PH that the trade adds; T by ISO
/// 10664 and smaller ones of the trade; H by ISO 2936; SL by the width of ISO 2380-1 (from memory).
const BITS: &[(&str, &[&str])] = &[
    ("PH", &["000", "00", "0", "1", "2", "3", "4"]),
    ("PZ", &["0", "1", "2", "3", "4"]),
    (
        "T",
        &[
            "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "15", "20", "25", "27", "30", "40",
            "45", "50", "55", "60",
        ],
    ),
    (
        "H",
        &[
            "0.7", "0.9", "1.3", "1.5", "2", "2.5", "3", "4", "5", "6", "7", "8",
        ],
    ),
    (
        "SL",
        &[
            "1", "1.2", "1.5", "1.8", "2", "2.5", "3", "3.5", "4", "4.5", "5.5", "6.5", "8",
        ],
    ),
];

/// Sizes of the cross recess of a pan head (ISO 7045) and of the hexalobular one (ISO 14583), by thread;
/// printed tables give an M2 both 0 and 1.
const SIZES: &[(&str, &[&str], &str)] = &[
    ("M1.6", &["0"], "5"),
    ("M2", &["0", "1"], "6"),
    ("M2.5", &["1"], "8"),
    ("M3", &["1"], "10"),
    ("M3.5", &["2"], "15"),
    ("M4", &["2"], "20"),
    ("M5", &["2"], "25"),
    ("M6", &["3"], "30"),
];

/// Tells whether there is such a bit: "PH1", "T8", "H1.5".
pub fn exists(drive: &str) -> bool {
    let (family, size) = split(drive);
    let sizes = BITS.iter().find(|(known, _)| *known == family);
    sizes.is_some_and(|(_, sizes)| sizes.contains(&size))
}

/// Returns the bits that a thread's pan head takes, of the family of a drive; none where no table says.
pub fn usual(thread: &str, drive: &str) -> Vec<String> {
    let coarse = thread.split('x').next().unwrap_or(thread);
    let Some((_, cross, star)) = SIZES.iter().find(|(known, ..)| *known == coarse) else {
        return Vec::new();
    };
    let (family, _) = split(drive);
    match family {
        "PH" | "PZ" => cross.iter().map(|size| format!("{family}{size}")).collect(),
        "T" => vec![format!("T{star}")],
        _ => Vec::new(),
    }
}

/// Splits a drive into its family and its size.
fn split(drive: &str) -> (&str, &str) {
    let is_digit = |character: char| character.is_ascii_digit();
    drive.split_at(drive.find(is_digit).unwrap_or(drive.len()))
}
