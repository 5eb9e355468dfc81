//! The domain model: what a campaign file says, checked and resolved. Units stand in the names; right is positive.

mod aircraft;
mod id;
mod plan;
mod runs;
mod setup;
pub mod usual;

pub use aircraft::{Device, DeviceKind, EnginePoint, Pilot, PowerUnit, PropellerDirection, Wing};
pub use id::{DeviceId, FlightId, PilotId, PowerUnitId, SetupId, WingId};
pub use plan::PlanWishes;
pub use runs::{
    Flight, FlownWith, HungWeight, KnownWeightRun, LeftOut, Place, StopwatchRun, Timing, Turned, WeightMeasured,
    WindowRef,
};
pub use setup::{Claim, Setup};

use driftless_units::Scenario;
use std::collections::BTreeMap;

/// A campaign: one question, and all that was flown to answer it.
#[derive(Debug, Clone, PartialEq)]
pub struct Campaign {
    /// Title.
    pub title: String,
    /// Who flew it.
    pub club: Option<String>,
    /// Note.
    pub note: Option<String>,
    /// Half-width that the 95 % interval of a compensation should reach, percentage points.
    pub wished_half_width_percent: f64,
    /// Residual turn that is still fine in every scenario, °/min, whichever way: what a recommended setting is held to.
    pub tolerated_turn_deg_min: f64,
    /// Power units, in the order of the file, as all lists here.
    pub power_units: Vec<PowerUnit>,
    /// Torque devices.
    pub devices: Vec<Device>,
    /// Wings.
    pub wings: Vec<Wing>,
    /// Pilots.
    pub pilots: Vec<Pilot>,
    /// Set-ups.
    pub setups: Vec<Setup>,
    /// Flights with logs.
    pub flights: Vec<Flight>,
    /// Runs timed with a stopwatch.
    pub stopwatch_runs: Vec<StopwatchRun>,
    /// Runs with a known weight.
    pub weight_runs: Vec<KnownWeightRun>,
    /// How much each scenario counts in a recommendation; all four are given.
    pub scenario_weights: BTreeMap<Scenario, f64>,
    /// Wishes for the next flights.
    pub plan: PlanWishes,
}

/// The four scenarios that can be compared, in the order reports use.
pub const SCENARIOS: [Scenario; 4] =
    [Scenario::TrimLevel, Scenario::AcceleratedLevel, Scenario::FullPowerClimb, Scenario::PowerOffGlide];

macro_rules! look_up {
    ($($(#[$doc:meta])* $name:ident, $id:ident, $list:ident, $item:ident;)+) => {
        impl Campaign {$(
            $(#[$doc])*
            ///
            /// # Panics
            /// When the identifier belongs to another campaign.
            pub fn $name(&self, id: $id) -> &$item {
                &self.$list[id.0]
            }
        )+}
    };
}

look_up! {
    /// The power unit of an identifier.
    power_unit, PowerUnitId, power_units, PowerUnit;
    /// The torque device of an identifier.
    device, DeviceId, devices, Device;
    /// The wing of an identifier.
    wing, WingId, wings, Wing;
    /// The pilot of an identifier.
    pilot, PilotId, pilots, Pilot;
    /// The set-up of an identifier.
    setup, SetupId, setups, Setup;
    /// The flight of an identifier.
    flight, FlightId, flights, Flight;
}

impl Campaign {
    /// The set-up of a key or name, as a marks file may name it.
    pub fn setup_named(&self, name: &str) -> Option<SetupId> {
        let name = name.trim();
        let found = self.setups.iter().position(|s| s.key == name);
        found.or_else(|| self.setups.iter().position(|s| s.name == name)).map(SetupId)
    }

    /// Engine power and speed of a set-up in a scenario, where the file gives them.
    pub fn engine_point(&self, setup: SetupId, scenario: Scenario) -> Option<EnginePoint> {
        self.power_unit(self.setup(setup).power_unit).engine.get(&scenario).copied()
    }
}
