//! The folder of a campaign file, as far as reading the file needs it.

/// What stands beside a campaign file. The program gives the real folder, tests a made-up one.
pub trait Folder {
    /// Whether there is a file of that name (as written in the campaign file).
    fn holds(&self, path: &str) -> bool;
    /// Names of files near `path`, written the same way, to suggest one.
    fn near(&self, path: &str) -> Vec<String>;
    /// The text of a file, or why it cannot be read.
    ///
    /// # Errors
    /// What kept the file from being read, in words.
    fn text(&self, path: &str) -> Result<String, String>;
}

/// A folder in which every file is taken to be there, and no sheet can be read.
#[derive(Debug, Clone, Copy, Default)]
pub struct AnyFolder;

impl Folder for AnyFolder {
    fn holds(&self, _path: &str) -> bool {
        true
    }
    fn near(&self, _path: &str) -> Vec<String> {
        Vec::new()
    }
    fn text(&self, path: &str) -> Result<String, String> {
        Err(format!("{path} was not looked for"))
    }
}
