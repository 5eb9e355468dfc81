//! The forms of what set-ups are made of, and what comes back from them.

use crate::failure::{Failure, Result};
use crate::forms::{Choice, check, needed, number, number_of, select, text, text_of};
use crate::request::Request;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::usual::{DRIVE_EFFICIENCY, POWER_STD_U_SHARE};
use driftless_analysis::campaign::model::{
    Campaign, Claim, Device, DeviceKind, EnginePoint, Pilot, PowerUnit, PropellerDirection, SCENARIOS, Setup, Wing,
};
use driftless_display::scenario_words;
use driftless_logbook::SetupItem;
use maud::{Markup, html};

fn called<T>(items: &[T], of: impl Fn(&T) -> (&String, &String)) -> Vec<Choice> {
    items
        .iter()
        .map(|item| {
            let (key, name) = of(item);
            (key.clone(), name.clone())
        })
        .collect()
}

pub(crate) fn setup(campaign: &Campaign, item: Option<&Setup>) -> Markup {
    let units = called(&campaign.power_units, |u| (&u.key, &u.name));
    let devices = called(&campaign.devices, |d| (&d.key, &d.name));
    let wings = called(&campaign.wings, |w| (&w.key, &w.name));
    let pilots = called(&campaign.pilots, |p| (&p.key, &p.name));
    let bare: Vec<Choice> = campaign
        .setups
        .iter()
        .filter(|setup| setup.device.is_none() && item.is_none_or(|item| item.key != setup.key))
        .map(|setup| (setup.key.clone(), setup.name.clone()))
        .collect();
    let key = |part: Option<&String>| part.cloned();
    let unit = item.map(|s| &campaign.power_unit(s.power_unit).key);
    let device = item.and_then(|s| s.device).map(|d| &campaign.device(d).key);
    let wing = item.and_then(|s| s.wing).map(|w| &campaign.wing(w).key);
    let pilot = item.and_then(|s| s.pilot).map(|p| &campaign.pilot(p).key);
    let baseline = item.and_then(|s| s.baseline).map(|b| &campaign.setup(b).key);
    html! {
        div.fields {
            (needed("Name", "name", item.map(|s| s.name.as_str())))
            (select("Power unit", "power_unit", (units.is_empty() || item.is_none()).then_some("the new one below"), &units, key(unit).as_deref()))
            (select("Torque device", "device", Some("none, or the new one below"), &devices, key(device).as_deref()))
            (number("Setting of the device", "setting", item.and_then(|s| s.setting)))
            (select("Wing it is flown with", "wing", Some("said for each flight"), &wings, key(wing).as_deref()))
            (select("Pilot", "pilot", Some("said for each flight"), &pilots, key(pilot).as_deref()))
            (select("Compared with (the same without device)", "baseline", Some("nothing"), &bare, key(baseline).as_deref()))
            (number("Claimed compensation, %", "claimed_percent", item.and_then(|s| s.claim.compensation_percent)))
            (number("Claimed drift, °/min", "claimed_drift", item.and_then(|s| s.claim.drift_deg_min)))
        }
        @if item.is_none() {
            details open[units.is_empty()] {
                summary { "A new power unit" }
                div.fields { (unit_fields(None, "unit_")) }
            }
            details {
                summary { "A new torque device" }
                div.fields { (text("Name of the device", "device_name", None)) (text("Unit of its setting", "device_unit", None)) }
            }
        }
    }
}

/// A set-up as filled in. `power_unit` and `device` are the keys of those made along with it.
pub(crate) fn setup_of(
    request: &Request,
    key: String,
    power_unit: Option<String>,
    device: Option<String>,
) -> Result<SetupItem> {
    let power_unit = text_of(request, "power_unit").or(power_unit).ok_or_else(|| {
        Failure::asked("a set-up has a power unit: choose one, or give the name and the reduction ratio of a new one")
    })?;
    Ok(SetupItem {
        name: name_of(request)?,
        key,
        power_unit,
        device: text_of(request, "device").or(device),
        setting: number_of(request, "Setting of the device", "setting")?,
        wing: text_of(request, "wing"),
        pilot: text_of(request, "pilot"),
        baseline: text_of(request, "baseline"),
        claim: Claim {
            compensation_percent: number_of(request, "Claimed compensation", "claimed_percent")?,
            drift_deg_min: number_of(request, "Claimed drift", "claimed_drift")?,
        },
    })
}

