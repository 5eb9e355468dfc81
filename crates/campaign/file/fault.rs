//! What is wrong in a campaign file or a sheet: where it stands, the excerpt, why, and what to do.

use driftless_units::{acts_on_display, printable};
use std::fmt;

/// Longest excerpt shown, characters.
pub(super) const EXCERPT: usize = 100;

/// Longest message shown, characters: names may be much longer.
const MESSAGE: usize = 400;

/// One thing wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Name of the file.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1, in characters.
    pub column: usize,
    /// What is wrong, with the value.
    pub message: String,
    /// The line as it stands in the file, as far as it is shown.
    pub excerpt: String,
    /// How many characters of it are meant.
    pub width: usize,
    /// What to do.
    pub help: Option<String>,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { line, column, .. } = self;
        let file = printable(&self.file);
        writeln!(f, "{file}:{line}:{column}: {}", printable(&shortened(&self.message)))?;
        let number = line.to_string();
        let shown: String = self.excerpt.chars().map(|c| if acts_on_display(c) { '\u{fffd}' } else { c }).collect();
        write!(f, "  {number} | {}", shown.trim_end())?;
        if *column <= EXCERPT {
            let width = self.width.min(EXCERPT + 1 - column);
            write!(f, "\n  {} | {}{}", " ".repeat(number.len()), " ".repeat(column - 1), "^".repeat(width))?;
        }
        if let Some(help) = &self.help {
            write!(f, "\n  help: {}", printable(&shortened(help)))?;
        }
        Ok(())
    }
}

/// Words with somebody's own in them, as much as a message needs.
fn shortened(words: &str) -> String {
    let mut short: String = words.chars().take(MESSAGE).collect();
    if short.len() < words.len() {
        short.push('…');
    }
    short
}

/// Why a campaign file cannot be used: everything wrong in it, in the order of the file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub struct CampaignFileError {
    /// What is wrong; never empty.
    pub faults: Vec<Fault>,
    /// How much more, behind the limit of what is kept.
    pub more: usize,
}

/// Faults written out one by one; the rest is counted.
const SHOWN: usize = 8;

impl fmt::Display for CampaignFileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.faults.iter().take(SHOWN).enumerate() {
            if i > 0 {
                write!(f, "\n\n")?;
            }
            write!(f, "{fault}")?;
        }
        match self.faults.len().saturating_sub(SHOWN) + self.more {
            0 => Ok(()),
            1 => write!(f, "\n\nand one more fault"),
            more => write!(f, "\n\nand {more} more faults"),
        }
    }
}
