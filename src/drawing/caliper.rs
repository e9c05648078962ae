//! Where the caliper goes on an old pad: from above, and below it in section.

use super::hatch;
use super::marks::{rect, text};
use super::svg::Element;
use crate::units::{Point, Rect};

/// Size of the drawing, drawing units.
const SIZE: &str = "0 0 96 88";

/// What the drawing shows, for those who cannot see it.
const LABEL: &str = "An old pad from above and in section. The caliper's jaws close on its edge, at E, where \
                     nothing squeezed it, and on the imprint, at I, where the part did.";

/// The pad in section: thinner where the part pressed.
const SECTION: &str = "M12 74V56H26L29 62H67L70 56H84V74z";

/// Where readings are taken, from above.
const EDGES: [[f64; 2]; 3] = [[20.0, 21.0], [48.0, 9.0], [76.0, 21.0]];
const IMPRINTS: [[f64; 2]; 3] = [[37.0, 21.0], [48.0, 21.0], [59.0, 21.0]];

/// Pairs of jaws closed on the section: the left, the top and the height of the upper one.
const JAWS: [[f64; 3]; 2] = [[17.0, 46.0, 10.0], [45.0, 46.0, 16.0]];

/// Returns the drawing; `name` is unique on the page.
pub fn caliper(name: &str) -> Element {
    let pad = Rect::from([12.0, 5.0, 72.0, 32.0]);
    let imprint = Rect::from([28.0, 13.0, 40.0, 16.0]);
    let section = Element::classed("path", "zone")
        .with("d", SECTION)
        .with("fill", hatch::fill(name, 1.0));
    let jaws = JAWS.into_iter().flat_map(|[x, y, height]| {
        [[x, y, 6.0, height], [x, 74.0, 6.0, 12.0]].map(|jaw| rect("jaw", &Rect::from(jaw)))
    });
    let letters = |letter, points: [[f64; 2]; 3], above_jaw| {
        let points = points.into_iter().chain([above_jaw]);
        points.map(move |[x, y]| text("tag", Point { x, y }, letter))
    };
    Element::classed("svg", "caliper")
        .with("viewBox", SIZE)
        .with("role", "img")
        .with("aria-label", LABEL)
        .holding([Element::new("defs").holding([hatch::pattern(name, 1.0)])])
        .holding([rect("part", &pad), rect("body", &imprint), section])
        .holding(jaws)
        .holding(letters("E", EDGES, [20.0, 42.5]))
        .holding(letters("I", IMPRINTS, [48.0, 42.5]))
}