fn unit_fields(item: Option<&PowerUnit>, before: &str) -> Markup {
    let field = |name: &str| format!("{before}{name}");
    let turns = [("clockwise", "clockwise, seen from behind"), ("anticlockwise", "anticlockwise, seen from behind")]
        .map(|(value, words)| (value.to_owned(), words.to_owned()));
    let turned = item.map(|unit| match unit.propeller {
        PropellerDirection::Clockwise => "clockwise",
        PropellerDirection::Anticlockwise => "anticlockwise",
    });
    html! {
        (text("Name of the power unit", &field("name"), item.map(|u| u.name.as_str())))
        (number("Reduction ratio (engine speed over propeller speed)", &field("reduction"), item.map(|u| u.reduction_ratio)))
        (select("The propeller turns", &field("propeller"), item.is_none().then_some("not said"), &turns, turned))
    }
}

pub(crate) fn power_unit(item: Option<&PowerUnit>) -> Markup {
    html! {
        div.fields {
            (unit_fields(item, ""))
            (number("Share of the power that the drive passes on, 0 to 1", "efficiency", Some(item.map_or(DRIVE_EFFICIENCY, |u| u.drive_efficiency))))
        }
        fieldset {
            legend { "Engine in each scenario, where it is known" }
            @for scenario in SCENARIOS {
                @let point = item.and_then(|unit| unit.engine.get(&scenario));
                div.fields {
                    (number(&format!("Power, kW: {}", scenario_words(scenario)), &format!("power-{}", scenario.name()), point.map(|p| p.power_kw)))
                    (number("± standard uncertainty, kW", &format!("power-u-{}", scenario.name()), point.map(|p| p.power_std_u_kw)))
                    (number("Engine speed, 1/min", &format!("speed-{}", scenario.name()), point.map(|p| p.speed_rpm)))
                }
            }
        }
    }
}

/// A power unit as filled in; `before` stands before the names of its fields.
pub(crate) fn power_unit_of(request: &Request, key: String, before: &str) -> Result<PowerUnit> {
    let field = |name: &str| format!("{before}{name}");
    let reduction = number_of(request, "Reduction ratio", &field("reduction"))?;
    let mut engine = std::collections::BTreeMap::new();
    for scenario in SCENARIOS {
        if let Some(point) = engine_point(request, scenario)? {
            engine.insert(scenario, point);
        }
    }
    Ok(PowerUnit {
        name: text_of(request, &field("name")).ok_or_else(|| Failure::asked("give the power unit a name"))?,
        reduction_ratio: reduction.ok_or_else(|| {
            Failure::asked("the reduction ratio is missing; it stands in the manual of the power unit, as 2.87")
        })?,
        drive_efficiency: number_of(request, "Share of the power", "efficiency")?.unwrap_or(DRIVE_EFFICIENCY),
        propeller: match request.field(&field("propeller")) {
            Some("clockwise") => PropellerDirection::Clockwise,
            Some("anticlockwise") => PropellerDirection::Anticlockwise,
            // The sign of every moment hangs on it: nobody guesses.
            _ => return Err(Failure::asked("say which way the propeller turns, seen from behind")),
        },
        engine,
        key,
    })
}

fn engine_point(request: &Request, scenario: Scenario) -> Result<Option<EnginePoint>> {
    let value = |label: &str, name: &str| {
        number_of(request, &format!("{label}, {}", scenario_words(scenario)), &format!("{name}-{}", scenario.name()))
    };
    match (value("Power", "power")?, value("Engine speed", "speed")?) {
        (None, None) => Ok(None),
        (Some(power_kw), Some(speed_rpm)) => Ok(Some(EnginePoint {
            power_kw,
            power_std_u_kw: value("Uncertainty", "power-u")?.unwrap_or(POWER_STD_U_SHARE * power_kw),
            speed_rpm,
        })),
        _ => Err(Failure::asked(format!(
            "{}: give power and engine speed together, or neither",
            scenario_words(scenario)
        ))),
    }
}

