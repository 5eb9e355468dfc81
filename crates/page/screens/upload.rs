//! What is dropped: sorted, put into the logbook, and shown.

use crate::app::{App, Progress};
use crate::failure::{Failure, Result};
use crate::layout::Told;
use crate::preferences;
use crate::request::Request;
use crate::response::Response;
use crate::sort::{Beside, Dropped, Sorted, bare, sort};
use driftless_analysis::{FlightFiles, is_archive, is_campaign};
use driftless_display::count_of;
use driftless_display::sentence;
use driftless_logbook::{FlightId, archive};
use std::collections::BTreeMap;

/// What was done with what was dropped.
#[derive(Debug, Default)]
struct Done {
    flights: Vec<FlightId>,
    words: Vec<String>,
    wrong: bool,
    campaigns: usize,
}

impl Done {
    fn fault(&mut self, words: &str) {
        self.wrong = true;
        self.words.extend(words.lines().map(sentence));
    }
}

pub(crate) fn add(app: &App, request: &Request, progress: Progress<'_>) -> Result<Response> {
    let files: Vec<Dropped<'_>> = request.files("files").map(|(name, bytes)| Dropped { name, bytes }).collect();
    if files.is_empty() {
        return Err(Failure::asked("no file came with this; choose a log first"));
    }
    let mut done = Done::default();
    take(app, request, &files, &mut done, progress)?;
    finish(app, &done)
}

/// Takes files that lie side by side; those of a ZIP file are files that lie side by side.
fn take(app: &App, request: &Request, files: &[Dropped<'_>], done: &mut Done, progress: Progress<'_>) -> Result<()> {
    let asked = app.asked(request.now);
    // Logs of a campaign are its own: they are read when it is compared.
    let campaigns: Vec<&Dropped<'_>> = files.iter().filter(|file| is_campaign(file.name, file.bytes)).collect();
    if !campaigns.is_empty() {
        let all: BTreeMap<String, &[u8]> = files.iter().map(|file| (path_of(file), file.bytes)).collect();
        for campaign in campaigns {
            match import(app, request, &path_of(campaign), &all) {
                Ok(words) => {
                    done.campaigns += 1;
                    done.words.push(words);
                }
                Err(failure) => done.fault(&failure.to_string()),
            }
        }
        return Ok(());
    }
    let Sorted { flights, archives, alone, faults } = sort(files, &asked, progress);
    for flight in flights {
        progress(&format!("Keeping {}", flight.name));
        add_one(app, request, &flight, done);
    }
    for file in archives {
        progress(&format!("Opening {}", bare(file.name)));
        match archive::unpack(file.bytes, &app.limits) {
            Ok(entries) => {
                let inside: Vec<Dropped<'_>> =
                    entries.iter().map(|entry| Dropped { name: entry.0, bytes: entry.1 }).collect();
                if inside.iter().any(|inner| is_archive(inner.bytes)) {
                    done.fault(&format!(
                        "{}: a ZIP file within a ZIP file is not opened; give that one by itself",
                        bare(file.name)
                    ));
                } else {
                    take(app, request, &inside, done, progress)?;
                }
            }
            Err(error) => done.fault(&format!("{}: {error}", bare(file.name))),
        }
    }
    for (name, file) in alone {
        let kind = match file {
            Beside::Marks(_) => "marks",
            Beside::Inertial(_) => "inertial data",
        };
        done.fault(&format!(
            "{name}: these {kind} belong to no log that was given with them; give them with their log, or on the screen of its flight"
        ));
    }
    for fault in faults {
        done.fault(&fault.to_string());
    }
    Ok(())
}

/// Where a dropped file lies: a folder that was dropped names its folders.
fn path_of(file: &Dropped<'_>) -> String {
    file.name.replace('\\', "/")
}

fn add_one(app: &App, request: &Request, flight: &FlightFiles<'_>, done: &mut Done) {
    let added = app.logbook().and_then(|mut logbook| {
        let campaign = preferences::campaign(&logbook)?;
        Ok(logbook.add_flight(campaign, flight, request.now)?)
    });
    match added {
        Ok(added) => {
            if added.was_there {
                done.words.push(format!("{} is in the logbook already; this is the flight it is.", flight.name));
            }
            for name in &added.not_taken {
                done.fault(&format!("{name} was not taken: the flight has another such file"));
            }
            if !done.flights.contains(&added.flight) {
                done.flights.push(added.flight);
            }
        }
        Err(failure) => done.fault(&format!("{}: {failure}", flight.name)),
    }
}

/// Puts a campaign with its files into the logbook, and looks at it from here on.
fn import(app: &App, request: &Request, path: &str, all: &BTreeMap<String, &[u8]>) -> Result<String> {
    let mut logbook = app.logbook()?;
    let id = logbook.import_files(all, path, &app.limits, request.now)?;
    preferences::choose_campaign(&mut logbook, id)?;
    let campaigns = logbook.campaigns()?;
    let entry = campaigns.into_iter().find(|campaign| campaign.id == id).ok_or(Failure::NotFound)?;
    let flights = count_of(entry.flights, "flight", "flights");
    Ok(format!("The campaign “{}” was read, with {flights}; it is the one you look at now.", entry.title))
}

fn finish(app: &App, done: &Done) -> Result<Response> {
    let mut words = done.words.clone();
    if done.flights.len() > 1 {
        words.insert(0, format!("{} were read.", count_of(done.flights.len(), "flight", "flights")));
    }
    let path = match (done.flights.as_slice(), done.campaigns) {
        ([], 0) => "/".to_owned(),
        ([one], 0) => format!("/flights/{}", one.0),
        (_, 0) => "/".to_owned(),
        (_, _) => "/compare".to_owned(),
    };
    if words.is_empty() { Ok(Response::see(path)) } else { app.see_and_tell(&path, Told { wrong: done.wrong, words }) }
}

/// Marks and inertial files for a flight that is there.
pub(crate) fn add_beside(app: &App, request: &Request, id: FlightId) -> Result<Response> {
    let mut logbook = app.logbook()?;
    let (entry, stored) = (logbook.flight(id)?, logbook.flight_files(id)?);
    let mut files: Vec<Dropped<'_>> = vec![Dropped { name: &entry.name, bytes: &stored.log }];
    files.extend(request.files("files").map(|(name, bytes)| Dropped { name, bytes }));
    if files.len() < 2 {
        return Err(Failure::asked("no file came with this; choose one first"));
    }
    // What is given on the screen of a flight is meant for it, whatever its times say: the analysis judges that.
    let Sorted { flights, alone, faults, .. } = sort(&files, &app.asked(request.now), &mut |_| ());
    if let Some(fault) = faults.into_iter().next() {
        return Err(fault);
    }
    if flights.len() != 1 {
        return Err(Failure::asked("there is another log among these files; drop it on the first screen"));
    }
    let mut flight = flights.into_iter().next().ok_or(Failure::NotFound)?;
    for (_, file) in alone {
        match file {
            Beside::Marks(marks) => flight.marks = Some(marks),
            Beside::Inertial(file) => flight.inertial.push(file),
        }
    }
    let added = logbook.add_flight(entry.campaign, &flight, request.now)?;
    drop(logbook);
    let told = if added.not_taken.is_empty() {
        Told { wrong: false, words: vec!["The files were added.".to_owned()] }
    } else {
        Told {
            wrong: true,
            words: vec![format!(
                "Not taken, because the flight has another such file: {}.",
                added.not_taken.join(", ")
            )],
        }
    };
    app.see_and_tell(&format!("/flights/{}", id.0), told)
}
