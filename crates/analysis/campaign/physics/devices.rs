//! Each torque device on each wing: how it acts, what it does in every scenario, which setting to take.

use super::super::cells::{Cell, CellKey};
use super::cells::shaft_torque;
use super::sensitivity::{WingSensitivity, resolved};
use driftless_campaign::model::{Campaign, DeviceId, DeviceKind, PropellerDirection, SCENARIOS, SetupId, WingId};
use driftless_campaign::physics::devices::{
    DeviceCell, DeviceFit, DeviceModel, ModelComparison, ScenarioKnown, compare_models,
};
use driftless_campaign::physics::recommend::{Recommendation, SettingWish, TradeOff, recommend, trade_off};
use driftless_campaign::physics::torque::reaction_moment;
use driftless_track::Scenario;
use driftless_units::{Estimate, Interval};
use std::collections::BTreeSet;

/// Points of a trade-off curve.
const CURVE_POINTS: usize = 41;

/// A device on a wing.
#[derive(Debug, Clone)]
pub struct DeviceOnWing {
    /// Device.
    pub device: DeviceId,
    /// Wing.
    pub wing: WingId,
    /// The set-up without it.
    pub baseline: SetupId,
    /// Scenarios of the fit, in its order.
    pub scenarios: Vec<Scenario>,
    /// How it acts.
    pub comparison: ModelComparison,
    /// Model that the predictions rest on: the one the data support, else the maker's word, else the nearest.
    pub used: Option<DeviceModel>,
    /// Whether the maker's word decided, because the data could not.
    pub by_makers_word: bool,
    /// Number of settings flown.
    pub settings_flown: usize,
    /// Prediction for each cell flown with the device and each scenario at the settings flown.
    pub predictions: Vec<Prediction>,
    /// The setting to take; `None` where the device has no setting, or too little is known.
    pub recommendation: Option<Recommendation>,
    /// Settings looked at.
    pub range: Option<Interval<f64>>,
    /// Residual against setting of each scenario; empty where there is no range of settings.
    pub trade_off: Vec<TradeOff>,
}

/// What the model says of a scenario at a setting flown, beside what was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prediction {
    /// Set-up.
    pub setup: SetupId,
    /// Scenario.
    pub scenario: Scenario,
    /// By the model, °/s.
    pub predicted_deg_s: Estimate<f64>,
    /// As measured, °/s; `None` where the cell was not flown.
    pub measured_deg_s: Option<Estimate<f64>>,
}

pub(super) fn devices(campaign: &Campaign, cells: &[Cell], sensitivities: &[WingSensitivity]) -> Vec<DeviceOnWing> {
    let places: BTreeSet<(DeviceId, WingId, SetupId)> = cells
        .iter()
        .filter_map(|cell| {
            let setup = campaign.setup(cell.key.setup);
            Some((setup.device?, cell.key.wing, setup.baseline?))
        })
        .collect();
    places.into_iter().filter_map(|place| on_wing(campaign, cells, sensitivities, place)).collect()
}

