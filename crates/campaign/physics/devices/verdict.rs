//! Which model the cells support, and when they cannot tell.

use super::{DeviceCell, DeviceFit, DeviceModel, ScenarioKnown, fit_device};
use driftless_statistics::StatisticsError;
use driftless_statistics::distributions::chi_squared_quantile;

/// A model is refuted below this p-value.
const REFUTED_BELOW_P: f64 = 0.05;

/// What the cells say about the way a device acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ModelVerdict {
    /// This model fits, and every simpler or equally simple one is refuted or much worse.
    Supported(DeviceModel),
    /// A moment alone and a share alone are both refuted; both together fit perfectly because nothing is left to test
    /// them with.
    MixedUntested,
    /// Both simple models fit about equally well: fly the scenario in which they differ most.
    CannotTell,
    /// Only one model could be fitted (no sensitivity, say), or a single cell: no comparison.
    NothingToCompare,
    /// No model fits: effects not in proportion to the setting, another cause, or uncertainties stated too small.
    NoneFits,
}

/// All models side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct ModelComparison {
    /// Fits, in the order constant, propwash, mixed; or why there is none.
    pub fits: Vec<(DeviceModel, Result<DeviceFit, StatisticsError>)>,
    /// What they say.
    pub verdict: ModelVerdict,
    /// Where the verdict is "cannot tell": the scenario in which the predictions of both simple models, at the mean
    /// setting flown, differ most in units of their uncertainty, and that difference, °/s.
    pub tell_apart_in: Option<(usize, f64)>,
}

impl ModelComparison {
    /// The fit of a model.
    pub fn fit(&self, model: DeviceModel) -> Option<&DeviceFit> {
        self.fits.iter().find(|(m, _)| *m == model).and_then(|(_, fit)| fit.as_ref().ok())
    }

    /// The fit to predict with: the supported one, else the simple one that is nearest.
    pub fn best(&self) -> Option<&DeviceFit> {
        match self.verdict {
            ModelVerdict::Supported(model) => self.fit(model),
            ModelVerdict::MixedUntested => self.fit(DeviceModel::Mixed),
            _ => {
                let simple = [DeviceModel::Constant, DeviceModel::Propwash];
                let fits = simple.into_iter().filter_map(|model| self.fit(model));
                fits.min_by(|a, b| a.chi_squared.total_cmp(&b.chi_squared))
            }
        }
    }
}

/// Fits all models and weighs them.
///
/// Rules, for cells whose uncertainties are believed: a model is refuted when its χ² has p below 0.05. Of two simple
/// models the nearer one wins when the other is refuted, or when its χ² is smaller by more than 3.84 (equal numbers of
/// parameters, so the same as Akaike's criterion). The mixed model wins when it lowers the χ² of the nearer simple one
/// by more than 3.84, the 95 % point of χ² with one degree of freedom (likelihood-ratio test of nested models).
pub fn compare_models(scenarios: &[ScenarioKnown], cells: &[DeviceCell]) -> ModelComparison {
    let fits: Vec<_> = [DeviceModel::Constant, DeviceModel::Propwash, DeviceModel::Mixed]
        .into_iter()
        .map(|model| (model, fit_device(model, scenarios, cells)))
        .collect();
    let mut comparison = ModelComparison { fits, verdict: ModelVerdict::NothingToCompare, tell_apart_in: None };
    comparison.verdict = judge(&comparison);
    if comparison.verdict == ModelVerdict::CannotTell {
        comparison.tell_apart_in = most_telling(&comparison, cells);
    }
    comparison
}

fn judge(comparison: &ModelComparison) -> ModelVerdict {
    let simple = (comparison.fit(DeviceModel::Constant), comparison.fit(DeviceModel::Propwash));
    let (Some(constant), Some(propwash)) = simple else { return ModelVerdict::NothingToCompare };
    if constant.dof == 0 {
        return ModelVerdict::NothingToCompare;
    }
    let worth = chi_squared_quantile(0.95, 1.0);
    let refuted = |fit: &DeviceFit| fit.p.is_some_and(|p| p < REFUTED_BELOW_P);
    let (near, far) =
        if constant.chi_squared <= propwash.chi_squared { (constant, propwash) } else { (propwash, constant) };
    if let Some(mixed) = comparison.fit(DeviceModel::Mixed) {
        if mixed.dof > 0 && near.chi_squared - mixed.chi_squared > worth && !refuted(mixed) {
            return ModelVerdict::Supported(DeviceModel::Mixed);
        }
        if mixed.dof == 0 && refuted(near) {
            return ModelVerdict::MixedUntested;
        }
    }
    if refuted(near) {
        ModelVerdict::NoneFits
    } else if refuted(far) || far.chi_squared - near.chi_squared > worth {
        ModelVerdict::Supported(near.model)
    } else {
        ModelVerdict::CannotTell
    }
}

fn most_telling(comparison: &ModelComparison, cells: &[DeviceCell]) -> Option<(usize, f64)> {
    let (constant, propwash) = (comparison.fit(DeviceModel::Constant)?, comparison.fit(DeviceModel::Propwash)?);
    let setting = cells.iter().map(|cell| cell.setting).sum::<f64>() / cells.len() as f64;
    let difference = |scenario: usize| {
        let (a, b) = (constant.predict(scenario, setting), propwash.predict(scenario, setting));
        ((a.value - b.value).abs() / a.std_u.hypot(b.std_u), (a.value - b.value).abs())
    };
    let ranked = (0..constant.scenarios()).map(|scenario| (scenario, difference(scenario)));
    ranked.max_by(|a, b| a.1.0.total_cmp(&b.1.0)).map(|(scenario, (_, size))| (scenario, size))
}
