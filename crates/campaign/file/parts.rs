//! Power units, torque devices, wings and pilots.

use super::suggest::suggestion;
use super::table::Table;
use crate::model::usual::{DRIVE_EFFICIENCY, POWER_STD_U_SHARE};
use crate::model::{Device, DeviceKind, EnginePoint, Pilot, PowerUnit, PropellerDirection, SCENARIOS, Wing};
use driftless_units::Scenario;
use std::collections::BTreeMap;

/// Names that stand twice get their key behind them: in a report two things never look alike.
pub(super) fn told_apart<T>(mut list: Vec<T>, name_and_key: fn(&mut T) -> (&mut String, &str)) -> Vec<T> {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for item in &mut list {
        *counts.entry(name_and_key(item).0.clone()).or_insert(0) += 1;
    }
    for item in &mut list {
        let (name, key) = name_and_key(item);
        if counts.get(name).is_some_and(|count| *count > 1) {
            *name = format!("{name} ({key})");
        }
    }
    list
}

pub(super) fn power_units(root: &Table<'_, '_, '_>) -> Vec<PowerUnit> {
    let units =
        root.named("power_units", "power unit").into_iter().map(|(key, table)| power_unit(key, &table)).collect();
    told_apart(units, |unit| (&mut unit.name, &unit.key))
}

fn power_unit(key: String, table: &Table<'_, '_, '_>) -> PowerUnit {
    let propeller = table.word(
        "propeller",
        &[("clockwise", PropellerDirection::Clockwise), ("anticlockwise", PropellerDirection::Anticlockwise)],
    );
    if propeller.is_none() {
        table.missing("propeller", "\"clockwise\" (as seen from behind)");
    }
    let unit = PowerUnit {
        name: table.text("name").unwrap_or_else(|| key.clone()),
        reduction_ratio: required(table, "reduction_ratio", (0.2, 20.0), "2.87"),
        drive_efficiency: table.number("drive_efficiency", 0.5, 1.0).unwrap_or(DRIVE_EFFICIENCY),
        propeller: propeller.unwrap_or(PropellerDirection::Clockwise),
        engine: engine(table),
        key,
    };
    table.done();
    unit
}

fn engine(table: &Table<'_, '_, '_>) -> BTreeMap<Scenario, EnginePoint> {
    let what = format!("the engine of {}", table.what());
    let Some(points) = table.table("engine", what) else { return BTreeMap::new() };
    let mut engine = BTreeMap::new();
    for scenario in SCENARIOS {
        let what = format!("the engine of {} at {}", table.what(), scenario.name());
        let Some(point) = points.table(scenario.name(), what) else { continue };
        let power_kw = required(&point, "power_kw", (0.0, 200.0), "6.5");
        engine.insert(
            scenario,
            EnginePoint {
                power_kw,
                power_std_u_kw: point.number("power_std_u_kw", 0.0, 50.0).unwrap_or(POWER_STD_U_SHARE * power_kw),
                speed_rpm: required(&point, "speed_rpm", (100.0, 30_000.0), "6000"),
            },
        );
        point.done();
    }
    points.done();
    engine
}

pub(super) fn devices(root: &Table<'_, '_, '_>) -> Vec<Device> {
    let devices = root.named("devices", "torque device").into_iter().map(|(key, table)| device(key, &table)).collect();
    told_apart(devices, |device| (&mut device.name, &device.key))
}

fn device(key: String, table: &Table<'_, '_, '_>) -> Device {
    let limit = |key| table.number(key, -1e4, 1e4);
    let range = match (limit("lowest_setting"), limit("highest_setting")) {
        (Some(low), Some(high)) if low < high => Some((low, high)),
        (None, None) => None,
        _ => {
            table.fault(
                "lowest_setting",
                format!("{} needs a lowest setting below its highest", table.what()),
                Some("give lowest_setting and highest_setting, or neither".to_owned()),
            );
            None
        }
    };
    let device = Device {
        name: table.text("name").unwrap_or_else(|| key.clone()),
        model: table.word(
            "model",
            &[("constant", DeviceKind::Constant), ("propwash", DeviceKind::Propwash), ("mixed", DeviceKind::Mixed)],
        ),
        setting_unit: table.text("setting_unit"),
        setting_range: range,
        key,
    };
    table.done();
    device
}

pub(super) fn wings(root: &Table<'_, '_, '_>) -> Vec<Wing> {
    let wing = |(key, table): (String, Table<'_, '_, '_>)| {
        let wing = Wing {
            name: table.text("name").unwrap_or_else(|| key.clone()),
            area_m2: table.number("area_m2", 5.0, 60.0),
            mass_kg: table.number("mass_kg", 0.5, 30.0),
            class: table.text("class"),
            key,
        };
        table.done();
        wing
    };
    told_apart(root.named("wings", "wing").into_iter().map(wing).collect(), |wing| (&mut wing.name, &wing.key))
}

pub(super) fn pilots(root: &Table<'_, '_, '_>) -> Vec<Pilot> {
    let pilot = |(key, table): (String, Table<'_, '_, '_>)| {
        let pilot = Pilot {
            name: table.text("name").unwrap_or_else(|| key.clone()),
            all_up_kg: table.number("all_up_kg", 40.0, 400.0),
            body_kg: table.number("body_kg", 25.0, 250.0),
            student: table.flag("student").unwrap_or(false),
            key,
        };
        table.done();
        pilot
    };
    let pilots = root.named("pilots", "pilot").into_iter().map(pilot).collect();
    told_apart(pilots, |pilot| (&mut pilot.name, &pilot.key))
}

/// A number that must be there; NaN stands in for one that is missing, which has been noted.
pub(super) fn required(table: &Table<'_, '_, '_>, key: &'static str, (low, high): (f64, f64), example: &str) -> f64 {
    table.number(key, low, high).unwrap_or_else(|| {
        table.missing(key, example);
        f64::NAN
    })
}

/// How much each scenario counts: what the file says, 1 where it says nothing.
pub(super) fn scenario_weights(root: &Table<'_, '_, '_>) -> BTreeMap<Scenario, f64> {
    let mut weights: BTreeMap<Scenario, f64> = SCENARIOS.into_iter().map(|scenario| (scenario, 1.0)).collect();
    let Some(table) = root.table("weights", "the weights") else { return weights };
    for scenario in SCENARIOS {
        if let Some(weight) = table.number(scenario.name(), 0.0, 1000.0) {
            weights.insert(scenario, weight);
        }
    }
    if weights.values().all(|weight| *weight == 0.0) {
        root.fault("weights", "every scenario has the weight 0", Some("give at least one a weight".to_owned()));
    }
    table.done();
    weights
}

/// A scenario by its name, with advice where there is none.
pub(super) fn scenario(name: &str) -> Result<Scenario, (String, Option<String>)> {
    let names: Vec<&str> = SCENARIOS.iter().map(|scenario| scenario.name()).collect();
    let plain = name.trim().to_lowercase().replace([' ', '_'], "-");
    SCENARIOS
        .into_iter()
        .find(|scenario| scenario.name() == plain)
        .ok_or_else(|| (format!("there is no scenario \"{name}\""), suggestion(name, &names)))
}
