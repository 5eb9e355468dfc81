//! The windows: all in one chart and table, then one by one.

use super::parts::{clean, facts, figure, table};
use crate::charts::{Chart, Scene};
use crate::display::{
    DisplayUnits, NOT_KNOWN, TurnSide, clock_utc, count_of, fixed, hands_off_words, origin_words, quarter_turn,
    scenario_words, turn_range, turn_side, turn_signed, turn_without_sign, wind_words,
};
use driftless_analysis::{FlightAnalysis, WindowMeasurement};
use driftless_units::{Estimate, TurnRate, coverage_factor};
use maud::{Markup, html as markup};

/// What the raw log would have said, from the accepted window where it errs most; `None` where it would have done.
pub(super) fn contrast(analysis: &FlightAnalysis, units: &DisplayUnits) -> Option<String> {
    let (measured, rate, course, off) = analysis
        .accepted()
        .filter_map(|w| {
            let (rate, course) = (w.turn_rate?, w.course_rate?);
            let off = (course.deg_s() - rate.value.deg_s()).abs();
            let interval = rate.interval(0.95);
            let outside = course.rad_s() < interval.low.rad_s() || course.rad_s() > interval.high.rad_s();
            (outside && off.is_finite()).then_some((w, rate, course, off))
        })
        .max_by(|a, b| a.3.total_cmp(&b.3))?;
    let percent = 100.0 * off / rate.value.deg_s().abs();
    // A per cent of nearly nothing misleads.
    let share = if turn_side(&rate) != TurnSide::NotTold && percent < 1000.0 {
        format!(", {percent:.0}\u{a0}% off")
    } else {
        String::new()
    };
    let side = if course.rad_s() >= 0.0 { "right" } else { "left" };
    let bare = TurnRate::from_rad_s(course.rad_s().abs());
    Some(format!(
        "Without taking the wind out, the log would have said {} to the {side} in window {}{share} (found: {}).",
        units.bare_turn(bare),
        measured.window.id,
        sided(units, &rate)
    ))
}

/// "3.1 ± 0.1 °/s right".
fn sided(units: &DisplayUnits, rate: &Estimate<TurnRate>) -> String {
    match turn_side(rate) {
        TurnSide::NotTold => format!("{}, side not told", turn_without_sign(units, rate)),
        side => format!("{} {}", turn_without_sign(units, rate), side.word()),
    }
}

/// All windows: chart and table.
pub(super) fn overview(scene: &Scene<'_>, chart: Option<&Chart>) -> Markup {
    let windows = &scene.analysis.windows;
    let sign = scene.units.turn.sign();
    let head = [
        "Window".to_owned(),
        "Start, UTC".to_owned(),
        "Length, s".to_owned(),
        "Hands off".to_owned(),
        format!("This window, {sign}"),
        format!("This set-up, {sign}"),
        format!("Second opinion, {sign}"),
        format!("Raw course, {sign}"),
        "Time per 90°".to_owned(),
        "Verdict".to_owned(),
    ];
    let rows: Vec<_> = windows.iter().map(|w| overview_row(scene, w)).collect();
    let numbers = table("Turn rates, to the right positive; ± is half the 95 % interval", &head, &rows);
    markup! {
        section aria-labelledby="windows" {
            h2 id="windows" { "Turn rates" }
            @match chart {
                Some(chart) => (figure(chart, &numbers)),
                None => p { "There is no hands-off window in this flight. Mark let-go and take-over in the log, or give \
                             them in a marks file." },
            }
        }
    }
}

fn overview_row(scene: &Scene<'_>, measured: &WindowMeasurement) -> Vec<String> {
    let window = &measured.window;
    let units = &scene.units;
    let signed = |e: Option<&Estimate<TurnRate>>| e.map_or(NOT_KNOWN.to_owned(), |e| turn_signed(units, e));
    vec![
        format!("{} {}", window.id, scenario_words(window.scenario)),
        clock_utc(scene.analysis.track.time_at(window.start_s)),
        fixed(window.end_s - window.start_s, 0),
        hands_off_words(window.hands_off).to_owned(),
        signed(measured.turn_rate.as_ref()),
        signed(measured.steady_rate.as_ref()),
        signed(measured.second_opinion.as_ref().map(|s| &s.turn_rate)),
        measured.course_rate.map_or(NOT_KNOWN.to_owned(), |rate| units.bare_turn_number(rate)),
        measured.turn_rate.as_ref().map_or(NOT_KNOWN.to_owned(), |e| quarter_turn(e).replace(" per 90°", "")),
        if window.accepted { "accepted".to_owned() } else { format!("refused: {}", reasons(measured)) },
    ]
}

