//! A campaign that was dropped: its file, and what stands beside it.

use crate::failure::{Failure, Result};
use driftless_analysis::InputLimits;
use driftless_analysis::campaign::file::{Folder, read_within};
use driftless_analysis::campaign::model::Campaign;
use std::collections::BTreeMap;

/// Files by their paths, as a campaign file sees them.
pub(crate) struct Files<'a> {
    files: BTreeMap<String, &'a [u8]>,
    limits: InputLimits,
}

impl<'a> Files<'a> {
    /// Of all files, those in the folder of the campaign file, by the paths that count from there.
    pub(crate) fn beside(campaign: &str, all: &[(String, &'a [u8])], limits: &InputLimits) -> Self {
        let folder = campaign.rfind('/').map_or("", |end| campaign.get(..=end).unwrap_or_default());
        let own = |(path, bytes): &(String, &'a [u8])| Some((path.strip_prefix(folder)?.to_owned(), *bytes));
        Self { files: all.iter().filter_map(own).collect(), limits: *limits }
    }

    /// The bytes at a path.
    pub(crate) fn bytes(&self, path: &str) -> Option<Vec<u8>> {
        self.files.get(plain(path)).map(|bytes| bytes.to_vec())
    }

    /// The campaign of a campaign file among them.
    pub(crate) fn campaign(&self, name: &str, bytes: &[u8]) -> Result<Campaign> {
        let text = std::str::from_utf8(bytes)
            .map_err(|_| Failure::asked(format!("{name} is not UTF-8 text; save it as UTF-8")))?;
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        read_within(text, name, self, &self.limits)
            .map_err(|faults| Failure::asked(format!("the campaign file cannot be used\n{faults}")))
    }
}

/// "./logs/a.igc" is "logs/a.igc".
fn plain(path: &str) -> &str {
    path.strip_prefix("./").unwrap_or(path)
}

impl Folder for Files<'_> {
    fn holds(&self, path: &str) -> bool {
        self.files.contains_key(plain(path))
    }

    fn near(&self, path: &str) -> Vec<String> {
        let folder = |path: &str| path.rfind('/').map(|end| path.get(..end).unwrap_or_default().to_owned());
        let within = folder(plain(path));
        self.files.keys().filter(|other| folder(other) == within).cloned().collect()
    }

    fn text(&self, path: &str) -> Result<String, String> {
        let bytes = self.files.get(plain(path)).ok_or_else(|| format!("{path} is not among the files given"))?;
        String::from_utf8(bytes.to_vec()).map_err(|_| format!("{path} is not UTF-8 text; save it as UTF-8"))
    }
}
