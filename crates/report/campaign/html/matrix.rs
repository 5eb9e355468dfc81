//! Set-up x wing at a glance: the turn, its compensation and what is wrong or unsure, in one table.

use crate::campaign::scores::{self, Flag};
use crate::html::parts::clean;
use driftless_analysis::campaign::model::{SCENARIOS, SetupId, WingId};
use driftless_analysis::campaign::{CampaignAnalysis, Cell, CellKey, JudgeBy};
use driftless_display::campaign::{percent_words, points, typed};
use driftless_display::{DisplayUnits, TurnSide, count_of, fixed, turn_side, turn_signed};
use maud::{Markup, html as markup};
use std::collections::BTreeMap;

/// Classes of tint: each from this turn on, °/s. A full turn a minute is 6 °/s.
const TINTS: [(f64, &str); 4] = [(1.0, "t1"), (2.0, "t2"), (4.0, "t3"), (6.0, "t4")];

/// The matrix with its scale.
pub(super) fn section(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let mut by_wing: BTreeMap<WingId, Vec<SetupId>> = BTreeMap::new();
    for cell in &analysis.cells {
        let setups = by_wing.entry(cell.key.wing).or_default();
        if !setups.contains(&cell.key.setup) {
            setups.push(cell.key.setup);
        }
    }
    if by_wing.is_empty() {
        return markup! {};
    }
    let campaign = &analysis.campaign;
    markup! {
        section aria-labelledby="matrix" {
            h2 id="matrix" { (headline(analysis)) }
            table.matrix {
                caption {
                    "Turn in " (units.turn.sign()) ", right positive, ± the 95 % margin; below it the share of the baseline's turn that is \
                     compensated, with its 95 % interval. × is what a scenario counts."
                }
                thead { tr {
                    th scope="col" { "Set-up" }
                    @for scenario in SCENARIOS {
                        th scope="col" {
                            (analysis.scenario_words(scenario)) " ×" (campaign.scenario_weights.get(&scenario).copied().unwrap_or(1.0))
                        }
                    }
                    th scope="col" { "all, weighed" }
                } }
                @for (wing, setups) in &by_wing {
                    tbody {
                        tr.wing { th scope="rowgroup" colspan="6" { (clean(&campaign.wing(*wing).name)) } }
                        @for setup in setups {
                            tr {
                                th scope="row" { (clean(&campaign.setup(*setup).name)) }
                                @for scenario in SCENARIOS {
                                    (cell(analysis, units, CellKey { setup: *setup, wing: *wing, scenario }))
                                }
                                (weighed(analysis, units, *wing, *setup))
                            }
                        }
                    }
                }
            }
            (scale(units))
        }
    }
}

fn tint(turn_deg_s: f64) -> &'static str {
    TINTS.iter().rev().find(|(from, _)| turn_deg_s.abs() >= *from).map_or("", |(_, class)| class)
}

fn cell(analysis: &CampaignAnalysis, units: &DisplayUnits, key: CellKey) -> Markup {
    let scenario = analysis.scenario_words(key.scenario);
    let Some(cell) = analysis.cell(key) else {
        return markup! { td { span.in { (scenario) } "not flown" } };
    };
    let turn = cell.turn_deg_s();
    let below = match analysis.compensation_of(key) {
        Some(of) if of.judge_by == JudgeBy::Percent => Some(percent_words(&of.result)),
        _ => None,
    };
    let flag = scores::flag(analysis, key);
    markup! {
        td class=(tint(turn.value)) {
            span.in { (scenario) }
            b { (turn_signed(units, &typed(&turn))) }
            @if let Some(below) = below { span { (below) } }
            @if let Some(flag) = flag { span.flag { (flag.sign()) " " (flag_words(flag)) } }
            @if cell.runs.len() == 1 { span { "1 run" } }
        }
    }
}

const fn flag_words(flag: Flag) -> &'static str {
    match flag {
        Flag::Imprecise => "imprecise",
        _ => flag.words(),
    }
}

fn weighed(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId, setup: SetupId) -> Markup {
    let ranking = analysis.rankings.iter().find(|of| of.wing == wing);
    let place = ranking.and_then(|of| of.setups.iter().position(|(id, _)| *id == setup).zip(Some(of)));
    match place.and_then(|(place, of)| Some((place, of.setups.get(place)?))) {
        Some((place, (_, turn))) => markup! {
            td {
                span.in { "all, weighed" }
                b { (turn_signed(units, &typed(turn))) }
                @if place == 0 { span { "least" } }
            }
        },
        None => markup! { td { span.in { "all, weighed" } "–" } },
    }
}

/// The classes of tint side by side, in the same colours as the cells.
fn scale(units: &DisplayUnits) -> Markup {
    let value = |deg_s: f64| fixed(deg_s * units.turn.per_deg_s(), 0);
    let from: Vec<f64> = TINTS.iter().map(|(from, _)| *from).collect();
    markup! {
        ul.scale aria-label="Tint by the size of the turn" {
            li { "Tint: turn below " (value(from[0])) "\u{a0}" (units.turn.sign()) }
            @for (index, (low, class)) in TINTS.iter().enumerate() {
                li class=(class) {
                    (value(*low))
                    @match from.get(index + 1) {
                        Some(high) => { " to " (value(*high)) }
                        None => { " and above" }
                    }
                }
            }
        }
    }
}

/// What is to be seen at once: what turns the other way, what turns in the glide.
fn headline(analysis: &CampaignAnalysis) -> String {
    let flagged =
        |flag: Flag| analysis.cells.iter().filter(|cell| scores::flag(analysis, cell.key) == Some(flag)).count();
    let (over, glide, imprecise) = (flagged(Flag::Over), flagged(Flag::Glide), flagged(Flag::Imprecise));
    let mut parts = Vec::new();
    if over > 0 {
        parts.push(format!("{over} over-compensated"));
    }
    if glide > 0 {
        let beyond = fixed(analysis.campaign.tolerated_turn_deg_min, 0);
        parts.push(format!("{glide} with a turn in the glide beyond {beyond}\u{a0}°/min"));
    }
    if imprecise > 0 {
        parts.push(format!("{imprecise} less sure than {}", points(Some(analysis.campaign.wished_half_width_percent))));
    }
    let unclear = |cell: &&Cell| turn_side(&typed(&cell.turn_deg_s())) == TurnSide::NotTold;
    let straight = analysis.cells.iter().filter(unclear).count();
    if straight > 0 {
        parts.push(format!("{straight} without a clear turn"));
    }
    let cells = count_of(analysis.cells.len(), "cell", "cells");
    if parts.is_empty() { format!("All {cells}") } else { format!("Of {cells}: {}", parts.join(", ")) }
}
