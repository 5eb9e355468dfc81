//! How a torque device acts: as a constant moment, with the propwash, or both.
//!
//! In scenario j (power setting, trim) an aircraft without the device turns at β (its baseline, °/s) and answers a moment
//! with σ (its sensitivity, °/s per N·m). With the device at a setting s it turns at
//!
//! ```text
//! T(s) = (1 - κ s) β + γ s σ
//! ```
//!
//! * **Constant** (κ = 0): a moment of γ N·m per unit of setting, whatever the engine does. An offset hang point is like
//!   that; it goes on turning the aircraft with the power off.
//! * **Propwash** (γ = 0): a share κ of the torque's turn per unit of setting, as vanes in the propwash or a tilted thrust
//!   line take away. Nothing with the power off.
//! * **Mixed**: both.
//!
//! Effects in proportion to the setting are part of the model; flown at one setting only, nothing tests that.
//!
//! Baselines and sensitivities are measured themselves, so they are fitted together with γ and κ to all that was measured
//! (total least squares). Where one of them was not measured, the torque's moment M closes the gap: β = σ M.

mod fit;
#[cfg(test)]
mod tests;
mod verdict;

pub use verdict::{ModelComparison, ModelVerdict, compare_models};

use driftless_statistics::StatisticsError;
use driftless_units::Estimate;
use nalgebra::{DMatrix, DVector};

/// A way for a device to act.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeviceModel {
    /// The same moment in every scenario.
    Constant,
    /// A share of the torque.
    Propwash,
    /// A moment and a share.
    Mixed,
}

impl DeviceModel {
    /// Number of parameters of the device itself.
    pub fn parameters(self) -> usize {
        match self {
            Self::Constant | Self::Propwash => 1,
            Self::Mixed => 2,
        }
    }
    fn has_moment(self) -> bool {
        self != Self::Propwash
    }
    fn has_share(self) -> bool {
        self != Self::Constant
    }
}

/// What is known of a scenario without the device.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ScenarioKnown {
    /// Turn without the device, °/s.
    pub baseline_deg_s: Option<Estimate<f64>>,
    /// Sensitivity, °/s per N·m.
    pub sensitivity_deg_s_per_nm: Option<Estimate<f64>>,
    /// Moment of the torque on the aircraft, N·m, right positive ([`super::torque::reaction_moment`]). Used only where
    /// one of the other two is missing.
    pub reaction_moment_nm: Option<Estimate<f64>>,
}

/// A cell flown with the device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviceCell {
    /// Place of its scenario in the list of scenarios.
    pub scenario: usize,
    /// Setting of the device, in units of its own.
    pub setting: f64,
    /// Turn, °/s.
    pub turn_deg_s: Estimate<f64>,
}

/// A fitted device.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceFit {
    /// Which model.
    pub model: DeviceModel,
    /// γ: moment per unit of setting, N·m; zero and exact where the model has none.
    pub moment_per_setting_nm: Estimate<f64>,
    /// κ: share of the torque's turn taken away per unit of setting.
    pub share_per_setting: Estimate<f64>,
    /// Sum of squared distances in units of the stated uncertainties.
    pub chi_squared: f64,
    /// Cells flown less parameters of the device.
    pub dof: usize,
    /// Probability of a χ² at least as large if the model is right; `None` when nothing is left to test it with.
    pub p: Option<f64>,
    /// Akaike's criterion, corrected for few cells (Hurvich and Tsai 1989); `None` when there are too few.
    pub aicc: Option<f64>,
    /// Factor by which uncertainties were widened because the cells scatter more than stated; one when they do not.
    pub widened: f64,
    layout: fit::Layout,
    parameters: DVector<f64>,
    covariance: DMatrix<f64>,
    estimate_dof: f64,
}

/// Fits one model to the cells flown with the device.
///
/// # Errors
/// Numbers that are not sound, a cell of an unknown scenario, a scenario of which too little is known, or cells that
/// leave a parameter open (all at setting zero, say, or one cell for the mixed model).
pub(crate) fn fit_device(
    model: DeviceModel,
    scenarios: &[ScenarioKnown],
    cells: &[DeviceCell],
) -> Result<DeviceFit, StatisticsError> {
    fit::fit(model, scenarios, cells)
}

impl DeviceFit {
    /// Number of scenarios.
    pub fn scenarios(&self) -> usize {
        self.layout.scenarios()
    }

    /// Turn in a scenario at a setting, °/s, with the uncertainty of all that was fitted (not that of another day).
    ///
    /// # Panics
    /// When there is no such scenario.
    pub fn predict(&self, scenario: usize, setting: f64) -> Estimate<f64> {
        self.derived(|parameters| {
            let (offset, slope) = self.layout.turn_line(self.model, parameters, scenario);
            offset + slope * setting
        })
    }

    /// Turn without the device in a scenario, and its change per unit of setting.
    pub(super) fn turn_line(&self, scenario: usize) -> (f64, f64) {
        self.layout.turn_line(self.model, &self.parameters, scenario)
    }

    pub(super) fn turn_line_of(&self, parameters: &DVector<f64>, scenario: usize) -> (f64, f64) {
        self.layout.turn_line(self.model, parameters, scenario)
    }

    /// A function of the parameters with first-order uncertainty (JCGM 102:2011, 6.2).
    pub(super) fn derived(&self, f: impl Fn(&DVector<f64>) -> f64) -> Estimate<f64> {
        let gradient = fit::gradient(&self.parameters, &self.layout.scales(), &f);
        let variance = (gradient.transpose() * &self.covariance * &gradient)[(0, 0)];
        Estimate::with_dof(f(&self.parameters), variance.max(0.0).sqrt(), self.estimate_dof)
    }
}