pub(crate) fn device(item: Option<&Device>) -> Markup {
    let kinds = [
        ("constant", "constant, whatever the power"),
        ("propwash", "in proportion to the power"),
        ("mixed", "some of both"),
    ]
    .map(|(value, words)| (value.to_owned(), words.to_owned()));
    let kind = item.and_then(|device| device.model).map(|kind| match kind {
        DeviceKind::Constant => "constant",
        DeviceKind::Propwash => "propwash",
        DeviceKind::Mixed => "mixed",
    });
    html! { div.fields {
        (needed("Name", "name", item.map(|d| d.name.as_str())))
        (select("Its moment is", "model", Some("told by the flights"), &kinds, kind))
        (text("Unit of its setting", "setting_unit", item.and_then(|d| d.setting_unit.as_deref())))
        (number("Lowest setting", "lowest", item.and_then(|d| d.setting_range).map(|range| range.0)))
        (number("Highest setting", "highest", item.and_then(|d| d.setting_range).map(|range| range.1)))
    } }
}

pub(crate) fn device_of(request: &Request, key: String) -> Result<Device> {
    let range = (number_of(request, "Lowest setting", "lowest")?, number_of(request, "Highest setting", "highest")?);
    Ok(Device {
        name: name_of(request)?,
        key,
        model: match request.field("model") {
            Some("constant") => Some(DeviceKind::Constant),
            Some("propwash") => Some(DeviceKind::Propwash),
            Some("mixed") => Some(DeviceKind::Mixed),
            _ => None,
        },
        setting_unit: text_of(request, "setting_unit"),
        setting_range: match range {
            (Some(lowest), Some(highest)) => Some((lowest, highest)),
            (None, None) => None,
            _ => return Err(Failure::asked("give the lowest and the highest setting together, or neither")),
        },
    })
}

pub(crate) fn wing(item: Option<&Wing>) -> Markup {
    html! { div.fields {
        (needed("Name", "name", item.map(|w| w.name.as_str())))
        (number("Area, m²", "area", item.and_then(|w| w.area_m2)))
        (number("Mass, kg", "mass", item.and_then(|w| w.mass_kg)))
        (text("Class", "class", item.and_then(|w| w.class.as_deref())))
    } }
}

pub(crate) fn wing_of(request: &Request, key: String) -> Result<Wing> {
    Ok(Wing {
        name: name_of(request)?,
        key,
        area_m2: number_of(request, "Area", "area")?,
        mass_kg: number_of(request, "Mass", "mass")?,
        class: text_of(request, "class"),
    })
}

pub(crate) fn pilot(item: Option<&Pilot>) -> Markup {
    html! {
        div.fields {
            (needed("Name", "name", item.map(|p| p.name.as_str())))
            (number("All-up mass (pilot, power unit, fuel, wing), kg", "all_up", item.and_then(|p| p.all_up_kg)))
            (number("The pilot alone, dressed to fly, kg", "body", item.and_then(|p| p.body_kg)))
        }
        (check("A student of the class", "student", "yes", item.is_some_and(|p| p.student)))
    }
}

pub(crate) fn pilot_of(request: &Request, key: String) -> Result<Pilot> {
    Ok(Pilot {
        name: name_of(request)?,
        key,
        all_up_kg: number_of(request, "All-up mass", "all_up")?,
        body_kg: number_of(request, "The pilot alone", "body")?,
        student: request.field("student").is_some(),
    })
}

fn name_of(request: &Request) -> Result<String> {
    text_of(request, "name").ok_or_else(|| Failure::asked("the name is missing"))
}

/// A key for a new part, by its name, that none of these has.
pub(crate) fn key_for(name: &str, taken: &[&str]) -> String {
    let kept = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let plain: String = name.chars().map(kept).collect();
    let stem = plain.split('-').filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-");
    let stem = if stem.is_empty() { "part".to_owned() } else { stem };
    let free = |key: &str| !taken.contains(&key);
    if free(&stem) {
        return stem;
    }
    (2..).map(|number| format!("{stem}-{number}")).find(|key| free(key)).unwrap_or(stem)
}
