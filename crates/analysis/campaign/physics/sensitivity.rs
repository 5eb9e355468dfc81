//! How strongly each wing answers to a moment, scenario by scenario.

use super::super::cells::Cell;
use super::super::runs::{Run, WeightPoint};
use driftless_campaign::model::WingId;
use driftless_campaign::physics::sensitivity::{KnownWeight, Sensitivity, fit_sensitivity};
use driftless_track::Scenario;
use driftless_units::Estimate;
use std::collections::BTreeMap;

/// The sensitivity of a wing in a scenario.
#[derive(Debug, Clone)]
pub struct WingSensitivity {
    /// Wing.
    pub wing: WingId,
    /// Scenario.
    pub scenario: Scenario,
    /// Runs with a weight.
    pub with_weight: usize,
    /// Runs of the same set-ups without.
    pub without_weight: usize,
    /// The line, or why there is none.
    pub result: Result<Sensitivity, String>,
}

/// Fits every wing and scenario in which a weight was flown. The ordinary runs of the same set-up stand in as runs with
/// no weight.
pub(super) fn sensitivities(cells: &[Cell], weights: &[WeightPoint]) -> Vec<WingSensitivity> {
    let mut by_place: BTreeMap<(WingId, Scenario), Vec<&WeightPoint>> = BTreeMap::new();
    for point in weights {
        by_place.entry((point.run.key.wing, point.run.key.scenario)).or_default().push(point);
    }
    by_place.into_iter().map(|((wing, scenario), points)| of_wing(cells, wing, scenario, &points)).collect()
}

fn of_wing(cells: &[Cell], wing: WingId, scenario: Scenario, points: &[&WeightPoint]) -> WingSensitivity {
    let same_setup = |cell: &&Cell| points.iter().any(|point| point.run.key == cell.key);
    let without: Vec<&Run> = cells.iter().filter(same_setup).flat_map(|cell| &cell.runs).collect();
    let hung = |point: &&WeightPoint| KnownWeight {
        mass_kg: point.weight.mass_kg,
        mass_std_u_kg: point.weight.mass_std_u_kg,
        arm_m: point.weight.side.sign() * point.weight.arm_m,
        // One tape measured them all: see `shared`.
        arm_std_u_m: 0.0,
        turn_deg_s: point.run.rate_deg_s,
    };
    let bare = |run: &&Run| KnownWeight {
        mass_kg: 0.0,
        mass_std_u_kg: 0.0,
        arm_m: 0.0,
        arm_std_u_m: 0.0,
        turn_deg_s: run.rate_deg_s,
    };
    let runs: Vec<KnownWeight> = points.iter().map(hung).chain(without.iter().map(bare)).collect();
    WingSensitivity {
        wing,
        scenario,
        with_weight: points.len(),
        without_weight: without.len(),
        result: fit_sensitivity(&runs, shared(points)).map_err(|error| error.to_string()),
    }
}

/// The arm's relative uncertainty, which all runs share; the largest of them, to be careful.
fn shared(points: &[&WeightPoint]) -> f64 {
    let relative = |point: &&WeightPoint| point.weight.arm_std_u_m / point.weight.arm_m;
    points.iter().map(relative).filter(|share| share.is_finite()).fold(0.0, f64::max)
}

/// The sensitivity of a place, where it is told from zero.
pub(super) fn resolved(list: &[WingSensitivity], wing: WingId, scenario: Scenario) -> Option<Estimate<f64>> {
    let of = list.iter().find(|of| of.wing == wing && of.scenario == scenario)?;
    // A weight turns the aircraft to its own side; anything else was not measured well enough to use.
    of.result.as_ref().ok().filter(|s| s.resolved() && s.deg_s_per_nm.value > 0.0).map(|s| s.deg_s_per_nm)
}
