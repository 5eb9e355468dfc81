//! Set-ups and what they are made of: power units, torque devices, wings, pilots.

use crate::app::App;
use crate::choice::encoded;
use crate::failure::{Failure, Result};
use crate::forms::text_of;
use crate::layout::{Place, Told};
use crate::part_forms::{self as forms, key_for};
use crate::preferences;
use crate::request::Request;
use crate::response::Response;
use driftless_analysis::campaign::model::{Campaign, Device, SetupId};
use maud::{Markup, html};

/// A kind of part: its name in addresses, what it is called, what several are called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Setup,
    Wing,
    Pilot,
    PowerUnit,
    Device,
}

impl Kind {
    const ALL: [(Self, &str, &str, &str); 5] = [
        (Self::Setup, "setup", "set-up", "Set-ups"),
        (Self::Wing, "wing", "wing", "Wings"),
        (Self::Pilot, "pilot", "pilot", "Pilots"),
        (Self::PowerUnit, "unit", "power unit", "Power units"),
        (Self::Device, "device", "torque device", "Torque devices"),
    ];

    fn of(name: &str) -> Result<(Self, &'static str)> {
        let found = Self::ALL.iter().find(|(_, own, ..)| *own == name);
        found.map(|(kind, _, one, _)| (*kind, *one)).ok_or(Failure::NotFound)
    }

    /// Keys and names of what there is.
    fn items(self, campaign: &Campaign) -> Vec<(&str, &str)> {
        match self {
            Self::Setup => campaign.setups.iter().map(|s| (s.key.as_str(), s.name.as_str())).collect(),
            Self::Wing => campaign.wings.iter().map(|w| (w.key.as_str(), w.name.as_str())).collect(),
            Self::Pilot => campaign.pilots.iter().map(|p| (p.key.as_str(), p.name.as_str())).collect(),
            Self::PowerUnit => campaign.power_units.iter().map(|u| (u.key.as_str(), u.name.as_str())).collect(),
            Self::Device => campaign.devices.iter().map(|d| (d.key.as_str(), d.name.as_str())).collect(),
        }
    }

    /// Its form; with the key of one, filled.
    fn form(self, campaign: &Campaign, key: Option<&str>) -> Result<Markup> {
        let at = match key {
            None => None,
            Some(key) => Some(self.items(campaign).iter().position(|(own, _)| *own == key).ok_or(Failure::NotFound)?),
        };
        Ok(match self {
            Self::Setup => forms::setup(campaign, at.map(|at| campaign.setup(SetupId(at)))),
            Self::Wing => forms::wing(at.and_then(|at| campaign.wings.get(at))),
            Self::Pilot => forms::pilot(at.and_then(|at| campaign.pilots.get(at))),
            Self::PowerUnit => forms::power_unit(at.and_then(|at| campaign.power_units.get(at))),
            Self::Device => forms::device(at.and_then(|at| campaign.devices.get(at))),
        })
    }
}

fn campaign(app: &App) -> Result<Campaign> {
    let logbook = app.logbook()?;
    Ok(logbook.campaign(preferences::campaign(&logbook)?)?.campaign)
}

pub(crate) fn show(app: &App, request: &Request) -> Result<Response> {
    let campaign = campaign(app)?;
    let main = html! {
        h1 { "Set-ups and what they are made of" }
        p.facts { (campaign.title) }
        p { "A set-up is a power unit with or without a torque device. To know how much a device compensates, describe the same power unit \
             without it too, and fly both." }
        @for (kind, path, one, several) in Kind::ALL {
            @let items = kind.items(&campaign);
            section aria-labelledby=(path) {
                h2 id=(path) { (several) }
                @if items.is_empty() { p.facts { "None yet." } }
                ul.list {
                    @for (key, name) in &items {
                        li { a.whole href=(format!("/parts/{path}/{}", encoded(key))) { strong { (name) }
                            @if kind == Kind::Setup { (made_of(&campaign, key)) } } }
                    }
                }
                p { a.button href=(format!("/parts/{path}")) { "New " (one) } }
            }
        }
    };
    let main = html! {
        (main)
        section aria-labelledby="watch" {
            h2 id="watch" { "Stopwatch runs" }
            p { "Runs timed past landmarks, without a log. " a.button href="/watch" { "To the stopwatch runs" } }
        }
    };
    app.screen(request, Place::Parts, "Set-ups", main)
}

/// What a set-up is made of, in a line.
fn made_of(campaign: &Campaign, key: &str) -> Markup {
    let Some(setup) = campaign.setups.iter().find(|setup| setup.key == key) else { return html! {} };
    let device = setup.device.map_or("no torque device".to_owned(), |device| {
        let device: &Device = campaign.device(device);
        let unit = device.setting_unit.as_deref().unwrap_or_default();
        setup
            .setting
            .map_or(device.name.clone(), |setting| format!("{} {setting} {unit}", device.name).trim().to_owned())
    });
    html! { span.facts { (campaign.power_unit(setup.power_unit).name) " · " (device) } }
}

