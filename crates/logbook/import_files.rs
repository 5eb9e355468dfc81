//! A campaign from files at hand: those of an archive, or those that somebody dropped.

use crate::archive::{ArchiveError, unpack};
use crate::export::CAMPAIGN_FILE;
use crate::{CampaignId, Logbook, LogbookError, Result};
use chrono::{DateTime, Utc};
use driftless_analysis::InputLimits;
use driftless_analysis::campaign::file::{Folder, read_within};
use std::collections::BTreeMap;

impl Logbook {
    /// Puts the campaign of a ZIP archive into the logbook, as a new one. The folder of the campaign may be packed itself
    /// or inside another.
    ///
    /// # Errors
    /// An archive that is not taken; whatever is wrong in the campaign file; files that it names and that are not there.
    pub fn import_archive(&mut self, bytes: &[u8], limits: &InputLimits, now: DateTime<Utc>) -> Result<CampaignId> {
        let files = unpack(bytes, limits)?;
        let path = campaign_file(&files).ok_or(ArchiveError::NoCampaign)?;
        self.import_files(&files, path, limits, now)
    }

    /// Puts a campaign into the logbook, as a new one, from files by their paths; `path` is that of its campaign file, and
    /// what this names counts from its folder.
    ///
    /// # Errors
    /// Whatever is wrong in the campaign file; files that it names and that are not there.
    pub fn import_files<Bytes: AsRef<[u8]>>(
        &mut self,
        files: &BTreeMap<String, Bytes>,
        path: &str,
        limits: &InputLimits,
        now: DateTime<Utc>,
    ) -> Result<CampaignId> {
        let (base, name) = path.rfind('/').map_or(("", path), |end| path.split_at(end + 1));
        let folder = AtHand { files, base };
        let text = folder.text(name).map_err(LogbookError::refused)?;
        let campaign = read_within(&text, name, &folder, limits)?;
        self.import_campaign(&campaign, &|path| folder.bytes(path).map(<[u8]>::to_vec), now)
    }
}

/// The campaign file that lies least deep.
fn campaign_file(files: &BTreeMap<String, Vec<u8>>) -> Option<&String> {
    let named = files.keys().filter(|path| path.rsplit('/').next() == Some(CAMPAIGN_FILE));
    named.min_by_key(|path| path.matches('/').count())
}

/// The folder of a campaign among files at hand.
struct AtHand<'a, Bytes> {
    files: &'a BTreeMap<String, Bytes>,
    /// What stands before the paths of that folder.
    base: &'a str,
}

impl<Bytes: AsRef<[u8]>> AtHand<'_, Bytes> {
    fn bytes(&self, path: &str) -> Option<&[u8]> {
        let path = path.replace('\\', "/");
        self.files.get(&format!("{}{}", self.base, path.strip_prefix("./").unwrap_or(&path))).map(AsRef::as_ref)
    }
}

impl<Bytes: AsRef<[u8]>> Folder for AtHand<'_, Bytes> {
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
