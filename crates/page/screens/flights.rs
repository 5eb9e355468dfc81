//! The first screen: drop a log; the flights of the campaign.

use crate::app::App;
use crate::failure::Result;
use crate::forms::{Choice, select, text};
use crate::layout::Place;
use crate::request::Request;
use crate::response::Response;
use driftless_analysis::campaign::model::Campaign;
use driftless_display::{Zone, count_of};
use driftless_logbook::{FlightEntry, FlightFilter};
use maud::{Markup, html};

/// Flights on one screen; further ones behind a link.
const PER_SCREEN: usize = 100;

pub(crate) fn show(app: &App, request: &Request) -> Result<Response> {
    let (id, settings) = app.reader()?;
    let filter = FlightFilter {
        words: request.asked("words").unwrap_or_default().to_owned(),
        setup: asked(request, "setup"),
        wing: asked(request, "wing"),
        pilot: asked(request, "pilot"),
        waiting: None,
    };
    let (mut flights, campaign, all) = {
        let logbook = app.logbook()?;
        let all =
            logbook.campaigns()?.into_iter().find(|campaign| campaign.id == id).map_or(0, |campaign| campaign.flights);
        (logbook.flights(id, &filter)?, logbook.campaign(id)?.campaign, all)
    };
    // What was flown last is looked for most.
    flights.reverse();
    let from: usize = request.asked("from").and_then(|from| from.parse().ok()).unwrap_or(0);
    let shown: Vec<&FlightEntry> = flights.iter().skip(from).take(PER_SCREEN).collect();
    let main = html! {
        h1 { "Flights" }
        p.facts { (campaign.title) }
        (drop_form())
        @if all == 0 {
            p { "No flight yet. Drop a log above: the report comes at once, and the log is kept in the logbook." }
        } @else {
            (search(&filter, &campaign))
            p.facts { (count_of(flights.len(), "flight", "flights")) @if flights.len() != all { " of " (all) } }
            ul.list { @for flight in &shown { (entry(flight, &campaign, settings.units.zone)) } }
            @if flights.len() > from + shown.len() {
                p { a.button href=(format!("/?from={}", from + PER_SCREEN)) { "Older flights" } }
            }
        }
    };
    app.screen(request, Place::Flights, "Flights", main)
}

fn asked(request: &Request, name: &str) -> Option<String> {
    request.asked(name).filter(|value| !value.is_empty()).map(str::to_owned)
}

fn drop_form() -> Markup {
    html! {
        form.drop method="post" action="/flights" enctype="multipart/form-data" data-drop="" {
            label.field {
                "Logs and files that belong to them"
                input type="file" name="files" multiple required;
            }
            p.subtitle { "GPX, IGC, KML, FIT, NMEA, CSV; with them marks, inertial files, a campaign as ZIP. Files that belong together find each other by \
                          their times. Nothing is sent anywhere." }
            div.row { button.first type="submit" { "Read them" } }
        }
    }
}

fn search(filter: &FlightFilter, campaign: &Campaign) -> Markup {
    let named = |key: &str, name: &str| (key.to_owned(), name.to_owned());
    let setups: Vec<Choice> = campaign.setups.iter().map(|s| named(&s.key, &s.name)).collect();
    let wings: Vec<Choice> = campaign.wings.iter().map(|w| named(&w.key, &w.name)).collect();
    let pilots: Vec<Choice> = campaign.pilots.iter().map(|p| named(&p.key, &p.name)).collect();
    let filtered = *filter != FlightFilter::default();
    html! {
        details open[filtered] {
            summary { "Search" }
            form method="get" action="/" {
                div.fields {
                    (text("Words", "words", Some(&filter.words)))
                    (select("Set-up", "setup", Some("any"), &setups, filter.setup.as_deref()))
                    (select("Wing", "wing", Some("any"), &wings, filter.wing.as_deref()))
                    (select("Pilot", "pilot", Some("any"), &pilots, filter.pilot.as_deref()))
                }
                div.row { button type="submit" { "Show" } @if filtered { a.button href="/" { "Show all" } } }
            }
        }
    }
}

fn entry(flight: &FlightEntry, campaign: &Campaign, zone: Zone) -> Markup {
    let about = &flight.about;
    let setup =
        about.setup.as_ref().and_then(|key| campaign.setups.iter().find(|s| s.key == *key)).map(|s| s.name.as_str());
    let wing =
        about.wing.as_ref().and_then(|key| campaign.wings.iter().find(|w| w.key == *key)).map(|w| w.name.as_str());
    let pilot =
        about.pilot.as_ref().and_then(|key| campaign.pilots.iter().find(|p| p.key == *key)).map(|p| p.name.as_str());
    let facts: Vec<&str> = [setup, wing, pilot, about.note.as_deref()].into_iter().flatten().collect();
    html! {
        li {
            a.whole href=(format!("/flights/{}", flight.id.0)) {
                strong { (flight.name) }
                span.facts {
                    @if facts.is_empty() { "set-up not said yet" } @else { (facts.join(" · ")) }
                    " · read " (zone.date(flight.added_utc))
                    @if about.exclude.is_some() { " · left out" }
                    @if flight.corrected { " · marks corrected" }
                }
            }
        }
    }
}
