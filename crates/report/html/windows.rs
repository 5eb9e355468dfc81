//! The windows: all in one chart and table, then one by one.

use super::parts::{clean, facts, figure, table};
use driftless_analysis::{FlightAnalysis, Origin, WindowMeasurement};
use driftless_charts::{Chart, Scene};
use driftless_display::reasons::reasons;
use driftless_display::{
    DisplayUnits, TurnSide, clock_utc, count_of, fixed, hands_off_words, origin_words, quarter_turn, scenario_words,
    significant, turn_range, turn_side, turn_signed, turn_without_sign, wind_words,
};
use driftless_units::{Estimate, TurnRate, coverage_factor};
use maud::{Markup, html as markup};

/// What stands in a cell without a number.
const NONE: &str = "–";

/// How far the ground course is from the turn through the air: typically, and where it is most. `None` where it
/// lies within every interval.
pub(super) fn contrast(analysis: &FlightAnalysis, units: &DisplayUnits) -> Option<String> {
    let compared = || analysis.accepted().filter_map(|w| Some((w, w.turn_rate?, w.course_rate?)));
    let off = |rate: &Estimate<TurnRate>, course: TurnRate| (course.rad_s() - rate.value.rad_s()).abs();
    compared().find(|(_, rate, course)| {
        let interval = rate.interval(0.95);
        course.rad_s() < interval.low.rad_s() || course.rad_s() > interval.high.rad_s()
    })?;
    let mut all: Vec<_> = compared().filter(|(_, rate, course)| off(rate, *course).is_finite()).collect();
    all.sort_by(|a, b| off(&a.1, a.2).total_cmp(&off(&b.1, b.2)));
    // The median; of an even number the mean of both in the middle.
    let (low, high) = (all.get((all.len() - 1) / 2)?, all.get(all.len() / 2)?);
    let typical = units.bare_turn(TurnRate::from_rad_s(0.5 * (off(&low.1, low.2) + off(&high.1, high.2))));
    let most = all.last()?;
    let (measured, rate, course) = most;
    let side = if course.rad_s() >= 0.0 { "right" } else { "left" };
    let said = format!(
        "{} to the {side} in window {} (through the air {})",
        units.bare_turn(TurnRate::from_rad_s(course.rad_s().abs())),
        measured.window.id,
        sided(units, rate)
    );
    Some(match all.len() {
        1 => format!("With the wind left in, the course over the ground says {said}."),
        count => format!(
            "With the wind left in, the turn rate is off by {typical} (median of {count} windows); at the most, the course \
             over the ground says {said}."
        ),
    })
}

/// "3.1 ± 0.1 °/s right".
fn sided(units: &DisplayUnits, rate: &Estimate<TurnRate>) -> String {
    match turn_side(rate) {
        TurnSide::NotTold => format!("{}, direction uncertain", turn_without_sign(units, rate)),
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
        "This window".to_owned(),
        "This set-up".to_owned(),
        "Second opinion".to_owned(),
        "Ground course".to_owned(),
        "Time per 90°".to_owned(),
        "Verdict".to_owned(),
    ];
    let rows: Vec<_> = windows.iter().map(|w| overview_row(scene, w)).collect();
    let caption = format!("Turn rates in {sign}, to the right positive; ± is the 95 % margin");
    let numbers = markup! {
        (table(&caption, "verdicts", &head, &rows))
        @let doubted: Vec<_> = windows.iter().filter(|w| !w.verdict.findings.is_empty()).collect();
        @if !doubted.is_empty() {
            ul.reasons { @for w in doubted {
                li {
                    strong { "Window " (w.window.id) (if w.accepted() { ", mind: " } else { ", refused: " }) }
                    (listed(w, &scene.units)) "."
                }
            } }
        }
    };
    markup! {
        section aria-labelledby="windows" {
            h2 id="windows" { "Turn rates" }
            @if let Some(chart) = chart {
                (figure(chart, &numbers))
            } @else if windows.is_empty() {
                p { "There is no hands-off window in this flight. Mark let-go and take-over in the log, or give them in a \
                     marks file." }
            } @else {
                p { "No window was accepted; the reasons stand below the table." }
                (numbers)
            }
        }
    }
}

fn overview_row(scene: &Scene<'_>, measured: &WindowMeasurement) -> Vec<String> {
    let window = &measured.window;
    let units = &scene.units;
    let verdict = if measured.accepted() { "accepted" } else { "refused" };
    // A refused window has its time and its reason; its figures count for nothing.
    let kept = Some(measured).filter(|_| measured.accepted());
    let rate_of = |rate: fn(&WindowMeasurement) -> Option<Estimate<TurnRate>>| kept.and_then(rate);
    vec![
        format!("{} {}", window.id, scenario_words(window.scenario)),
        clock_utc(scene.analysis.track.time_at(window.start_s)),
        fixed(window.end_s - window.start_s, 0),
        signed(units, rate_of(|w| w.turn_rate)),
        signed(units, rate_of(|w| w.steady_rate)),
        signed(units, rate_of(|w| w.second_opinion.map(|s| s.turn_rate))),
        kept.and_then(|w| w.course_rate).map_or(NONE.to_owned(), |rate| units.bare_turn_number(rate)),
        rate_of(|w| w.turn_rate)
            .map_or(NONE.to_owned(), |e| quarter_turn(&e).replace(" per 90°", "").replace("more than ", "> ")),
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
    let time = |s| clock_utc(scene.analysis.track.time_at(s));
    let whole = if window.origin == Origin::Found { "Candidate, UTC" } else { "Let-go to take-over, UTC" };
    rows.push((whole, format!("{} to {}", time(window.let_go_s), time(window.take_over_s))));
    rows.push(("Steady span, UTC", format!("{} to {}", time(window.start_s), time(window.end_s))));
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
    rows.extend(measured.steady_rate.as_ref().map(|rate| full("This set-up, on another day", rate)));
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
