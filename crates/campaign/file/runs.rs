//! Flights, stopwatch runs and known-weight runs.

use super::fields::{Fields, Names, flight, flown_with, scenario_named, scenario_of, side, timing};
use super::folder::Folder;
use super::suggest::nearest;
use super::table::Table;
use crate::model::{Flight, HungWeight, KnownWeightRun, LeftOut, StopwatchRun, WeightMeasured, WindowRef};
use std::collections::BTreeMap;

/// Uncertainties of a hung weight that gives none: a kitchen scale, and a tape held in flight position. Common
/// practice, no source.
const MASS_STD_U_KG: f64 = 0.02;
const ARM_STD_U_M: f64 = 0.02;

/// The key of a flight that gives itself none: the name of its log without folder and ending.
pub fn key_of_log(path: &str) -> String {
    let file = path.rsplit(['/', '\\']).next().unwrap_or(path);
    let file = file.strip_suffix(".gz").unwrap_or(file);
    file.rsplit_once('.').map_or(file, |(stem, _)| stem).to_owned()
}

/// The key of each flight, by which other runs name it.
pub(super) fn flight_keys(tables: &[Table<'_, '_, '_>]) -> Vec<String> {
    tables
        .iter()
        .enumerate()
        .map(|(i, table)| {
            let of_log = || table.has("log").then(|| table.text("log")).flatten().map(|log| key_of_log(&log));
            table.text("id").or_else(of_log).unwrap_or_else(|| format!("flight-{}", i + 1))
        })
        .collect()
}

pub(super) fn flights(tables: &[Table<'_, '_, '_>], names: &Names<'_>, folder: &dyn Folder) -> Vec<Flight> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut flights = Vec::new();
    for (table, key) in tables.iter().zip(&names.flight_keys) {
        if let Some(line) = seen.insert(key, table.line()) {
            table.fault(
                if table.has("id") { "id" } else { "log" },
                format!("a flight \"{key}\" stands in line {line} already"),
                Some("give this one an id of its own, or leave it out if it is the same flight".to_owned()),
            );
        }
        flights.extend(read_flight(table, key, names, folder));
        table.done();
    }
    flights
}

fn read_flight(table: &Table<'_, '_, '_>, key: &str, names: &Names<'_>, folder: &dyn Folder) -> Option<Flight> {
    let log = table.text("log");
    if log.is_none() {
        table.missing("log", "\"flights/2026-05-14.igc\"");
    }
    let (marks, csv_map, exclude) = (table.text("marks"), table.text("csv_map"), table.text("exclude"));
    let imu: Vec<String> = table.texts("imu").into_iter().map(|(path, _)| path).collect();
    let one = |field: &'static str, path: &Option<String>| path.clone().map(|path| (field, path));
    let named = [one("log", &log), one("marks", &marks), one("csv_map", &csv_map)].into_iter().flatten();
    for (field, path) in named.chain(imu.iter().map(|path| ("imu", path.clone()))) {
        // Nobody reads the files of a flight that is left out: they may be gone.
        if exclude.is_none() && !folder.holds(&path) {
            let near = folder.near(&path);
            let help = match nearest(&path, near.iter().map(String::as_str)) {
                Some(name) => format!("did you mean `{name}`?"),
                None => "paths count from the folder of the campaign file".to_owned(),
            };
            table.fault(field, format!("there is no file {path}"), Some(help));
        }
    }
    let scenario = Table::text(table, "scenario").and_then(|name| scenario_named(table, &name));
    let flight = Flight {
        key: key.to_owned(),
        take_candidates: table.flag("take_candidates").unwrap_or(false),
        leave_out: leave_out(table),
        temperature_c: table.number("temperature_c", -60.0, 60.0),
        qnh_hpa: table.number("qnh_hpa", 850.0, 1100.0),
        altitude_note: table.text("altitude_note"),
        note: table.text("note"),
        line: table.line(),
        with: flown_with(table, names)?,
        log: log?,
        marks,
        imu,
        csv_map,
        exclude,
        scenario,
    };
    Some(flight)
}

fn leave_out(table: &Table<'_, '_, '_>) -> Vec<LeftOut> {
    let read = |item: Table<'_, '_, '_>| {
        let window = item.whole("window", 1, 10_000);
        if window.is_none() {
            item.missing("window", "3");
        }
        let reason = item.text("reason");
        if reason.is_none() {
            item.missing("reason", "\"hands on the brakes\"");
        }
        item.done();
        Some(LeftOut { window: window?, reason: reason? })
    };
    table.list("leave_out", "left-out window").into_iter().filter_map(read).collect()
}

pub(super) fn stopwatch_run(fields: &dyn Fields, names: &Names<'_>) -> Option<StopwatchRun> {
    let same_run = same_run(fields, names);
    let with = flown_with(fields, names);
    let scenario = scenario_of(fields);
    let timing = timing(fields, names);
    let timed_by = fields.text("timed_by");
    let date = fields.date("date");
    let note = fields.text("note");
    Some(StopwatchRun {
        with: with?,
        scenario: scenario?,
        timing: timing?,
        timed_by,
        date,
        same_run,
        note,
        place: fields.place(),
    })
}

/// The window of a log that was timed.
fn same_run(fields: &dyn Fields, names: &Names<'_>) -> Option<WindowRef> {
    let flight = flight(fields, names);
    let window = fields.whole("window", 1, 10_000);
    if fields.has("flight") && !fields.has("window") {
        fields.missing("window", "3");
    } else if fields.has("window") && !fields.has("flight") {
        fields.missing("flight", "\"name of its log\"");
    }
    Some(WindowRef { flight: flight?, window: window? })
}

pub(super) fn weight_run(fields: &dyn Fields, names: &Names<'_>) -> Option<KnownWeightRun> {
    let need = |key, high, example| {
        let value = fields.number(key, 0.0, high);
        if value.is_none() {
            fields.missing(key, example);
        }
        value
    };
    let (mass_kg, arm_m) = (need("mass_kg", 50.0, "2.0"), need("arm_m", 3.0, "0.45"));
    let side = side(fields, "side");
    let mass_std_u_kg = fields.number("mass_std_u_kg", 0.0, 5.0).unwrap_or(MASS_STD_U_KG);
    let arm_std_u_m = fields.number("arm_std_u_m", 0.0, 1.0).unwrap_or(ARM_STD_U_M);
    let note = fields.text("note");
    let measured = if fields.has("flight") {
        let windows = fields.windows();
        flight(fields, names).map(|flight| WeightMeasured::Log { flight, windows })
    } else if fields.has("seconds") {
        let (with, scenario, timing) = (flown_with(fields, names), scenario_of(fields), timing(fields, names));
        with.zip(scenario).zip(timing).map(|((with, scenario), timing)| WeightMeasured::Stopwatch {
            with,
            scenario,
            timing,
        })
    } else {
        fields.missing("flight", "\"name of its log\" (or degrees, seconds and turned of a stopwatch)");
        None
    };
    let weight = HungWeight { mass_kg: mass_kg?, mass_std_u_kg, arm_m: arm_m?, arm_std_u_m, side: side? };
    Some(KnownWeightRun { weight, measured: measured?, note, place: fields.place() })
}
