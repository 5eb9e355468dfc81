//! The turn rate of a window with its two uncertainties, a second opinion, and what follows from it.
//!
//! [`measure`] takes the two turn rates of a window from the whole-flight estimate: what the aircraft did between
//! the window's ends ([`WindowRate::turn_rate`]) and what the set-up does ([`WindowRate::steady_rate`]). Beside them
//! stand the circle-drift fit of the window alone, the raw course rate for contrast, and bank, air radius and load
//! factor of the coordinated turn.

mod course;
mod measure;
mod window_rate;

pub use course::course_rate;
pub use measure::measure;
pub use window_rate::{SecondOpinion, WindowRate};
