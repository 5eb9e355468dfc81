//! Which screen answers which request.

use crate::app::{App, Progress};
use crate::failure::{Failure, Result};
use crate::request::{Method, Request};
use crate::response::Response;
use crate::screens::{compare, flight, flights, logbook, parts, settings, upload, watch, windows};
use driftless_logbook::FlightId;

pub(crate) fn answer(app: &App, request: &Request, progress: Progress<'_>) -> Result<Response> {
    let path: Vec<&str> = request.path.split('/').filter(|step| !step.is_empty()).collect();
    match (request.method, path.as_slice()) {
        (Method::Get, [] | ["flights"]) => flights::show(app, request),
        (Method::Post, ["flights"]) => upload::add(app, request, progress),
        (method, ["flights", id, rest @ ..]) => of_flight(app, request, method, number(id)?, rest, progress),
        (Method::Get, ["compare"]) => compare::show(app, request, progress),
        (Method::Get, ["compare", document]) => compare::document(app, request, document, progress),
        (Method::Get, ["parts"]) => parts::show(app, request),
        (Method::Get, ["parts", kind]) => parts::form(app, request, kind, None),
        (Method::Get, ["parts", kind, key]) => parts::form(app, request, kind, Some(key)),
        (Method::Post, ["parts", kind]) => parts::put(app, request, kind, None),
        (Method::Post, ["parts", kind, key]) => parts::put(app, request, kind, Some(key)),
        (Method::Post, ["parts", kind, key, "remove"]) => parts::remove(app, kind, key),
        (Method::Get, ["watch"]) => watch::show(app, request),
        (Method::Post, ["watch"]) => watch::add(app, request),
        (Method::Post, ["watch", id, "remove"]) => watch::remove(app, id),
        (Method::Get, ["logbook"]) => logbook::show(app, request),
        (Method::Get, ["logbook", document]) => logbook::document(app, document, request),
        (Method::Post, ["logbook", what]) => logbook::change(app, request, what),
        (Method::Get, ["settings"]) => settings::show(app, request),
        (Method::Post, ["settings"]) => settings::change(app, request),
        _ => Err(Failure::NotFound),
    }
}

fn of_flight(
    app: &App,
    request: &Request,
    method: Method,
    id: FlightId,
    rest: &[&str],
    progress: Progress<'_>,
) -> Result<Response> {
    match (method, rest) {
        (Method::Get, []) => flight::show(app, request, id, progress),
        (Method::Get, [document]) => flight::document(app, request, id, document, progress),
        (Method::Post, ["windows"]) => windows::change(app, request, id, progress),
        (Method::Post, ["undo"]) => windows::step(app, id, windows::Step::Undo),
        (Method::Post, ["redo"]) => windows::step(app, id, windows::Step::Redo),
        (Method::Post, ["about"]) => flight::set_about(app, request, id),
        (Method::Post, ["files"]) => upload::add_beside(app, request, id),
        (Method::Post, ["remove"]) => flight::remove(app, id),
        _ => Err(Failure::NotFound),
    }
}

fn number(id: &str) -> Result<FlightId> {
    id.parse().map(FlightId).map_err(|_| Failure::NotFound)
}
