//! The section of a board: a cut through die, pads and cooler, heights exaggerated, gaps dimensioned.
//!
//! Cut faces are hatched as ISO 128-50 has it: neighbours in different directions, thin ones black.
//! A pad is hatched by its thickness, as on the maps, and drawn as it is squeezed; its free outline is
//! chain-dotted, as ISO 128 draws a form before it is pressed. What goes on is broken off.

mod lettering;
mod solids;

use super::callout::{self, Callout};
use super::cut::Cut;
use super::marks::text_box;
use super::profile::Profile;
use super::svg::{Element, number};
use crate::record::Side;
use crate::stack::{Fit, Seated};
use crate::units::{Point, Rect};

pub(super) use lettering::micrometres;

/// Width that a section is drawn, without its margins, drawing units; wider where its lettering needs it.
const WIDTH: f64 = 212.0;

/// Greatest height of what is cut, drawing units.
const HEIGHT: f64 = 96.0;

/// Free room at the left, and at the right at least and at most, where names stand, drawing units.
const LEFT: f64 = 12.0;
const RIGHT: [f64; 2] = [26.0, 80.0];

/// Room between a row of callouts and what is cut, and below everything for the title, drawing units.
const LEADERS: f64 = 11.0;
const TITLE: f64 = 13.0;

/// How far beside the section names stand, drawing units.
const NAMES: f64 = 3.0;

/// Room above everything, drawing units.
const TOP: f64 = 3.0;

/// How many times heights may be exaggerated over lengths.
const FACTORS: [f64; 17] = [
    1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0,
];

/// How much of a broken-off body is shown beyond everything else, mm.
const STUMP_MM: f64 = 1.2;

/// Thickness of a board of which none is recorded, mm. Common practice.
const USUAL_BOARD_MM: f64 = 1.6;

/// How far a body's face reaches beyond the pad on it, mm.
const RIM_MM: f64 = 1.0;

/// The sides of a board, the upper one of a section first.
const SIDES: [Side; 2] = [Side::Front, Side::Back];

/// A section, and what it shows.
#[derive(Debug)]
pub struct Section {
    /// The drawing.
    pub svg: Element,
    /// How many times heights are exaggerated over lengths.
    pub factor: f64,
    /// The zones that are cut, by position in the stack-up.
    pub zones: Vec<usize>,
}

/// Draws the section of a stack-up along a cut, as the cooler comes to rest; nothing where no gap or die
/// of known heights lies on it.
pub fn section(fit: &Fit<'_>, seated: Option<&Seated>, cut: &Cut) -> Option<Section> {
    let profile = Profile::of(fit, seated, cut)?;
    let drawing = Drawing::new(fit, seated, &profile);
    let mut zones: Vec<usize> = profile.pads.iter().map(|pad| pad.zone).collect();
    zones.sort_unstable();
    zones.dedup();
    Some(Section {
        svg: drawing.draw(&zones),
        factor: drawing.factor,
        zones,
    })
}

/// A section being drawn.
struct Drawing<'d, 'a> {
    fit: &'d Fit<'a>,
    seated: Option<&'d Seated>,
    profile: &'d Profile,
    board_mm: f64,
    /// What of it is seen, outward on both sides, mm.
    reach: [f64; 2],
    /// Drawing units a millimetre along the cut.
    scale: f64,
    factor: f64,
    sheet: [f64; 2],
    /// Where the board's front surface lies, drawing units.
    front: f64,
}

impl<'d, 'a> Drawing<'d, 'a> {
    fn new(fit: &'d Fit<'a>, seated: Option<&'d Seated>, profile: &'d Profile) -> Self {
        let reach = SIDES.map(|side| {
            let stump = if profile.is_broken(side) {
                STUMP_MM
            } else {
                0.4
            };
            profile.height(side) + stump
        });
        let board_mm = fit.board.record.board.thickness_mm;
        let mut drawing = Self {
            fit,
            seated,
            profile,
            board_mm: board_mm.unwrap_or(USUAL_BOARD_MM),
            reach,
            scale: 1.0,
            factor: 1.0,
            sheet: [0.0; 2],
            front: 0.0,
        };
        drawing.fill_sheet();
        drawing
    }