fn reasons(measured: &WindowMeasurement) -> String {
    measured.window.reasons.iter().map(|r| clean(r.trim_end_matches('.'))).collect::<Vec<_>>().join("; ")
}

/// Each window by itself.
pub(super) fn each(scene: &Scene<'_>, charts: &[(u32, Chart)]) -> Markup {
    let left_out = scene.analysis.windows.len().saturating_sub(charts.len());
    markup! {
        @if !charts.is_empty() {
            section aria-labelledby="each" {
                h2 id="each" { "Window by window" }
                @for (id, chart) in charts {
                    @if let Some(measured) = scene.analysis.windows.iter().find(|w| w.window.id == *id) {
                        (figure(chart, &numbers(scene, measured)))
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

fn numbers(scene: &Scene<'_>, measured: &WindowMeasurement) -> Markup {
    let units = &scene.units;
    let window = &measured.window;
    let mut rows: Vec<(&str, String)> = Vec::new();
    if !window.reasons.is_empty() {
        rows.push((if window.accepted { "Mind" } else { "Refused" }, reasons(measured)));
    }
    if let Some(rate) = &measured.turn_rate {
        rows.push(("This window", full(units, rate)));
        rows.push(("Time per 90°", quarter_turn(rate).replace(" per 90°", "")));
    }
    if let Some(rate) = &measured.steady_rate {
        rows.push(("This set-up, on another day", full(units, rate)));
    }
    if let Some(second) = &measured.second_opinion {
        let verdict = if second.disagrees { "disagrees" } else { "agrees" };
        rows.push(("Second opinion (circle-drift fit)", format!("{}, {verdict}", sided(units, &second.turn_rate))));
    }
    if let Some(course) = measured.course_rate {
        rows.push(("Raw course rate", units.bare_turn(course)));
    }
    if let Some(change) = &measured.heading_change {
        rows.push(("Heading change", units.angle_estimate(change)));
    }
    if let Some(airspeed) = &measured.airspeed_mps {
        rows.push(("Airspeed", units.speed_estimate(airspeed)));
    }
    rows.push(("Ground speed", units.speed(measured.ground_speed_mps)));
    rows.push(("Climb", units.speed(measured.climb_mps)));
    if let Some(wind) = measured.wind {
        let sure =
            measured.wind_std_u_mps.map_or(String::new(), |u| format!(", ± {} on either axis", units.speed(1.96 * u)));
        rows.push(("Wind", format!("{}{sure}", wind_words(units, wind))));
    }
    if let Some(bank) = measured.bank {
        rows.push((
            "Bank of such a turn",
            format!("{}° {}", fixed(bank.deg().abs(), 1), if bank.rad() < 0.0 { "left" } else { "right" }),
        ));
    }
    if let Some(radius) = measured.air_radius_m {
        rows.push(("Radius through the air", units.distance(radius)));
    }
    if let Some(load) = measured.load_factor {
        rows.push(("Load factor", fixed(load, 3)));
    }
    rows.push(("Altitude", units.height(measured.altitude_m)));
    if let Some(height) = measured.height_above_takeoff_m {
        rows.push(("Lowest above take-off", units.height(height)));
    }
    rows.push(("Hands off", format!("{}, {}", hands_off_words(window.hands_off), origin_words(window.origin))));
    let time = |s| clock_utc(scene.analysis.track.time_at(s));
    rows.push(("Let-go to take-over, UTC", format!("{} to {}", time(window.let_go_s), time(window.take_over_s))));
    rows.push(("Steady span, UTC", format!("{} to {}", time(window.start_s), time(window.end_s))));
    rows.extend(window.setup.as_deref().map(|s| ("Set-up", clean(s))));
    rows.extend(window.note.as_deref().map(|s| ("Note", clean(s))));
    facts(&rows)
}

/// Value, interval, standard uncertainty, degrees of freedom and coverage factor (the form of JCGM 100).
fn full(units: &DisplayUnits, rate: &Estimate<TurnRate>) -> String {
    let dof = if rate.dof > 1e3 { "many".to_owned() } else { fixed(rate.dof, 0) };
    let factor = units.turn.per_deg_s();
    format!(
        "{} (95 %: {} {}; standard uncertainty {}, degrees of freedom {dof}, k = {})",
        sided(units, rate),
        turn_range(units, rate),
        units.turn.sign(),
        crate::display::significant(rate.std_u.deg_s() * factor, 2),
        fixed(coverage_factor(0.95, rate.dof), 2)
    )
}
