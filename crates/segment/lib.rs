//! Let-go and take-over, the hands-off windows between them, and the scenario of each.

mod window;

pub use window::{HandsOff, Origin, Window};
