//! A campaign from disk: its file, what stands beside it, its flights.

mod flights;
mod folder;
mod load;

pub use flights::analyse_flights;
pub use folder::DiskFolder;
pub use load::LoadedCampaign;
