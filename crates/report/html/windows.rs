//! The windows: what each set-up does by all of them, all in one table, then one by one.

use super::fold::{Paper, fold};
use super::parts::{clean, facts, figure, table};
use driftless_analysis::{CombinedRate, FlightAnalysis, HandsOff, Origin, WindowMeasurement};
use driftless_charts::{Chart, Scene};
use driftless_display::campaign::typed;
use driftless_display::reasons::reasons;
use driftless_display::{
    DisplayUnits, combined_name, count_of, fixed, hands_off_words, origin_words, quarter_turn, significant, turn_range,
    turn_signed, wind_words, window_scenario_words,
};
use driftless_units::{Estimate, TurnRate, coverage_factor};
use maud::{Markup, html as markup};

/// What stands in a cell without a number.
const NONE: &str = "–";

/// What each set-up does, in numbers: the rows of the chart above them.
fn summary(scene: &Scene<'_>) -> Markup {
    let units = &scene.units;
    let head = [
        "Set-up and scenario".to_owned(),
        "Windows".to_owned(),
        "Turn rate".to_owned(),
        "Time per 90°".to_owned(),
        "One window, another day".to_owned(),
        "Ground course at worst".to_owned(),
    ];
    let row = |of: &CombinedRate| {
        let rate = typed(&of.rate_deg_s);
        let ends = of.window_another_day_deg_s;
        let bare = |deg_s: f64| units.bare_turn_number(TurnRate::from_deg_s(deg_s));
        vec![
            combined_name(scene.analysis, of),
            of.windows.len().to_string(),
            turn_signed(units, &rate),
            quarter(&rate),
            format!("{} to {}", bare(ends.low), bare(ends.high)),
            of.worst_course_deg_s.map_or(NONE.to_owned(), bare),
        ]
    };
    let rows: Vec<_> = scene.analysis.combined().iter().map(row).collect();
    let caption = format!("Turn rates in {}, to the right positive; ± is the 95 % margin", units.turn.sign());
    table(&caption, "numbers", &head, &rows)
}

/// "29.6 s", or "> 596 s": the heading of the column says what it is.
fn quarter(rate: &Estimate<TurnRate>) -> String {
    quarter_turn(rate).replace(" per 90°", "").replace("more than ", "> ")
}

/// All windows in numbers, refused ones with their reasons.
pub(super) fn all(scene: &Scene<'_>) -> Markup {
    let windows = &scene.analysis.windows;
    if windows.is_empty() {
        return markup! {
            p { "There is no hands-off window in this flight. Mark let-go and take-over in the log, or give them in a marks \
                 file." }
        };
    }
    let refused = windows.iter().filter(|w| !w.accepted()).count();
    let doubted: Vec<_> = windows.iter().filter(|w| !w.verdict.findings.is_empty()).collect();
    let inside = markup! {
        @if refused < windows.len() { (summary(scene)) }
        (overview(scene))
        @if !doubted.is_empty() {
            ul.reasons { @for w in doubted {
                li {
                    strong { "Window " (w.window.id) (if w.accepted() { ", mind: " } else { ", refused: " }) }
                    (listed(w, &scene.units)) "."
                }
            } }
        }
    };
    let counted = count_of(windows.len(), "window", "windows");
    let summary = match (windows.len(), refused) {
        (1, 0) => markup! { "The window in numbers" },
        (_, 0) => markup! { "The " (counted) " in numbers" },
        (all, refused) if all == refused => markup! { "All refused: " (counted) ", and why" },
        _ => markup! { "The " (counted) " in numbers, " (refused) " refused and why" },
    };
    fold(&summary, Paper::Whole, &inside)
}

/// A row for each window.
pub(super) fn overview(scene: &Scene<'_>) -> Markup {
    let head = [
        "Window".to_owned(),
        format!("Start, {}", scene.units.zone.name()),
        "Length, s".to_owned(),
        "This window".to_owned(),
        "This set-up".to_owned(),
        "Second opinion".to_owned(),
        "Ground course".to_owned(),
        "Time per 90°".to_owned(),
        "Verdict".to_owned(),
    ];
    let rows: Vec<_> = scene.analysis.windows.iter().map(|w| overview_row(scene, w)).collect();
    let caption = format!("Turn rates in {}, to the right positive; ± is the 95 % margin", scene.units.turn.sign());
    table(&caption, "verdicts", &head, &rows)
}

