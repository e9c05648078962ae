//! `gapbook triage`: whether a board needs opening at all.

use std::io::{self, Write};

use clap::ValueEnum;
use gapbook::Failure;
use gapbook::book::{Board, Job};
use gapbook::heat::{self, Limits, Read, Readings, Sensor, Triage, Verdict, fahrenheit};

use super::find::one_board;
use super::output::BOLD;
use super::text::{self, points, title};
use super::{Context, Form, Outcome, job, output};

/// Least and greatest of what may be given: what a record may say.
const CELSIUS: [f64; 2] = [-30.0, 150.0];
const WATTS: [f64; 2] = [0.1, 3000.0];
const SPEEDS: [f64; 2] = [0.0, 30_000.0];

/// Say whether a board needs opening: leave it, watch it, open it, or measure first
///
/// Compares temperatures under steady load with the board's limits and with the healthy jobs of the book.
/// A board well inside its limits is left closed: opening it for a few degrees is how most of them die.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  gapbook triage osk-tern-240 --ambient 24 --heat 238 --die 72 --hotspot 84 --memory 80 --throttling no
  gapbook triage tern-240 --ambient 23 --die 77 --hotspot 107 --throttling
  gapbook triage osk-tern-240 --job 2025-11-08-quayside-2

Exit status: 0 leave it or watch it, 1 open it or measure first, 2 could not run.")]
pub(super) struct Options {
    /// The board's id, or another name that means it alone
    #[arg(value_name = "BOARD")]
    board: String,

    /// Take what a job of the board wrote down before it was opened; options below replace it
    #[arg(long, value_name = "JOB")]
    job: Option<String>,

    /// Of the room, °C
    #[arg(long, value_name = "C", allow_hyphen_values = true)]
    ambient: Option<String>,

    /// Of the die's mean, °C
    #[arg(long, value_name = "C", allow_hyphen_values = true)]
    die: Option<String>,

    /// Of the die's hottest place, °C
    #[arg(long, value_name = "C", allow_hyphen_values = true)]
    hotspot: Option<String>,

    /// Of the memory, °C
    #[arg(long, value_name = "C", allow_hyphen_values = true)]
    memory: Option<String>,

    /// The board's heat under this load, W
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    heat: Option<String>,

    /// The fan's speed, 1/min; 0 if it stands still
    #[arg(long, value_name = "RPM", allow_hyphen_values = true)]
    fan: Option<String>,

    /// Whether it lowers its clock under load
    #[arg(long, value_name = "YES/NO", num_args = 0..=1, default_missing_value = "yes")]
    throttling: Option<Answer>,

    /// Whether it stops working or shows faults
    #[arg(long, value_name = "YES/NO", num_args = 0..=1, default_missing_value = "yes")]
    crashing: Option<Answer>,

    /// There is dust in the fins
    #[arg(long)]
    dusty: bool,

    /// The temperatures are in °C, however high they look
    #[arg(long)]
    celsius: bool,

    /// Print text for people, or one JSON object
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM")]
    form: Form,
}

/// Yes or no; left out, it is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Answer {
    Yes,
    No,
}

/// Decides whether a board needs opening, and prints it.
pub(super) fn run(context: &Context, options: &Options) -> Result<Outcome, Failure> {
    let (book, bar) = context.load()?;
    let board = one_board(&book, &options.board)?;
    let without = "give the temperatures as options";
    let job = options.job.as_deref();
    let job = job.map(|name| job::of(&book, board, name, without));
    let job = job.transpose()?;
    let limits = heat::board::limits(board);
    let readings = readings(options, job, &limits)?;
    let normal = heat::board::normal(board, job);
    let mut found = heat::triage(&readings, &limits, &normal);
    if !options.celsius {
        let doubt = fahrenheit_doubt(&readings, &limits);
        found.first.splice(..0, doubt);
    }
    drop(bar);
    output::print(|out| match options.form {
        Form::Json => text::write_json(out, &found),
        Form::Text => print(out, board, &found, output::width()),
    })?;
    Ok(match found.verdict {
        Verdict::Leave | Verdict::Watch => Outcome::Clean,
        Verdict::Open | Verdict::NotKnown => Outcome::Findings,
    })
}

/// Gathers what was read: from a job, and from the options over it.
fn readings(options: &Options, job: Option<&Job>, limits: &Limits) -> Result<Readings, Failure> {
    let before = job.and_then(|job| job.record.before.as_ref());
    let mut readings = before.map_or_else(Readings::default, heat::board::readings);
    temperatures(options, &mut readings, limits)?;
    if let Some(written) = &options.heat {
        readings.heat_w = Some(amount("heat", written, WATTS, "W")?);
    }
    if let Some(written) = &options.fan {
        readings.fan_rpm = Some(amount("fan", written, SPEEDS, "1/min")?);
    }
    let says = |answer: Option<Answer>| answer.map(|answer| answer == Answer::Yes);
    readings.throttling = says(options.throttling).or(readings.throttling);
    readings.crashing = says(options.crashing).or(readings.crashing);
    readings.dusty |= options.dusty;
    order(&readings)?;
    Ok(readings)
}

