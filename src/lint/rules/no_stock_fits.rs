use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::{Report, StackUp};
use crate::source::keys;
use crate::stack::ZoneFit;
use crate::stack::tolerance::Interval;

/// Seatings after which a rule gives up proving that nothing fits: a hundredth of a second.
const MOST_SEATINGS: usize = 400;

declare_rule! {
    /// Looks for boards on which no choice of pads from the stock would hold: each would float, be crushed, or
    /// keep the cooler off the die.
    ///
    /// ## Why
    ///
    /// A guide that shows a gap and no pad for it sends somebody to the bench to find that out. Either a height
    /// or a recess is false, or the stock lacks a thickness that this board needs.
    ///
    /// ## It fails
    ///
    /// The gap is 5.6 mm, and the thickest pad in stock is 3 mm.
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "frame"
    /// kind = "bracket"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 6.0, tolerance_mm = 0.1 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[18.0, 23.0, 12.0, 14.0], [70.0, 23.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "frame"]
    /// recess_mm = 0.7
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "frame-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 44.0]]
    /// holds = ["frame", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "frame"
    /// kind = "bracket"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.6, tolerance_mm = 0.1 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[18.0, 23.0, 12.0, 14.0], [70.0, 23.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "frame"]
    /// recess_mm = 0.1
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "frame-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 44.0]]
    /// holds = ["frame", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Check the heights and the recess first. If they are right, add the pad that the board needs to
    /// `stock/pads.toml`: `gapbook fit` shows what each zone takes.
    "no-stock-fits", Consistency, Warning,
    "no pad of the stock would do",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    // What the recorded pads do ill is another rule's.
    let bare = stacks
        .iter()
        .filter(|stack| stack.is_well() && !stack.is_stocked());
    let mut refuted = bare.filter_map(|stack| {
        let blocked = stack.fit.refuted(stack.stock, MOST_SEATINGS)?;
        Some((stack, blocked))
    });
    let Some((stack, blocked)) = refuted.next() else {
        return;
    };
    for &zone in &blocked {
        let zone = &stack.fit.zones[zone];
        let message = format!(
            "no pad of the stock fits `{}`{}: {}",
            zone.id,
            stack.on(),
            gap_against_stock(zone, stack)
        );
        report
            .find(board.at(keys!["zone", zone.zone, "id"]), message)
            .help("check the heights and the recess, or add a pad to `stock/pads.toml`");
    }
    if let (true, Some(&die)) = (blocked.is_empty(), stack.fit.die_parts.first()) {
        let id = &board.record.part[die].id;
        let message = format!(
            "no pads of the stock, one for each zone, let the cooler press on `{id}`{}{}",
            stack.on(),
            stack.clamp()
        );
        report
            .find(board.at(keys!["part", die, "id"]), message)
            .help("check the heights and the recesses, or add softer pads to `stock/pads.toml`");
    }
}

/// Says how wide the gap is, and what there is to fill it.
fn gap_against_stock(zone: &ZoneFit<'_>, stack: &StackUp<'_>) -> String {
    let gap_mm = zone.finding.gap.value_mm().unwrap_or_default();
    let sizes = stack
        .stock
        .iter()
        .flat_map(|pad| pad.thickness_mm.iter().copied());
    let none = Interval {
        low_mm: f64::INFINITY,
        high_mm: f64::NEG_INFINITY,
    };
    let stocked = sizes.fold(none, |so_far, mm| Interval {
        low_mm: so_far.low_mm.min(mm),
        high_mm: so_far.high_mm.max(mm),
    });
    format!(
        "its gap is {gap_mm:.2} mm, and the stock has {} to {} mm",
        stocked.low_mm, stocked.high_mm
    )
}