    /// Chooses scale, factor and sheet so that everything has room.
    fn fill_sheet(&mut self) {
        let [callouts_above, callouts_below] = SIDES.map(|side| self.callouts(side));
        let lettering = callout::width(&callouts_above).max(callout::width(&callouts_below));
        let margin = self.margin();
        let width = WIDTH.max(lettering - LEFT - margin + 4.0);
        let length_mm = self.profile.shown[1] - self.profile.shown[0];
        let height_mm = self.reach[0] + self.board_mm + self.reach[1];
        self.scale = (width / length_mm).min(HEIGHT / height_mm);
        let room = HEIGHT / (height_mm * self.scale);
        let factors = FACTORS.iter().rev().copied();
        self.factor = factors.filter(|factor| *factor <= room).fold(1.0, f64::max);
        let row = |callouts: &[Callout]| {
            if callouts.is_empty() {
                TOP
            } else {
                TOP + callout::HEIGHT + LEADERS
            }
        };
        let above = row(&callouts_above);
        let tall = self.scale * self.factor;
        self.front = above + self.reach[0] * tall;
        self.sheet = [
            LEFT + width + margin,
            above + height_mm * tall + row(&callouts_below) + TITLE,
        ];
    }

    /// Returns how much room the names beside the section need.
    fn margin(&self) -> f64 {
        let board = self.fit.board;
        let bodies = self.profile.bodies.iter();
        let names = bodies.map(|body| board.name(&board.record.body[body.index].id));
        let widths = names.map(|name| text_box(Point { x: 0.0, y: 0.0 }, &name).width);
        let widest = widths.fold(0.0, f64::max);
        (widest + 2.0 * NAMES).clamp(RIGHT[0], RIGHT[1])
    }

    fn x(&self, along: f64) -> f64 {
        LEFT + (along - self.profile.shown[0]) * self.scale
    }

    /// Returns where a height over the board's surface is drawn.
    fn y(&self, side: Side, height: f64) -> f64 {
        let tall = self.scale * self.factor;
        match side {
            Side::Front => self.front - height * tall,
            Side::Back => self.front + (self.board_mm + height) * tall,
        }
    }

    fn at(&self, side: Side, along: f64, height: f64) -> Point {
        Point {
            x: self.x(along),
            y: self.y(side, height),
        }
    }

    /// Returns the rectangle between two heights.
    fn block(&self, side: Side, along: [f64; 2], heights: [f64; 2]) -> Rect {
        let (one, other) = (
            self.at(side, along[0], heights[0]),
            self.at(side, along[1], heights[1]),
        );
        Rect {
            x: one.x,
            y: one.y.min(other.y),
            width: other.x - one.x,
            height: (one.y - other.y).abs(),
        }
    }

    fn draw(&self, zones: &[usize]) -> Element {
        let mut svg = Element::drawing("map section", self.sheet)
            .with("role", "img")
            .with("aria-label", self.in_words(zones))
            .lengths([("data-factor", self.factor)]);
        svg.push(self.patterns(zones));
        let mut seen = Element::new("g").with("clip-path", "url(#section-seen)");
        for body in &self.profile.bodies {
            self.body(body, &mut seen);
        }
        self.board(&mut seen);
        self.parts(&mut seen);
        self.pads(&mut seen);
        self.pastes(&mut seen);
        svg.push(seen);
        svg.push(self.breaks());
        svg.push(self.names());
        for side in SIDES {
            svg.push(self.dimensions(side));
        }
        svg.push(self.title());
        svg
    }

    /// Says what the drawing shows, for those who cannot see it.
    fn in_words(&self, zones: &[usize]) -> String {
        let factor = number(self.factor);
        let names: Vec<String> = zones.iter().map(|&zone| self.zone_name(zone)).collect();
        format!(
            "Section A–A, heights drawn {factor} times as large as lengths, through {}.",
            names.join(", ")
        )
    }

    fn zone_name(&self, zone: usize) -> String {
        self.fit.board.zone_name(self.fit.zones[zone].zone)
    }
}