pub(crate) fn form(app: &App, request: &Request, kind: &str, key: Option<&str>) -> Result<Response> {
    let (part, one) = Kind::of(kind)?;
    let campaign = campaign(app)?;
    let fields = part.form(&campaign, key)?;
    let name = key.and_then(|key| {
        part.items(&campaign).into_iter().find(|(own, _)| *own == key).map(|(_, name)| name.to_owned())
    });
    let title = name.clone().unwrap_or_else(|| format!("New {one}"));
    let action = key.map_or_else(|| format!("/parts/{kind}"), |key| format!("/parts/{kind}/{}", encoded(key)));
    let main = html! {
        h1 { (title) }
        form method="post" action=(action) {
            @if let Some(back) = request.asked("back").filter(|back| back.starts_with("/flights/")) { input type="hidden" name="back" value=(back); }
            (fields)
            div.row { button.first type="submit" { "Keep" } a.button href="/parts" { "Cancel" } }
        }
        @if let Some(name) = name {
            form method="post" action=(format!("{action}/remove")) { div.row { button type="submit" { "Remove " (name) } } }
        }
    };
    app.screen(request, Place::Parts, &title, main)
}

pub(crate) fn put(app: &App, request: &Request, kind: &str, replacing: Option<&str>) -> Result<Response> {
    let (part, one) = Kind::of(kind)?;
    let mut logbook = app.logbook()?;
    let id = preferences::campaign(&logbook)?;
    let before = logbook.campaign(id)?.campaign;
    let name = text_of(request, "name").unwrap_or_default();
    let taken = |kind: Kind| kind.items(&before).into_iter().map(|(key, _)| key).collect::<Vec<_>>();
    let key = replacing.map_or_else(|| key_for(&name, &taken(part)), str::to_owned);
    match part {
        Kind::Wing => logbook.put_wing(id, &forms::wing_of(request, key.clone())?, replacing)?,
        Kind::Pilot => logbook.put_pilot(id, &forms::pilot_of(request, key.clone())?, replacing)?,
        Kind::PowerUnit => logbook.put_power_unit(id, &forms::power_unit_of(request, key.clone(), "")?, replacing)?,
        Kind::Device => logbook.put_device(id, &forms::device_of(request, key.clone())?, replacing)?,
        Kind::Setup => {
            // Everything is looked at before the first part is put in.
            let unit = match (text_of(request, "power_unit"), text_of(request, "unit_name")) {
                (None, Some(name)) => {
                    Some(forms::power_unit_of(request, key_for(&name, &taken(Kind::PowerUnit)), "unit_")?)
                }
                _ => None,
            };
            let device = match (text_of(request, "device"), text_of(request, "device_name")) {
                (None, Some(name)) => Some(Device {
                    key: key_for(&name, &taken(Kind::Device)),
                    name,
                    model: None,
                    setting_unit: text_of(request, "device_unit"),
                    setting_range: None,
                }),
                _ => None,
            };
            let keys = (unit.as_ref().map(|unit| unit.key.clone()), device.as_ref().map(|device| device.key.clone()));
            let item = forms::setup_of(request, key.clone(), keys.0, keys.1)?;
            if let Some(unit) = &unit {
                logbook.put_power_unit(id, unit, None)?;
            }
            if let Some(device) = &device {
                logbook.put_device(id, device, None)?;
            }
            logbook.put_setup(id, &item, replacing)?;
        }
    }
    drop(logbook);
    let back =
        text_of(request, "back").filter(|back| back.starts_with("/flights/")).unwrap_or_else(|| "/parts".to_owned());
    app.see_and_tell(&back, Told { wrong: false, words: vec![format!("Kept: the {one} “{name}”.")] })
}

pub(crate) fn remove(app: &App, kind: &str, key: &str) -> Result<Response> {
    let (part, one) = Kind::of(kind)?;
    let mut logbook = app.logbook()?;
    let id = preferences::campaign(&logbook)?;
    match part {
        Kind::Setup => logbook.remove_setup(id, key)?,
        Kind::Wing => logbook.remove_wing(id, key)?,
        Kind::Pilot => logbook.remove_pilot(id, key)?,
        Kind::PowerUnit => logbook.remove_power_unit(id, key)?,
        Kind::Device => logbook.remove_device(id, key)?,
    }
    drop(logbook);
    app.see_and_tell("/parts", Told { wrong: false, words: vec![format!("The {one} was removed.")] })
}
