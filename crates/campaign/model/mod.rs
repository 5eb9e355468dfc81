//! Domain model.
