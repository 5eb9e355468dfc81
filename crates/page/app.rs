//! The app: one function from request to response.

use crate::request::Request;
use crate::response::Response;

/// The app with its logbook. Shared by the threads of a host; it locks by itself.
#[derive(Debug)]
pub struct App {
    /// Version of the program.
    version: String,
}

/// What the app is doing, in words for a reader who waits.
pub type Progress<'a> = &'a mut dyn FnMut(&str);

impl App {
    /// An app of that version.
    pub fn new(version: &str) -> Self {
        Self { version: version.to_owned() }
    }

    /// Answers a request. `progress` is told what is being done, for requests that take a while.
    pub fn handle(&self, request: &Request, progress: Progress<'_>) -> Response {
        progress("Working");
        Response::html(format!(
            "<!DOCTYPE html><html lang=\"en\"><head><title>Driftless</title></head><body><main><h1>Driftless {}</h1><p>{}</p></main></body></html>",
            self.version,
            request.path.len()
        ))
    }
}
