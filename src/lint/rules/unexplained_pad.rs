use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{Fitted, Zone};
use crate::source::keys;

declare_rule! {
    /// Looks for pads that a job fitted and that differ in thickness or material from the record, without a
    /// `why`.
    ///
    /// ## Why
    ///
    /// The next reader sees two answers and not the question. A pad that ran out, a trial and a correction of
    /// the record look the same without a word.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    /// pad = "soft"
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.01, 1.98, 2.02]
    /// imprint_mm = [1.62, 1.60, 1.61]
    ///
    /// [[fitted]]
    /// zone = "mem"
    /// pad_mm = 2.5
    /// pad = "soft"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    /// pad = "soft"
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.01, 1.98, 2.02]
    /// imprint_mm = [1.62, 1.60, 1.61]
    ///
    /// [[fitted]]
    /// zone = "mem"
    /// pad_mm = 2.5
    /// pad = "soft"
    /// why = "out of 2.0 mm"
    /// ```
    ///
    /// ## What to do
    ///
    /// Say why in the fitted pad, in a few words: `why = "out of 2.0 mm"`. If the record is wrong, correct the
    /// record.
    "unexplained-pad", Consistency, Warning,
    "a job fitted another pad than the record's and does not say why",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for job in board.own_jobs() {
        let fitted = job.record.fitted.iter().enumerate();
        for (index, fitted) in fitted.filter(|(_, fitted)| fitted.why.is_none()) {
            let Some((position, zone)) = board.zone(&fitted.zone) else {
                continue;
            };
            let Some((key, message)) = differs(zone, fitted) else {
                continue;
            };
            report
                .find(job.at(keys!["fitted", index, key]), message)
                .also(board.at(keys!["zone", position, key]), "the record's")
                .help("say why in `why`, or correct the record");
        }
    }
}

/// Says how a fitted pad differs from the record's, with the key that does.
fn differs(zone: &Zone, fitted: &Fitted) -> Option<(&'static str, String)> {
    if !fitted.is_another_than(zone) {
        return None;
    }
    let is_apart = fitted.is_of_another_thickness_than(zone);
    let thickness = zone.pad_mm.filter(|_| is_apart);
    if let Some(pad_mm) = thickness {
        let message = format!(
            "`{}` got {} mm instead of {pad_mm} mm, and no reason",
            zone.id, fitted.pad_mm
        );
        return Some(("pad_mm", message));
    }
    let (recorded, pad) = zone.pad.as_ref().zip(fitted.pad.as_ref())?;
    let message = format!(
        "`{}` got `{pad}` instead of `{recorded}`, and no reason",
        zone.id
    );
    Some(("pad", message))
}
