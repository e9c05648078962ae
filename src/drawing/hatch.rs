//! Hatching that tells a pad's thickness by count, so that it reads in black and white.
//!
//! One full line for each whole millimetre, a dashed line for a half, a dotted line for a quarter,
//! repeated side by side at 45° (line type and angle as ISO 128-50 has them): 2.5 mm is two full
//! lines and a dashed one. A zone of unknown thickness is left blank.

use super::svg::Element;

/// Distance between two lines of one group, drawing units.
const STEP: f64 = 1.0;

/// Free space between two groups, drawing units.
const BETWEEN_GROUPS: f64 = 2.2;

/// How a line of the tally is drawn.
const FULL: &str = "";
const DASHED: &str = "1.5 1";
const DOTTED: &str = "0.35 0.9";

/// Returns the name of a thickness's hatch within a drawing: `front-h250` for 2.5 mm.
pub(super) fn name(drawing: &str, pad_mm: f64) -> String {
    format!("{drawing}-h{:.0}", pad_mm * 100.0)
}

/// Returns the fill of what a thickness's hatch is drawn on.
pub(super) fn fill(drawing: &str, pad_mm: f64) -> String {
    format!("url(#{})", name(drawing, pad_mm))
}

/// Returns the lines of a thickness's tally, each by its dashes.
///
/// Thicknesses are rounded to a quarter of a millimetre, the finest step that pads are sold in
/// (common practice); the label beside the hatch gives the exact figure.
fn tally(pad_mm: f64) -> Vec<&'static str> {
    let mut quarters = (pad_mm * 4.0).round().max(1.0);
    let mut lines = Vec::new();
    for (worth, dashes) in [(4.0, FULL), (2.0, DASHED), (1.0, DOTTED)] {
        while quarters >= worth {
            lines.push(dashes);
            quarters -= worth;
        }
    }
    lines
}

/// Returns the patterns that hatch some thicknesses, each once, the thinnest first.
pub(super) fn patterns(
    drawing: &str,
    thicknesses: impl Iterator<Item = f64>,
) -> impl Iterator<Item = Element> {
    let mut thicknesses: Vec<f64> = thicknesses.collect();
    thicknesses.sort_by(f64::total_cmp);
    thicknesses.dedup_by_key(|pad_mm| name("", *pad_mm));
    thicknesses
        .into_iter()
        .map(move |pad_mm| pattern(drawing, pad_mm))
}

/// Returns the pattern that hatches a thickness.
pub(super) fn pattern(drawing: &str, pad_mm: f64) -> Element {
    let lines = tally(pad_mm);
    #[expect(clippy::cast_precision_loss, reason = "a few dozen lines at most")]
    let period = STEP * (lines.len() - 1) as f64 + BETWEEN_GROUPS;
    // The tile is as high as a whole number of dashes, so that they meet at its edges.
    let tile = 5.0;
    let mut pattern = Element::new("pattern")
        .with("id", name(drawing, pad_mm))
        .lengths([("width", period), ("height", tile)])
        .with("patternUnits", "userSpaceOnUse")
        .with("patternTransform", "rotate(45)");
    let mut x = BETWEEN_GROUPS / 2.0;
    for dashes in lines {
        let mut line = Element::classed("line", "hatch").lengths([
            ("x1", x),
            ("x2", x),
            ("y1", 0.0),
            ("y2", tile),
        ]);
        if dashes != FULL {
            line = line.with("stroke-dasharray", dashes);
        }
        pattern.push(line);
        x += STEP;
    }
    pattern
}

/// Returns the pattern that hatches a cut face: lines turned by an angle, in degrees.
pub(super) fn lines(name: &'static str, turned: f64, apart: f64) -> Element {
    Element::new("pattern")
        .with("id", name)
        .lengths([("width", apart), ("height", apart)])
        .with("patternUnits", "userSpaceOnUse")
        .with("patternTransform", format!("rotate({turned})"))
        .holding([Element::classed("line", "hatch").lengths([
            ("x1", apart / 2.0),
            ("x2", apart / 2.0),
            ("y1", 0.0),
            ("y2", apart),
        ])])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_count_the_thickness() {
        let cases = [
            (0.25, vec![DOTTED]),
            (0.5, vec![DASHED]),
            (1.0, vec![FULL]),
            (1.75, vec![FULL, DASHED, DOTTED]),
            (2.5, vec![FULL, FULL, DASHED]),
            (3.0, vec![FULL; 3]),
        ];
        for (pad_mm, lines) in cases {
            assert_eq!(tally(pad_mm), lines, "{pad_mm} mm");
        }
    }
}
