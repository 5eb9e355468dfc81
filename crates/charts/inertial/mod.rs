//! Charts of inertial data.

mod allan;
mod gain;
mod headings;
mod swing;

use super::Chart;
use super::scene::Scene;

/// Those that have data.
#[derive(Default)]
pub struct InertialCharts {
    /// Windows by GPS alone and with the gyro.
    pub gain: Option<Chart>,
    /// Headings of flight, gyro and compass, and their differences.
    pub headings: Option<Chart>,
    /// Allan deviation of the gyro.
    pub allan: Option<Chart>,
    /// Spectrum of swing and twist in each window.
    pub swing: Option<Chart>,
}

impl InertialCharts {
    pub(super) fn draw(scene: &Scene<'_>) -> Self {
        let Some(inertial) = &scene.analysis.inertial else { return Self::default() };
        Self {
            gain: gain::draw(scene, inertial),
            headings: inertial.headings.as_ref().and_then(|h| headings::draw(scene, inertial, h)),
            allan: inertial.health.as_ref().and_then(allan::draw),
            swing: swing::draw(scene, inertial),
        }
    }

    /// In the order of the page.
    pub(super) fn into_list(self) -> impl Iterator<Item = Chart> {
        self.gain.into_iter().chain(self.headings).chain(self.allan).chain(self.swing)
    }
}
