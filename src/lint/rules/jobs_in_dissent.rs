use crate::book::{Board, Book};
use crate::evidence::{Grade, JobEvidence, ZoneEvidence};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for zones where two jobs cannot have measured pads of the same thickness: each reads its edge
    /// nearest to another stocked one, and the probability that both were the same is less than 5 %.
    ///
    /// ## Why
    ///
    /// The mean of two different pads is no pad. Either one job measured another bench's repair, or the board is
    /// built in more than one way, and a reader has to know which he has.
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
    /// # file: osk/demo/jobs/2026-04-02-netloft-3.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-04-02
    /// bench = "netloft-3"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.50, 2.49, 2.48]
    /// imprint_mm = [2.02, 2.00, 2.01]
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
    /// # file: osk/demo/jobs/2026-04-02-netloft-3.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-04-02
    /// bench = "netloft-3"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.00, 1.99, 1.98]
    /// imprint_mm = [1.64, 1.60, 1.62]
    /// ```
    ///
    /// ## What to do
    ///
    /// Find out what tells the boards apart: a marking, a revision, a date code of the cooler. Then give each
    /// its own zone with `only`. If one job measured a pad that was not the maker's, take its edge readings out
    /// and say so in its `note`. Until it is known, accept the finding with what is known.
    "jobs-in-dissent", Consistency, Warning,
    "jobs read pads of different thickness in one zone",
    Evidence(check)
}

fn check(_: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    for (index, evidence) in zones.iter().enumerate() {
        if !evidence
            .conclusions()
            .any(|one| one.grade == Grade::Dissent)
        {
            continue;
        }
        let read = || {
            let jobs = evidence.jobs.iter();
            jobs.filter_map(|job| Some((job, job.edge.as_ref()?)))
        };
        let thinnest = read().min_by(|a, b| a.1.mean_mm.total_cmp(&b.1.mean_mm));
        let thickest = read().max_by(|a, b| a.1.mean_mm.total_cmp(&b.1.mean_mm));
        let (Some((thin_job, thin)), Some((thick_job, thick))) = (thinnest, thickest) else {
            continue;
        };
        let who = |job: &JobEvidence| format!("`{}` on {}", job.bench, job.date);
        let message = format!(
            "jobs read different pads at `{}`: {:.2} mm ({}) and {:.2} mm ({})",
            board.record.zone[index].id,
            thin.mean_mm,
            who(thin_job),
            thick.mean_mm,
            who(thick_job),
        );
        report
            .find(thick.place.clone(), message)
            .also(thin.place.clone(), "the thinner")
            .also(board.at(keys!["zone", index, "id"]), "the zone")
            .help("find out what tells the boards apart, and give each its own zone with `only`");
    }
}
