//! A campaign file, read.

use super::DiskFolder;
use driftless_analysis::campaign::file::{CampaignFileError, read_within};
use driftless_analysis::campaign::model::Campaign;
use driftless_analysis::{InputLimits, sha256};

/// A campaign file, read.
#[derive(Debug)]
pub struct LoadedCampaign {
    /// What it says.
    pub campaign: Campaign,
    /// Name in messages and reports.
    pub name: String,
    /// SHA-256 of the file.
    pub sha256: String,
    /// The folder that paths in it count from.
    pub folder: DiskFolder,
}

impl LoadedCampaign {
    /// From the text of the file and the folder that its paths count from.
    ///
    /// # Errors
    /// All faults of the file, each with its line.
    pub fn read(text: &str, name: String, folder: DiskFolder, limits: &InputLimits) -> Result<Self, CampaignFileError> {
        let sha256 = sha256(text.as_bytes());
        let campaign = read_within(text.strip_prefix('\u{feff}').unwrap_or(text), &name, &folder, limits)?;
        Ok(Self { campaign, name, sha256, folder })
    }
}