/// Reads the temperatures, and asks about those that look like °F together.
fn temperatures(
    options: &Options,
    readings: &mut Readings,
    limits: &Limits,
) -> Result<(), Failure> {
    let written = [
        (Read::Room, "ambient", &options.ambient),
        (Read::Sensor(Sensor::Die), "die", &options.die),
        (Read::Sensor(Sensor::Hotspot), "hotspot", &options.hotspot),
        (Read::Sensor(Sensor::Memory), "memory", &options.memory),
    ];
    let given = || {
        let given = written.iter().copied();
        given.filter_map(|(read, option, written)| Some((read, option, written.as_deref()?)))
    };
    let mut in_fahrenheit = Vec::new();
    for (read, option, written) in given() {
        let (number, is_fahrenheit) = temperature(option, written)?;
        if is_fahrenheit {
            in_fahrenheit.push((read, fahrenheit::celsius(number)));
        } else {
            *readings.slot(read) = Some(number);
        }
    }
    if !options.celsius {
        in_fahrenheit.extend(fahrenheit::together(readings, limits));
    }
    let asks = given().filter_map(|(read, option, written)| {
        let (_, meant) = in_fahrenheit.iter().find(|(other, _)| *other == read)?;
        let written = format!("--{option} {}", text::line(written));
        Some([written, format!("--{option} {meant:.0}")])
    });
    let asks: Vec<[String; 2]> = asks.collect();
    if !asks.is_empty() {
        return Err(ask(&asks));
    }
    for (read, option, written) in given() {
        if let Some(number) = *readings.slot(read) {
            within(number, option, written, CELSIUS, "°C")?;
        }
    }
    Ok(())
}

/// Asks about temperatures that look like °F, each as written and as it is in °C.
fn ask(doubted: &[[String; 2]]) -> Failure {
    let list = |index: usize| -> Vec<&str> {
        let options = doubted.iter().map(|one| one[index].as_str());
        options.collect()
    };
    let (written, meant) = (list(0).join("`, `"), list(1).join(" "));
    let room = doubted
        .first()
        .filter(|[written, _]| written.starts_with("--ambient"));
    let alone = room.map_or_else(String::new, |[_, meant]| {
        format!("; if the room alone is, write `{meant}` and leave the rest")
    });
    match doubted.len() {
        1 => Failure::new(format!("`{written}` looks like °F")).help(format!(
            "if it is, write `{meant}`, which is the same in °C; if it is °C, add `--celsius`"
        )),
        _ => Failure::new(format!("`{written}` look like °F")).help(format!(
            "if they are, write `{meant}`, which is the same in °C{alone}; if they are °C, add `--celsius`"
        )),
    }
}

/// Reads a temperature, and whether it is said to be in °F.
fn temperature(option: &str, written: &str) -> Result<(f64, bool), Failure> {
    let bare = written.trim().trim_end_matches(['C', 'c', '°', ' ']);
    let in_fahrenheit = bare.strip_suffix(['F', 'f']);
    let number = in_fahrenheit.map_or(bare, |bare| bare.trim_end_matches(['°', ' ']));
    let number = number
        .parse()
        .map_err(|_| not_a_number(option, written, "°C"))?;
    Ok((number, in_fahrenheit.is_some()))
}

fn amount(option: &str, written: &str, range: [f64; 2], unit: &str) -> Result<f64, Failure> {
    let number: f64 = written
        .trim()
        .parse()
        .map_err(|_| not_a_number(option, written, unit))?;
    within(number, option, written, range, unit)
}

fn within(
    number: f64,
    option: &str,
    written: &str,
    [least, most]: [f64; 2],
    unit: &str,
) -> Result<f64, Failure> {
    if (least..=most).contains(&number) {
        return Ok(number);
    }
    let help = if option == "heat" && number == 0.0 {
        "a board under load gives off heat; leave `--heat` out if nobody read it".to_owned()
    } else {
        format!("it lies between {least} and {most} {unit}")
    };
    Err(Failure::new(format!("`--{option} {}` cannot be", text::line(written))).help(help))
}

fn not_a_number(option: &str, written: &str, unit: &str) -> Failure {
    Failure::new(format!("`--{option} {}` is no number", text::line(written)))
        .help(format!("write it in {unit}, with a decimal point"))
}

/// Refuses temperatures that exclude each other.
fn order(readings: &Readings) -> Result<(), Failure> {
    heat::impossible(readings).map_or(Ok(()), |why| {
        Err(Failure::new(why).help("read them again, all within a minute of steady load"))
    })
}

/// Names what chips far over their limits would be, had they been read in °F beside a room in °C.
fn fahrenheit_doubt(readings: &Readings, limits: &Limits) -> Option<String> {
    let meant = fahrenheit::beside_celsius(readings, limits);
    let words = meant
        .iter()
        .map(|(sensor, meant)| format!("the {sensor} would be at {meant:.0} °C"));
    let words: Vec<String> = words.collect();
    (!words.is_empty()).then(|| format!("a display in °F: {}", words.join(", ")))
}

fn print(out: &mut dyn Write, board: &Board, found: &Triage, width: usize) -> io::Result<()> {
    let (heading, id) = (text::heading(board), text::line(board.id()));
    writeln!(out, "{heading}  {id}: {BOLD}{}{BOLD:#}", found.verdict)?;
    title(out, "Why")?;
    points(out, &found.reasons, width)?;
    for (heading, list) in [
        ("Rule out first", &found.first),
        ("Measure", &found.measure),
    ] {
        if !list.is_empty() {
            title(out, heading)?;
            points(out, list, width)?;
        }
    }
    Ok(())
}
