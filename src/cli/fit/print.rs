//! A stack-up for people.

use std::io::{self, Write};

use gapbook::book::Board;
use gapbook::stack::{FitDie, FitFacts, FitSubstitute, FitYield, FitZone, Verdict};

use crate::cli::output::{BOLD, DIM};
use crate::cli::text::{self, Table, points, title};

/// Stands where something is not known.
const UNKNOWN: &str = "not known";

/// Prints all that a stack-up comes to.
pub(super) fn all(
    out: &mut dyn Write,
    board: &Board,
    facts: &FitFacts,
    width: usize,
) -> io::Result<()> {
    head(out, board, facts)?;
    if let Some(choice) = &facts.choice {
        title(out, "Chosen from the stock")?;
        points(out, &[choice.in_words()], width)?;
    }
    title(out, "Die")?;
    dies(out, facts)?;
    title(out, "Pads")?;
    zones(out, facts, width)?;
    if !facts.zones.is_empty() {
        title(out, "Other pads")?;
        others(out, facts, width)?;
    }
    if let Some(yields) = &facts.yields {
        title(out, "Within tolerances")?;
        points(out, &series(yields), width)?;
    }
    let wrong = facts.zones.iter().filter_map(|zone| {
        let why = zone.unknown.as_ref()?;
        Some(format!("{}: {why}", zone.id))
    });
    let to_do: Vec<String> = facts.change.iter().cloned().chain(wrong).collect();
    if !to_do.is_empty() {
        title(out, "To do")?;
        points(out, &to_do, width)?;
    }
    assumed(out, facts, width)
}

/// Prints what every pad of the stock would do in one zone.
pub(super) fn instead(
    out: &mut dyn Write,
    board: &Board,
    facts: &FitFacts,
    zone: &FitZone,
    width: usize,
) -> io::Result<()> {
    head(out, board, facts)?;
    title(out, &format!("Pads for {}", text::line(&zone.id)))?;
    if zone.substitutes.is_empty() {
        return writeln!(out, "  {UNKNOWN}");
    }
    let mut table = Table::new(&[
        "pad", "squeezed", "force", "drop", "verdict", "die", "fails",
    ]);
    for pad in &zone.substitutes {
        table.row(substitute(pad));
    }
    let lines = table.without_empty_last().lines(width);
    lines.iter().try_for_each(|line| writeln!(out, "{line}"))?;
    assumed(out, facts, width)
}

fn substitute(pad: &FitSubstitute) -> Vec<String> {
    let with = |value: Option<f64>, decimals: usize, unit: &str| {
        value.map_or_else(String::new, |value| format!("{value:.decimals$} {unit}"))
    };
    vec![
        format!("{} mm {}", pad.pad_mm, text::line(&pad.pad)),
        match pad.strain {
            Some(strain) if strain < 0.0 => "misses".to_owned(),
            strain => with(strain.map(|strain| 100.0 * strain), 0, "%"),
        },
        with(pad.force_n, 0, "N"),
        with(pad.drop_k, 1, "K"),
        pad.verdict
            .map_or_else(|| UNKNOWN.to_owned(), |verdict| verdict.to_string()),
        pad.die.map_or_else(String::new, |die| die.to_string()),
        text::line(&pad.fails.join("; ")),
    ]
}

fn head(out: &mut dyn Write, board: &Board, facts: &FitFacts) -> io::Result<()> {
    let (heading, id) = (text::heading(board), text::line(&facts.board));
    let revision = facts.revision.as_deref().map(text::line);
    let revision = revision.map_or_else(String::new, |revision| format!(", {revision}"));
    writeln!(out, "{heading}  {id}{revision}")
}

fn assumed(out: &mut dyn Write, facts: &FitFacts, width: usize) -> io::Result<()> {
    if facts.assumed.is_empty() {
        return Ok(());
    }
    title(out, "Assumed")?;
    points(out, &facts.assumed, width)
}

/// Prints which other pads fit each zone, and the nearest that does harm.
fn others(out: &mut dyn Write, facts: &FitFacts, width: usize) -> io::Result<()> {
    let mut table = Table::new(&["zone", "fit as well, mm", "nearest that harms"]);
    for zone in &facts.zones {
        let wrong = zone.nearest_wrong.as_ref();
        table.row(vec![
            text::line(&zone.id),
            text::line(&fitting(zone)),
            wrong.map_or_else(String::new, |wrong| {
                text::line(&format!("{} mm: {}", wrong.pad_mm, wrong.does))
            }),
        ]);
    }
    let lines = table.without_empty_last().lines(width);
    lines.iter().try_for_each(|line| writeln!(out, "{line}"))
}

/// Says which other pads fit, material by material: "soft 1.75, 2.25; medium 2".
fn fitting(zone: &FitZone) -> String {
    let fits = |pad: &&FitSubstitute| {
        let is_fitted = zone.pad.as_ref() == Some(&pad.pad) && zone.pad_mm == Some(pad.pad_mm);
        pad.verdict == Some(Verdict::Good) && pad.fails.is_empty() && !is_fitted
    };
    let fitting: Vec<&FitSubstitute> = zone.substitutes.iter().filter(fits).collect();
    let materials = fitting.chunk_by(|one, other| one.pad == other.pad);
    let materials: Vec<String> = materials
        .map(|pads| {
            let sizes: Vec<String> = pads.iter().map(|pad| pad.pad_mm.to_string()).collect();
            format!("{} {}", pads[0].pad, sizes.join(", "))
        })
        .collect();
    materials.join("; ")
}

