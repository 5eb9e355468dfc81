//! Numbers that docs/method.md repeats from code that keeps no record of its constants are those of the code. Those of the
//! whole-flight estimate are in a record, and held by crates/validate/tests/method.rs.

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
    // Section 6.
    of("segment/series.rs", "NORMAL_CLIPPED_VARIANCE", 1.0, "clipped there, {3}, put right"),
    of("segment/candidates.rs", "MIN_PIECE_S", 1.0, "Pieces last {} to"),
    of("segment/candidates.rs", "MAX_PIECE_S", 1.0, "to {} s. **Joining**"),
    of("segment/spans.rs", "CANDIDATE_MARGIN_S", 1.0, "lose at least {} s at either end"),
    // Section 10.
    of("inertial/mounting/down.rs", "LOOSE_DEG", 1.0, "typically more than {}° does not sit firmly"),
    of("inertial/mounting/forward.rs", "LEAST_CORRELATION", 1.0, "correlation is below {}, forward stays open"),
    of("inertial/attitude/filter.rs", "TILT_TAU_S", 1.0, "drawn to the specific force with {} s"),
    of("inertial/attitude/filter.rs", "SHAKEN_TAU_S", 1.0, "level is evened out over {} s first"),
    of("inertial/align/mod.rs", "LEAST_TURNING_RAD_S", DEG, "turns by less than {0} °/s rms"),
    of("inertial/align/mod.rs", "LEAST_CORRELATION", 1.0, "best correlation is below {}"),
    of("inertial/align/mod.rs", "RIVAL", PERCENT, "another lag scores {} % as well"),
    of("inertial/align/refine.rs", "BLOCK_S", 1.0, "one block of {} s after another"),
    of("inertial/align/mod.rs", "DRIFT", 1e6, "Drift ({} parts in a million)"),
    of("inertial/align/mod.rs", "SCALE", PERCENT, "scale ({} %)"),
    of("inertial/align/mod.rs", "BIAS_OPEN_RAD_S", DEG, "bias ({0} °/s, or"),
    of("inertial/align/mod.rs", "BIAS_AFTER_STILL_RAD_S", DEG, "or {1} °/s after a period at rest"),
    of("inertial/compass/calibrate.rs", "STRENGTH_SHARE", PERCENT, "strength within {} %"),
    of("inertial/compass/calibrate.rs", "LEVEL_SHARE", PERCENT, "level part within {} %"),
    of("inertial/compass/calibrate.rs", "DIP_DEG", 1.0, "dip within {}°"),
    of("inertial/compass/calibrate.rs", "DECLINATION_LEAST_DEG", 1.0, "no less than {}° and no more"),
    of("inertial/compass/calibrate.rs", "DECLINATION_MOST_DEG", 1.0, "no more than {}° is given to the mounting"),
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
    let written = ["f64", "usize"]
        .iter()
        .find_map(|kind| code.split_once(&format!("const {name}: {kind} = ")))
        .unwrap_or_else(|| panic!("{name} in {file}"))
        .1;
    let written = written.split(';').next().expect("an end").replace('_', "");
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
