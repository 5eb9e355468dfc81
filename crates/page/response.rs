//! What the app gives back to its host.

/// A response.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Response {
    /// Status as HTTP counts it.
    pub status: u16,
    /// Media type of the body.
    pub content_type: &'static str,
    /// Where to go instead, below the root: with status 303.
    pub location: Option<String>,
    /// Name under which the body is to be saved, where it is not to be shown.
    pub download: Option<String>,
    /// The body.
    pub body: Vec<u8>,
}

/// A page.
pub const HTML: &str = "text/html; charset=utf-8";
/// A document for programs.
pub const JSON: &str = "application/json";
/// A table.
pub const CSV: &str = "text/csv; charset=utf-8";
/// Anything else.
pub const BYTES: &str = "application/octet-stream";

impl Response {
    /// A page that is there.
    pub fn html(body: String) -> Self {
        Self::with_status(200, body)
    }

    /// A page that says why something is not done.
    pub fn with_status(status: u16, body: String) -> Self {
        Self { status, content_type: HTML, location: None, download: None, body: body.into_bytes() }
    }

    /// Something to be shown or kept as it is.
    pub const fn of(content_type: &'static str, body: Vec<u8>) -> Self {
        Self { status: 200, content_type, location: None, download: None, body }
    }

    /// Go there: what a change is answered with, so that going back and loading again change nothing.
    pub const fn see(location: String) -> Self {
        Self { status: 303, content_type: HTML, location: Some(location), download: None, body: Vec::new() }
    }

    /// To be saved under a name.
    #[must_use]
    pub fn saved_as(mut self, name: String) -> Self {
        self.download = Some(name);
        self
    }
}
