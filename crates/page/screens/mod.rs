//! The screens, each with what can be changed on it.

pub(crate) mod compare;
pub(crate) mod flight;
pub(crate) mod flights;
pub(crate) mod logbook;
pub(crate) mod parts;
pub(crate) mod series;
pub(crate) mod settings;
pub(crate) mod upload;
pub(crate) mod watch;
pub(crate) mod windows;
