//! Whole-program tests: they run the executable as a person would and look at what comes out.

mod bad_input;
mod browser;
mod campaign;
mod campaign_awkward;
mod campaign_file;
mod campaign_files;
mod campaign_plan;
mod combined;
mod contract;
mod figures;
mod files;
mod formats;
mod golden;
mod inertial;
mod inertial_units;
mod limits;
mod method;
mod published_campaigns;
mod published_flights;
mod readme;
mod real_logs;
mod run;
mod simulate;
mod truth;
mod untrusted_text;
mod validate;
