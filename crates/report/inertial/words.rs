//! What is said of inertial data, the same in HTML and text.

use driftless_analysis::{ClockTimes, FlightAnalysis, HandsHint, InertialAnalysis, SensorHealth, TemperatureHealth};
use driftless_display::inertial::{instability, narrower, random_walk};
use driftless_display::reasons::compass_doubts;
use driftless_display::{DisplayUnits, NOT_KNOWN, Zone, count_of, fixed, plus_minus, significant, turn_signed};
use driftless_units::{Estimate, coverage_factor, printable_lines};

/// Why there is no Allan curve; `None` where there is one.
pub(super) fn no_curve(inertial: &InertialAnalysis) -> Option<&'static str> {
    let health = inertial.health.as_ref()?;
    health.allan.iter().all(Vec::is_empty).then_some(
        "No Allan curve: it needs a sensor at rest for ten seconds or more, for in motion the curve shows the motion.",
    )
}

/// Names and values of what is known.
pub(super) fn facts(analysis: &FlightAnalysis, inertial: &InertialAnalysis, zone: Zone) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    if let Some(health) = &inertial.health {
        sampling(health, &mut rows);
        noise(health, &mut rows);
    }
    if let Some(clock) = inertial.clock_offset(&analysis.track) {
        let name = match clock.times {
            ClockTimes::Alike => "Flight clock minus sensor clock",
            ClockTimes::FromFirstFix => "Sensor's start after first fix",
        };
        rows.push((
            name,
            format!("{}\u{a0}s at {} {}", with_half(&clock.offset_s, 1.0, 3), zone.clock(clock.at), zone.name()),
        ));
        rows.push(("Drift of that", format!("{} parts in a million", with_half(&clock.drift_ppm, 1.0, 0))));
    }
    if let Some(alignment) = &inertial.alignment {
        rows.push(("Correlation of turn rates", fixed(alignment.correlation, 3)));
        let deg_s = alignment.residual_rad_s.to_degrees();
        rows.push(("Spread of their differences", format!("{}\u{a0}°/s", significant(deg_s, 2))));
        rows.push(("Gyro scale", with_half(&alignment.scale, 1.0, 4)));
        let down = alignment.down.axis.map(|v| fixed(v, 2)).join(", ");
        rows.push(("Down in sensor axes", down));
        let forward = alignment.forward.map_or(NOT_KNOWN.to_owned(), |f| f.axis.map(|v| fixed(v, 2)).join(", "));
        rows.push(("Forward in sensor axes", forward));
    }
    if let Some(bias) = inertial.vertical_bias_rad_s() {
        let degrees = 1.0_f64.to_degrees();
        rows.push(("Gyro bias, vertical", format!("{}\u{a0}°/s", with_half(&bias, degrees, 3))));
    }
    if let Some(period) = inertial.swing_period_s {
        rows.push(("Swing of the pilot", format!("{}\u{a0}s period", fixed(period, 1))));
    }
    if inertial.compass.is_some() || inertial.not_calibrated.is_some() {
        rows.push(("Compass", compass(inertial)));
    }
    rows
}

