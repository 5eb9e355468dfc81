//! Whole campaigns whose truth is known: how often cells and compensations hold it, by number of runs and by thirds of the
//! stated widths.
//!
//! A campaign has three set-ups on one wing, each flown on one to six days in every scenario, one window a flight. Days
//! differ by 0.10 °/s and 4 % of the turn.
//!
//! * [`drawn`]: windows are drawn with an honest uncertainty of their own; what is judged is what campaigns make of them.
//! * [`flown`]: every flight is simulated, written as a file, read and analysed, as a user's log is.
//! * `truth`: what is drawn of a campaign; `score`: its analysis against that; [`tables`]: the figures.

pub mod drawn;
pub mod flown;
mod score;
pub mod tables;
mod truth;

pub use score::{CampaignScore, Stated};
pub use truth::DaySpread;
