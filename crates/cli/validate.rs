//! `driftless validate`: simulated flights through the whole program, against their truth.

use crate::args::{ClassChoice, SeedChoice, StudyChoice, ValidateArgs};
use crate::input;
use crate::outcome::Outcome;
use crate::output::{Place, to_stdout};
use crate::terminal::Progress;
use anyhow::Context;
use driftless_charts::Chart;
use driftless_sim::reference::{AirClass, Condition};
use driftless_validate::campaigns::{self, DaySpread, drawn, flown};
use driftless_validate::charts::charts;
use driftless_validate::inertial::{self, InertialStudyScore};
use driftless_validate::run::StudyScore;
use driftless_validate::study::{Seeds, Variant, plan};
use driftless_validate::tables::{Table, tables};
use driftless_validate::{method, ordinary, page, published, run, settling};
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Campaigns that are drawn for each one that is flown.
const DRAWN_FOR_EACH_FLOWN: u64 = 15;
/// The same of campaigns whose days differ otherwise than is held typical, for each of those.
const OTHERWISE_FOR_EACH_FLOWN: u64 = 4;

pub(crate) fn run(args: &ValidateArgs) -> anyhow::Result<Outcome> {
    let classes: Vec<AirClass> = args.classes.iter().map(|c| class(*c)).collect();
    let studies = plan(&classes, &variants(&args.studies), args.windows);
    let seeds = match args.seeds {
        SeedChoice::Tuning => Seeds::Tuning,
        SeedChoice::Judging => Seeds::Judging,
    };
    let jobs = args.jobs.unwrap_or_else(|| std::thread::available_parallelism().map_or(1, usize::from));
    let with_sensor = if args.studies.contains(&StudyChoice::Inertial) {
        inertial::study::plan(&classes, args.inertial_flights)
    } else {
        Vec::new()
    };
    let conditions: &[Condition] = if args.studies.contains(&StudyChoice::Ordinary) { &Condition::ALL } else { &[] };
    let of_conditions = conditions.len() as u64 * args.ordinary_flights;
    let settling_flights = if args.studies.contains(&StudyChoice::Settling) { args.settling_flights } else { 0 };
    let campaigns = if args.studies.contains(&StudyChoice::Campaigns) { args.campaigns } else { 0 };
    let to_fly = flown::Plan::new(campaigns, seeds);
    let flights = run::flights(&studies) + inertial::flights(&with_sensor) + of_conditions + settling_flights;
    let progress = Progress::start("flights", usize::try_from(flights + to_fly.flights())?);
    let landed = AtomicUsize::new(0);
    let done = || progress.step(landed.fetch_add(1, Ordering::Relaxed) + 1, "flown and measured");
    let scores = run::run(&studies, seeds, jobs, &done)?;
    let of_sensor = inertial::run(&with_sensor, seeds, jobs, &done)?;
    let ordinary = ordinary::run(conditions, args.ordinary_flights, seeds, jobs, &done)?;
    let settled = settling::run(&classes, settling_flights, seeds, jobs, &done)?;
    let of_flown = to_fly.run(seeds, jobs, &done)?;
    drop(progress);
    let of_drawn = drawn::run(DRAWN_FOR_EACH_FLOWN * campaigns, DaySpread::TYPICAL, seeds, jobs)?;
    let otherwise = DaySpread::OTHERWISE.map(|spread| {
        drawn::run(OTHERWISE_FOR_EACH_FLOWN * campaigns, spread, seeds, jobs).map(|scores| (spread, scores))
    });
    let otherwise: Vec<_> = otherwise.into_iter().collect::<Result<_, _>>()?;
    let mut tables = tables(&scores);
    tables.extend(ordinary::tables::tables(&ordinary));
    tables.extend(inertial::tables::tables(&of_sensor));
    tables.extend((!settled.is_empty()).then(|| settling::table(&settled)));
    tables.extend(campaigns::tables::tables(&of_drawn, &of_flown));
    tables.extend((campaigns > 0).then(|| campaigns::tables::otherwise(&otherwise)));
    print(&tables)?;
    if args.studies.contains(&StudyChoice::Published) {
        let checks = published::checks();
        let met = checks.iter().filter(|c| c.holds()).count();
        to_stdout(format!("Published and derived checks: {met} of {} figures met\n", checks.len()).as_bytes())?;
        for missed in checks.iter().filter(|c| !c.holds()) {
            to_stdout(format!("  {}: {} expected, {} got\n", missed.what, missed.expected, missed.got).as_bytes())?;
        }
        tables.extend(published::tables(&checks));
    }
    let of_method = if args.studies.contains(&StudyChoice::Method) { method::tables() } else { Vec::new() };
    if let Some(folder) = &args.out {
        let charts: Vec<Chart> = charts(&scores).into_iter().chain(inertial::chart::chart(&of_sensor)).collect();
        if !(tables.is_empty() && charts.is_empty()) {
            let made = made_by(args, seeds, &scores, &of_sensor, settled.len(), !ordinary.is_empty());
            write_page(folder, made, &tables, &charts)?;
        }
        if !of_method.is_empty() {
            let blocks: Vec<page::Block> = of_method.iter().map(page::Block::table).collect();
            fill(&folder.join("method.md"), "# Method\n", &blocks)?;
        }
    } else {
        print(&of_method)?;
    }
    Ok(Outcome::Made)
}

