//! From the text of a campaign file to a campaign.

use super::fault::CampaignFileError;
use super::fields::{LEAST_ERROR, MOST_POINTING_DEG, MOST_READING_S, Names, StopwatchDefaults};
use super::folder::Folder;
use super::parts::{devices, pilots, power_units, scenario_weights, wings};
use super::runs::{flight_keys, flights, stopwatch_run, weight_run};
use super::setups::{Parts, setups};
use super::sheet;
use super::table::{Reading, Table};
use crate::model::usual::{POINTING_STD_U_DEG, READING_STD_U_S};
use crate::model::{Campaign, PlanWishes};
use driftless_track::{InputLimit, InputLimits};
use std::ops::Range;
use toml::de::DeTable;

/// Half-width of a compensation's interval that is worth having, percentage points, where the file names none: enough to
/// tell "most of it" from "half of it". Common practice, no source.
const WISHED_HALF_WIDTH_PERCENT: f64 = 10.0;

/// Residual turn that is still fine, where the file says nothing, °/min: a heading that goes by the width of a hand at arm's
/// length in half a minute. Common practice, no source.
const TOLERATED_TURN_DEG_MIN: f64 = 30.0;

/// Reads a campaign file. `file` is its name in messages, `folder` what stands beside it.
///
/// # Errors
/// Everything that is wrong in the file and in its sheets, each with line, excerpt and advice.
pub fn read(text: &str, file: &str, folder: &dyn Folder) -> Result<Campaign, CampaignFileError> {
    read_within(text, file, folder, &InputLimits::default())
}

/// The same for campaigns larger than is usual.
///
/// # Errors
/// Those of [`read`], at the limits given.
pub fn read_within(
    text: &str,
    file: &str,
    folder: &dyn Folder,
    limits: &InputLimits,
) -> Result<Campaign, CampaignFileError> {
    let reading = Reading::new(file, text, *limits);
    let document = DeTable::parse(text).map_err(|error| {
        let span = error.span().unwrap_or(0..1);
        let message = format!("this is not TOML: {}", error.message().trim_end().replace('\n', "; "));
        CampaignFileError { faults: vec![reading.source.fault(span, message, None)], more: 0 }
    })?;
    let campaign = {
        let root = Table::new(&reading, document.get_ref(), "the campaign file".to_owned(), 0..1);
        let campaign = campaign(&root, folder);
        root.done();
        campaign
    };
    reading.into_error().map_or(Ok(campaign), Err)
}

fn campaign(root: &Table<'_, '_, '_>, folder: &dyn Folder) -> Campaign {
    let parts =
        Parts { power_units: power_units(root), devices: devices(root), wings: wings(root), pilots: pilots(root) };
    let setups = setups(root, &parts);
    let title = root.text("title").unwrap_or_else(|| {
        root.missing("title", "\"Offset hang points against vanes\"");
        String::new()
    });
    let flight_tables = root.list("flights", "flight");
    let names = Names {
        setups: &setups,
        setup_keys: setups.iter().map(|s| s.key.as_str()).collect(),
        wing_keys: parts.wings.iter().map(|w| w.key.as_str()).collect(),
        pilot_keys: parts.pilots.iter().map(|p| p.key.as_str()).collect(),
        flight_keys: flight_keys(&flight_tables),
        stopwatch: stopwatch_defaults(root),
        limits: root.reading().limits,
    };
    if parts.wings.is_empty() && !root.has("wings") {
        root.missing("wings", "[wings.a-wing] and its values below");
    }
    let stopwatch_tables = root.list("stopwatch", "stopwatch run");
    let weight_tables = root.list("known_weight", "known-weight run");
    let limits = root.reading().limits;
    let mut counted = flight_tables.len() + stopwatch_tables.len() + weight_tables.len();
    let too_many = |counted: usize, span: Range<usize>| match limits.hold(InputLimit::Runs, counted, None) {
        Ok(()) => false,
        Err(over) => {
            root.reading().fault(span, over.to_string(), None);
            true
        }
    };
    let flights = if too_many(counted, 0..1) { Vec::new() } else { flights(&flight_tables, &names, folder) };
    let mut stopwatch_runs = Vec::new();
    for table in stopwatch_tables.into_iter().take(limits.of(InputLimit::Runs)) {
        stopwatch_runs.extend(stopwatch_run(&table, &names));
        table.done();
    }
    let mut weight_runs = Vec::new();
    for table in weight_tables.into_iter().take(limits.of(InputLimit::Runs)) {
        weight_runs.extend(weight_run(&table, &names));
        table.done();
    }
    for (path, span) in root.texts("sheets") {
        match folder.text(&path) {
            Ok(text) => {
                let left = limits.of(InputLimit::Runs).saturating_sub(counted);
                let runs = sheet::read(&path, &text, &names, left + 1);
                counted += runs.stopwatch.len() + runs.weights.len();
                if too_many(counted, span) {
                    break;
                }
                stopwatch_runs.extend(runs.stopwatch);
                weight_runs.extend(runs.weights);
                root.reading().take(runs.faults);
            }
            Err(why) => {
                root.reading().fault(span, why, Some("paths count from the folder of the campaign file".to_owned()));
            }
        }
    }
    Campaign {
        title,
        club: root.text("club"),
        note: root.text("note"),
        wished_half_width_percent: root
            .number("wished_half_width_percent", 0.5, 100.0)
            .unwrap_or(WISHED_HALF_WIDTH_PERCENT),
        tolerated_turn_deg_min: root.number("tolerated_turn_deg_min", 1.0, 720.0).unwrap_or(TOLERATED_TURN_DEG_MIN),
        scenario_weights: scenario_weights(root),
        plan: plan(root),
        flights,
        stopwatch_runs,
        weight_runs,
        power_units: parts.power_units,
        devices: parts.devices,
        wings: parts.wings,
        pilots: parts.pilots,
        setups,
    }
}

