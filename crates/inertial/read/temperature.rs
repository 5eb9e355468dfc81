//! The temperatures of a table: scale, order, and values that cannot be.

use super::clock::Clock;
use super::columns::Quantity;
use super::rows::Samples;
use crate::constants::{COLDEST_C, HOTTEST_C, KELVIN_FROM, WARM_C};
use crate::log::Temperature;
use driftless_formats::table::{Dimension, Layout};
use driftless_track::{Problems, Severity};
use driftless_units::median;

/// Brings raw temperatures to °C and to the clock.
pub(super) fn in_celsius(
    (time, values): (Vec<f64>, Vec<f32>),
    clock: &Clock,
    layout: &Layout<Quantity>,
    problems: &mut Problems,
) -> Temperature {
    let open = layout.scale_of(Quantity::Temperature) == Some(None);
    let mut celsius = values;
    if open && !celsius.is_empty() {
        to_celsius(&mut celsius, problems);
    }
    let xyz = celsius.into_iter().map(|c| [c, 0.0, 0.0]).collect();
    // Order and repeats are told for the sensors; here they are only mended.
    let stream = clock.stream(Samples { time, xyz }, &mut Problems::default());
    let rows = stream.len();
    let (t_s, celsius): (Vec<f64>, Vec<f32>) = stream
        .t_s
        .into_iter()
        .zip(stream.xyz.into_iter().map(|[c, ..]| c))
        .filter(|(_, c)| (COLDEST_C.value..=HOTTEST_C.value).contains(&f64::from(*c)))
        .unzip();
    let found = Temperature { t_s, celsius };
    let impossible = rows - found.celsius.len();
    if impossible > 0 {
        let message = || format!("{impossible} of {rows} temperatures lie outside of -60 to 130 °C and were left out");
        problems.add(
            "imu-temperature-unit",
            Severity::Warning,
            None,
            message,
            "check the unit of the temperature column",
        );
    }
    if let ([first, ..], true) = (found.celsius.as_slice(), found.celsius.len() >= 20)
        && found.celsius.iter().all(|c| c == first)
    {
        let message = || format!("the temperature is {first:.1} °C throughout: its sensor seems dead");
        problems.add("imu-temperature-dead", Severity::Note, None, message, "nothing else rests on it");
        return Temperature::default();
    }
    found
}

/// Values of no stated unit: the size tells kelvin; else they are taken as °C.
fn to_celsius(values: &mut [f32], problems: &mut Problems) {
    let step = values.len().div_ceil(20_000);
    let typical = median(values.iter().step_by(step).copied().map(f64::from)).unwrap_or(f64::NAN);
    let scale = Dimension::Temperature.scale("k").filter(|_| typical > KELVIN_FROM.value);
    let kelvin = scale.is_some();
    if let Some(scale) = scale {
        values.iter_mut().for_each(|v| *v = scale.si(f64::from(*v)) as f32);
    }
    let message = || {
        let doubt = if typical > WARM_C.value && !kelvin { "; or is it °F?" } else { "" };
        let unit = if kelvin { "kelvin" } else { "°C" };
        format!("the temperature column names no unit; {typical:.0} was taken as {unit}{doubt}")
    };
    let help = "name the unit in the header, like temperature_c, or give a mapping";
    problems.add("imu-temperature-unit-assumed", Severity::Note, None, message, help);
}
