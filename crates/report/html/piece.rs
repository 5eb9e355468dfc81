//! What is shown of an analysis inside somebody else's page, a notebook for example: it brings no style of its own and none
//! of the ids of the report, so that many of them may stand in one page and none changes it.

use super::front::{Alert, alert_words};
use super::{facts, parts, windows};
use crate::alerts;
use crate::finding::finding;
use driftless_analysis::FlightAnalysis;
use driftless_charts::{Chart, FlightCharts, Scene};
use driftless_display::DisplayUnits;
use maud::{Markup, html as markup};
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

/// What may stand in the address of a picture as it is, and stands in every chart often.
const ADDRESS: &AsciiSet =
    &NON_ALPHANUMERIC.remove(b'-').remove(b'.').remove(b'_').remove(b'/').remove(b':').remove(b',');

/// The finding of a flight in sentences, what to check first, the chart of its turn rates, the table of its windows.
pub fn html_piece(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let scene = Scene { analysis, units: *units };
    let charts = FlightCharts::draw(analysis, units);
    let sentences: Vec<String> = finding(analysis, units).iter().map(|said| said.whole()).collect();
    let chart = charts.rates.as_ref().or(charts.tracks.as_ref());
    piece(
        &parts::file_name(&analysis.file),
        &facts(analysis, units),
        alerts::collect(analysis, units),
        &sentences,
        chart,
        &markup! { @if !analysis.windows.is_empty() { (windows::overview(&scene)) } },
    )
    .into_string()
}

/// The same for whatever has a title, facts, alerts, sentences and a chart.
pub(crate) fn piece(
    title: &str,
    facts: &Markup,
    mut alerts: Vec<Alert>,
    sentences: &[String],
    chart: Option<&Chart>,
    after: &Markup,
) -> Markup {
    alerts.sort_by_key(|alert| std::cmp::Reverse(alert.severity));
    markup! {
        div.driftless {
            p { strong { (title) } br; small { (facts) } }
            @for sentence in sentences { p { (sentence) } }
            @if !alerts.is_empty() { ul { @for alert in &alerts { li { (alert_words(alert)) } } } }
            @if let Some(chart) = chart {
                // A picture and not the element: its style stays its own, and it has white paper under it in a dark page.
                img alt=(chart.headline) style="max-width:100%;height:auto"
                    src=(format!("data:image/svg+xml,{}", utf8_percent_encode(&chart.standalone(), ADDRESS)));
            }
            (after)
            p { small { "A measurement, not a clearance: read the cautions in the report before anybody lets go of the brakes." } }
        }
    }
}
