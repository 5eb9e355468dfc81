//! Residual turn against the setting of a device, one curve for each scenario: no setting may do it all.

use crate::Chart;
use crate::canvas::{Canvas, Caption, Shape, Side, chart};
use crate::clip::Frame;
use crate::ink::Ink;
use crate::plot::Panel;
use crate::ticks::{decimal, extent, sane_range};
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_analysis::campaign::physics::{DeviceOnWing, DoesItAll};
use driftless_display::campaign::capital;
use driftless_display::campaign::{setting, setting_unit};
use driftless_display::{DisplayUnits, significant};

const WIDTH: f64 = super::style::NARROW;
const HEIGHT: f64 = 350.0;
/// Two lines of a legend, then the name of the axis.
const TOP: f64 = 66.0;
const STYLES: [(Ink, Shape); 4] = [
    (Ink::Air, Shape::Disc),
    (Ink::GroundSolid, Shape::Triangle),
    (Ink::Text, Shape::Square),
    (Ink::Second, Shape::Diamond),
];

/// `None` unless several settings were flown.
pub(super) fn draw(analysis: &CampaignAnalysis, units: &DisplayUnits, of: &DeviceOnWing) -> Option<Chart> {
    let range = of.range?;
    if of.trade_off.is_empty() || of.settings_flown < 2 {
        return None;
    }
    let factor = units.turn.per_deg_s();
    let tolerance = analysis.campaign.tolerated_turn_deg_min / 60.0 * factor;
    let values = of.trade_off.iter().flat_map(|curve| curve.points.iter().map(|(_, turn)| turn.value * factor));
    let measured = of.predictions.iter().filter_map(|p| Some(p.measured_deg_s?.value * factor));
    let (low, high) = extent(values.chain(measured).chain([-tolerance, tolerance])).unwrap_or((-1.0, 1.0));
    let margin = 0.07 * (high - low);
    let panel = Panel {
        frame: Frame { left: 44.0, top: TOP, right: WIDTH - 10.0, bottom: HEIGHT - 44.0 },
        x: sane_range(range.low, range.high, 1e-3),
        y: sane_range(low - margin, high + margin, factor),
    };
    let campaign = &analysis.campaign;
    let unit = setting_unit(campaign, of.device);
    let place = format!("{} on {}", campaign.device(of.device).name, campaign.wing(of.wing).name);
    let headline = match &of.recommendation {
        Some(found) => {
            let all = match found.does_it_all {
                DoesItAll::Yes(_) => "serves every scenario",
                DoesItAll::No { .. } => "leaves the least turn, but no setting does it all",
            };
            format!("{place}: {}\u{a0}{unit} {all}", significant(found.setting, 2))
        }
        None => format!("{place}: what each setting leaves"),
    };
    let caption = Caption {
        id: format!("trade-off-{}-{}", of.device.0 + 1, of.wing.0 + 1),
        headline: capital(&headline),
        subtitle:
            "Residual turn by the device model against the setting, with 95 % bands; markers are cells as flown. \
                   Grey: the turn that is tolerated. Dotted: the recommended setting"
                .to_owned(),
        description: setting(campaign, units, of).unwrap_or_default(),
    };
    Some(chart(caption, (WIDTH, HEIGHT), |canvas| {
        panel.band(
            canvas,
            Ink::Context,
            0.18,
            &[(range.low, -tolerance, tolerance), (range.high, -tolerance, tolerance)],
        );
        panel.x_axis(canvas, &decimal(panel.x.0, panel.x.1, 6.0), true);
        panel.y_axis(canvas, &decimal(panel.y.0, panel.y.1, 7.0));
        panel.x_name(canvas, &format!("setting, {unit}"));
        panel.y_name(canvas, &format!("residual turn, {}, right positive", units.turn.sign()));
        canvas.line(Ink::Text, 1.2, [panel.at((range.low, 0.0)), panel.at((range.high, 0.0))]);
        if let Some(found) = &of.recommendation {
            let x = panel.at_x(found.setting);
            canvas.line(Ink::Reference, 1.6, [(x, panel.frame.top), (x, panel.frame.bottom)]);
        }
        curves(canvas, analysis, &panel, of, factor);
    }))
}

fn curves(canvas: &Canvas<'_>, analysis: &CampaignAnalysis, panel: &Panel, of: &DeviceOnWing, factor: f64) {
    for curve in &of.trade_off {
        let (ink, _) = STYLES[curve.scenario % STYLES.len()];
        let band: Vec<(f64, f64, f64)> = curve
            .points
            .iter()
            .map(|(setting, turn)| {
                let ends = turn.interval(0.95);
                (*setting, ends.low * factor, ends.high * factor)
            })
            .collect();
        panel.band(canvas, ink, 0.14, &band);
        let line: Vec<(f64, f64)> = curve.points.iter().map(|(s, turn)| (*s, turn.value * factor)).collect();
        panel.path(canvas, ink, 2.0, &line);
    }
    for prediction in &of.predictions {
        let Some(measured) = prediction.measured_deg_s else { continue };
        let Some(index) = of.scenarios.iter().position(|s| *s == prediction.scenario) else { continue };
        let (ink, shape) = STYLES[index % STYLES.len()];
        if let Some(setting) = analysis.campaign.setup(prediction.setup).setting {
            canvas.marker(ink, shape, panel.at((setting, measured.value * factor)), 5.0);
        }
    }
    for (place, curve) in of.trade_off.iter().enumerate() {
        let (ink, shape) = STYLES[curve.scenario % STYLES.len()];
        let (x, y) = (14.0 + (place % 2) as f64 * 0.5 * WIDTH, 12.0 + (place / 2) as f64 * 18.0);
        canvas.marker(ink, shape, (x, y), 4.5);
        let words = of.scenarios.get(curve.scenario).map_or("", |s| analysis.scenario_words(*s));
        canvas.text(Ink::Text, Side::Start, (x + 11.0, y), words);
    }
}
