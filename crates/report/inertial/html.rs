//! Inertial data on the page.

use super::verdict::{noise, part};
use super::words::{HINT, facts, gain_rows, hint_words, no_curve};
use crate::html::parts;
use driftless_analysis::{AllanPoint, Difference, InertialAnalysis, InertialStatus, InertialWindow, SensorsUsed};
use driftless_charts::{InertialCharts, Scene};
use driftless_display::inertial::sources;
use driftless_display::{NOT_KNOWN, fixed, significant};
use maud::{Markup, html as markup};

/// What stands in a cell without a number.
const NONE: &str = "–";

/// The section; nothing when no inertial file was given.
pub(crate) fn section(scene: &Scene<'_>, charts: &InertialCharts) -> Markup {
    let Some(inertial) = &scene.analysis.inertial else { return markup! {} };
    let names: Vec<String> = inertial.files.iter().map(|f| parts::file_name(&f.name)).collect();
    markup! {
        section aria-labelledby="inertial" {
            h2 id="inertial" { "Inertial data" }
            p.subtitle { (names.join(", ")) }
            p { strong { (part(scene.analysis, inertial)) } }
            @if let Some(words) = noise(scene.analysis, inertial) { p { (words) } }
            @let rows = facts(scene.analysis, inertial, scene.units.zone);
            @if !rows.is_empty() { (parts::facts(&rows)) }
            @if let Some(chart) = &charts.gain { (parts::figure(chart, &gain(scene, inertial))) }
            @if let Some(chart) = &charts.headings { (parts::figure(chart, &headings(scene, inertial))) }
            @if let Some(chart) = &charts.allan { (parts::figure(chart, &allan(inertial))) }
            @if let Some(words) = no_curve(inertial) { p { (words) } }
            @if let Some(chart) = &charts.swing { (parts::figure(chart, &swing(inertial))) }
        }
    }
}

/// What GPS alone gave beside what stands in the report.
fn gain(scene: &Scene<'_>, inertial: &InertialAnalysis) -> Markup {
    let sign = scene.units.turn.sign();
    let reported = format!("{}, as reported", sources(inertial));
    let head = ["Turn rate", "GPS alone", reported.as_str(), "Interval narrower by"].map(str::to_owned);
    let rows: Vec<_> = gain_rows(scene.analysis, inertial, &scene.units)
        .into_iter()
        .map(|row| vec![format!("Window {}", row.id), row.gps_alone, row.with_gyro, row.ratio])
        .collect();
    parts::table(&format!("In {sign}, to the right positive; ± is the 95 % margin"), "numbers", &head, &rows)
}

/// How the headings differ over the flight, and what each says of the windows.
fn headings(scene: &Scene<'_>, inertial: &InertialAnalysis) -> Markup {
    let row = |name: &str, difference: Option<Difference>| {
        difference.map(|d| {
            let count = d.count.to_string();
            vec![name.to_owned(), fixed(d.mean_deg, 1), fixed(d.scatter_deg, 1), fixed(d.within95_deg, 1), count]
        })
    };
    let found = inertial.headings.as_ref();
    let rows: Vec<_> = row("Gyro less GPS and wind", found.and_then(|h| h.gyro))
        .into_iter()
        .chain(row("Compass less GPS and wind", found.and_then(|h| h.compass)))
        .collect();
    let head = ["Difference, °", "Mean", "Scatter, rms", "95 % within", "Moments"].map(str::to_owned);
    let by_gps = match &inertial.status {
        InertialStatus::Used(SensorsUsed::GyroAndCompass) => "By GPS, wind, gyro and compass",
        InertialStatus::Used(SensorsUsed::Gyro) => "By GPS, wind and gyro",
        InertialStatus::Used(SensorsUsed::Compass(_)) => "By GPS, wind and compass",
        InertialStatus::NotUsed(_) | InertialStatus::NotAligned(_) | InertialStatus::NotRead(_) => "By GPS and wind",
    };
    let window_head = ["Heading change", by_gps, "By gyro", "Gyro less the other"].map(str::to_owned);
    markup! {
        (parts::table("How the headings differ over the flight", "numbers", &head, &rows))
        @if !inertial.windows.is_empty() {
            (parts::table("Heading change of each window, right positive; ± is the 95 % margin", "numbers",
                &window_head, &inertial.windows.iter().map(|w| window_row(scene, w)).collect::<Vec<_>>()))
            @if !inertial.takes_part() { p.subtitle {
                "The gyro's bias, scale and clock are fitted to the headings by GPS over the whole flight; within a window \
                 the gyro speaks for itself."
            } }
        }
    }
}

fn window_row(scene: &Scene<'_>, window: &InertialWindow) -> Vec<String> {
    let measured = scene.analysis.windows.iter().find(|w| w.window.id == window.id);
    let by_gps = measured.and_then(|w| w.heading_change);
    let angle = |e: Option<_>| e.map_or(NOT_KNOWN.to_owned(), |e| scene.units.angle_estimate(&e));
    let apart = by_gps.zip(window.heading_change).map(|(gps, gyro)| gyro.value.deg() - gps.value.deg());
    vec![
        format!("Window {}", window.id),
        angle(by_gps),
        angle(window.heading_change),
        apart.map_or(NONE.to_owned(), |deg| format!("{}°", fixed(deg, 1))),
    ]
}

/// The curve at about one averaging time in a factor of two and a half.
fn allan(inertial: &InertialAnalysis) -> Markup {
    const EVERY: usize = 3;
    let Some(curves) = inertial.health.as_ref().map(|h| &h.allan) else { return markup! {} };
    let longest = curves.iter().max_by_key(|c| c.len()).map_or(&[][..], Vec::as_slice);
    let cell = |curve: &[AllanPoint], i: usize| {
        curve.get(i).map_or(NONE.to_owned(), |p| significant(p.deviation.to_degrees(), 2))
    };
    let rows: Vec<_> = longest
        .iter()
        .enumerate()
        .step_by(EVERY)
        .map(|(i, point)| {
            let [x, y, z] = curves.each_ref().map(|curve| cell(curve, i));
            let share = format!("{}\u{a0}%", fixed(100.0 * point.relative_std_u, 0));
            vec![significant(point.tau_s, 2), x, y, z, share]
        })
        .collect();
    let head = ["Averaging time, s", "x, °/s", "y, °/s", "z, °/s", "Standard uncertainty"].map(str::to_owned);
    parts::table("Allan deviation of the gyro at rest", "numbers", &head, &rows)
}

fn swing(inertial: &InertialAnalysis) -> Markup {
    let number = |value: Option<f64>| value.map_or(NONE.to_owned(), |v| fixed(v, 1));
    let rows: Vec<_> = inertial
        .windows
        .iter()
        .map(|w| {
            vec![
                format!("Window {}", w.id),
                number(w.roll_rms_deg()),
                number(w.twist_rms_deg()),
                number(w.swing_period_s),
                hint_words(w.hint),
            ]
        })
        .collect();
    let head =
        ["Swing of the pilot", "Roll, ° rms", "Twist, ° rms", "Period, s", "Hint at the hands"].map(str::to_owned);
    markup! {
        (parts::table("Between 0.14 and 0.8 Hz", "verdicts", &head, &rows))
        p.subtitle { (HINT) }
    }
}