/// Errors of a stopwatch, where the file states none of its own.
fn stopwatch_defaults(root: &Table<'_, '_, '_>) -> StopwatchDefaults {
    let mut defaults = StopwatchDefaults { reading_std_u_s: READING_STD_U_S, pointing_std_u_deg: POINTING_STD_U_DEG };
    if let Some(table) = root.table("stopwatch_defaults", "the stopwatch defaults") {
        let read = |key, high, value: &mut f64| *value = table.number(key, LEAST_ERROR, high).unwrap_or(*value);
        read("reading_std_u_s", MOST_READING_S, &mut defaults.reading_std_u_s);
        read("pointing_std_u_deg", MOST_POINTING_DEG, &mut defaults.pointing_std_u_deg);
        table.done();
    }
    defaults
}

fn plan(root: &Table<'_, '_, '_>) -> PlanWishes {
    let mut plan = PlanWishes::default();
    let Some(table) = root.table("plan", "the plan") else { return plan };
    let whole = |key, low, high, value: u32| table.whole(key, low, high).unwrap_or(value);
    let number = |key, low, high, value: f64| table.number(key, low, high).unwrap_or(value);
    plan.seed = u64::from(whole("seed", 0, u32::MAX, 1));
    plan.repeats = whole("repeats", 1, 50, plan.repeats);
    plan.days = whole("days", 1, 30, plan.days);
    plan.hands_off_s = number("hands_off_s", 20.0, 600.0, plan.hands_off_s);
    plan.height_low_m = number("height_low_m", 100.0, 5000.0, plan.height_low_m);
    plan.height_high_m = number("height_high_m", 100.0, 6000.0, plan.height_high_m);
    plan.abort_height_m = table.number("abort_height_m", 50.0, 5000.0);
    plan.wind_limit_mps = number("wind_limit_mps", 0.5, 15.0, plan.wind_limit_mps);
    let heights = [plan.abort_height_m, Some(plan.height_low_m), Some(plan.height_high_m)];
    let heights: Vec<f64> = heights.into_iter().flatten().collect();
    if !heights.is_sorted_by(|low, high| low < high) {
        let key = if table.has("abort_height_m") { "abort_height_m" } else { "height_low_m" };
        let lowest = plan.abort_height_m.map_or(String::new(), |height| format!("abort_height_m ({height}) over "));
        let message = format!(
            "heights of the plan must grow from {lowest}height_low_m ({}) to height_high_m ({})",
            plan.height_low_m, plan.height_high_m
        );
        table.fault(key, message, None);
    }
    table.done();
    plan
}
