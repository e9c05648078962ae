//! A strip of temperatures: limits, healthy boards as points with the range of the next one, and a line on
//! which to put one's own reading.

use super::{Element, number};

/// Width of the drawing, in its units; narrow, so that its lettering is read on a phone.
const WIDTH: f64 = 120.0;
/// Left and right of the scale.
const LEFT: f64 = 20.0;
const RIGHT: f64 = 114.0;
/// Height of one sensor's row, and of the scale below the rows.
const ROW: f64 = 19.0;
const SCALE: f64 = 12.0;
/// How far the rows' lines are below their tops: healthy boards, and one's own.
const HEALTHY: f64 = 7.0;
const OWN: f64 = 14.0;
/// Kelvins between two numbers of the scale, and left free beyond the outermost value.
const STEP_C: f64 = 10.0;
const FREE_K: f64 = 4.0;
/// Between what a scale is drawn at most, °C: what a record may say. Beyond it, marks stand at its end.
const DRAWN_C: [f64; 2] = [-30.0, 150.0];
/// Room for one limit's number.
const LETTERS: f64 = 3.4;

/// One sensor's row.
#[derive(Clone, Debug, PartialEq)]
pub struct StripRow {
    /// The sensor, in a word.
    pub name: &'static str,
    /// What healthy boards show, °C.
    pub healthy_c: Vec<f64>,
    /// Where the next one is expected, °C.
    pub range_c: Option<[f64; 2]>,
    /// The limit, °C.
    pub limit_c: Option<f64>,
}

/// The temperatures at a strip's ends, °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// At the left.
    pub low_c: f64,
    /// At the right.
    pub high_c: f64,
}

impl Span {
    /// Returns the span that shows every value of some rows; nothing where there is none.
    pub fn of(rows: &[StripRow]) -> Option<Self> {
        let values = || {
            let of_row = |row: &StripRow| {
                let ends = row.range_c.into_iter().flatten();
                let all: Vec<f64> = row
                    .healthy_c
                    .iter()
                    .copied()
                    .chain(ends)
                    .chain(row.limit_c)
                    .collect();
                all
            };
            rows.iter().flat_map(of_row)
        };
        let [coldest, hottest] = DRAWN_C;
        let low = values().reduce(f64::min)?.clamp(coldest, hottest);
        let high = values().reduce(f64::max)?.clamp(coldest, hottest);
        Some(Self {
            low_c: (((low - FREE_K) / STEP_C).floor() * STEP_C).max(coldest),
            high_c: (((high + FREE_K) / STEP_C).ceil() * STEP_C).min(hottest),
        })
    }

    /// Returns where a temperature is drawn: at an end where it lies beyond it.
    fn x(self, celsius: f64) -> f64 {
        let celsius = celsius.clamp(self.low_c, self.high_c);
        LEFT + (RIGHT - LEFT) * (celsius - self.low_c) / (self.high_c - self.low_c)
    }
}

/// Draws a strip; nothing where nothing is known.
pub fn strip(rows: &[StripRow], title: &str) -> Option<Element> {
    let span = Span::of(rows)?;
    let known = rows
        .iter()
        .filter(|row| row.limit_c.is_some() || !row.healthy_c.is_empty());
    let rows: Vec<&StripRow> = known.collect();
    #[expect(clippy::cast_precision_loss, reason = "three sensors")]
    let height = |count: usize| ROW * count as f64;
    let bottom = height(rows.len());
    let mut svg = Element::classed("svg", "map strip")
        .with(
            "viewBox",
            format!("0 0 {} {}", number(WIDTH), number(bottom + SCALE)),
        )
        .with("role", "img")
        .with("aria-label", title)
        .lengths([
            ("data-left", LEFT),
            ("data-right", RIGHT),
            ("data-low", span.low_c),
            ("data-high", span.high_c),
        ]);
    for element in scale(span, bottom) {
        svg.push(element);
    }
    for (index, row) in rows.iter().enumerate() {
        svg.push(drawn(row, span, height(index)));
    }
    Some(svg)
}

