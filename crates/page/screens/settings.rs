//! How the reader likes things: units, time zone, numbers, paper.

use crate::app::App;
use crate::failure::{Failure, Result};
use crate::forms::{Choice, select, text_of};
use crate::layout::{Place, Told};
use crate::numbers::Numbers;
use crate::preferences;
use crate::request::Request;
use crate::response::Response;
use crate::settings::{NUMBERS, PAPER, Paper, UNITS, ZONE};
use driftless_display::{DisplayUnits, Zone};
use maud::html;

const SPEEDS: [(&str, &str); 3] = [("m/s", "m/s"), ("km/h", "km/h"), ("kt", "knots")];
const HEIGHTS: [(&str, &str); 2] = [("m", "metres"), ("ft", "feet")];
const TURNS: [(&str, &str); 3] = [("deg/s", "° per second"), ("deg/min", "° per minute"), ("s/90", "seconds per 90°")];

fn choices(of: &[(&str, &str)]) -> Vec<Choice> {
    of.iter().map(|(value, words)| ((*value).to_owned(), (*words).to_owned())).collect()
}

/// Zones on land are whole hours from UTC, but for these.
fn zones() -> Vec<Choice> {
    let odd =
        ["-09:30", "-03:30", "+03:30", "+04:30", "+05:30", "+05:45", "+06:30", "+08:45", "+09:30", "+10:30", "+12:45"];
    let whole = (-12..=14)
        .filter(|hours| *hours != 0)
        .map(|hours: i32| format!("{}{:02}:00", if hours < 0 { '-' } else { '+' }, hours.abs()));
    let mut zones: Vec<(i32, String)> = whole
        .chain(odd.map(str::to_owned))
        .filter_map(|name| Zone::named(&name).ok().map(|zone| (zone.seconds_east(), name)))
        .collect();
    zones.sort();
    std::iter::once(("utc".to_owned(), "UTC".to_owned()))
        .chain(zones.into_iter().map(|(_, name)| (name.clone(), format!("UTC{name}"))))
        .collect()
}

pub(crate) fn show(app: &App, request: &Request) -> Result<Response> {
    let (_, settings) = app.reader()?;
    let named: Vec<&str> = settings.units_named.split(',').collect();
    let of = |list: &[(&str, &str)]| {
        list.iter().map(|(value, _)| *value).find(|value| named.contains(value)).map(str::to_owned)
    };
    let zone =
        if settings.units.zone.is_utc() { "utc".to_owned() } else { settings.units.zone.name().replace("UTC", "") };
    let numbers: Vec<Choice> =
        Numbers::ALL.iter().map(|(_, value, words)| ((*value).to_owned(), (*words).to_owned())).collect();
    let papers: Vec<Choice> =
        Paper::ALL.iter().map(|(_, value, words)| ((*value).to_owned(), (*words).to_owned())).collect();
    let number = Numbers::ALL.iter().find(|(own, ..)| *own == settings.numbers).map(|(_, value, _)| *value);
    let paper = Paper::ALL.iter().find(|(own, ..)| *own == settings.paper).map(|(_, value, _)| *value);
    let main = html! {
        h1 { "Settings" }
        form method="post" action="/settings" {
            div.fields {
                (select("Speeds", "speed", None, &choices(&SPEEDS), of(&SPEEDS).as_deref()))
                (select("Heights", "height", None, &choices(&HEIGHTS), of(&HEIGHTS).as_deref()))
                (select("Turn rates", "turn", None, &choices(&TURNS), of(&TURNS).as_deref()))
                div data-this-zone="" { (select("Times", "zone", None, &zones(), Some(&zone))) }
                (select("Decimal sign", "numbers", None, &numbers, number))
                (select("Light or dark", "paper", None, &papers, paper))
            }
            div.row { button.first type="submit" { "Keep these" } }
        }
        p.facts { "They are kept in the logbook. Documents for programs (JSON, CSV) always have SI units, UTC and the decimal point." }
    };
    app.screen(request, Place::Settings, "Settings", main)
}

pub(crate) fn change(app: &App, request: &Request) -> Result<Response> {
    let field = |name: &str| request.field(name).unwrap_or_default();
    let units = [field("speed"), field("height"), field("turn")].join(",");
    units.parse::<DisplayUnits>().map_err(|error| Failure::asked(error.to_string()))?;
    Zone::named(field("zone")).map_err(Failure::asked)?;
    let mut logbook = app.logbook()?;
    for (name, value) in [
        (UNITS, Some(units)),
        (ZONE, text_of(request, "zone")),
        (NUMBERS, text_of(request, "numbers")),
        (PAPER, text_of(request, "paper")),
    ] {
        logbook.set_preference(name, value.as_deref())?;
    }
    // What was chosen before it could be understood is put right by this very form.
    preferences::settings(&logbook)?;
    drop(logbook);
    app.see_and_tell("/settings", Told { wrong: false, words: vec!["Kept.".to_owned()] })
}
