//! Files as one ZIP archive, and back. (PKWARE APPNOTE 6.3; deflate alone.)
//!
//! An archive comes from anywhere, so nothing in it is believed: how much it unpacks to is counted while it unpacks, and a
//! name that could lead anywhere but down into one folder is refused. Names are keys here, never paths on a disk.

mod name;
mod pack;
mod unpack;

pub use pack::pack;
pub use unpack::unpack;

/// Why an archive is not taken, or cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ArchiveError {
    /// It is none, or is cut off or damaged.
    #[error("this is no whole ZIP archive ({0}); make or fetch it again")]
    Broken(String),
    /// Too many files.
    #[error("the archive holds more than {most} files: the limit; if that is right, raise it with --limit runs=N")]
    TooManyFiles {
        /// How many are taken.
        most: usize,
    },
    /// Too much in it.
    #[error(
        "the archive unpacks to more than {most} bytes: the limit; a small archive that does so is made to do harm. If it is \
         yours, raise it with --limit bytes=N"
    )]
    TooLarge {
        /// How many bytes are taken, over all files.
        most: usize,
    },
    /// A name that is no plain path down into a folder.
    #[error(
        "the archive holds a file named {name}, which {why}; it is not taken. Pack the folder of the campaign itself"
    )]
    Name {
        /// The name, in quotes.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// A name that stands twice.
    #[error("the archive holds two files named \"{0}\"; nobody could tell which is meant. Pack the folder again")]
    Twice(String),
    /// A link to another file.
    #[error("the archive holds a link, \"{0}\", in place of a file; pack the file itself")]
    Link(String),
    /// Behind a password.
    #[error("the file \"{0}\" of the archive is locked with a password; pack it without one")]
    Encrypted(String),
    /// Packed in a way not known here.
    #[error("the file \"{0}\" of the archive is packed in a way that is not read here; pack it as plain ZIP (deflate)")]
    Method(String),
    /// There is no campaign file.
    #[error("the archive holds no campaign.toml; pack the folder of a campaign, or export one")]
    NoCampaign,
}

impl From<rawzip::Error> for ArchiveError {
    fn from(error: rawzip::Error) -> Self {
        Self::Broken(error.to_string().to_lowercase())
    }
}

impl From<std::io::Error> for ArchiveError {
    fn from(error: std::io::Error) -> Self {
        Self::Broken(error.to_string().to_lowercase())
    }
}
