use crate::book::{Board, Book, Job};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::Fitted;
use crate::source::keys;

declare_rule! {
    /// Looks for jobs that fitted one zone with pads of two thicknesses, or of two materials.
    ///
    /// ## Why
    ///
    /// A zone is one gap, filled by pads of one thickness. Two pads side by side are squeezed differently:
    /// the thicker one carries the cooler and the thinner one floats; and they are cut from two sheets where
    /// the plan has one.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 6.0 }
    ///
    /// [[part]]
    /// id = "coils"
    /// kind = "inductor"
    /// side = "front"
    /// height_mm = 4.5
    /// at = [[20.0, 20.0, 9.0, 8.0], [20.0, 30.0, 9.0, 8.0]]
    ///
    /// [[zone]]
    /// id = "coils"
    /// between = ["coils", "cooler"]
    /// pad_mm = 2.0
    /// pad = "soft"
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// # file: osk/demo/jobs/2026-01-02-bench-1.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-01-02
    /// bench = "bench-1"
    /// [[fitted]]
    /// zone = "coils"
    /// pad_mm = 2.0
    /// pad = "soft"
    /// [[fitted]]
    /// zone = "coils"
    /// pad_mm = 1.5
    /// pad = "soft"
    /// why = "two pieces of 2.0 mm were missing"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 6.0 }
    ///
    /// [[part]]
    /// id = "coils"
    /// kind = "inductor"
    /// side = "front"
    /// height_mm = 4.5
    /// at = [[20.0, 20.0, 9.0, 8.0], [20.0, 30.0, 9.0, 8.0]]
    ///
    /// [[zone]]
    /// id = "coils"
    /// between = ["coils", "cooler"]
    /// pad_mm = 2.0
    /// pad = "soft"
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// # file: osk/demo/jobs/2026-01-02-bench-1.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-01-02
    /// bench = "bench-1"
    /// [[fitted]]
    /// zone = "coils"
    /// pad_mm = 2.0
    /// pad = "soft"
    /// ```
    ///
    /// ## What to do
    ///
    /// Make two zones of it, if the gap really differs from one place to the other; each then has its own
    /// pads. Or correct what was fitted.
    "zone-of-two-stocks", Consistency, Warning,
    "a zone fitted with pads of two thicknesses or materials",
    Board(check)
}

/// How far two thicknesses may differ and be the same, mm: the finest step that pads are sold in is ten
/// times as much.
const SAME_MM: f64 = 0.02;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for job in &board.jobs {
        look_at(job, report);
    }
}

fn look_at(job: &Job, report: &mut Report<'_>) {
    let fitted = &job.record.fitted;
    for (index, one) in fitted.iter().enumerate() {
        let earlier = fitted[..index]
            .iter()
            .position(|other| other.zone == one.zone);
        let Some(first) = earlier.filter(|&first| differs(&fitted[first], one)) else {
            continue;
        };
        let message = format!(
            "zone `{}` is fitted with {} beside {}",
            one.zone,
            said(one),
            said(&fitted[first])
        );
        report
            .find(job.at(keys!["fitted", index]), message)
            .also(job.at(keys!["fitted", first]), "what else is in this zone")
            .help("make two zones of it if the gap differs, or correct what was fitted");
    }
}

fn differs(one: &Fitted, other: &Fitted) -> bool {
    (one.pad_mm - other.pad_mm).abs() > SAME_MM || one.pad != other.pad
}

fn said(fitted: &Fitted) -> String {
    match &fitted.pad {
        Some(pad) => format!("{:.2} mm `{pad}`", fitted.pad_mm),
        None => format!("{:.2} mm pads", fitted.pad_mm),
    }
}
