//! The constants of the whole-flight estimate and its priors: one record, from which docs/method.md has its tables.
//!
//! What was found on the simulator was found on its tuning seeds only.

mod first_node;
mod levels;
mod motion;
mod nodes;
mod passes;
mod receivers;
mod rivals;
mod sensors;
mod starts;
mod trust;
mod twist;

pub use driftless_units::constant::{Constant, Group};
pub use first_node::*;
pub use levels::*;
pub use motion::*;
pub use nodes::*;
pub use passes::*;
pub use receivers::*;
pub use rivals::*;
pub use sensors::*;
pub use starts::*;
pub use trust::*;
pub use twist::*;

/// A part of the state, as the method page lists it.
#[derive(Debug, Clone, Copy)]
pub struct Part {
    /// Its letter in the formulas; with the number of parts where there is one per axis.
    pub symbol: &'static str,
    /// Its name in the code.
    pub name: &'static str,
    /// What it is.
    pub what: &'static str,
    /// How it moves from node to node.
    pub moves: &'static str,
    /// What is believed of it at the first node.
    pub first: &'static str,
}

const VAGUE: &str = "wide enough to say nothing";
const SEARCH: &str = "tuned on simulated flights: how fast the search arrives, not where";

/// The whole record, in the order of the method page.
pub const GROUPS: [Group; 11] = [
    nodes::GROUP,
    first_node::GROUP,
    motion::GROUP,
    levels::GROUP,
    starts::GROUP,
    passes::GROUP,
    twist::GROUP,
    receivers::GROUP,
    trust::GROUP,
    rivals::GROUP,
    sensors::GROUP,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// A constant that is written down and not listed would be missing on the method page.
    #[test]
    fn every_constant_is_listed_once() {
        let written = [
            include_str!("constants/nodes.rs"),
            include_str!("constants/first_node.rs"),
            include_str!("constants/motion.rs"),
            include_str!("constants/levels.rs"),
            include_str!("constants/starts.rs"),
            include_str!("constants/passes.rs"),
            include_str!("constants/twist.rs"),
            include_str!("constants/receivers.rs"),
            include_str!("constants/trust.rs"),
            include_str!("constants/rivals.rs"),
            include_str!("constants/sensors.rs"),
        ];
        for (source, group) in written.into_iter().zip(GROUPS) {
            assert_eq!(source.matches(": Constant =").count(), group.constants.len(), "{}", group.title);
            let mut said: Vec<&str> = group.constants.iter().map(|c| c.what).collect();
            said.sort_unstable();
            said.dedup();
            assert_eq!(said.len(), group.constants.len(), "{}", group.title);
        }
    }
}
