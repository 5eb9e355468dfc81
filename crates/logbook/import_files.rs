//! A campaign from files at hand: those of an archive.

use crate::archive::{ArchiveError, unpack};
use crate::export::CAMPAIGN_FILE;
use crate::{CampaignId, Logbook, Result};
use chrono::{DateTime, Utc};
use driftless_analysis::InputLimits;
use driftless_analysis::campaign::file::{Folder, read_within};
use std::collections::BTreeMap;

/// Files by path.
type Files = BTreeMap<String, Vec<u8>>;

impl Logbook {
    /// Puts the campaign of a ZIP archive into the logbook, as a new one. The folder of the campaign may be packed itself
    /// or inside another.
    ///
    /// # Errors
    /// An archive that is not taken; whatever is wrong in the campaign file; files that it names and that are not there.
    pub fn import_archive(&mut self, bytes: &[u8], limits: &InputLimits, now: DateTime<Utc>) -> Result<CampaignId> {
        let files = unpack(bytes, limits)?;
        let path = campaign_file(&files).ok_or(ArchiveError::NoCampaign)?;
        let folder = Unpacked { files: &files, base: path.strip_suffix(CAMPAIGN_FILE).unwrap_or_default() };
        let text = folder.text(CAMPAIGN_FILE).map_err(crate::LogbookError::refused)?;
        let campaign = read_within(&text, CAMPAIGN_FILE, &folder, limits)?;
        self.import_campaign(&campaign, &|path| folder.bytes(path).cloned(), now)
    }
}

/// The campaign file that lies least deep.
fn campaign_file(files: &Files) -> Option<&String> {
    let named = files.keys().filter(|path| path.rsplit('/').next() == Some(CAMPAIGN_FILE));
    named.min_by_key(|path| path.matches('/').count())
}

/// The folder of a campaign among files.
struct Unpacked<'a> {
    files: &'a Files,
    /// What stands before the paths of that folder.
    base: &'a str,
}

impl Unpacked<'_> {
    fn bytes(&self, path: &str) -> Option<&Vec<u8>> {
        let path = path.replace('\\', "/");
        self.files.get(&format!("{}{}", self.base, path.strip_prefix("./").unwrap_or(&path)))
    }
}

impl Folder for Unpacked<'_> {
    fn holds(&self, path: &str) -> bool {
        self.bytes(path).is_some()
    }

    fn near(&self, _path: &str) -> Vec<String> {
        self.files.keys().filter_map(|path| path.strip_prefix(self.base)).map(str::to_owned).collect()
    }

    fn text(&self, path: &str) -> std::result::Result<String, String> {
        let bytes = self.bytes(path).ok_or_else(|| format!("there is no file {path}"))?;
        let text =
            std::str::from_utf8(bytes).map_err(|_| format!("{path} is not UTF-8 text; save the file as UTF-8"))?;
        Ok(text.strip_prefix('\u{feff}').unwrap_or(text).to_owned())
    }
}
