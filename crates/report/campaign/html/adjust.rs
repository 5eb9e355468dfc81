//! Something to adjust: settings, what a residual turn is worth, reduction to one mass and one air.

use super::sections::{row_name, strings, wing_tables};
use crate::campaign::advice;
use crate::html::fold::{Paper, folded, folded_section};
use crate::html::parts::{clean, figure, table};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{PowerUnitId, WingId};
use driftless_analysis::campaign::physics::{Adjustment, DeviceOnWing, TYPICAL_DEG_S_PER_NM};
use driftless_analysis::campaign::{CampaignAnalysis, CellKey};
use driftless_charts::campaign as charts;
use driftless_display::campaign::{capital, setting_alone};
use driftless_display::campaign::{join, percent_words, typed};
use driftless_display::{DisplayUnits, fixed, places_for, plus_minus, round_to_places, significant, turn_signed};
use driftless_units::Estimate;
use maud::{Markup, html as markup};
use std::collections::BTreeMap;

/// Settings that the table beside a chart holds.
const MOST_SETTINGS: usize = 9;

/// What each setting leaves, scenario by scenario.
pub(super) fn trade_off(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let charts = charts::trade_offs(analysis, units);
    if charts.is_empty() {
        return markup! {};
    }
    let numbers = |of: &DeviceOnWing| {
        let head: Vec<String> = std::iter::once("Setting".to_owned())
            .chain(of.scenarios.iter().map(|scenario| analysis.scenario_words(*scenario).to_owned()))
            .collect();
        let settings = of.trade_off.first().map(|curve| curve.points.as_slice()).unwrap_or_default();
        let places = u8::from(settings.iter().any(|(setting, _)| setting.fract() != 0.0));
        let every = settings.len().div_ceil(MOST_SETTINGS).max(1);
        let row = |(place, (setting, _)): (usize, &(f64, Estimate<f64>))| {
            let turns = of.trade_off.iter().map(|curve| {
                curve.points.get(place).map_or(String::new(), |(_, turn)| turn_signed(units, &typed(turn)))
            });
            std::iter::once(fixed(*setting, places)).chain(turns).collect::<Vec<_>>()
        };
        let rows: Vec<Vec<String>> = settings.iter().enumerate().step_by(every).map(row).collect();
        let caption = format!("Turn by the model, {}, right positive", units.turn.sign());
        folded("The numbers of this chart", &table(&caption, "", &head, &rows))
    };
    markup! {
        section aria-labelledby="trade-off" {
            h2 id="trade-off" { "The trade-off: what each setting leaves" }
            div.pair { @for (of, chart) in &charts { (figure(chart, &numbers(of))) } }
        }
    }
}

/// How each device acts, and which setting to take.
pub(super) fn settings(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let devices = &analysis.physics.devices;
    if devices.is_empty() {
        return markup! {};
    }
    let campaign = &analysis.campaign;
    let rows: Vec<(WingId, Vec<String>)> = devices
        .iter()
        .flat_map(|of| {
            of.predictions.iter().map(|p| {
                let number = |turn: &Estimate<f64>| turn_signed(units, &typed(turn));
                let key = CellKey { setup: p.setup, wing: of.wing, scenario: p.scenario };
                let row = vec![
                    row_name(analysis, key),
                    number(&p.predicted_deg_s),
                    p.measured_deg_s.as_ref().map_or("not flown".to_owned(), number),
                ];
                (of.wing, row)
            })
        })
        .collect();
    let head = strings(["Cell", "By the model", "As flown"]);
    let caption = format!("prediction of every scenario, turn in {}, ± 95 %", units.turn.sign());
    let body = markup! {
            ul.reasons {
                @for of in devices {
                    li {
                        (capital(&advice::device_model(campaign, of)))
                        @if let Some(figures) = advice::device_figures(campaign, of) { " " (figures) }
                        @if let Some(setting) = setting_alone(campaign, units, of) { " " (capital(&setting)) }
                    }
                }
            }
            @if !rows.is_empty() {
                (wing_tables(analysis, &caption, &head, &rows))
            }
    };
    folded_section("settings", "How each device acts, and its setting", Paper::Opened, &body)
}

