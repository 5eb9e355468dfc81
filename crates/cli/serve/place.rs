//! Where the logbook lies.

use anyhow::Context;
use driftless_analysis::InputLimits;
use driftless_page::App;
use etcetera::BaseStrategy;
use std::path::{Path, PathBuf};

/// The logbook of whoever runs the program, where the system keeps such files.
pub(super) fn usual() -> anyhow::Result<PathBuf> {
    let places = etcetera::choose_base_strategy()
        .context("this system names no home folder; name a logbook with --logbook FILE")?;
    let folder = places.data_dir().join("driftless");
    std::fs::create_dir_all(&folder)
        .with_context(|| format!("cannot make the folder {}; name a logbook with --logbook FILE", folder.display()))?;
    Ok(folder.join("logbook.sqlite"))
}

/// The app with the logbook at that place, and the place in words.
pub(super) fn open(path: &Path, limits: &InputLimits) -> anyhow::Result<(App, String)> {
    let _ = limits;
    Ok((App::new(env!("CARGO_PKG_VERSION")), path.display().to_string()))
}