/// Says how many boards of a series fit, and what fails on the others.
fn series(yields: &FitYield) -> Vec<String> {
    let percent = |fraction: f64| format!("{:.1} %", 100.0 * fraction);
    let all = format!(
        "{} of {} boards drawn from the tolerances fit",
        percent(yields.fraction),
        yields.samples
    );
    let fails = yields.fails.iter();
    let fails = fails.map(|(what, fraction)| format!("{what} on {}", percent(*fraction)));
    std::iter::once(all).chain(fails).collect()
}

fn dies(out: &mut dyn Write, facts: &FitFacts) -> io::Result<()> {
    if let Some(problem) = &facts.problem {
        return writeln!(out, "  {problem}");
    }
    if facts.dies.is_empty() {
        return writeln!(
            out,
            "  none whose cooler can be seated: every gap below is a fixed one"
        );
    }
    for die in &facts.dies {
        writeln!(out, "  {}", of_die(die))?;
    }
    if let Some(force_n) = facts.standoffs_n.filter(|force_n| *force_n > 0.0) {
        writeln!(
            out,
            "  the screws' standoffs carry {force_n:.0} N of the cooler"
        )?;
    }
    if let Some(tilt) = facts.tilt_mrad {
        // Plus zero, so that none is printed as less than nothing.
        let [about_x, about_y] = tilt.map(|mrad| (100.0 * mrad).round() / 100.0 + 0.0);
        writeln!(
            out,
            "  the cooler is tilted by {about_x:.2} mrad about x, {about_y:.2} mrad about y"
        )?;
    }
    Ok(())
}

fn of_die(die: &FitDie) -> String {
    let (id, verdict) = (text::line(&die.id), die.verdict);
    let bond = range(die.bond_um.into_iter(), 0, "µm");
    let drop = die
        .drop_k
        .map_or_else(String::new, |drop| format!(", {drop:.1} K across it"));
    format!(
        "{id}: {BOLD}{verdict}{BOLD:#}, {:.0} N, {:.0} kPa, bond line {bond}{drop}",
        die.force_n, die.mean_kpa
    )
}

fn zones(out: &mut dyn Write, facts: &FitFacts, width: usize) -> io::Result<()> {
    if facts.zones.is_empty() {
        return writeln!(out, "  {UNKNOWN}");
    }
    let mut table = Table::new(&[
        "zone",
        "pad",
        "takes, mm",
        "gap, mm",
        "squeezed",
        "force",
        "drop",
        "verdict",
    ]);
    for zone in &facts.zones {
        table.row(row(zone));
    }
    let lines = table.lines(width);
    lines.iter().try_for_each(|line| writeln!(out, "{line}"))?;
    let takes = "takes: nothing floats or is crushed and no die is held off; fewer are good";
    writeln!(out, "  {DIM}{takes}{DIM:#}")
}

fn row(zone: &FitZone) -> Vec<String> {
    let pad = match (zone.pad_mm, &zone.pad) {
        (None, _) => UNKNOWN.to_owned(),
        (Some(pad_mm), None) => format!("{pad_mm} mm"),
        (Some(pad_mm), Some(pad)) => format!("{pad_mm} mm {}", text::line(pad)),
    };
    let gap = zone.gap_mm.as_ref().map_or_else(
        || UNKNOWN.to_owned(),
        |gap| format!("{:.2} ({:.2} to {:.2})", gap.value, gap.low, gap.high),
    );
    let strains = zone.pieces.iter().map(|piece| 100.0 * piece.strain);
    let squeezed = if strains.clone().any(|strain| strain < 0.0) {
        "misses".to_owned()
    } else {
        range(strains, 0, "%")
    };
    let drops = zone.pieces.iter().filter_map(|piece| piece.drop_k);
    let takes = zone
        .window_mm
        .map_or_else(String::new, |[least, greatest]| {
            format!("{least:.2} to {greatest:.2}")
        });
    vec![
        text::line(&zone.id),
        pad,
        takes,
        gap,
        squeezed,
        zone.force_n
            .map_or_else(String::new, |force| format!("{force:.0} N")),
        range(drops, 1, "K"),
        zone.verdict
            .map_or_else(|| UNKNOWN.to_owned(), |verdict| verdict.to_string()),
    ]
}

/// Says between which values some lie, with so many decimals; nothing where there are none.
fn range(values: impl Iterator<Item = f64> + Clone, decimals: usize, unit: &str) -> String {
    let least = values.clone().reduce(f64::min);
    let greatest = values.reduce(f64::max);
    let (Some(least), Some(greatest)) = (least, greatest) else {
        return String::new();
    };
    let print = |value: f64| format!("{value:.decimals$}");
    let (least, greatest) = (print(least), print(greatest));
    if least == greatest {
        format!("{least} {unit}")
    } else {
        format!("{least} to {greatest} {unit}")
    }
}