fn sampling(health: &SensorHealth, rows: &mut Vec<(&'static str, String)>) {
    if health.gyro_rate_hz.is_finite() && health.gyro_rate_hz > 0.0 {
        rows.push(("Gyro rate", format!("{}\u{a0}Hz", significant(health.gyro_rate_hz, 3))));
        let missing =
            format!("{}, {}\u{a0}s missing", count_of(health.gaps, "gap", "gaps"), fixed(health.missing_s, 1));
        rows.push(("Gaps", if health.gaps == 0 { "none".to_owned() } else { missing }));
    }
    if let Some(temperature) = &health.temperature {
        let [low, high] = temperature.range_c.map(|c| fixed(c, 0));
        let (start, end) = (fixed(temperature.ends_c[0], 0), fixed(temperature.ends_c[1], 0));
        let of = if temperature.of_flight { "flight" } else { "recording" };
        rows.push((
            "Temperature",
            format!("{low} to {high}\u{a0}°C; {start} at the start of the {of}, {end} at its end"),
        ));
        rows.push(("Gyro bias with temperature", warming(temperature)));
    }
}

/// Whether the bias moves with temperature, as far as rest tells.
fn warming(temperature: &TemperatureHealth) -> String {
    let Some(slope) = temperature.bias_slope else {
        return "not told: it takes rest at two temperatures, such as before take-off and after landing".to_owned();
    };
    let degrees = 1.0_f64.to_degrees();
    let axes = slope.rad_s_per_k.map(|axis| with_half(&axis, degrees, 3)).join(", ");
    let said = if slope.is_clear() { "moves" } else { "no change seen" };
    format!("{said}: x, y, z {axes}\u{a0}°/s per kelvin")
}

fn noise(health: &SensorHealth, rows: &mut Vec<(&'static str, String)>) {
    if let Some(still) = &health.still {
        let axes = still.rad_s.map(|v| fixed(v.to_degrees(), 3)).join(", ");
        rows.push(("Bias at rest x, y, z", format!("{axes}\u{a0}°/s over {}\u{a0}s", fixed(still.seconds, 0))));
    }
    if let Some(walk) = health.noise.and_then(|n| n.angle_random_walk) {
        rows.push(("Angle random walk", random_walk(walk)));
    }
    if let Some(floor) = health.noise.and_then(|n| n.bias_instability) {
        rows.push(("Bias instability", format!("{}, at {}\u{a0}s", instability(&floor), significant(floor.tau_s, 2))));
    }
}

/// Whether the compass is consistent, and if not, why.
fn compass(inertial: &InertialAnalysis) -> String {
    match &inertial.compass {
        Some(compass) if compass.is_consistent() => {
            let part = if inertial.status.compass_takes_part() {
                "took part in the turn rates"
            } else {
                "no part in the turn rates"
            };
            let spread = fixed(compass.calibrated.spread_deg, 1);
            format!("consistent with the Earth's field; headings spread by {spread}°; {part}")
        }
        Some(compass) => format!("left out: {}", compass_doubts(&compass.doubts)),
        None => "left out: see problems".to_owned(),
    }
}

/// What the motion of the body hints at: a hint, never a confirmation.
pub(crate) fn hint_words(hint: HandsHint) -> String {
    match hint {
        HandsHint::Off { ratio } => format!("quieter than when steering ({}): perhaps off", fixed(ratio, 2)),
        HandsHint::On { ratio } => format!("as busy as when steering ({}): perhaps on", fixed(ratio, 2)),
        HandsHint::Unclear => "none".to_owned(),
    }
}

/// How to read the hint.
pub(super) const HINT: &str = "The hint at the hands compares how busy the body is between 0.8 and 4 Hz with the rest of \
                               the flight (1 is as busy). It is a hint only: a candidate stays a candidate until \
                               somebody confirms that the hands were off.";

/// "0.31 ± 0.04": value with half its 95 % interval, both times `factor`.
pub(super) fn with_half(estimate: &Estimate<f64>, factor: f64, places: i32) -> String {
    let half = coverage_factor(0.95, estimate.dof) * estimate.std_u;
    plus_minus(estimate.value * factor, half * factor, places)
}

/// Words from elsewhere, without their stop, with whatever would act on a page made visible.
pub(super) fn bare(words: &str) -> String {
    printable_lines(words.trim_end_matches('.')).into_owned()
}

/// A window by GPS alone and with the gyro, in words.
pub(super) struct GainRow {
    /// Number of the window.
    pub(super) id: u32,
    /// Turn rate by GPS alone.
    pub(super) gps_alone: String,
    /// Turn rate of the report.
    pub(super) with_gyro: String,
    /// How many times narrower its interval is.
    pub(super) ratio: String,
}

/// One for each window that has both; none where the gyro took no part.
pub(super) fn gain_rows(analysis: &FlightAnalysis, inertial: &InertialAnalysis, units: &DisplayUnits) -> Vec<GainRow> {
    let seen = inertial.windows.iter().filter(|_| inertial.takes_part());
    seen.filter_map(|seen| {
        let with = analysis.windows.iter().find(|w| w.window.id == seen.id)?.turn_rate?;
        let alone = seen.gps_alone?;
        Some(GainRow {
            id: seen.id,
            gps_alone: turn_signed(units, &alone),
            with_gyro: turn_signed(units, &with),
            ratio: fixed(narrower(&alone, &with), 1),
        })
    })
    .collect()
}