fn on_wing(
    campaign: &Campaign,
    cells: &[Cell],
    sensitivities: &[WingSensitivity],
    (device, wing, baseline): (DeviceId, WingId, SetupId),
) -> Option<DeviceOnWing> {
    let find = |key: CellKey| cells.iter().find(|cell| cell.key == key);
    let scenarios: Vec<Scenario> = SCENARIOS
        .into_iter()
        .filter(|scenario| find(CellKey { setup: baseline, wing, scenario: *scenario }).is_some())
        .collect();
    let known: Vec<ScenarioKnown> = scenarios
        .iter()
        .map(|scenario| {
            let key = CellKey { setup: baseline, wing, scenario: *scenario };
            let unit = campaign.power_unit(campaign.setup(baseline).power_unit);
            let clockwise = unit.propeller == PropellerDirection::Clockwise;
            ScenarioKnown {
                baseline_deg_s: find(key).map(Cell::turn_deg_s),
                sensitivity_deg_s_per_nm: resolved(sensitivities, wing, *scenario),
                reaction_moment_nm: shaft_torque(campaign, key).map(|torque| reaction_moment(&torque, clockwise)),
            }
        })
        .collect();
    let of_device = |cell: &&Cell| {
        let setup = campaign.setup(cell.key.setup);
        setup.device == Some(device) && setup.baseline == Some(baseline) && cell.key.wing == wing
    };
    let flown: Vec<(SetupId, DeviceCell)> = cells
        .iter()
        .filter(of_device)
        .filter_map(|cell| {
            let scenario = scenarios.iter().position(|scenario| *scenario == cell.key.scenario)?;
            let setting = setting(campaign, cell.key.setup);
            Some((cell.key.setup, DeviceCell { scenario, setting, turn_deg_s: cell.turn_deg_s() }))
        })
        .collect();
    if flown.is_empty() {
        return None;
    }
    let device_cells: Vec<DeviceCell> = flown.iter().map(|(_, cell)| *cell).collect();
    let comparison = compare_models(&known, &device_cells);
    let (fit, by_makers_word) = fit_to_use(campaign, device, &comparison);
    let setups: BTreeSet<SetupId> = flown.iter().map(|(setup, _)| *setup).collect();
    let range = fit.and_then(|_| settings(campaign, device, &setups));
    let wish = range.map(|range| SettingWish {
        weights: scenarios.iter().map(|s| campaign.scenario_weights.get(s).copied().unwrap_or(1.0)).collect(),
        range,
        tolerance_deg_s: campaign.tolerated_turn_deg_min / 60.0,
    });
    Some(DeviceOnWing {
        device,
        wing,
        baseline,
        used: fit.map(|fit| fit.model),
        by_makers_word,
        settings_flown: setups
            .iter()
            .filter_map(|setup| campaign.setup(*setup).setting)
            .map(f64::to_bits)
            .collect::<BTreeSet<_>>()
            .len(),
        predictions: fit.map(|fit| predictions(campaign, fit, &scenarios, &setups, &flown)).unwrap_or_default(),
        recommendation: fit.zip(wish).and_then(|(fit, wish)| recommend(fit, &wish).ok()),
        trade_off: fit.zip(range).map(|(fit, range)| trade_off(fit, &range, CURVE_POINTS)).unwrap_or_default(),
        range,
        scenarios,
        comparison,
    })
}

/// The setting of a set-up; a device that cannot be set counts as set to one.
fn setting(campaign: &Campaign, setup: SetupId) -> f64 {
    campaign.setup(setup).setting.unwrap_or(1.0)
}

/// The fit that predictions rest on.
fn fit_to_use<'a>(
    campaign: &Campaign,
    device: DeviceId,
    comparison: &'a ModelComparison,
) -> (Option<&'a DeviceFit>, bool) {
    use driftless_campaign::physics::devices::ModelVerdict::{CannotTell, NothingToCompare};
    let makers = campaign.device(device).model.map(|kind| match kind {
        DeviceKind::Constant => DeviceModel::Constant,
        DeviceKind::Propwash => DeviceModel::Propwash,
        DeviceKind::Mixed => DeviceModel::Mixed,
    });
    match (comparison.verdict, makers.and_then(|model| comparison.fit(model))) {
        (CannotTell | NothingToCompare, Some(fit)) => (Some(fit), true),
        _ => (comparison.best(), false),
    }
}

/// Settings to look at: those the device can take, else from none to the highest flown and a quarter more.
fn settings(campaign: &Campaign, device: DeviceId, setups: &BTreeSet<SetupId>) -> Option<Interval<f64>> {
    let flown = setups.iter().filter_map(|setup| campaign.setup(*setup).setting);
    let (lowest, highest) = flown.fold(None, |range: Option<(f64, f64)>, setting| {
        Some(range.map_or((setting, setting), |(low, high)| (low.min(setting), high.max(setting))))
    })?;
    match campaign.device(device).setting_range {
        Some((low, high)) => Some(Interval { low, high }),
        None if highest > 0.0 => Some(Interval { low: lowest.min(0.0), high: 1.25 * highest }),
        None => None,
    }
}

fn predictions(
    campaign: &Campaign,
    fit: &DeviceFit,
    scenarios: &[Scenario],
    setups: &BTreeSet<SetupId>,
    flown: &[(SetupId, DeviceCell)],
) -> Vec<Prediction> {
    let mut predictions = Vec::new();
    for setup in setups {
        for (index, scenario) in scenarios.iter().enumerate() {
            let measured = flown.iter().find(|(of, cell)| of == setup && cell.scenario == index);
            predictions.push(Prediction {
                setup: *setup,
                scenario: *scenario,
                predicted_deg_s: fit.predict(index, setting(campaign, *setup)),
                measured_deg_s: measured.map(|(_, cell)| cell.turn_deg_s),
            });
        }
    }
    predictions
}
