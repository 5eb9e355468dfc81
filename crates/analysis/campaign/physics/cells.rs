//! What each cell's residual turn is worth: torque behind it, bank, moment, hang-point offset, weight shift.

use super::super::cells::{Cell, CellKey};
use super::sensitivity::{WingSensitivity, resolved};
use driftless_campaign::model::PropellerDirection;
use driftless_campaign::model::{Campaign, PilotId};
use driftless_campaign::physics::adjust::{Equivalents, Masses, SensitivitySource, equivalents};
use driftless_campaign::physics::torque::{propeller_torque, reaction_moment};
use driftless_units::Estimate;

/// Mass of a wing that gives none, kg. Common practice, no source.
const WING_KG: f64 = 5.5;
/// Share of the all-up mass that is the pilot, where the file does not say. Common practice, no source: 80 of 118 kg.
const PILOT_SHARE: f64 = 0.68;
/// Standard uncertainty of an engine speed that somebody read off a counter, as a share. Common practice, no source.
const SPEED_STD_U_SHARE: f64 = 0.02;
/// Standard uncertainty of a mean airspeed of a cell, m/s.
const AIRSPEED_STD_U_MPS: f64 = 0.3;

/// What a cell's residual turn is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellPhysics {
    /// The cell.
    pub key: CellKey,
    /// Torque on the propeller shaft, N·m; `None` where power or speed is not known, or there is none.
    pub torque_nm: Option<Estimate<f64>>,
    /// The moment it leaves on the aircraft, N·m, right positive.
    pub reaction_nm: Option<Estimate<f64>>,
    /// All-up mass of its runs, kg.
    pub all_up_kg: Option<f64>,
    /// Bank, moment, offset and weight shift; `None` where mass or airspeed is not known.
    pub equivalents: Option<Equivalents>,
    /// Whether the pilot's or the wing's share of the mass was assumed.
    pub masses_assumed: bool,
}

pub(super) fn cells(campaign: &Campaign, cells: &[Cell], sensitivities: &[WingSensitivity]) -> Vec<CellPhysics> {
    cells.iter().map(|cell| of_cell(campaign, cell, sensitivities)).collect()
}

fn of_cell(campaign: &Campaign, cell: &Cell, sensitivities: &[WingSensitivity]) -> CellPhysics {
    let key = cell.key;
    let torque_nm = shaft_torque(campaign, key);
    let clockwise =
        campaign.power_unit(campaign.setup(key.setup).power_unit).propeller == PropellerDirection::Clockwise;
    let masses = masses(campaign, cell);
    let source = resolved(sensitivities, key.wing, key.scenario)
        .map_or(SensitivitySource::TypicalRange, SensitivitySource::Measured);
    let equivalents = masses.and_then(|(masses, ..)| {
        let airspeed = Estimate::new(cell.airspeed_mps()?, AIRSPEED_STD_U_MPS);
        equivalents(&cell.turn_deg_s(), &airspeed, &masses, source).ok()
    });
    CellPhysics {
        key,
        torque_nm,
        reaction_nm: torque_nm.map(|torque| reaction_moment(&torque, clockwise)),
        all_up_kg: masses.map(|(_, all_up_kg, _)| all_up_kg),
        equivalents,
        masses_assumed: masses.is_some_and(|(.., assumed)| assumed),
    }
}

/// Torque on the propeller shaft in a cell's scenario.
pub(super) fn shaft_torque(campaign: &Campaign, key: CellKey) -> Option<Estimate<f64>> {
    let unit = campaign.power_unit(campaign.setup(key.setup).power_unit);
    let point = campaign.engine_point(key.setup, key.scenario)?;
    let watts = 1e3 * unit.drive_efficiency;
    let power_w = Estimate::new(watts * point.power_kw, watts * point.power_std_u_kw);
    let speed_rpm = Estimate::new(point.speed_rpm, SPEED_STD_U_SHARE * point.speed_rpm);
    propeller_torque(&power_w, &speed_rpm, unit.reduction_ratio).ok()
}

/// Masses of a cell's runs, the all-up mass, and whether a share was assumed.
fn masses(campaign: &Campaign, cell: &Cell) -> Option<(Masses, f64, bool)> {
    let pilots: Vec<PilotId> = cell.runs.iter().filter_map(|run| run.pilot).collect();
    let mean = |value: &dyn Fn(PilotId) -> Option<f64>| {
        let known: Vec<f64> = pilots.iter().filter_map(|pilot| value(*pilot)).collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
    };
    let all_up_kg = mean(&|pilot| campaign.pilot(pilot).all_up_kg)?;
    let body_kg = mean(&|pilot| campaign.pilot(pilot).body_kg);
    let wing_kg = campaign.wing(cell.key.wing).mass_kg;
    let assumed = body_kg.is_none() || wing_kg.is_none();
    let masses = Masses {
        hung_kg: all_up_kg - wing_kg.unwrap_or(WING_KG),
        pilot_kg: body_kg.unwrap_or(PILOT_SHARE * all_up_kg),
    };
    Some((masses, all_up_kg, assumed))
}
