//! Gauss-Newton on the device's parameters and on what is true of each scenario, all at once.

use super::{DeviceCell, DeviceFit, DeviceModel, ScenarioKnown};
use driftless_statistics::StatisticsError;
use driftless_statistics::distributions::{chi_squared_upper_p, normal_equivalent_std_u};
use driftless_statistics::{finite, sound};
use driftless_units::Estimate;
use nalgebra::{DMatrix, DVector};

const WHAT: &str = "how a device acts";
const MOST_ITERATIONS: usize = 200;

/// Two numbers describe a scenario; this says which, and where they stand among the parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Described {
    /// Baseline and sensitivity, both measured.
    BaselineAndSensitivity(usize),
    /// Baseline measured, moment of the torque known: σ = β / M.
    BaselineAndMoment(usize),
    /// Sensitivity measured, moment known: β = σ M.
    SensitivityAndMoment(usize),
    /// Baseline alone: enough where the device puts no moment of its own.
    BaselineOnly(usize),
}

/// Where everything stands in the vector of parameters, and what was measured of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    device: usize,
    described: Vec<Described>,
    /// Measured value and standard uncertainty of each scenario parameter, after those of the device.
    measured: Vec<(f64, f64)>,
    /// Typical size of each of the device's parameters, for steps of differences.
    device_scales: Vec<f64>,
}

impl Layout {
    fn new(model: DeviceModel, scenarios: &[ScenarioKnown]) -> Result<Self, StatisticsError> {
        let device = model.parameters();
        let mut layout = Self { device, described: Vec::new(), measured: Vec::new(), device_scales: vec![1.0; device] };
        for known in scenarios {
            let place = device + layout.measured.len();
            let (described, values) = describe(model, known, place)?;
            for estimate in values {
                sound(WHAT, &estimate)?;
                layout.measured.push((estimate.value, normal_equivalent_std_u(&estimate)));
            }
            layout.described.push(described);
        }
        Ok(layout)
    }

    pub(super) fn scenarios(&self) -> usize {
        self.described.len()
    }

    /// Steps of differences: uncertainties for what was measured, typical sizes for the device.
    pub(super) fn scales(&self) -> Vec<f64> {
        self.device_scales.iter().copied().chain(self.measured.iter().map(|(_, u)| *u)).collect()
    }

    /// β, and σ where it is known.
    fn scenario(&self, p: &DVector<f64>, scenario: usize) -> (f64, f64) {
        match self.described[scenario] {
            Described::BaselineAndSensitivity(at) => (p[at], p[at + 1]),
            Described::BaselineAndMoment(at) => (p[at], p[at] / p[at + 1]),
            Described::SensitivityAndMoment(at) => (p[at] * p[at + 1], p[at]),
            Described::BaselineOnly(at) => (p[at], 0.0),
        }
    }

    /// T(s) = offset + slope s.
    pub(super) fn turn_line(&self, model: DeviceModel, p: &DVector<f64>, scenario: usize) -> (f64, f64) {
        let (baseline, sensitivity) = self.scenario(p, scenario);
        let (moment, share) = device_parameters(model, p);
        (baseline, moment * sensitivity - share * baseline)
    }
}

fn describe(
    model: DeviceModel,
    known: &ScenarioKnown,
    at: usize,
) -> Result<(Described, Vec<Estimate<f64>>), StatisticsError> {
    let open = |parameter| Err(StatisticsError::NotIdentifiable { what: WHAT, parameter });
    match (known.baseline_deg_s, known.sensitivity_deg_s_per_nm, known.reaction_moment_nm) {
        (Some(baseline), Some(sensitivity), _) => {
            Ok((Described::BaselineAndSensitivity(at), vec![baseline, sensitivity]))
        }
        (Some(baseline), None, Some(moment)) if moment.value != 0.0 => {
            Ok((Described::BaselineAndMoment(at), vec![baseline, moment]))
        }
        (Some(baseline), None, _) if !model.has_moment() => Ok((Described::BaselineOnly(at), vec![baseline])),
        (None, Some(sensitivity), Some(moment)) => Ok((Described::SensitivityAndMoment(at), vec![sensitivity, moment])),
        (Some(_), None, _) => {
            open("the sensitivity of a scenario (fly a known weight, or give engine power and speed)")
        }
        _ => open("the turn of a scenario without the device"),
    }
}

