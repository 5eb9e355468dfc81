//! Reading a campaign file and what stands beside it.

use crate::input::{self, is_dash};
use crate::suggest;
use anyhow::anyhow;
use driftless_analysis::InputLimits;
use driftless_files::{DiskFolder, LoadedCampaign};
use std::path::{Path, PathBuf};

/// Reads a campaign file; `-` is standard input, whose paths count from the folder the program runs in.
pub(crate) fn load(path: &Path, limits: &InputLimits) -> anyhow::Result<LoadedCampaign> {
    suggest::refuse_log(path)?;
    let text = input::text(path, limits)?;
    let base = if is_dash(path) { PathBuf::new() } else { path.parent().map(Path::to_owned).unwrap_or_default() };
    LoadedCampaign::read(&text, input::given_name(path), DiskFolder::new(base, limits), limits)
        .map_err(|faults| anyhow!("the campaign file cannot be used\n{faults}"))
}
