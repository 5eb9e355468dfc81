//! The app of Driftless as a function from request to response.
//!
//! A host (the command `driftless serve`, or a worker in a browser) turns what it receives into a [`Request`], gives it to
//! [`App::handle`] and sends back the [`Response`]. Here are no sockets, no files and no clock; every figure comes down the
//! one road of the analysis, and every document is complete, so that it works without a script.

mod app;
mod assets;
mod bench;
mod choice;
mod clock;
mod failure;
mod flash;
mod forms;
mod gate;
mod layout;
mod memory;
mod numbers;
mod part_forms;
mod preferences;
mod request;
mod response;
mod road;
mod route;
mod screens;
mod settings;
mod sort;

pub use app::{App, Progress};
pub use assets::{asset, style};
pub use layout::error_page;
pub use request::{Method, Part, Request};
pub use response::{BYTES, CSV, HTML, JSON, Response};
