//! `driftless campaign new`: a commented campaign file to begin with.

use crate::input::{self, is_dash};
use crate::outcome::Outcome;
use crate::output::{Place, to_stdout};
use anyhow::bail;
use driftless_analysis::campaign::file::STARTER;
use std::path::Path;

pub(crate) fn run(path: &Path) -> anyhow::Result<Outcome> {
    if is_dash(path) {
        to_stdout(STARTER.as_bytes())?;
        return Ok(Outcome::Made);
    }
    let path = if path.is_dir() { path.join("campaign.toml") } else { path.to_owned() };
    // Hours of somebody's writing may stand in it.
    if path.exists() {
        bail!("{} is there already; name another file, or - for standard output", input::name_of(&path));
    }
    Place::File(path.clone()).write(STARTER.as_bytes())?;
    to_stdout(format!("{}\n", input::name_of(&path)).as_bytes())?;
    Ok(Outcome::Made)
}
