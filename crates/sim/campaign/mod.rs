//! A campaign of simulated flights from one description: the scenario files of a demo campaign, and its stopwatch runs.

mod derive;
mod description;
mod files;
mod stopwatch;

pub use description::{Day, Description, Engine, Sortie, Weight, WingPoint};
pub use files::CampaignFiles;
pub use stopwatch::{TimedRun, timed_runs};
