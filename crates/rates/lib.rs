//! The turn rate of a window with its two uncertainties, a second opinion, and what follows from it.

mod window_rate;

pub use window_rate::{SecondOpinion, WindowRate};
