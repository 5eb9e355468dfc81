//! Set-ups and their baselines.

use super::fields::refer;
use super::parts::told_apart;
use super::suggest::suggestion;
use super::table::Table;
use crate::model::{Claim, Device, DeviceId, Pilot, PilotId, PowerUnit, PowerUnitId, Setup, SetupId, Wing, WingId};

/// The word for "there is no baseline, and I know it".
pub(super) const NONE: &str = "none";

/// What set-ups are made of.
pub(super) struct Parts {
    pub(super) power_units: Vec<PowerUnit>,
    pub(super) devices: Vec<Device>,
    pub(super) wings: Vec<Wing>,
    pub(super) pilots: Vec<Pilot>,
}

pub(super) fn setups(root: &Table<'_, '_, '_>, parts: &Parts) -> Vec<Setup> {
    let tables = root.named("setups", "set-up");
    if tables.is_empty() && !root.has("setups") {
        root.missing("setups", "[setups.bare] and its values below");
    }
    let setups = tables.iter().map(|(key, table)| setup(key, table, parts)).collect();
    let mut setups: Vec<Setup> = told_apart(setups, |setup| (&mut setup.name, &setup.key));
    let baselines: Vec<Option<SetupId>> =
        tables.iter().zip(&setups).map(|((_, table), setup)| baseline(table, setup, &setups)).collect();
    for (setup, baseline) in setups.iter_mut().zip(baselines) {
        setup.baseline = baseline;
    }
    tables.iter().for_each(|(_, table)| table.done());
    setups
}

/// A set-up, its baseline still open.
fn setup(key: &str, table: &Table<'_, '_, '_>, parts: &Parts) -> Setup {
    let keys = |list: Vec<&'_ String>| -> Vec<String> { list.into_iter().cloned().collect() };
    let find = |field: &'static str, what: &str, known: Vec<String>| {
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        refer(table, field, what, &known)
    };
    let power_unit = find("power_unit", "power unit", keys(parts.power_units.iter().map(|p| &p.key).collect()));
    if power_unit.is_none() {
        let example = parts.power_units.first().map_or("name", |unit| unit.key.as_str());
        table.missing("power_unit", &format!("\"{example}\""));
    }
    let device = find("device", "torque device", keys(parts.devices.iter().map(|d| &d.key).collect())).map(DeviceId);
    let setup = Setup {
        key: key.to_owned(),
        name: table.text("name").unwrap_or_else(|| key.to_owned()),
        power_unit: PowerUnitId(power_unit.unwrap_or(0)),
        device,
        setting: table.number("setting", -1e4, 1e4),
        wing: find("wing", "wing", keys(parts.wings.iter().map(|w| &w.key).collect())).map(WingId),
        pilot: find("pilot", "pilot", keys(parts.pilots.iter().map(|p| &p.key).collect())).map(PilotId),
        baseline: None,
        claim: Claim {
            compensation_percent: table.number("claimed_compensation_percent", -100.0, 300.0),
            drift_deg_min: table.number("claimed_drift_deg_min", 0.0, 3600.0),
        },
        line: table.line(),
    };
    check_setting(table, &setup, parts);
    setup
}

fn check_setting(table: &Table<'_, '_, '_>, setup: &Setup, parts: &Parts) {
    let Some(setting) = setup.setting else { return };
    match setup.device.and_then(|id| parts.devices.get(id.0)) {
        None if !table.has("device") => table.fault(
            "setting",
            format!("{} has a setting but no torque device", table.what()),
            Some("name the device, or leave the setting out".to_owned()),
        ),
        Some(Device { setting_range: Some((low, high)), name, .. }) if !(*low..=*high).contains(&setting) => table
            .fault(
                "setting",
                format!("the setting {setting} of {} lies outside of what {name} can be set to", table.what()),
                Some(format!("it goes from {low} to {high}")),
            ),
        _ => {}
    }
}

/// The baseline of a set-up: the same power unit without torque device.
fn baseline(table: &Table<'_, '_, '_>, setup: &Setup, setups: &[Setup]) -> Option<SetupId> {
    let bare =
        |other: &&Setup| other.device.is_none() && other.power_unit == setup.power_unit && other.key != setup.key;
    let candidate = setups.iter().find(bare);
    let Some(name) = table.text("baseline") else {
        // A set-up without device is a baseline; only one with a device needs one.
        if table.has("device") && !table.has("baseline") {
            let help = match candidate {
                Some(bare) => format!("add a line baseline = \"{}\"", bare.key),
                None => "describe the same power unit without torque device as a set-up of its own and name it here; \
                         or write baseline = \"none\", and there will be residual turns but no compensation"
                    .to_owned(),
            };
            table.reading().fault(table.own_span(), format!("{} has no baseline", table.what()), Some(help));
        }
        return None;
    };
    if name == NONE {
        return None;
    }
    let keys: Vec<&str> = setups.iter().map(|s| s.key.as_str()).filter(|key| *key != setup.key).collect();
    let Some(found) = setups.iter().position(|s| s.key == name) else {
        table.fault("baseline", format!("there is no set-up \"{name}\""), suggestion(&name, &keys));
        return None;
    };
    let instead = candidate.map(|bare| format!("did you mean `{}`?", bare.key));
    let wrong = match &setups[found] {
        other if other.key == setup.key => Some(format!("{} cannot be its own baseline", table.what())),
        other if other.device.is_some() => {
            Some(format!("the baseline \"{name}\" has a torque device itself, so nothing could be told from it"))
        }
        other if other.power_unit != setup.power_unit => {
            Some(format!("the baseline \"{name}\" has another power unit than {}", table.what()))
        }
        _ => None,
    };
    if let Some(message) = wrong {
        table.fault("baseline", message, instead);
        return None;
    }
    Some(SetupId(found))
}
