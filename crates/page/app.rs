//! The app: one function from request to response.

use crate::failure::{Failure, Result};
use crate::flash::Flash;
use crate::gate::Gate;
use crate::layout::{Place, Screen, Told};
use crate::memory::Memory;
use crate::request::Request;
use crate::response::Response;
use crate::settings::Settings;
use crate::{preferences, route};
use driftless_analysis::InputLimits;
use driftless_display::sentence;
use driftless_logbook::{CampaignId, Logbook};
use maud::{Markup, html};
use std::sync::{Mutex, MutexGuard};

/// The app with its logbook. Shared by the threads of a host; it locks by itself.
#[derive(Debug)]
pub struct App {
    pub(crate) version: String,
    pub(crate) limits: InputLimits,
    /// Where the logbook lies, in words.
    pub(crate) place: String,
    logbook: Mutex<Logbook>,
    memory: Mutex<Memory>,
    flash: Mutex<Flash>,
    pub(crate) gate: Gate,
}

/// What the app is doing, in words for a reader who waits.
pub type Progress<'a> = &'a mut dyn FnMut(&str);

impl App {
    /// An app of that version over a logbook; `place` says in words where it lies.
    pub fn new(version: &str, logbook: Logbook, place: &str) -> Self {
        Self {
            version: version.to_owned(),
            limits: InputLimits::default(),
            place: place.to_owned(),
            logbook: Mutex::new(logbook),
            memory: Mutex::default(),
            flash: Mutex::default(),
            gate: Gate::default(),
        }
    }

    /// With other limits of reading.
    #[must_use]
    pub fn with_limits(mut self, limits: InputLimits) -> Self {
        self.limits = limits;
        self
    }

    /// Answers a request. `progress` is told what is being done, for requests that take a while.
    pub fn handle(&self, request: &Request, progress: Progress<'_>) -> Response {
        route::answer(self, request, progress).unwrap_or_else(|failure| self.failed(&failure))
    }

    pub(crate) fn logbook(&self) -> Result<MutexGuard<'_, Logbook>> {
        self.logbook.lock().map_err(|_| Failure::Broken)
    }

    pub(crate) fn memory(&self) -> Result<MutexGuard<'_, Memory>> {
        self.memory.lock().map_err(|_| Failure::Broken)
    }

    /// The campaign that is looked at, and how the reader likes things.
    pub(crate) fn reader(&self) -> Result<(CampaignId, Settings)> {
        let logbook = self.logbook()?;
        Ok((preferences::campaign(&logbook)?, preferences::settings(&logbook)?))
    }

    /// A screen with what is to be said first.
    pub(crate) fn screen(&self, request: &Request, place: Place, title: &str, main: Markup) -> Result<Response> {
        let settings = preferences::settings(&*self.logbook()?)?;
        let mut told = Vec::new();
        if let (Some(number), Ok(mut flash)) = (request.asked("told"), self.flash.lock()) {
            told.extend(flash.take(number));
        }
        let screen = Screen { title, place: Some(place), told, main };
        Ok(Response::html(screen.document(&settings)))
    }

    /// Goes on to a screen that says first what was done.
    pub(crate) fn see_and_tell(&self, path: &str, told: Told) -> Result<Response> {
        let number = self.flash.lock().map_err(|_| Failure::Broken)?.keep(told);
        let joint = if path.contains('?') { '&' } else { '?' };
        Ok(Response::see(format!("{path}{joint}told={number}")))
    }

    fn failed(&self, failure: &Failure) -> Response {
        let settings = self.logbook().and_then(|logbook| preferences::settings(&logbook)).unwrap_or_default();
        let main = html! {
            h1 { "This was not done" }
            p { "Nothing was changed. Go back and try again, or:" }
            p { a.button href="/" { "To the flights" } }
        };
        let told = vec![Told { wrong: true, words: failure.to_string().lines().map(sentence).collect() }];
        let screen = Screen { title: "This was not done", place: None, told, main };
        Response::with_status(failure.status(), screen.document(&settings))
    }
}