fn overview_row(scene: &Scene<'_>, measured: &WindowMeasurement) -> Vec<String> {
    let window = &measured.window;
    let units = &scene.units;
    let verdict = if measured.accepted() { "accepted" } else { "refused" };
    // A refused window has its time and its reason; its figures count for nothing.
    let kept = Some(measured).filter(|_| measured.accepted());
    let rate_of = |rate: fn(&WindowMeasurement) -> Option<Estimate<TurnRate>>| kept.and_then(rate);
    vec![
        format!("{} {}", window.id, window_scenario_words(window)),
        units.zone.clock(scene.analysis.track.time_at(window.start_s)),
        fixed(window.end_s - window.start_s, 0),
        signed(units, rate_of(|w| w.turn_rate)),
        signed(units, rate_of(|w| w.steady_rate)),
        signed(units, rate_of(|w| w.second_opinion.map(|s| s.turn_rate))),
        kept.and_then(|w| w.course_rate).map_or(NONE.to_owned(), |rate| units.bare_turn_number(rate)),
        rate_of(|w| w.turn_rate).map_or(NONE.to_owned(), |rate| quarter(&rate)),
        format!("{}, {verdict}", hands_off_words(window.hands_off)),
    ]
}

/// "−3.1 ± 0.1" for a cell of a table.
fn signed(units: &DisplayUnits, rate: Option<Estimate<TurnRate>>) -> String {
    rate.map_or(NONE.to_owned(), |rate| turn_signed(units, &rate))
}

fn listed(measured: &WindowMeasurement, units: &DisplayUnits) -> String {
    reasons(&measured.verdict, units).join("; ")
}

/// Each window by itself, folded.
pub(super) fn each(scene: &Scene<'_>, charts: &[(u32, Chart)]) -> Markup {
    let left_out = scene.analysis.windows.len().saturating_sub(charts.len());
    markup! {
        @if !charts.is_empty() {
            section.windows aria-labelledby="each" {
                h2 id="each" { "Each window" }
                @for (id, chart) in charts {
                    @if let Some(measured) = scene.analysis.windows.iter().find(|w| w.window.id == *id) {
                        (fold(&line(scene, measured), Paper::Opened, &figure(chart, &numbers(scene, measured))))
                    }
                }
                @if left_out > 0 {
                    p { "No chart of their own: " (count_of(left_out, "further window", "further windows")) ", in the \
                         table above." }
                }
            }
        }
    }
}

/// A window in one line.
fn line(scene: &Scene<'_>, measured: &WindowMeasurement) -> Markup {
    let window = &measured.window;
    let zone = scene.units.zone;
    let said = match measured.turn_rate.filter(|_| measured.accepted()) {
        None if measured.accepted() => "no turn rate".to_owned(),
        None => "refused".to_owned(),
        Some(rate) => turn_signed(&scene.units, &rate) + "\u{a0}" + scene.units.turn.sign(),
    };
    markup! {
        strong { "Window " (window.id) } " · " (window_scenario_words(window)) " · "
        (zone.clock(scene.analysis.track.time_at(window.start_s))) " · " (said)
        @if window.hands_off == HandsOff::Candidate && measured.accepted() { " · candidate" }
    }
}

