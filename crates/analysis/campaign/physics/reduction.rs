//! Turns at one mass and one density, beside those of the test days.

use super::super::cells::{Cell, CellKey};
use super::super::runs::Run;
use driftless_campaign::model::Campaign;
use driftless_campaign::physics::reduce::{Conditions, MomentSource, airspeed_factor, reduce};
use driftless_statistics::fieller::{Compensation, compensation};
use driftless_statistics::random_effects::combine;
use driftless_track::Scenario;
use driftless_units::Estimate;
use driftless_units::atmosphere::{SEA_LEVEL_PRESSURE_HPA, density_kg_m3, pressure_altitude_m};
use std::collections::BTreeMap;

/// Standard uncertainty of an all-up mass (fuel burnt, scales), kg. Common practice, no source.
const MASS_STD_U_KG: f64 = 2.0;
/// Relative standard uncertainty of the density with the temperature of the day, and without (10 °C are 3.5 %).
const DENSITY_STD_U: (f64, f64) = (0.01, 0.035);

/// Turns at one mass and one density.
#[derive(Debug, Clone, PartialEq)]
pub struct Reduction {
    /// The conditions that everything is reduced to: the means of the campaign.
    pub reference: Conditions,
    /// Cells whose runs all have a mass and an altitude.
    pub cells: Vec<ReducedCell>,
}

/// A cell as flown and reduced.
#[derive(Debug, Clone, PartialEq)]
pub struct ReducedCell {
    /// The cell.
    pub key: CellKey,
    /// Mean mass of its runs, kg.
    pub all_up_kg: f64,
    /// Mean density, kg/m³.
    pub density_kg_m3: f64,
    /// True airspeed as flown, m/s.
    pub airspeed_mps: Option<f64>,
    /// True airspeed at reference conditions, m/s.
    pub reduced_airspeed_mps: Option<f64>,
    /// Turn as flown, the runs that can be reduced, °/s.
    pub test_day_deg_s: Estimate<f64>,
    /// Turn at reference conditions, °/s.
    pub reduced_deg_s: Estimate<f64>,
    /// Compensation from reduced turns.
    pub reduced_compensation: Option<Compensation>,
}

/// A run with its conditions.
struct Placed<'a> {
    run: &'a Run,
    conditions: Conditions,
}

pub(super) fn reduction(campaign: &Campaign, cells: &[Cell]) -> Option<Reduction> {
    let placed: Vec<(CellKey, Vec<Placed<'_>>)> = cells
        .iter()
        .map(|cell| {
            let runs = cell.runs.iter().filter_map(|run| Some(Placed { run, conditions: conditions(campaign, run)? }));
            (cell.key, runs.collect::<Vec<_>>())
        })
        .filter(|(_, runs)| !runs.is_empty())
        .collect();
    let all = || placed.iter().flat_map(|(_, runs)| runs);
    let reference = Conditions {
        all_up_mass_kg: Estimate::new(mean(all().map(|p| p.conditions.all_up_mass_kg.value))?, 0.0),
        density_kg_m3: Estimate::new(mean(all().map(|p| p.conditions.density_kg_m3.value))?, 0.0),
    };
    let mut reduced: Vec<ReducedCell> =
        placed.iter().filter_map(|(key, runs)| of_cell(*key, runs, &reference)).collect();
    let turns: BTreeMap<CellKey, Estimate<f64>> = reduced.iter().map(|cell| (cell.key, cell.reduced_deg_s)).collect();
    for cell in &mut reduced {
        let baseline = campaign.setup(cell.key.setup).baseline.map(|setup| CellKey { setup, ..cell.key });
        let base = baseline.and_then(|key| turns.get(&key));
        cell.reduced_compensation = base.and_then(|base| compensation(&cell.reduced_deg_s, base).ok());
    }
    Some(Reduction { reference, cells: reduced })
}

fn of_cell(key: CellKey, runs: &[Placed<'_>], reference: &Conditions) -> Option<ReducedCell> {
    let source = source(key.scenario);
    let reduced: Vec<Estimate<f64>> = runs
        .iter()
        .map(|p| reduce(&p.run.rate_deg_s, source, &p.conditions, reference).map(|r| r.reduced))
        .collect::<Result<_, _>>()
        .ok()?;
    let flown: Vec<Estimate<f64>> = runs.iter().map(|p| p.run.rate_deg_s).collect();
    let airspeeds: Vec<(f64, f64)> = runs
        .iter()
        .filter_map(|p| {
            let flown = p.run.log()?.airspeed_mps?.value;
            Some((flown, flown * airspeed_factor(&p.conditions, reference)))
        })
        .collect();
    Some(ReducedCell {
        key,
        all_up_kg: mean(runs.iter().map(|p| p.conditions.all_up_mass_kg.value))?,
        density_kg_m3: mean(runs.iter().map(|p| p.conditions.density_kg_m3.value))?,
        airspeed_mps: mean(airspeeds.iter().map(|a| a.0)),
        reduced_airspeed_mps: mean(airspeeds.iter().map(|a| a.1)),
        test_day_deg_s: combine(&flown).ok()?.mean,
        reduced_deg_s: combine(&reduced).ok()?.mean,
        reduced_compensation: None,
    })
}

/// Where the turn of a scenario comes from. An offset under level power goes with mass as the torque does.
const fn source(scenario: Scenario) -> MomentSource {
    match scenario {
        Scenario::FullPowerClimb => MomentSource::FullPowerTorque,
        Scenario::PowerOffGlide => MomentSource::LateralOffset,
        _ => MomentSource::LevelFlightTorque,
    }
}

fn conditions(campaign: &Campaign, run: &Run) -> Option<Conditions> {
    let log = run.log()?;
    let flight = campaign.flight(log.window.flight);
    let mass_kg = campaign.pilot(run.pilot?).all_up_kg?;
    let altitude_m = pressure_altitude_m(log.altitude_m?, flight.qnh_hpa.unwrap_or(SEA_LEVEL_PRESSURE_HPA));
    let density = density_kg_m3(altitude_m, flight.temperature_c);
    let (known, standard) = DENSITY_STD_U;
    let share = if flight.temperature_c.is_some() { known } else { standard };
    Some(Conditions {
        all_up_mass_kg: Estimate::new(mass_kg, MASS_STD_U_KG),
        density_kg_m3: Estimate::new(density, share * density),
    })
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    (count > 0.0).then(|| sum / count)
}
