//! Reading a campaign file and what stands beside it.

use crate::input::{self, is_dash};
use crate::suggest;
use anyhow::anyhow;
use driftless_analysis::campaign::file::{Folder, read_within};
use driftless_analysis::campaign::model::Campaign;
use driftless_analysis::{InputLimits, sha256};
use std::path::{Path, PathBuf};

/// A campaign file, read.
pub(crate) struct Loaded {
    pub(crate) campaign: Campaign,
    /// Name in messages and reports.
    pub(crate) name: String,
    /// SHA-256 of the file.
    pub(crate) sha256: String,
    /// The folder that paths in it count from.
    pub(crate) folder: DiskFolder,
}

/// Reads a campaign file; `-` is standard input, whose paths count from the folder the program runs in.
pub(crate) fn load(path: &Path, limits: &InputLimits) -> anyhow::Result<Loaded> {
    suggest::refuse_log(path)?;
    let name = input::given_name(path);
    let text = input::text(path, limits)?;
    let sha256 = sha256(text.as_bytes());
    let base = if is_dash(path) { PathBuf::new() } else { path.parent().map(Path::to_owned).unwrap_or_default() };
    let folder = DiskFolder { base, limits: *limits };
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let campaign = read_within(text, &name, &folder, limits)
        .map_err(|faults| anyhow!("the campaign file cannot be used\n{faults}"))?;
    Ok(Loaded { campaign, name, sha256, folder })
}

/// A folder on disk.
pub(crate) struct DiskFolder {
    base: PathBuf,
    limits: InputLimits,
}

impl DiskFolder {
    /// The path of a name in the campaign file.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.base.join(name)
    }
}

impl Folder for DiskFolder {
    fn holds(&self, path: &str) -> bool {
        self.path(path).is_file()
    }

    fn near(&self, path: &str) -> Vec<String> {
        let within = Path::new(path).parent().unwrap_or(Path::new(""));
        let folder = self.base.join(within);
        // The empty path is this folder, but cannot be read by that name.
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { &folder };
        let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
        let mut names: Vec<String> = entries
            .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
            .map(|name| within.join(name).to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    fn text(&self, path: &str) -> Result<String, String> {
        input::text(&self.path(path), &self.limits).map_err(|error| format!("{error:#}"))
    }
}
