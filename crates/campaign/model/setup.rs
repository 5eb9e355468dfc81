//! Set-ups and what is claimed of them.

use super::{DeviceId, PilotId, PowerUnitId, SetupId, WingId};

/// A power unit with or without a torque device. The wing and the pilot may be fixed here or named by each flight.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// Key in the campaign file.
    pub key: String,
    /// Name in reports.
    pub name: String,
    /// Power unit.
    pub power_unit: PowerUnitId,
    /// Torque device; `None` for the bare power unit.
    pub device: Option<DeviceId>,
    /// Setting of the device, in its own unit.
    pub setting: Option<f64>,
    /// Wing of its runs, unless a run names another.
    pub wing: Option<WingId>,
    /// Pilot of its runs, unless a run names another.
    pub pilot: Option<PilotId>,
    /// The same power unit without torque device; `None` where there is none to compare with (the baseline itself, or
    /// a set-up that says so).
    pub baseline: Option<SetupId>,
    /// What somebody says of it.
    pub claim: Claim,
    /// Line in the campaign file.
    pub line: usize,
}

/// What somebody claims a set-up does, to be held against the figures.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Claim {
    /// Share of the turn taken away, per cent.
    pub compensation_percent: Option<f64>,
    /// Most heading drift, hands off, in degrees per minute, whichever way.
    pub drift_deg_min: Option<f64>,
}
