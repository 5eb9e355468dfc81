//! A finding for programs: its code, the figure, the limit.

use crate::known::finite;
use driftless_analysis::campaign::CampaignAlert;
use driftless_analysis::{CompassDoubt, Finding, InertialStatus, Measured, OwnNoise, WindUnknown};
use serde::Serialize;

/// Stands beside the sentence that says the same in words.
#[derive(Serialize)]
pub(crate) struct FindingEntry {
    /// Stable name of the kind.
    code: &'static str,
    /// What was found, with its sign; `null` for a finding without a figure.
    value: Option<f64>,
    /// What its size was held against; `null` where there is no limit.
    limit: Option<f64>,
    /// Unit of both; `null` for a plain number.
    unit: Option<&'static str>,
}

impl FindingEntry {
    /// What speaks against a window.
    pub(crate) fn of(finding: &Finding) -> Self {
        Self::from(finding.code(), finding.measured())
    }

    /// Why the wind is not known.
    pub(crate) fn of_wind(why: &WindUnknown) -> Self {
        Self::from(why.code(), why.measured())
    }

    /// What speaks against a compass.
    pub(crate) fn of_compass(doubt: &CompassDoubt) -> Self {
        Self::from(doubt.code(), doubt.measured())
    }

    /// Why an inertial sensor came no farther; `None` for one that took part.
    pub(crate) fn of_status(status: &InertialStatus) -> Option<Self> {
        status.reason().map(|(code, measured)| Self::from(code, measured))
    }

    /// What the noise of a gyro is beside GPS.
    pub(crate) fn of_noise(noise: &OwnNoise) -> Self {
        let (value, limit, unit) = noise.measured();
        Self::from(noise.code(), Measured { value, limit, unit })
    }

    /// What a campaign is to be taken with care for.
    pub(crate) fn of_campaign(alert: &CampaignAlert) -> Self {
        let (code, measured) = alert.finding();
        Self::from(code, measured)
    }

    fn from(code: &'static str, Measured { value, limit, unit }: Measured) -> Self {
        Self { code, value: value.and_then(finite), limit: limit.and_then(finite), unit }
    }
}
