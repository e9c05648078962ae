use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::stackup::dies;
use crate::lint::{Report, StackUp};
use crate::source::keys;
use crate::stack::{DieVerdict, Seated};

declare_rule! {
    /// Seats each cooler on its die and its pads, and looks for dies that get less pressure than the book's
    /// least (70 kPa unless it says otherwise) or whose bond line is thicker than its greatest (100 µm).
    ///
    /// ## Why
    ///
    /// Pads push back. Where they are too thick, too hard or too many for the screws, they carry the cooler and
    /// the die does not: it runs hot within seconds of the first load, on a board that was closed with care.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "die" }
    ///
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[38.0, 20.0, 24.0, 20.0]]
    /// height_mm = 1.9
    /// tolerance_mm = 0.05
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
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    /// recess_mm = 0.8
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 8.0
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "die" }
    ///
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[38.0, 20.0, 24.0, 20.0]]
    /// height_mm = 1.9
    /// tolerance_mm = 0.05
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
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    /// recess_mm = 0.8
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 40.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Check the zones' thickness and material and the screws' `clamp_n`: `gapbook fit` shows what each zone
    /// carries, and `--pad zone=1.5` tries another. Where the maker's own board does this, a value in the
    /// record is false.
    "die-held-off", Consistency, Error,
    "pads keep the cooler off the die",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    for (stack, part, die) in dies(stacks, DieVerdict::HeldOff) {
        let id = &board.record.part[part].id;
        let [least, greatest] = die.bond_um;
        let on_standoffs = stack.seated.as_ref().is_ok_and(Seated::is_on_standoffs);
        let by = if on_standoffs { "standoffs" } else { "pads" };
        let message = format!(
            "{by} hold the cooler off `{id}`{}: {:.0} N and {:.0} kPa are left for it, bond line \
             {least:.0} to {greatest:.0} µm{}",
            stack.on(),
            die.force_n,
            die.mean_kpa,
            stack.clamp(),
        );
        let finding = report.find(board.at(keys!["part", part, "id"]), message);
        finding.help("fit softer or thinner pads, or correct the height, recess or clamp force");
        if let Some((zone, force_n)) = stack.heaviest() {
            let label = format!("these pads push back with {force_n:.0} N");
            finding.also(board.at(keys!["zone", zone, "pad_mm"]), label);
        }
    }
}
