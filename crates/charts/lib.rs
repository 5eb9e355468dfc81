//! Charts as SVG elements: drawn with plotters, finished so that they scale, speak and turn dark with the page.
//!
//! One file for each chart; `canvas` and `plot` draw, `ticks`, `clip` and `thin` keep any data drawable, `ink` and
//! `svg` decide how it looks. Colours mean the same on every chart: blue is through the air, vermillion (dashed) over
//! the ground.

mod alone;
pub mod campaign;
mod canvas;
mod clip;
mod figure;
mod heading;
mod hodograph;
mod inertial;
mod ink;
mod plot;
mod rates;
mod scene;
mod strip;
mod svg;
mod thin;
mod ticks;
mod tracks;
mod wind_height;

use driftless_analysis::FlightAnalysis;
use driftless_display::DisplayUnits;

pub use figure::{Axis, Figure, Series, SeriesStyle, figure};
pub use inertial::InertialCharts;
pub use scene::Scene;

/// Windows that get a chart of their own; a day with more is told by the table.
const MOST_WINDOW_CHARTS: usize = 40;

/// A chart, ready to stand in a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chart {
    /// Identifier; the ids inside the SVG begin with it.
    pub id: String,
    /// States the finding.
    pub headline: String,
    /// States the quantity shown.
    pub subtitle: String,
    /// The `<svg>` element. Legible on its own; classes let a style sheet change its colours.
    pub svg: String,
    /// The same for a phone held upright, where there is one; its ids end in `-narrow`.
    pub narrow: Option<String>,
}

/// The charts of a flight, by what they show.
pub struct FlightCharts {
    /// Turn rates of all windows.
    pub rates: Option<Chart>,
    /// Heading in each window, with the window's number.
    pub windows: Vec<(u32, Chart)>,
    /// Ground track and air track.
    pub tracks: Option<Chart>,
    /// Velocity space.
    pub hodograph: Option<Chart>,
    /// Wind against height.
    pub wind_height: Option<Chart>,
    /// Altitude, airspeed, climb and turn rate over time.
    pub strip: Option<Chart>,
    /// Of inertial data.
    pub inertial: InertialCharts,
}

impl FlightCharts {
    /// Draws them all; a chart without data is left out.
    pub fn draw(analysis: &FlightAnalysis, units: &DisplayUnits) -> Self {
        let scene = Scene { analysis, units: *units };
        let windows = analysis
            .windows
            .iter()
            .filter_map(|w| heading::draw(&scene, w).map(|chart| (w.window.id, chart)))
            .take(MOST_WINDOW_CHARTS)
            .collect();
        Self {
            rates: rates::draw(&scene),
            windows,
            tracks: tracks::draw(&scene),
            hodograph: hodograph::draw(&scene),
            wind_height: wind_height::draw(&scene),
            strip: strip::draw(&scene),
            inertial: InertialCharts::draw(&scene),
        }
    }
}

/// All charts of a flight, in the order of the report; those without data are left out.
pub fn charts(analysis: &FlightAnalysis, units: &DisplayUnits) -> Vec<Chart> {
    let all = FlightCharts::draw(analysis, units);
    all.rates
        .into_iter()
        .chain(all.windows.into_iter().map(|(_, chart)| chart))
        .chain(all.tracks)
        .chain(all.hodograph)
        .chain(all.wind_height)
        .chain(all.strip)
        .chain(all.inertial.into_list())
        .collect()
}