/// The scale under the rows, and its lines through them.
fn scale(span: Span, bottom: f64) -> Vec<Element> {
    let mut elements = Vec::new();
    let mut celsius = span.low_c;
    while celsius <= span.high_c {
        let x = span.x(celsius);
        elements.push(line("dimension", [x, 0.0, x, bottom + 2.0]));
        elements.push(word("measure", x, bottom + 5.0, &number(celsius)));
        celsius += STEP_C;
    }
    elements.push(word(
        "measure",
        f64::midpoint(LEFT, RIGHT),
        bottom + 9.5,
        "°C",
    ));
    elements
}

fn drawn(row: &StripRow, span: Span, top: f64) -> Element {
    let (healthy, own) = (top + HEALTHY, top + OWN);
    let mut group = Element::new("g").with("data-sensor", row.name);
    group.push(word("name start", 1.0, healthy, row.name));
    group.push(word("measure start", 1.0, own, "yours"));
    group.push(line("own", [LEFT, own, RIGHT, own]).lengths([("data-y", own)]));
    if let Some([low, high]) = row.range_c {
        let (x, end) = (span.x(low), span.x(high));
        group.push(Element::classed("rect", "healthy").lengths([
            ("x", x),
            ("y", healthy - 3.0),
            ("width", (end - x).max(0.1)),
            ("height", 6.0),
        ]));
    }
    for &celsius in &row.healthy_c {
        group.push(Element::classed("circle", "point").lengths([
            ("cx", span.x(celsius)),
            ("cy", healthy),
            ("r", 1.2),
        ]));
    }
    if let Some(limit) = row.limit_c {
        let x = span.x(limit);
        group.push(line("limit", [x, top + 4.5, x, own + 3.0]));
        group.push(word(
            "tag",
            x,
            top + 2.0,
            &format!("limit {}", number(limit)),
        ));
    }
    group
}

fn line(class: &'static str, [x1, y1, x2, y2]: [f64; 4]) -> Element {
    Element::classed("line", class).lengths([("x1", x1), ("y1", y1), ("x2", x2), ("y2", y2)])
}

fn word(class: &'static str, x: f64, y: f64, text: &str) -> Element {
    let x = x.min(WIDTH - LETTERS);
    Element::classed("text", class)
        .lengths([("x", x), ("y", y)])
        .text(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row() -> StripRow {
        StripRow {
            name: "die",
            healthy_c: vec![70.0, 72.0],
            range_c: Some([68.0, 74.0]),
            limit_c: Some(90.0),
        }
    }

    #[test]
    fn the_span_shows_every_value_in_whole_steps() {
        let span = Span::of(&[row()]).expect("known");
        assert_eq!(
            span,
            Span {
                low_c: 60.0,
                high_c: 100.0
            },
            "four kelvins free"
        );
        assert!((span.x(60.0) - LEFT).abs() < 1e-9, "left");
        assert!((span.x(100.0) - RIGHT).abs() < 1e-9, "right");
    }

    /// Two healthy jobs at 0.1 W and 3000 W expect the next one anywhere.
    #[test]
    fn a_scale_has_ends() {
        let wild = StripRow {
            range_c: Some([-1e7, 1e7]),
            ..row()
        };
        let span = Span::of(std::slice::from_ref(&wild)).expect("known");
        let [coldest, hottest] = DRAWN_C;
        assert!((span.low_c - coldest).abs() < 1e-9, "{span:?}");
        assert!((span.high_c - hottest).abs() < 1e-9, "{span:?}");
        assert!((span.x(1e7) - RIGHT).abs() < 1e-9, "clipped");
        let svg = strip(&[wild], "wild").expect("known").serialise();
        assert!(svg.len() < 10_000, "{}", svg.len());
    }

    #[test]
    fn nothing_known_draws_nothing() {
        let bare = StripRow {
            healthy_c: Vec::new(),
            range_c: None,
            limit_c: None,
            ..row()
        };
        assert!(strip(&[bare], "none").is_none(), "nothing");
    }

    #[test]
    fn each_healthy_board_is_a_point() {
        let svg = strip(&[row()], "Tern").expect("known").serialise();
        assert_eq!(svg.matches("class=\"point\"").count(), 2, "{svg}");
        assert!(svg.contains("limit 90"), "{svg}");
    }
}
