//! The campaign file.
