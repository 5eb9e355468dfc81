//! Numbers that docs/method.md repeats from the code are those of the code.

use crate::run::repository;

/// A number that the method repeats.
struct Repeated {
    /// Where it stands in the code.
    file: &'static str,
    name: &'static str,
    /// What it is multiplied by to come into the unit of the text.
    factor: f64,
    /// The words of the text around it; `{}` is the number.
    words: &'static str,
}

const fn of(file: &'static str, name: &'static str, factor: f64, words: &'static str) -> Repeated {
    Repeated { file, name, factor, words }
}

const DEG: f64 = 180.0 / std::f64::consts::PI;
const PERCENT: f64 = 100.0;

const REPEATED: &[Repeated] = &[
    // Section 4.
    of("analysis/second_opinion.rs", "WIND_WALK", 1.0, "by ({} m/s per √s)²"),
    of("analysis/second_opinion.rs", "WIND_SHEAR", 100.0, "by ({} m/s in 100 m)²"),
    of("analysis/second_opinion.rs", "WANDER_TAU_S", 1.0, "correlation time τ = {} s"),
    // Section 5.
    of("wind/flight/nodes.rs", "GROUND_MARGIN_S", 1.0, "from {} s after take-off to {} s before landing"),
    of("wind/flight/nodes.rs", "WIDEST_BIN_S", 1.0, "no step is longer than {} s"),
    of("wind/flight/nodes.rs", "MOST_FREE_BINS", 1.0 / 60.0, "A flight of more than {} minutes"),
    of("wind/flight/nodes.rs", "WIDEST_BIN_S", 1.0, "bins of up to {} s farther"),
    of("wind/flight/nodes.rs", "WINDOW_MARGIN_S", 1.0, "farther than {} s from its windows"),
    of("wind/flight/nodes.rs", "BREAK_S", 1.0, "An interval of more than {} s without a fix"),
    of("wind/flight/constants.rs", "TYPICAL_AIRSPEED_MPS", 1.0, "{} m/s is the middle of the airspeeds"),
    of("wind/flight/constants.rs", "WIND_WALK", 1.0, "| w | random walk | {} m/s per √s, fixed"),
    of("wind/flight/constants.rs", "GUST_TAU_S", 1.0, "| g | first-order Markov, {} s"),
    of("wind/flight/constants.rs", "WANDER_TAU_S", 1.0, "| b | first-order Markov, {} s"),
    of("wind/flight/constants.rs", "AIRSPEED_TAU_S", 1.0, "back to L with {} s"),
    of("wind/flight/constants.rs", "TRIM_WALK", 1.0, "fuel burns off, height changes | {} m/s per √s"),
    of("wind/flight/constants.rs", "TYPICAL_TURN_WALK", 1.0, "steady part outside windows | {} m/s² per √s"),
    of("wind/flight/constants.rs", "LEAST_FREE_TURN_WALK", 1.0, "no less than {} m/s² per √s"),
    of("wind/flight/iteration.rs", "HUBER_LIMIT", 1.0, "Huber's weight at {} standard deviations"),
    of("wind/flight/iteration.rs", "HEADING_SETTLED_RAD", 1.0, "moves by more than {} rad"),
    of("wind/flight/iteration.rs", "LEVEL_SETTLED", PERCENT, "no level by more than {} %"),
    of("wind/flight/iteration.rs", "MOST_PASSES", 1.0, "{} passes at the most"),
    of("wind/flight/blocks/aircraft.rs", "FARTHEST_TURN_RAD", 1.0, "a heading moves by {} rad at the most"),
    of("wind/flight/blocks/aircraft.rs", "LARGEST_FACTOR", 1.0, "an airspeed by a factor of {}:"),
    of("wind/flight/scan.rs", "FASTEST_MPS", 1.0, "every wind up to {} m/s on a grid"),
    of("wind/flight/scan.rs", "STEP_MPS", 1.0, "on a grid of {} m/s is tried"),
    of("wind/flight/scan.rs", "BLOCK_S", 1.0, "most even within stretches of {} s"),
    of("wind/flight/mod.rs", "SAME_START_MPS", 1.0, "Starts less than {} m/s from one already tried"),
    of("wind/flight/iteration.rs", "SLOWEST_FLIGHT_MPS", 1.0, "path that is slower than {} m/s through the air"),
    of("wind/flight/observability.rs", "WORST_WIND_STD_U_MPS", 1.0, "is above {} m/s per axis"),
    // Section 6.
    of("segment/series.rs", "NORMAL_CLIPPED_VARIANCE", 1.0, "clipped there, {3}, put right"),
    of("segment/candidates.rs", "MIN_PIECE_S", 1.0, "Pieces last {} to"),
    of("segment/candidates.rs", "MAX_PIECE_S", 1.0, "to {} s. **Joining**"),
    of("segment/windows.rs", "CANDIDATE_MARGIN_S", 1.0, "lose at least {} s at either end"),
    // Section 10.
    of("inertial/mounting/down.rs", "LOOSE_DEG", 1.0, "typically more than {}° does not sit firmly"),
    of("inertial/mounting/forward.rs", "LEAST_CORRELATION", 1.0, "correlation is below {}, forward stays open"),
    of("inertial/attitude/filter.rs", "TILT_TAU_S", 1.0, "drawn to the specific force with {} s"),
    of("inertial/attitude/filter.rs", "SHAKEN_TAU_S", 1.0, "level is evened out over {} s first"),
    of("inertial/align/mod.rs", "LEAST_TURNING_RAD_S", DEG, "turns by less than {0} °/s rms"),
    of("inertial/align/mod.rs", "LEAST_CORRELATION", 1.0, "best correlation is below {}"),
    of("inertial/align/mod.rs", "RIVAL", PERCENT, "another lag scores {} % as well"),
    of("inertial/align/refine.rs", "BLOCK_S", 1.0, "one stretch of {} s after another"),
    of("inertial/align/mod.rs", "DRIFT", 1e6, "Drift ({} parts in a million)"),
    of("inertial/align/mod.rs", "SCALE", PERCENT, "scale ({} %)"),
    of("inertial/align/mod.rs", "BIAS_OPEN_RAD_S", DEG, "bias ({0} °/s, or"),
    of("inertial/align/mod.rs", "BIAS_AFTER_STILL_RAD_S", DEG, "or {1} °/s after a still stretch"),
    of("analysis/inertial/fuse.rs", "CLOCK_STD_U_S", 1.0, "clock {} s and scale"),
    of("analysis/inertial/fuse.rs", "SCALE_STD_U", PERCENT, "scale {} % are open again"),
    of("wind/flight/clock.rs", "AVERAGED_NODES", 1.0, "evened out over {} s either way; else"),
    of("wind/flight/blocks/gyro.rs", "AVERAGED_STEPS", 1.0, "turns evened out over {} s either way"),
    of("analysis/inertial/fuse.rs", "SCALE_DOUBT", PERCENT, "uncertainty takes {} % of its turn"),
    of("analysis/inertial/fuse.rs", "END_DOUBT_RAD", DEG, "on top, and {2}° at either end"),
    of("inertial/compass/calibrate.rs", "STRENGTH_SHARE", PERCENT, "strength within {} %"),
    of("inertial/compass/calibrate.rs", "LEVEL_SHARE", PERCENT, "level part within {} %"),
    of("inertial/compass/calibrate.rs", "DIP_DEG", 1.0, "dip within {}°"),
    of("inertial/compass/calibrate.rs", "DECLINATION_LEAST_DEG", 1.0, "no less than {}° and no more"),
    of("inertial/compass/calibrate.rs", "DECLINATION_MOST_DEG", 1.0, "no more than {}° is given to the mounting"),
    of("wind/flight/constants.rs", "COMPASS_SLOW_TAU_S", 1.0, "first-order Markov with {} s"),
    of("analysis/inertial/fuse_compass.rs", "LEAST_SLOW_DEG", 1.0, "never below {}° and"),
    of("analysis/inertial/fuse_compass.rs", "LEAST_WHITE_DEG", 1.0, "and {}°, because"),
    of("analysis/compass/consistency.rs", "COEFFICIENT_SIGMAS", 1.0, "a coefficient beyond {} of its"),
    of("analysis/compass/consistency.rs", "SLOW_MOST_DEG", 1.0, "a slow error above {}° rms"),
    of("analysis/compass/consistency.rs", "JUMP_SIGMAS", 1.0, "beyond {} standard deviations"),
    of("analysis/compass/consistency.rs", "MOVED_SIGMAS", 1.0, "moves by more than {} of the uncertainties"),
    of("analysis/compass/log.rs", "OFFSET_MOST_DEG", 1.0, "within {}° of offset"),
    of("analysis/compass/log.rs", "SCATTER_MOST_DEG", 1.0, "and {}° of scatter"),
    of("inertial/compass/calibrate.rs", "SPREAD_DEG", 1.0, "headings must lie within {}° of the flight's"),
    of("inertial/swing/spectrum.rs", "SEGMENT_S", 1.0, "Welch's method ({} s, Hann"),
    of("inertial/swing/hint.rs", "OFF_BELOW", 1.0, "hands off below {}"),
    of("inertial/swing/hint.rs", "ON_ABOVE", 1.0, "on above {}."),
];

