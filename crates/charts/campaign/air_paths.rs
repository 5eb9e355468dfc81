//! Where the aircraft would be after a minute hands off, wind taken out: all set-ups from one start, heading up.

use super::{cells_of, style};
use crate::Chart;
use crate::canvas::{Canvas, Caption, Side, chart};
use crate::clip::Frame;
use crate::ink::Ink;
use crate::plot::Panel;
use crate::ticks::{decimal, extent};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{SCENARIOS, SetupId, WingId};
use driftless_analysis::campaign::{CampaignAnalysis, Cell};
use driftless_display::{DisplayUnits, fixed};
use std::collections::BTreeSet;

/// How long the hands are off, seconds.
const SECONDS: f64 = 60.0;
const STEPS: u32 = 60;
const END_STEPS: u32 = 24;
/// Half-width of an interval that is still drawn whole, °/s.
const WIDEST_DEG_S: f64 = 3.0;
const WIDTH: f64 = style::NARROW;
const PANEL_WIDTH: f64 = 144.0;
const PANEL_HEIGHT: f64 = 150.0;
/// What stands above and below a panel.
const AROUND: f64 = 84.0;

/// The path of a cell: right and ahead of the start, m.
pub(super) struct Path {
    setup: SetupId,
    pub(super) middle: Vec<(f64, f64)>,
    /// Where the turns between both ends of the interval lead.
    ends: Vec<(f64, f64)>,
}

pub(super) fn draw(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId) -> Option<Chart> {
    let cells = cells_of(analysis, wing);
    let panels: Vec<(Scenario, Vec<Path>)> = SCENARIOS
        .into_iter()
        .map(|scenario| {
            let of_scenario = cells.iter().filter(|cell| cell.key.scenario == scenario);
            (scenario, of_scenario.filter_map(|cell| path(cell)).collect::<Vec<_>>())
        })
        .filter(|(_, paths)| !paths.is_empty())
        .collect();
    if panels.is_empty() {
        return None;
    }
    let setups: BTreeSet<SetupId> = panels.iter().flat_map(|(_, paths)| paths.iter().map(|path| path.setup)).collect();
    let top = 8.0 + style::legend_height(analysis, &setups, (14.0, WIDTH - 14.0));
    let rows = panels.len().div_ceil(2);
    let height = top + rows as f64 * (PANEL_HEIGHT + AROUND);
    let metres = units.height.per_m();
    let reach = scale(&panels, metres);
    let caption = Caption {
        id: format!("air-paths-{}", wing.0 + 1),
        headline: headline(analysis, units, wing, &panels),
        subtitle: format!(
            "Air paths from one start (heading up) over {SECONDS:.0} s with the mean turn of each cell; the thin line is \
             where the 95 % interval leads. Same scale in every panel."
        ),
        description: panels
            .iter()
            .flat_map(|(scenario, paths)| paths.iter().map(move |path| (scenario, path)))
            .filter_map(|(scenario, path)| {
                let (right, ahead) = *path.middle.last()?;
                Some(format!(
                    "{}, {}: {} to the right, {} ahead.",
                    analysis.scenario_words(*scenario),
                    analysis.campaign.setup(path.setup).name,
                    units.height(right),
                    units.height(ahead)
                ))
            })
            .collect::<Vec<_>>()
            .join(" "),
    };
    Some(chart(caption, (WIDTH, height), |canvas| {
        style::legend(canvas, analysis, &setups, (14.0, 14.0, WIDTH - 14.0));
        for (index, (scenario, paths)) in panels.iter().enumerate() {
            let left = 44.0 + (index % 2) as f64 * (PANEL_WIDTH + 52.0);
            let upper = top + 44.0 + (index / 2) as f64 * (PANEL_HEIGHT + AROUND);
            let frame = Frame { left, top: upper, right: left + PANEL_WIDTH, bottom: upper + PANEL_HEIGHT };
            let panel = Panel { frame, x: reach.0, y: reach.1 };
            paint(canvas, &panel, analysis.scenario_words(*scenario), paths, metres, units.height.sign());
        }
    }))
}

pub(super) fn path(cell: &Cell) -> Option<Path> {
    let airspeed_mps = cell.airspeed_mps()?;
    let turn = cell.turn_deg_s();
    let ends = turn.interval(0.95);
    // An interval without bounds would wind the bar round and round.
    let (low, high) = (ends.low.max(turn.value - WIDEST_DEG_S), ends.high.min(turn.value + WIDEST_DEG_S));
    let end = |i: u32| after(airspeed_mps, low + (high - low) * f64::from(i) / f64::from(END_STEPS), SECONDS);
    let middle = (0..=STEPS).map(|i| after(airspeed_mps, turn.value, SECONDS * f64::from(i) / f64::from(STEPS)));
    Some(Path { setup: cell.key.setup, middle: middle.collect(), ends: (0..=END_STEPS).map(end).collect() })
}

