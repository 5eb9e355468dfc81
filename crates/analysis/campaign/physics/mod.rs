//! From turn rates to something to adjust: sensitivities, equivalents of each residual turn, device models, recommended
//! settings, reduction to one mass and one air. The mathematics is in `driftless_campaign::physics`.

mod cells;
mod devices;
mod reduction;
mod sensitivity;

pub use cells::CellPhysics;
pub use devices::{DeviceOnWing, Prediction};
pub use driftless_campaign::physics::adjust::{Adjustment, Equivalents};
pub use driftless_campaign::physics::devices::{DeviceModel, ModelComparison, ModelVerdict};
pub use driftless_campaign::physics::recommend::{DoesItAll, Recommendation, TradeOff};
pub use driftless_campaign::physics::reduce::Conditions;
pub use driftless_campaign::physics::sensitivity::{Sensitivity, TYPICAL_DEG_S_PER_NM};
pub use reduction::{ReducedCell, Reduction};
pub use sensitivity::WingSensitivity;

use super::cells::Cell;
use super::runs::WeightPoint;
use driftless_campaign::model::Campaign;

/// The physics of a campaign.
#[derive(Debug, Clone)]
pub struct CampaignPhysics {
    /// How strongly each wing answers to a moment, where known weights were flown.
    pub sensitivities: Vec<WingSensitivity>,
    /// What each cell's residual turn is worth, in the order of the cells.
    pub cells: Vec<CellPhysics>,
    /// Each torque device on each wing.
    pub devices: Vec<DeviceOnWing>,
    /// Turns at one mass and one density; `None` where masses are not known.
    pub reduction: Option<Reduction>,
}

/// Works it all out.
pub(super) fn physics(campaign: &Campaign, cells: &[Cell], weights: &[WeightPoint]) -> CampaignPhysics {
    let sensitivities = sensitivity::sensitivities(cells, weights);
    CampaignPhysics {
        cells: cells::cells(campaign, cells, &sensitivities),
        devices: devices::devices(campaign, cells, &sensitivities),
        reduction: reduction::reduction(campaign, cells),
        sensitivities,
    }
}
