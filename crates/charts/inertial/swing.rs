//! Spectrum of the pilot's swing and twist, window by window.

use crate::Chart;
use crate::canvas::{Canvas, Caption, Side, chart};
use crate::clip::Frame;
use crate::ink::Ink;
use crate::plot::Panel;
use crate::scene::{Scene, window_name};
use crate::ticks::{Ticks, extent};
use driftless_analysis::{InertialAnalysis, InertialWindow, Spectrum};
use driftless_display::{count_of, fixed};

const WIDTH: f64 = 760.0;
const LEFT: f64 = 60.0;
const RIGHT: f64 = 648.0;
const TOP: f64 = 50.0;
const LANE: f64 = 96.0;
const BETWEEN: f64 = 36.0;
/// Windows shown; the table holds all.
const MOST_LANES: usize = 10;
/// Frequencies shown, Hz.
const SHOWN_HZ: (f64, f64) = (0.1, 5.0);
/// Where brake inputs show, Hz.
const STEERING_HZ: (f64, f64) = (0.8, 4.0);
/// Powers of ten shown below the highest value.
const DECADES: f64 = 5.0;

/// The chart; `None` when no window has a spectrum.
pub(super) fn draw(scene: &Scene<'_>, inertial: &InertialAnalysis) -> Option<Chart> {
    let lanes: Vec<&InertialWindow> = inertial.windows.iter().filter(|w| w.roll.is_some()).take(MOST_LANES).collect();
    let densities = lanes.iter().flat_map(|w| w.roll.iter().chain(&w.twist)).flat_map(line).map(|p| p.1);
    let (low, high) = extent(densities)?;
    let y = (low.max(high - DECADES).floor(), high.ceil().max(low.floor() + 1.0));
    let height = TOP + lanes.len() as f64 * (LANE + BETWEEN) + 10.0;
    Some(chart(caption(inertial, &lanes), (WIDTH, height), |canvas| {
        for (i, window) in lanes.iter().enumerate() {
            let top = TOP + i as f64 * (LANE + BETWEEN);
            let frame = Frame { left: LEFT, top, right: RIGHT, bottom: top + LANE };
            let x = (SHOWN_HZ.0.log10(), SHOWN_HZ.1.log10());
            paint(canvas, scene, &Panel { frame, x, y }, window, i == 0, i + 1 == lanes.len());
        }
    }))
}

/// Logarithms of frequency and density.
fn line(spectrum: &Spectrum) -> Vec<(f64, f64)> {
    let pairs = spectrum.frequency_hz.iter().zip(&spectrum.deg2_per_hz);
    pairs
        .filter(|(hz, density)| (SHOWN_HZ.0..=SHOWN_HZ.1).contains(*hz) && **density > 0.0)
        .map(|(hz, density)| (hz.log10(), density.log10()))
        .collect()
}

fn caption(inertial: &InertialAnalysis, lanes: &[&InertialWindow]) -> Caption {
    let (least, most) = extent(lanes.iter().filter_map(|w| w.roll_rms_deg())).unwrap_or((0.0, 0.0));
    let (least, most) = (fixed(least, 1), fixed(most, 1));
    let size = if least == most { format!("{least}°") } else { format!("{least} to {most}°") };
    let headline = match inertial.swing_period_s {
        Some(period) => {
            format!(
                "The pilot swung with a period of about {} s over the flight, {size} rms in the windows",
                fixed(period, 1)
            )
        }
        None => format!("No swing period stands out over the flight; roll is {size} rms in the windows"),
    };
    let with_peak = lanes.iter().filter(|w| w.swing_period_s.is_some()).count();
    let all = inertial.windows.iter().filter(|w| w.roll.is_some()).count();
    let rest = if all > lanes.len() {
        format!(" The first {} of {all} windows; the table holds them all.", lanes.len())
    } else {
        String::new()
    };
    Caption {
        id: "swing".to_owned(),
        headline,
        subtitle: format!(
            "Spectrum of the pilot's roll and twist in each window (Welch's method, 20 s). Tinted: 0.8 to 4 Hz, where \
                   brake inputs show. Vertical: the period of the swing, where one stands out.{rest}"
        ),
        description: format!(
            "{}, one above the other; a period of swing stands out in {with_peak} of them.",
            count_of(lanes.len(), "window", "windows")
        ),
    }
}

fn paint(canvas: &Canvas<'_>, scene: &Scene<'_>, panel: &Panel, window: &InertialWindow, first: bool, last: bool) {
    panel.stripe(canvas, Ink::Span, 1.0, STEERING_HZ.0.log10(), STEERING_HZ.1.log10());
    let hertz = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0_f64];
    let ticks = Ticks {
        values: hertz.iter().map(|hz| hz.log10()).collect(),
        labels: hertz.iter().map(f64::to_string).collect(),
    };
    panel.x_axis(canvas, &ticks, last);
    panel.y_axis(canvas, &powers(panel.y));
    let name = scene.analysis.windows.iter().find(|w| w.window.id == window.id).map(window_name);
    panel.y_name(canvas, &format!("{}, °²/Hz", name.unwrap_or_else(|| format!("Window {}", window.id))));
    if let Some(period) = window.swing_period_s {
        let x = panel.at_x((1.0 / period).log10());
        canvas.line(Ink::Reference, 1.4, [(x, panel.frame.top), (x, panel.frame.bottom)]);
        canvas.small(Ink::Text, Side::Start, (x + 5.0, panel.frame.bottom - 10.0), &format!("{} s", fixed(period, 1)));
    }
    if let Some(twist) = &window.twist {
        panel.series(canvas, Ink::Gyro, 1.5, &line(twist));
    }
    if let Some(roll) = &window.roll {
        panel.series(canvas, Ink::Air, 2.0, &line(roll));
    }
    for (i, (ink, name)) in [(Ink::Air, "roll"), (Ink::Gyro, "twist")].into_iter().enumerate().filter(|_| first) {
        let (x, y) = (panel.frame.right + 8.0, panel.frame.top + 14.0 + 20.0 * i as f64);
        canvas.line(ink, 2.0, [(x, y), (x + 22.0, y)]);
        canvas.small(Ink::Text, Side::Start, (x + 28.0, y), name);
    }
    if first {
        let middle = panel.at_x(0.5 * (STEERING_HZ.0.log10() + STEERING_HZ.1.log10()));
        canvas.small(Ink::Soft, Side::Middle, (middle, panel.frame.top - 11.0), "brake inputs");
    }
    if last {
        panel.x_name(canvas, "frequency, Hz");
    }
}

/// Powers of ten, at most four labels.
fn powers((low, high): (f64, f64)) -> Ticks {
    let (from, to) = (low.ceil() as i32, high.floor() as i32);
    let step = if to - from > 3 { 2 } else { 1 };
    let powers: Vec<i32> = (from..=to).step_by(step).collect();
    Ticks {
        values: powers.iter().map(|p| f64::from(*p)).collect(),
        labels: powers
            .iter()
            .map(|p| if *p < 0 { (1.0 / 10_f64.powi(-p)).to_string() } else { 10_f64.powi(*p).to_string() })
            .collect(),
    }
}