/// How the parts of the page that this run makes were made.
fn made_by(
    args: &ValidateArgs,
    seeds: Seeds,
    scores: &[StudyScore],
    of_sensor: &[InertialStudyScore],
    settled: usize,
    ordinary: bool,
) -> Vec<page::Block> {
    let made = |name, amount: String| {
        page::Block::made_by(name, env!("CARGO_PKG_VERSION"), &input::command_line(), seeds, &amount)
    };
    let mut blocks = Vec::new();
    if !scores.is_empty() {
        blocks.push(made("made-by", format!("{} windows in each class of air on the reference flights", args.windows)));
    }
    if !of_sensor.is_empty() {
        let amount = format!("{} flights in each class of air for windows of 10 s and of 60 s", args.inertial_flights);
        blocks.push(made("inertial-made-by", amount));
    }
    if ordinary {
        blocks.push(made("ordinary-made-by", format!("{} flights under each condition", args.ordinary_flights)));
    }
    if settled > 0 {
        blocks.push(made("settling-made-by", format!("{settled} reference flights, classes of air in turn")));
    }
    if args.studies.contains(&StudyChoice::Campaigns) {
        let amount = format!(
            "{} campaigns drawn and {} flown, days that differ by 0.10 °/s and 4 % of the turn where nothing else stands",
            DRAWN_FOR_EACH_FLOWN * args.campaigns,
            args.campaigns
        );
        blocks.push(made("campaigns-made-by", amount));
    }
    blocks
}

/// Puts the tables into `validation.md`, which keeps its words if it is there, and the charts beside it.
fn write_page(folder: &Path, made: Vec<page::Block>, tables: &[Table], charts: &[Chart]) -> anyhow::Result<()> {
    let mut blocks = made;
    blocks.extend(tables.iter().map(page::Block::table));
    blocks.extend(charts.iter().map(page::Block::chart));
    for chart in charts {
        Place::File(folder.join(page::image(chart))).write(chart.svg.as_bytes())?;
    }
    fill(&folder.join("validation.md"), "# Validation\n", &blocks)
}

/// Puts blocks into a page, which keeps its words if it is there, and begins with `head` if it is not.
fn fill(path: &Path, head: &str, blocks: &[page::Block]) -> anyhow::Result<()> {
    let text = match std::fs::read_to_string(path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => head.to_owned(),
        Err(error) => return Err(error).with_context(|| format!("cannot read {}", input::name_of(path))),
    };
    let text = page::fill(&text, blocks).with_context(|| input::name_of(path))?;
    Place::File(path.to_owned()).write(text.as_bytes())
}

fn print(tables: &[Table]) -> anyhow::Result<()> {
    for table in tables {
        to_stdout(format!("{}\n\n{}\n", table.title, table.markdown()).as_bytes())?;
    }
    Ok(())
}

fn class(choice: ClassChoice) -> AirClass {
    match choice {
        ClassChoice::Still => AirClass::Still,
        ClassChoice::Light => AirClass::Light,
        ClassChoice::Moderate => AirClass::Moderate,
    }
}

fn variants(choices: &[StudyChoice]) -> Vec<Variant> {
    let chosen = |variant: &Variant| {
        choices.contains(&match variant {
            Variant::Reference => StudyChoice::Reference,
            Variant::Gpx1Hz | Variant::Igc1Hz => StudyChoice::Formats,
            Variant::NoOrbits => StudyChoice::NoOrbits,
            Variant::Unmarked => StudyChoice::Unmarked,
            Variant::StrongWind => StudyChoice::StrongWind,
            Variant::Length(_) => StudyChoice::Lengths,
        })
    };
    Variant::ALL.into_iter().filter(chosen).collect()
}
