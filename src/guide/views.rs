//! What a board's sheets show beside its facts: drawings, forms, and numbers for the pages' scripts.

use minijinja::value::{Serde, Value};
use serde::Serialize;

use super::facts::{BoardFacts, CuttingFacts};
use super::fit::FitView;
use super::form::Form;
use super::heat::{self, CauseFacts, PRACTICE, Practice};
use super::plots::{Plots, plots};
use super::small;
use crate::book::Book;
use crate::cutting::{CutLayout, CutStock};
use crate::drawing::{self, Cut, swatch};
use crate::stack::Fit;

/// What every sheet of a board may show.
#[derive(Serialize)]
pub(super) struct Views<'a> {
    /// How each zone is hatched.
    swatches: Vec<Value>,
    /// What the jobs say of each zone.
    plots: Vec<Plots<'a>>,
    /// The stack-up.
    fit: FitView,
    /// How the pads are cut: by plan, by stock, by sheet.
    cuttings: Value,
    /// The temperatures, where any are known.
    strip: Option<Value>,
    /// What readings are judged by.
    practice: &'static Practice,
    /// What may be wrong after a job.
    causes: Vec<CauseFacts>,
    /// What the small maps have in common.
    ground: Value,
    /// The form that takes a job down.
    form: Value,
}

impl<'a> Views<'a> {
    /// Draws them; returns the cut of the section too, to be marked on the maps.
    pub(super) fn of(book: &Book, fit: &Fit<'_>, facts: &'a BoardFacts) -> (Option<Cut>, Self) {
        let (cut, stack_up) = FitView::of(fit, &facts.fit);
        let views = Self {
            swatches: swatches(facts),
            plots: plots(facts),
            fit: stack_up,
            cuttings: cuttings(facts),
            strip: heat::drawn(&facts.heat),
            practice: &PRACTICE,
            causes: heat::causes(),
            ground: small::ground(fit.board),
            form: Value::from(Serde(Form::of(book, fit.board))),
        };
        (cut, views)
    }
}

fn swatches(facts: &BoardFacts) -> Vec<Value> {
    facts
        .zones
        .iter()
        .enumerate()
        .map(|(index, zone)| {
            let svg = zone
                .pad_mm
                .map(|pad_mm| swatch(pad_mm, &format!("w{index}")).serialise());
            Value::from_safe_string(svg.unwrap_or_default())
        })
        .collect()
}

/// Draws how the pads are cut: by plan, by stock, by sheet.
fn cuttings(facts: &BoardFacts) -> Value {
    let sheet =
        |layout: &CutLayout| Value::from_safe_string(drawing::cutting([layout]).serialise());
    let stock = |stock: &CutStock| -> Value { stock.layouts.iter().map(sheet).collect() };
    let plan = |plan: &CuttingFacts| -> Value { plan.cut.stocks.iter().map(stock).collect() };
    let plans = facts.cutting.iter();
    // As the sheet shows them.
    let plans = plans.filter(|plan| !plan.cut.stocks.is_empty());
    plans.map(plan).collect()
}
