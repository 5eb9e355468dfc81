//! The folder of a campaign file on disk.

use crate::text;
use driftless_analysis::InputLimits;
use driftless_analysis::campaign::file::Folder;
use std::path::{Path, PathBuf};

/// A folder on disk, from which the paths of a campaign file count.
#[derive(Debug, Clone)]
pub struct DiskFolder {
    base: PathBuf,
    limits: InputLimits,
}

impl DiskFolder {
    /// The one that `base` names; the empty path is the folder that the program runs in.
    pub fn new(base: PathBuf, limits: &InputLimits) -> Self {
        Self { base, limits: *limits }
    }

    /// The path of a name in the campaign file.
    pub fn path(&self, name: &str) -> PathBuf {
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
        text(&self.path(path), &self.limits).map_err(|error| error.words())
    }
}