fn device_parameters(model: DeviceModel, p: &DVector<f64>) -> (f64, f64) {
    match model {
        DeviceModel::Constant => (p[0], 0.0),
        DeviceModel::Propwash => (0.0, p[0]),
        DeviceModel::Mixed => (p[0], p[1]),
    }
}

/// Central differences with steps of a thousandth of the scale: exact to 1e-7 for products and quotients.
pub(super) fn gradient(p: &DVector<f64>, scales: &[f64], f: &impl Fn(&DVector<f64>) -> f64) -> DVector<f64> {
    DVector::from_fn(p.len(), |i, _| {
        let step = 1e-3 * scales[i];
        let mut moved = p.clone();
        moved[i] = p[i] + step;
        let ahead = f(&moved);
        moved[i] = p[i] - step;
        (ahead - f(&moved)) / (2.0 * step)
    })
}

/// The least-squares problem.
struct Problem<'a> {
    model: DeviceModel,
    layout: &'a Layout,
    cells: &'a [DeviceCell],
}

impl Problem<'_> {
    /// Distances in units of their uncertainties: cells first, then what was measured of the scenarios.
    fn distance(&self, p: &DVector<f64>, row: usize) -> f64 {
        if let Some(cell) = self.cells.get(row) {
            let (offset, slope) = self.layout.turn_line(self.model, p, cell.scenario);
            (offset + slope * cell.setting - cell.turn_deg_s.value) / normal_equivalent_std_u(&cell.turn_deg_s)
        } else {
            let index = row - self.cells.len();
            let (value, std_u) = self.layout.measured[index];
            (p[self.layout.device + index] - value) / std_u
        }
    }

    fn rows(&self) -> usize {
        self.cells.len() + self.layout.measured.len()
    }

    fn distances(&self, p: &DVector<f64>) -> DVector<f64> {
        DVector::from_fn(self.rows(), |row, _| self.distance(p, row))
    }

    fn jacobian(&self, p: &DVector<f64>) -> DMatrix<f64> {
        let scales = self.layout.scales();
        let mut jacobian = DMatrix::zeros(self.rows(), p.len());
        for row in 0..self.rows() {
            let of_row = gradient(p, &scales, &|p: &DVector<f64>| self.distance(p, row));
            jacobian.row_mut(row).copy_from(&of_row.transpose());
        }
        jacobian
    }

    /// Measured values for the scenarios; the device by linear least squares with these.
    fn start(&self) -> Result<DVector<f64>, StatisticsError> {
        let mut p = DVector::zeros(self.layout.device + self.layout.measured.len());
        for (index, (value, _)) in self.layout.measured.iter().enumerate() {
            p[self.layout.device + index] = *value;
        }
        let count = self.layout.device;
        let mut design = DMatrix::zeros(self.cells.len(), count);
        let mut change = DVector::zeros(self.cells.len());
        for (row, cell) in self.cells.iter().enumerate() {
            let weight = 1.0 / normal_equivalent_std_u(&cell.turn_deg_s);
            let (baseline, sensitivity) = self.layout.scenario(&p, cell.scenario);
            change[row] = weight * (cell.turn_deg_s.value - baseline);
            let mut column = 0;
            if self.model.has_moment() {
                design[(row, column)] = weight * cell.setting * sensitivity;
                column += 1;
            }
            if self.model.has_share() {
                design[(row, column)] = -weight * cell.setting * baseline;
            }
        }
        let open = StatisticsError::NotIdentifiable { what: WHAT, parameter: open_parameter(self.model) };
        let decomposition = design.svd(true, true);
        let (largest, smallest) = (decomposition.singular_values.max(), decomposition.singular_values.min());
        if self.cells.len() < count || !(smallest > 1e-9 * largest && smallest > 0.0) {
            return Err(open);
        }
        let device = decomposition.solve(&change, 0.0).map_err(|_| open)?;
        p.rows_mut(0, count).copy_from(&device);
        Ok(p)
    }
}

fn open_parameter(model: DeviceModel) -> &'static str {
    match model {
        DeviceModel::Constant => "its moment",
        DeviceModel::Propwash => "its share of the torque",
        DeviceModel::Mixed => "its moment and its share of the torque apart from each other",
    }
}

