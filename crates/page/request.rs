//! What a host hands to the app: a request without its transport.

use chrono::{DateTime, Utc};

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Show something; changes nothing.
    Get,
    /// Change something.
    Post,
}

/// A field of a form, or a file given with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Name of the field.
    pub name: String,
    /// Name of the file, as its owner calls it; `None` for a plain field. Never a path to anything.
    pub file_name: Option<String>,
    /// The bytes; UTF-8 for a plain field.
    pub bytes: Vec<u8>,
}

/// A request. The host has already judged whether it may come in at all.
#[derive(Debug, Clone)]
pub struct Request {
    /// What is asked for.
    pub method: Method,
    /// Path below the root, percent-decoded, beginning with a slash.
    pub path: String,
    /// Fields of the query, decoded, in their order.
    pub query: Vec<(String, String)>,
    /// Fields and files of the body, in their order.
    pub parts: Vec<Part>,
    /// What the host's clock says.
    pub now: DateTime<Utc>,
}

impl Request {
    /// The first value of a query field.
    pub fn asked(&self, name: &str) -> Option<&str> {
        self.query.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }

    /// All values of a query field.
    pub fn asked_all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.query.iter().filter(move |(key, _)| key == name).map(|(_, value)| value.as_str())
    }

    /// The text of a form field, trimmed; `None` where it is missing, empty or no text.
    pub fn field(&self, name: &str) -> Option<&str> {
        let part = self.parts.iter().find(|part| part.name == name && part.file_name.is_none())?;
        std::str::from_utf8(&part.bytes).ok().map(str::trim).filter(|text| !text.is_empty())
    }

    /// The files of a form field that hold anything.
    pub fn files<'a>(&'a self, name: &'a str) -> impl Iterator<Item = (&'a str, &'a [u8])> {
        self.parts.iter().filter(move |part| part.name == name).filter_map(|part| {
            let file = part.file_name.as_deref()?;
            (!file.is_empty() || !part.bytes.is_empty()).then_some((file, part.bytes.as_slice()))
        })
    }
}
