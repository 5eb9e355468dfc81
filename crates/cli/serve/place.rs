//! Where the logbook lies.

use anyhow::Context;
use driftless_analysis::InputLimits;
use driftless_logbook::Logbook;
use driftless_page::App;
use driftless_units::printable;
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
    let shown = printable(&path.display().to_string()).into_owned();
    let logbook = Logbook::open(path).with_context(|| shown.clone())?;
    let app = App::new(env!("CARGO_PKG_VERSION"), logbook, &format!("in the file {shown}"));
    Ok((app.with_limits(*limits), shown))
}