/// The value of a constant as its file writes it; one that is no plain number fails here.
fn value(file: &str, name: &str) -> f64 {
    let code =
        std::fs::read_to_string(repository().join("crates").join(file)).unwrap_or_else(|e| panic!("{file}: {e}"));
    let recorded = code.split_once(&format!("const {name}: Constant =")).and_then(|(_, rest)| rest.split("\",").nth(1));
    let plain = || ["f64", "usize"].iter().find_map(|kind| code.split_once(&format!("const {name}: {kind} = ")));
    let written = recorded.or_else(|| Some(plain()?.1)).unwrap_or_else(|| panic!("{name} in {file}"));
    let written = written.split([';', ',']).next().expect("an end").trim().replace('_', "");
    written.parse().unwrap_or_else(|_| panic!("{name} in {file} is {written}"))
}

/// The number as a text has it: `{}` without the noise of the factor, `{2}` with two decimals.
fn said(words: &str, value: f64) -> String {
    let plain = (1e9 * value).round() / 1e9;
    let rounded = (0..4).fold(words.to_owned(), |w, n| w.replace(&format!("{{{n}}}"), &format!("{value:.n$}")));
    rounded.replace("{}", &plain.to_string())
}

#[test]
fn the_method_repeats_the_constants_of_the_code() {
    let method = std::fs::read_to_string(repository().join("docs/method.md")).expect("the method");
    let method = method.split_whitespace().collect::<Vec<_>>().join(" ");
    let missing: Vec<String> = REPEATED
        .iter()
        .map(|r| (said(r.words, r.factor * value(r.file, r.name)), r))
        .filter(|(words, _)| !method.contains(words))
        .map(|(words, r)| format!("\"{words}\" ({} in crates/{})", r.name, r.file))
        .collect();
    assert!(missing.is_empty(), "docs/method.md does not say {missing:#?}");
}
