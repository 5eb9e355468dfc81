//! A turn rate in the form of JCGM 100: value, standard uncertainty, degrees of freedom, coverage factor, interval.

use crate::known::finite;
use driftless_units::{Estimate, TurnRate, coverage_factor};
use serde::Serialize;

/// The same in every document; all keys stay where nothing is known.
#[derive(Serialize, Default)]
pub(crate) struct RateEntry {
    value_deg_s: Option<f64>,
    std_u_deg_s: Option<f64>,
    low95_deg_s: Option<f64>,
    high95_deg_s: Option<f64>,
    /// `null` when the uncertainty is as good as known.
    degrees_of_freedom: Option<f64>,
    coverage_factor95: Option<f64>,
}

impl RateEntry {
    /// Of a window.
    pub(crate) fn of(rate: Option<Estimate<TurnRate>>) -> Self {
        let Some(rate) = rate else { return Self::default() };
        let interval = rate.interval(0.95);
        Self {
            value_deg_s: finite(rate.value.deg_s()),
            std_u_deg_s: finite(rate.std_u.deg_s()),
            low95_deg_s: finite(interval.low.deg_s()),
            high95_deg_s: finite(interval.high.deg_s()),
            degrees_of_freedom: finite(rate.dof),
            coverage_factor95: finite(coverage_factor(0.95, rate.dof)),
        }
    }

    /// Of a campaign, which counts in °/s.
    pub(crate) fn of_deg_s(rate: &Estimate<f64>) -> Self {
        let interval = rate.interval(0.95);
        Self {
            value_deg_s: finite(rate.value),
            std_u_deg_s: finite(rate.std_u),
            low95_deg_s: finite(interval.low),
            high95_deg_s: finite(interval.high),
            degrees_of_freedom: finite(rate.dof),
            coverage_factor95: finite(coverage_factor(0.95, rate.dof)),
        }
    }
}
