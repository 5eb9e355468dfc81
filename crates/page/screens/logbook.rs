//! The logbook as a whole: campaigns, export and import, backup.

use crate::app::App;
use crate::failure::{Failure, Result};
use crate::forms::needed;
use crate::layout::{Place, Told};
use crate::preferences;
use crate::request::Request;
use crate::response::{BYTES, Response};
use driftless_display::count_of;
use driftless_logbook::{CampaignId, Logbook, archive};
use maud::{Markup, html};

/// Media type of ZIP files.
const ZIP: &str = "application/zip";

pub(crate) fn show(app: &App, request: &Request) -> Result<Response> {
    let (current, _) = app.reader()?;
    let campaigns = app.logbook()?.campaigns()?;
    let title = campaigns.iter().find(|campaign| campaign.id == current).map_or("", |campaign| campaign.title.as_str());
    let main = html! {
        h1 { "Logbook" }
        p.facts { "It lies " (app.place) "." }
        section aria-labelledby="campaigns" {
            h2 id="campaigns" { "Campaigns" }
            p.subtitle { "A campaign is one question with its flights, set-ups, wings and pilots. New flights go into the one you look at." }
            ul.list {
                @for campaign in &campaigns {
                    li {
                        p { strong { (campaign.title) } ", " (count_of(campaign.flights, "flight", "flights"))
                            @if campaign.id == current { " · you look at this one" } }
                        @if campaign.id != current { (button("choose", campaign.id, &format!("Look at {}", campaign.title))) }
                    }
                }
            }
            form method="post" action="/logbook/new" {
                div.fields { (needed("Title of a new campaign", "title", None)) }
                div.row { button type="submit" { "Begin it" } }
            }
            details {
                summary { "Rename or remove " (title) }
                form method="post" action="/logbook/rename" {
                    div.fields { (needed("New title", "title", Some(title))) }
                    div.row { button type="submit" { "Rename" } }
                }
                p { "Removing takes its flights with it. Export it first." }
                (button("remove", current, &format!("Remove {title} with its flights")))
            }
        }
        (export_and_import(title))
        (backup())
    };
    app.screen(request, Place::Logbook, "Logbook", main)
}

fn button(what: &str, id: CampaignId, words: &str) -> Markup {
    html! {
        form method="post" action=(format!("/logbook/{what}")) {
            input type="hidden" name="id" value=(id.0);
            div.row { button type="submit" { (words) } }
        }
    }
}

fn export_and_import(title: &str) -> Markup {
    html! {
        section aria-labelledby="export" {
            h2 id="export" { "Export and import a campaign" }
            p.subtitle { "A ZIP file with campaign.toml, logs and marks. Unpacked, the command line reads it: driftless compare campaign.toml." }
            div.row { a.button href="/logbook/campaign.zip" download { "Export " (title) } }
            form method="post" action="/flights" enctype="multipart/form-data" {
                label.field { "A campaign as a ZIP file" input type="file" name="files" accept=".zip,application/zip" required; }
                div.row { button type="submit" { "Import" } }
            }
            form method="post" action="/flights" enctype="multipart/form-data" {
                label.field { "Or its folder" input type="file" name="files" webkitdirectory multiple required; }
                div.row { button type="submit" { "Import the folder" } }
            }
        }
    }
}

fn backup() -> Markup {
    html! {
        section aria-labelledby="backup" {
            h2 id="backup" { "Backup" }
            p.subtitle { "The whole logbook as one file: logs, marks with their history, set-ups, campaigns. Keep it on another device." }
            div.row {
                a.button href="/logbook/backup.sqlite" download { "Save a backup" }
                a.button href="/logbook/check" { "Check the logbook" }
            }
            details {
                summary { "Put a backup in its place" }
                p { "Everything that is in the logbook now is replaced. Save a backup of it first." }
                form method="post" action="/logbook/restore" enctype="multipart/form-data" {
                    label.field { "A backup" input type="file" name="files" required; }
                    div.row { button type="submit" { "Replace the logbook by this backup" } }
                }
            }
        }
    }
}

pub(crate) fn document(app: &App, document: &str, request: &Request) -> Result<Response> {
    let logbook = app.logbook()?;
    let day = request.now.format("%Y-%m-%d");
    match document {
        "campaign.zip" => {
            let id = preferences::campaign(&logbook)?;
            let exported = logbook.export_campaign(id)?;
            let files = exported.files.iter().map(|(path, bytes)| (path.as_str(), bytes.as_slice()));
            let zip = archive::pack(files).map_err(|error| Failure::Written(error.to_string()))?;
            let title = logbook.campaign_head(id)?.title;
            Ok(Response::of(ZIP, zip).saved_as(format!("{}.zip", file_name(&title))))
        }
        "backup.sqlite" => Ok(Response::of(BYTES, logbook.backup()?).saved_as(format!("driftless-{day}.sqlite"))),
        "check" => {
            let faults = logbook.check()?;
            drop(logbook);
            let sound = vec!["The logbook is sound: every record and every file is as it was put in.".to_owned()];
            let wrong = !faults.is_empty();
            app.see_and_tell("/logbook", Told { wrong, words: if wrong { faults } else { sound } })
        }
        _ => Err(Failure::NotFound),
    }
}

/// A title as the name of a file.
fn file_name(title: &str) -> String {
    let kept = |c: char| if c.is_alphanumeric() || c == '-' { c } else { '-' };
    let name: String = title.chars().map(kept).take(60).collect();
    let name = name.split('-').filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-").to_lowercase();
    if name.is_empty() { "campaign".to_owned() } else { name }
}

pub(crate) fn change(app: &App, request: &Request, what: &str) -> Result<Response> {
    let mut logbook = app.logbook()?;
    let words = match what {
        "new" => {
            let id = logbook.new_campaign(request.field("title").unwrap_or_default())?;
            preferences::choose_campaign(&mut logbook, id)?;
            "The campaign was begun; it is the one you look at now."
        }
        "choose" => {
            let id = campaign_of(request, &logbook)?;
            preferences::choose_campaign(&mut logbook, id)?;
            "You look at this campaign now."
        }
        "rename" => {
            let id = preferences::campaign(&logbook)?;
            logbook.rename_campaign(id, request.field("title").unwrap_or_default())?;
            "The campaign has its new title."
        }
        "remove" => {
            let id = campaign_of(request, &logbook)?;
            logbook.remove_campaign(id)?;
            "The campaign was removed with its flights."
        }
        "restore" => {
            let backup = request
                .files("files")
                .next()
                .ok_or_else(|| Failure::asked("no file came with this; choose a backup first"))?;
            logbook.restore(backup.1)?;
            "The backup is the logbook now."
        }
        _ => return Err(Failure::NotFound),
    };
    drop(logbook);
    app.see_and_tell("/logbook", Told { wrong: false, words: vec![words.to_owned()] })
}

fn campaign_of(request: &Request, logbook: &Logbook) -> Result<CampaignId> {
    let id = request.field("id").and_then(|id| id.parse().ok()).map(CampaignId);
    let there = logbook.campaigns()?;
    id.filter(|id| there.iter().any(|campaign| campaign.id == *id)).ok_or(Failure::NotFound)
}