/// Metres right and ahead after `t_s` at an even turn, from the circle-drift model without wind (docs/method.md); the
/// series near zero has no jump.
fn after(airspeed_mps: f64, turn_deg_s: f64, t_s: f64) -> (f64, f64) {
    let angle = turn_deg_s.to_radians() * t_s;
    let way = airspeed_mps * t_s;
    if angle.abs() < 1e-4 {
        return (way * 0.5 * angle, way * (1.0 - angle * angle / 6.0));
    }
    (way * (1.0 - angle.cos()) / angle, way * angle.sin() / angle)
}

/// One equal scale for all panels: the edges right and ahead.
fn scale(panels: &[(Scenario, Vec<Path>)], metres: f64) -> ((f64, f64), (f64, f64)) {
    let points = || panels.iter().flat_map(|(_, paths)| paths).flat_map(|path| &path.middle);
    let x = extent(points().map(|p| p.0 * metres).chain([0.0])).unwrap_or((0.0, 1.0));
    let y = extent(points().map(|p| p.1 * metres).chain([0.0])).unwrap_or((0.0, 1.0));
    let per_unit = ((x.1 - x.0) / PANEL_WIDTH).max((y.1 - y.0) / PANEL_HEIGHT).max(1e-6) * 1.16;
    let around = |(low, high): (f64, f64), length: f64| {
        let middle = 0.5 * (low + high);
        (middle - 0.5 * per_unit * length, middle + 0.5 * per_unit * length)
    };
    (around(x, PANEL_WIDTH), around(y, PANEL_HEIGHT))
}

fn paint(canvas: &Canvas<'_>, panel: &Panel, scenario: &str, paths: &[Path], metres: f64, unit: &str) {
    let frame = &panel.frame;
    canvas.bold(Ink::Text, Side::Start, (frame.left, frame.top - 28.0), scenario);
    panel.x_axis(canvas, &decimal(panel.x.0, panel.x.1, 3.0), true);
    panel.y_axis(canvas, &decimal(panel.y.0, panel.y.1, 4.0));
    panel.x_name(canvas, &format!("to the right, {unit}"));
    canvas.small(Ink::Soft, Side::Start, (frame.left, frame.top - 12.0), &format!("↑ ahead, {unit}"));
    for path in paths {
        let (ink, shape) = style::of(path.setup);
        let scaled: Vec<(f64, f64)> = path.middle.iter().map(|p| (p.0 * metres, p.1 * metres)).collect();
        panel.path(canvas, ink, 2.0, &scaled);
        let ends: Vec<(f64, f64)> = path.ends.iter().map(|end| (end.0 * metres, end.1 * metres)).collect();
        panel.path(canvas, ink, 1.2, &ends);
        if let Some(last) = scaled.last() {
            canvas.marker(ink, shape, panel.at(*last), 5.0);
        }
    }
    canvas.marker(Ink::Text, super::super::canvas::Shape::Ring, panel.at((0.0, 0.0)), 3.4);
}

/// The farthest to the side.
fn headline(
    analysis: &CampaignAnalysis,
    units: &DisplayUnits,
    wing: WingId,
    panels: &[(Scenario, Vec<Path>)],
) -> String {
    let name = &analysis.campaign.wing(wing).name;
    let all = panels.iter().flat_map(|(scenario, paths)| paths.iter().map(move |path| (*scenario, path)));
    let turned = |cell: Option<&Cell>| cell.map_or(0.0, |cell| cell.turn_deg_s().value * SECONDS);
    let of = |(scenario, path): &(Scenario, &Path)| {
        let key = driftless_analysis::campaign::CellKey { setup: path.setup, wing, scenario: *scenario };
        turned(analysis.cell(key))
    };
    let farthest = all.max_by(|a, b| of(a).abs().total_cmp(&of(b).abs()));
    match farthest {
        Some(place) => format!(
            "{name}: after a minute hands off the heading is up to {}° off ({} in {})",
            fixed(of(&place).abs(), 0),
            analysis.campaign.setup(place.1.setup).name,
            analysis.scenario_words(place.0)
        ),
        None => format!("{name}: air paths in {}", units.height.sign()),
    }
}