fn numbers(scene: &Scene<'_>, measured: &WindowMeasurement) -> Markup {
    let units = &scene.units;
    let window = &measured.window;
    let mut rows: Vec<(&str, String)> = Vec::new();
    let accepted = measured.accepted();
    if let Some(rate) = measured.turn_rate.as_ref().filter(|_| accepted) {
        rows.push(("Time per 90°", quarter_turn(rate).replace(" per 90°", "")));
        rows.push(("Turn per minute", format!("{}°", fixed(rate.value.deg_min(), 0))));
    }
    if let Some(change) = measured.heading_change.as_ref().filter(|_| accepted) {
        rows.push(("Heading change", units.angle_estimate(change)));
    }
    if let Some(airspeed) = &measured.airspeed_mps {
        rows.push(("Airspeed", units.speed_estimate(airspeed)));
    }
    rows.push(("Ground speed", units.speed(measured.ground_speed_mps)));
    rows.extend(measured.climb_mps.map(|climb_mps| ("Climb", units.speed(climb_mps))));
    if let Some(wind) = measured.wind {
        let sure = measured
            .wind_std_u_mps
            .map_or(String::new(), |u| format!(", ±\u{a0}{} on either axis", units.speed(1.96 * u)));
        rows.push(("Wind", format!("{}{sure}", wind_words(units, wind))));
    }
    if let Some(bank) = measured.bank.filter(|_| accepted) {
        rows.push((
            "Bank for this turn",
            format!("{}° {}", fixed(bank.deg().abs(), 1), if bank.rad() < 0.0 { "left" } else { "right" }),
        ));
    }
    if let Some(radius) = measured.air_radius_m.filter(|_| accepted) {
        rows.push(("Radius through the air", units.distance(radius)));
    }
    if let Some(load) = measured.load_factor.filter(|_| accepted) {
        rows.push(("Load factor", fixed(load, 3)));
    }
    rows.extend(measured.altitude_m.map(|altitude_m| ("Altitude", units.height(altitude_m))));
    if let Some(height) = measured.height_above_takeoff_m {
        rows.push(("Lowest above take-off", units.height(height)));
    }
    rows.push(("Hands off", format!("{}, {}", hands_off_words(window.hands_off), origin_words(window.origin))));
    let time = |s| units.zone.clock(scene.analysis.track.time_at(s));
    let whole = if window.origin == Origin::Found { "Candidate" } else { "Let-go to take-over" };
    let from_to = |from_s, to_s| format!("{} to {} {}", time(from_s), time(to_s), units.zone.name());
    rows.push((whole, from_to(window.let_go_s, window.take_over_s)));
    rows.push(("Steady span", from_to(window.start_s, window.end_s)));
    rows.extend(window.setup.as_deref().map(|s| ("Set-up", clean(s))));
    rows.extend(window.note.as_deref().map(|s| ("Note", clean(s))));
    markup! { (doubts(measured, units)) @if accepted { (rates(scene.analysis, units, measured)) } (facts(&rows)) }
}

/// Why a window was refused, or what to mind about it; nothing when it passed without a word.
fn doubts(measured: &WindowMeasurement, units: &DisplayUnits) -> Markup {
    let word = if measured.accepted() { "Mind" } else { "Refused" };
    markup! {
        @if !measured.verdict.findings.is_empty() { p.doubts { strong { (word) ": " } (listed(measured, units)) "." } }
    }
}

/// The four turn rates of a window in the form of JCGM 100: value, interval, standard uncertainty, degrees of freedom
/// and coverage factor.
fn rates(analysis: &FlightAnalysis, units: &DisplayUnits, measured: &WindowMeasurement) -> Markup {
    let disagrees = analysis.disagreement(measured).is_some();
    let sign = units.turn.sign();
    let head = [
        format!("Turn rate, {sign}"),
        "Value".to_owned(),
        "95 % interval".to_owned(),
        "Standard uncertainty".to_owned(),
        "Degrees of freedom".to_owned(),
        "Coverage factor".to_owned(),
    ];
    let full = |name: &str, rate: &Estimate<TurnRate>| {
        vec![
            name.to_owned(),
            turn_signed(units, rate),
            turn_range(units, rate),
            significant(rate.std_u.deg_s() * units.turn.per_deg_s(), 2),
            if rate.dof > 1e3 { "many".to_owned() } else { fixed(rate.dof, 0) },
            fixed(coverage_factor(0.95, rate.dof), 2),
        ]
    };
    let mut rows = Vec::new();
    rows.extend(measured.turn_rate.as_ref().map(|rate| full("This window", rate)));
    rows.extend(measured.steady_rate.as_ref().map(|rate| full("This set-up, wander included", rate)));
    rows.extend(measured.second_opinion.as_ref().map(|second| {
        let name = if disagrees { "Second opinion, differs" } else { "Second opinion, agrees" };
        full(name, &second.turn_rate)
    }));
    rows.extend(measured.course_rate.map(|rate| {
        let mut row = vec!["Ground course, wind left in".to_owned(), units.bare_turn_number(rate)];
        row.resize(head.len(), NONE.to_owned());
        row
    }));
    table("Turn rates of this window, to the right positive", "numbers", &head, &rows)
}