/// Moment, offset and weight shift of each residual turn.
pub(super) fn worth(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let physics = &analysis.physics;
    let rows: Vec<(WingId, Vec<String>)> = analysis
        .cells
        .iter()
        .zip(&physics.cells)
        .filter_map(|(cell, of)| {
            let worth = of.equivalents?;
            let mark = if worth.indication_only { "*" } else { "" };
            let row = vec![
                row_name(analysis, cell.key),
                turn_signed(units, &typed(&cell.turn_deg_s())),
                fixed(worth.bank_deg.value, 1),
                adjustment(&worth.moment_nm, mark),
                adjustment(&worth.hang_point_offset_mm, mark),
                adjustment(&worth.weight_shift_cm, mark),
            ];
            Some((cell.key.wing, row))
        })
        .collect();
    if rows.is_empty() && physics.sensitivities.is_empty() {
        return markup! {};
    }
    let indication = physics.cells.iter().any(|of| of.equivalents.is_some_and(|worth| worth.indication_only));
    let assumed = physics.cells.iter().any(|of| of.masses_assumed);
    let turn = format!("Turn, {}", units.turn.sign());
    let head = strings(["Cell", &turn, "Bank, °", "Moment left, N·m", "Offset, mm", "Shift, cm"]);
    let body = markup! {
            p { "A moment of this size, to the other side, would hold the aircraft straight: by hang points moved sideways \
                 under all that hangs, or by the pilot's weight shifted. Signs are those of the turn; brackets are 95 %." }
            @let torques = torques(analysis);
            @if !torques.is_empty() {
                h3 { "Torque on the propeller, felt by the aircraft the other way round" }
                ul.reasons { @for words in &torques { li { (words) } } }
            }
            @if !physics.sensitivities.is_empty() {
                h3 { "Known-weight runs: how strongly a wing answers" }
                ul.reasons { @for of in &physics.sensitivities { li { (advice::sensitivity(analysis, of)) } } }
            }
            (wing_tables(analysis, "what would hold each straight", &head, &rows))
            @if indication {
                p.subtitle { "* Indication only: no known weight was flown in that place, so a typical range of "
                    (significant(TYPICAL_DEG_S_PER_NM.low, 2)) " to " (significant(TYPICAL_DEG_S_PER_NM.high, 2))
                    " °/s for each N·m stands in (common practice, no source)." }
            }
            @if assumed {
                p.subtitle { "Where the file gives no mass of the wing or of the pilot alone, 5.5 kg and 68 % of the all-up \
                              mass are assumed." }
            }
    };
    folded_section("worth", "What would hold it straight", Paper::Opened, &body)
}

/// One sentence for each power unit: its torque in every scenario.
fn torques(analysis: &CampaignAnalysis) -> Vec<String> {
    let campaign = &analysis.campaign;
    let mut by_unit: BTreeMap<PowerUnitId, BTreeMap<Scenario, Estimate<f64>>> = BTreeMap::new();
    for of in &analysis.physics.cells {
        if let Some(moment) = of.reaction_nm {
            by_unit.entry(campaign.setup(of.key.setup).power_unit).or_default().insert(of.key.scenario, moment);
        }
    }
    let words = |(unit, torques): (PowerUnitId, BTreeMap<Scenario, Estimate<f64>>)| {
        let parts: Vec<String> = torques
            .iter()
            .map(|(scenario, moment)| {
                let ends = moment.interval(0.95);
                let half = 0.5 * (ends.high - ends.low);
                format!("{}\u{a0}N·m in {}", plus_minus(moment.value, half, 0), analysis.scenario_words(*scenario))
            })
            .collect();
        format!("{}: {} (right positive).", clean(&campaign.power_unit(unit).name), join(&parts))
    };
    by_unit.into_iter().map(words).collect()
}

/// A value and its interval, rounded by its length.
fn adjustment(of: &Adjustment, mark: &str) -> String {
    let Some(ends) = of.interval else { return "not told".to_owned() };
    let half = 0.5 * (ends.high - ends.low);
    let places = places_for(half).unwrap_or(1).min(if half >= 1.0 { 0 } else { 1 });
    let number = |value: f64| round_to_places(value, places);
    format!("{}{mark} ({} to {})", number(of.value), number(ends.low), number(ends.high))
}

/// Test-day and reduced values side by side.
pub(super) fn reduced(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let Some(reduction) = &analysis.physics.reduction else { return markup! {} };
    let reference = &reduction.reference;
    let speed = |mps: Option<f64>| mps.map_or(String::new(), |mps| fixed(mps * units.speed.per_mps(), 1));
    let rows: Vec<(WingId, Vec<String>)> = reduction
        .cells
        .iter()
        .map(|of| {
            let taken = analysis.compensation_of(of.key).map(|c| percent_words(&c.result)).unwrap_or_default();
            let row = vec![
                row_name(analysis, of.key),
                fixed(of.all_up_kg, 0),
                fixed(of.density_kg_m3, 3),
                format!("{} → {}", speed(of.airspeed_mps), speed(of.reduced_airspeed_mps)),
                turn_signed(units, &typed(&of.test_day_deg_s)),
                turn_signed(units, &typed(&of.reduced_deg_s)),
                taken,
                of.reduced_compensation.as_ref().map(percent_words).unwrap_or_default(),
            ];
            (of.key.wing, row)
        })
        .collect();
    let airspeed = format!("Airspeed, {}", units.speed.sign());
    let (turn, reduced) = (format!("Turn, {}", units.turn.sign()), format!("Reduced turn, {}", units.turn.sign()));
    let head = strings(["Cell", "kg", "kg/m³", &airspeed, &turn, &reduced, "Compensation", "Reduced"]);
    let body = markup! {
            p { "Test-day values beside those reduced to " (fixed(reference.all_up_mass_kg.value, 0)) " kg all-up and "
                (fixed(reference.density_kg_m3.value, 3)) " kg/m³, the means of the campaign. The reduction is a simple model \
                 (docs/method.md), and its doubt is in the intervals; runs without a log, a mass or an altitude stay out." }
            (wing_tables(analysis, "as flown and reduced, ± and brackets 95 %", &head, &rows))
    };
    folded_section("reduced", "At one mass and one density", Paper::Opened, &body)
}
