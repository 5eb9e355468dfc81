//! The fits of the wind, by themselves.

#![expect(clippy::needless_pass_by_value, reason = "Python hands its arguments over")]

use crate::faults::Fault;
use driftless_units::{Ground, Position, Velocity, Wind};
use driftless_wind::circle::{self, CircleFit};
use driftless_wind::drift::{self, DriftFit, WindPrior};
use pyo3::prelude::*;
use pyo3::types::PyDict;

/// What their intervals cover.
const COVERAGE: f64 = 0.95;

/// Wind east, wind north, and their covariance (east-east, east-north, north-north).
type GivenWind = (f64, f64, [f64; 3]);

fn unequal(first: (&str, usize), second: (&str, usize)) -> Fault {
    Fault::Call(format!("{} has {} numbers and {} has {}", first.0, first.1, second.0, second.1))
}

/// Fits a circle to ground velocities.
#[pyfunction]
#[pyo3(signature = (east_mps, north_mps))]
pub(crate) fn fit_circle<'py>(
    py: Python<'py>,
    east_mps: Vec<f64>,
    north_mps: Vec<f64>,
) -> PyResult<Bound<'py, PyDict>> {
    let fitted = py.detach(|| {
        if east_mps.len() != north_mps.len() {
            return Err(unequal(("east_mps", east_mps.len()), ("north_mps", north_mps.len())));
        }
        let velocities: Vec<Velocity<Ground>> =
            east_mps.iter().zip(&north_mps).map(|(&east, &north)| Velocity::new(east, north)).collect();
        circle::fit_circle(&velocities).map_err(Fault::Circle)
    });
    circle_entries(py, &fitted.map_err(|fault| fault.into_exception(py))?)
}

fn circle_entries<'py>(py: Python<'py>, fit: &CircleFit) -> PyResult<Bound<'py, PyDict>> {
    let told = wind_entries(py, fit.wind, fit.wind_cov())?;
    told.set_item("airspeed_mps", fit.airspeed_mps.value)?;
    told.set_item("airspeed_std_u_mps", fit.airspeed_mps.std_u)?;
    told.set_item("wind_std_u_mps", fit.wind_worst_std_mps())?;
    told.set_item("residual_mps", fit.residual_mps)?;
    told.set_item("heading_coverage_deg", fit.heading_coverage_deg)?;
    told.set_item("effective_samples", fit.effective_samples)?;
    Ok(told)
}

fn wind_entries<'py>(py: Python<'py>, wind: Wind, cov: [f64; 3]) -> PyResult<Bound<'py, PyDict>> {
    let told = PyDict::new(py);
    told.set_item("wind_east_mps", wind.east_mps)?;
    told.set_item("wind_north_mps", wind.north_mps)?;
    told.set_item("wind_speed_mps", wind.speed_mps())?;
    told.set_item("wind_from_deg", wind.from_deg())?;
    let [east_east, east_north, north_north] = cov;
    told.set_item("wind_cov_m2_s2", (east_east, east_north, north_north))?;
    Ok(told)
}

/// Fits the circle-drift model to positions.
#[pyfunction]
#[pyo3(signature = (t_s, east_m, north_m, *, wind))]
pub(crate) fn fit_drift<'py>(
    py: Python<'py>,
    t_s: Vec<f64>,
    east_m: Vec<f64>,
    north_m: Vec<f64>,
    wind: Option<GivenWind>,
) -> PyResult<Bound<'py, PyDict>> {
    let fitted = py.detach(|| {
        if east_m.len() != north_m.len() {
            return Err(unequal(("east_m", east_m.len()), ("north_m", north_m.len())));
        }
        let positions: Vec<Position<Ground>> =
            east_m.iter().zip(&north_m).map(|(&east, &north)| Position::new(east, north)).collect();
        let given = |(east, north, cov)| WindPrior { wind: Wind::new(east, north), cov };
        drift::fit_drift(&t_s, &positions, &wind.map_or_else(WindPrior::vague, given)).map_err(Fault::Drift)
    });
    drift_entries(py, &fitted.map_err(|fault| fault.into_exception(py))?)
}

fn drift_entries<'py>(py: Python<'py>, fit: &DriftFit) -> PyResult<Bound<'py, PyDict>> {
    let told = wind_entries(py, fit.wind, fit.wind_cov)?;
    let interval = fit.turn_rate.interval(COVERAGE);
    told.set_item("turn_rate_deg_s", fit.turn_rate.value.deg_s())?;
    told.set_item("turn_rate_std_u_deg_s", fit.turn_rate.std_u.deg_s())?;
    told.set_item("turn_rate_low95_deg_s", interval.low.deg_s())?;
    told.set_item("turn_rate_high95_deg_s", interval.high.deg_s())?;
    told.set_item("airspeed_mps", fit.airspeed_mps.value)?;
    told.set_item("airspeed_std_u_mps", fit.airspeed_mps.std_u)?;
    told.set_item("heading_deg", fit.heading.bearing_deg())?;
    told.set_item("middle_s", fit.middle_s)?;
    told.set_item("middle_east_m", fit.position.east_m)?;
    told.set_item("middle_north_m", fit.position.north_m)?;
    told.set_item("residual_m", fit.residual_m)?;
    Ok(told)
}