pub(super) fn fit(
    model: DeviceModel,
    scenarios: &[ScenarioKnown],
    cells: &[DeviceCell],
) -> Result<DeviceFit, StatisticsError> {
    if cells.is_empty() {
        return Err(StatisticsError::TooFew { what: WHAT, of: "cells flown with it", needed: 1, got: 0 });
    }
    for cell in cells {
        sound(WHAT, &cell.turn_deg_s)?;
        finite(WHAT, "a setting", cell.setting)?;
        if cell.scenario >= scenarios.len() {
            return Err(StatisticsError::TooFew {
                what: WHAT,
                of: "scenarios",
                needed: cell.scenario + 1,
                got: scenarios.len(),
            });
        }
    }
    let mut layout = Layout::new(model, scenarios)?;
    let mut parameters = Problem { model, layout: &layout, cells }.start()?;
    layout.device_scales = parameters.iter().take(layout.device).map(|value| value.abs().max(1e-3)).collect();
    let problem = Problem { model, layout: &layout, cells };
    parameters = descend(&problem, parameters)?;
    let distances = problem.distances(&parameters);
    let normal = {
        let jacobian = problem.jacobian(&parameters);
        jacobian.transpose() * jacobian
    };
    let open = StatisticsError::NotIdentifiable { what: WHAT, parameter: open_parameter(model) };
    let inverse = normal.cholesky().ok_or(open)?.inverse();
    let chi_squared = distances.norm_squared();
    let dof = cells.len() - model.parameters();
    let level = if dof > 0 { (chi_squared / dof as f64).max(1.0) } else { 1.0 };
    let estimate_dof = if level > 1.0 { dof as f64 } else { f64::INFINITY };
    let covariance = inverse * level;
    let of = |index: usize| Estimate::with_dof(parameters[index], covariance[(index, index)].sqrt(), estimate_dof);
    let none = Estimate::new(0.0, 0.0);
    let (moment, share) = match model {
        DeviceModel::Constant => (of(0), none),
        DeviceModel::Propwash => (none, of(0)),
        DeviceModel::Mixed => (of(0), of(1)),
    };
    Ok(DeviceFit {
        model,
        moment_per_setting_nm: moment,
        share_per_setting: share,
        chi_squared,
        dof,
        p: (dof > 0).then(|| chi_squared_upper_p(chi_squared, dof as f64)),
        aicc: corrected_akaike(chi_squared, model.parameters(), cells.len()),
        widened: level.sqrt(),
        layout,
        parameters,
        covariance,
        estimate_dof,
    })
}

/// χ² + 2k + 2k(k + 1)/(n - k - 1).
fn corrected_akaike(chi_squared: f64, parameters: usize, cells: usize) -> Option<f64> {
    let left = cells.checked_sub(parameters + 1).filter(|left| *left > 0)?;
    let k = parameters as f64;
    Some(chi_squared + 2.0 * k + 2.0 * k * (k + 1.0) / left as f64)
}

/// Gauss-Newton with Levenberg's damping: steps that do not descend are shortened.
fn descend(problem: &Problem<'_>, start: DVector<f64>) -> Result<DVector<f64>, StatisticsError> {
    let mut p = start;
    let mut distances = problem.distances(&p);
    let mut damping = 1e-6;
    for _ in 0..MOST_ITERATIONS {
        let jacobian = problem.jacobian(&p);
        let gradient = jacobian.transpose() * &distances;
        let normal = jacobian.transpose() * &jacobian;
        let mut damped = normal.clone();
        for i in 0..damped.nrows() {
            damped[(i, i)] *= 1.0 + damping;
        }
        let open = StatisticsError::NotIdentifiable { what: WHAT, parameter: open_parameter(problem.model) };
        let step = damped.cholesky().ok_or(open)?.solve(&gradient);
        let next = &p - &step;
        let next_distances = problem.distances(&next);
        // The decrease a step promises, in units of χ²: below 1e-12 nothing is left to gain.
        let promised = step.dot(&gradient);
        if promised <= 1e-12 {
            return Ok(p);
        }
        if next_distances.norm_squared() <= distances.norm_squared() {
            (p, distances) = (next, next_distances);
            damping = (damping * 0.1).max(1e-12);
        } else {
            damping *= 10.0;
        }
    }
    Err(StatisticsError::NotConverged { what: WHAT, iterations: MOST_ITERATIONS })
}
