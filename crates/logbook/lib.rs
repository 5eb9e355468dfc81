//! The pilot's logbook: campaigns, flights and their marks in one SQLite file, natively and in a browser.
//!
//! What was flown and what the pilot says of it is kept; what can be computed from that is not. A log stands in it once,
//! byte for byte, whatever else changes. Times are handed in, there is no clock here, and a file is touched only where a
//! path is given to [`Logbook::open`].
//!
//! * [`Logbook`]: opening, and everything that can be asked or changed.
//! * [`archive`]: the files of a campaign as one ZIP file, and back, on guard against hostile ones.
//!
//! ```
//! use driftless_logbook::{FlightFilter, Logbook};
//! use driftless_analysis::FlightFiles;
//!
//! let mut logbook = Logbook::in_memory()?;
//! let campaign = logbook.campaigns()?[0].id;
//! let log = FlightFiles { name: "evening.igc".to_owned(), log: b"AXXX", ..FlightFiles::default() };
//! let now = chrono::DateTime::UNIX_EPOCH;
//! let added = logbook.add_flight(campaign, &log, now)?;
//! assert!(logbook.add_flight(campaign, &log, now)?.was_there);
//! assert_eq!(logbook.flights(campaign, &FlightFilter::default())?[0].id, added.flight);
//! # Ok::<(), driftless_logbook::LogbookError>(())
//! ```

pub mod archive;
mod backup;
mod campaign_out;
mod campaigns;
mod check;
mod error;
mod export;
mod files;
mod flights;
mod id;
mod import;
mod import_files;
mod marks;
mod moment;
mod names;
mod open;
mod parts;
mod preferences;
mod runs;
mod schema;
mod stored;
mod words;

pub use campaign_out::CampaignOut;
pub use campaigns::{CampaignEntry, CampaignHead};
pub use error::LogbookError;
pub use export::Exported;
pub use flights::{About, Added, FlightEntry, FlightFilter};
pub use id::{CampaignId, CorrectionId, FlightId, RunId};
pub use marks::{Correction, MarkRow};
pub use open::Logbook;
pub use parts::SetupItem;
pub use runs::{StopwatchItem, WeightItem, WeightItemMeasured, WithKeys};
pub use schema::{APPLICATION_ID, SCHEMA_VERSION};
pub use stored::StoredFiles;

/// What nearly everything here returns.
pub type Result<T, E = LogbookError> = std::result::Result<T, E>;
