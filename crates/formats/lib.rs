//! See the description in Cargo.toml; filled in the next commits.
