//! Turns at one mass and one density, beside those of the test days.

use super::super::cells::{Cell, CellKey};
use super::super::runs::Run;
use driftless_campaign::model::Campaign;
use driftless_campaign::physics::atmosphere::{density_kg_m3, isa_pressure_pa, isa_temperature_k};
use driftless_campaign::physics::reduce::{Conditions, MomentSource, airspeed_factor, reduce};
use driftless_statistics::fieller::{Compensation, compensation};
use driftless_statistics::random_effects::combine;
use driftless_track::Scenario;
use driftless_units::{Estimate, GRAVITY_MPS2};
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
    let altitude_m = pressure_altitude_m(log.altitude_m?, flight.qnh_hpa.unwrap_or(1013.25));
    let density = density_kg_m3(altitude_m, flight.temperature_c);
    let (known, standard) = DENSITY_STD_U;
    let share = if flight.temperature_c.is_some() { known } else { standard };
    Some(Conditions {
        all_up_mass_kg: Estimate::new(mass_kg, MASS_STD_U_KG),
        density_kg_m3: Estimate::new(density, share * density),
    })
}

/// The altitude at which the standard atmosphere has the pressure found at an altitude on a day of this sea-level
/// pressure (ISO 2533 below 11 km; the day's layers taken as standard).
fn pressure_altitude_m(altitude_m: f64, qnh_hpa: f64) -> f64 {
    let sea_level_k = isa_temperature_k(0.0);
    let lapse_k_per_m = (sea_level_k - isa_temperature_k(1000.0)) / 1000.0;
    const GAS_CONSTANT: f64 = 287.05287;
    let pressure_share = isa_pressure_pa(altitude_m) / isa_pressure_pa(0.0) * qnh_hpa / 1013.25;
    sea_level_k / lapse_k_per_m * (1.0 - pressure_share.powf(lapse_k_per_m * GAS_CONSTANT / GRAVITY_MPS2))
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    (count > 0.0).then(|| sum / count)
}

#[cfg(test)]
mod tests {
    use super::pressure_altitude_m;

    /// On a standard day both are the same; a hectopascal less at sea level is about 27 ft or 8.3 m higher (rule of the
    /// trade; 8.32 m from the standard atmosphere at sea level, recomputed).
    #[test]
    fn derived_pressure_altitude() {
        assert!((pressure_altitude_m(850.0, 1013.25) - 850.0).abs() < 1e-6);
        let per_hpa = pressure_altitude_m(0.0, 1012.25);
        assert!((per_hpa - 8.32).abs() < 0.02, "{per_hpa}");
    }
}
