//! A campaign analysis as CSV: one row for each cell, the compensation beside it. The names are those of the JSON
//! document; what is not known is an empty cell.

use crate::known::finite;
use crate::outlet::table;
use driftless_analysis::campaign::{CampaignAnalysis, Cell};
use driftless_units::Interval;

/// What stands in a cell of the table.
type Content = fn(&CampaignAnalysis, &Cell) -> String;

const COLUMNS: &[(&str, Content)] = &[
    ("setup", |a, c| a.campaign.setup(c.key.setup).key.clone()),
    ("setup_name", |a, c| a.campaign.setup(c.key.setup).name.clone()),
    ("wing", |a, c| a.campaign.wing(c.key.wing).key.clone()),
    ("wing_name", |a, c| a.campaign.wing(c.key.wing).name.clone()),
    ("scenario", |_, c| c.key.scenario.name().to_owned()),
    ("runs", |_, c| c.runs.len().to_string()),
    ("turn_rate_deg_s", |_, c| number(Some(c.turn_deg_s().value))),
    ("turn_rate_std_u_deg_s", |_, c| number(Some(c.turn_deg_s().std_u))),
    ("turn_rate_low95_deg_s", |_, c| low(Some(c.turn_deg_s().interval(0.95)))),
    ("turn_rate_high95_deg_s", |_, c| high(Some(c.turn_deg_s().interval(0.95)))),
    ("degrees_of_freedom", |_, c| number(Some(c.turn_deg_s().dof))),
    ("between_run_sd_deg_s", |_, c| number(c.mean.between_run_sd)),
    ("another_day_low95_deg_s", |_, c| low(Some(c.shared.another_day_deg_s))),
    ("another_day_high95_deg_s", |_, c| high(Some(c.shared.another_day_deg_s))),
    ("days", |_, c| c.shared.days.to_string()),
    ("shared_between_run_sd_deg_s", |_, c| number(Some(c.shared.spread_deg_s.median))),
    ("airspeed_mps", |_, c| number(c.airspeed_mps())),
    ("altitude_m", |_, c| number(c.altitude_m())),
    ("baseline", |a, c| a.compensation_of(c.key).map(|o| a.campaign.setup(o.baseline).key.clone()).unwrap_or_default()),
    ("compensation_percent", |a, c| number(a.compensation_of(c.key).and_then(|o| o.result.percent))),
    ("compensation_low95_percent", |a, c| low(a.compensation_of(c.key).and_then(|o| o.result.interval))),
    ("compensation_high95_percent", |a, c| high(a.compensation_of(c.key).and_then(|o| o.result.interval))),
    ("resolvable", |a, c| a.compensation_of(c.key).map(|o| o.result.resolvable().to_string()).unwrap_or_default()),
    ("input_sha256", |a, _| a.made_by.input_sha256.clone()),
    ("program_version", |a, _| a.made_by.version.clone()),
];

/// The rows of a campaign.
///
/// # Errors
/// None that an analysis can cause; the writer's own error type is passed on rather than hidden.
pub fn campaign_csv(analysis: &CampaignAnalysis) -> Result<String, ::csv::Error> {
    let names = COLUMNS.iter().map(|(name, _)| (*name).to_owned()).collect();
    let row = |cell| COLUMNS.iter().map(|(_, content)| content(analysis, cell)).collect::<Vec<_>>();
    table(std::iter::once(names).chain(analysis.cells.iter().map(row)))
}

fn number(value: Option<f64>) -> String {
    value.and_then(finite).map(|known| known.to_string()).unwrap_or_default()
}

fn low(interval: Option<Interval<f64>>) -> String {
    number(interval.map(|ends| ends.low))
}

fn high(interval: Option<Interval<f64>>) -> String {
    number(interval.map(|ends| ends.high))
}
