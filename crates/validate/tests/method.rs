//! docs/method.md has the tables that the records of constants make, and its words repeat their figures.

use driftless_analysis::constants as analysis;
use driftless_inertial::constants as inertial;
use driftless_segment::constants as segment;
use driftless_validate::method::tables;
use driftless_validate::page::{Block, fill};
use driftless_wind::flight::constants::{
    AS_STRANGE_WITHIN, BREAK_S, CLOCK_AVERAGED_NODES, COMPASS_SLOW_TAU_S, Constant, FARTHEST_TURN_RAD,
    FASTEST_BELIEVED_MPS, FASTEST_WIND_MPS, FULL_TURN_WITHIN_S, GROUND_MARGIN_S, GYRO_CLOCK_STD_U_S,
    GYRO_END_DOUBT_RAD, GYRO_SCALE_STD_U, GYRO_TURN_DOUBT, HEADING_SETTLED_RAD, HUBER_LIMIT, LARGEST_FACTOR,
    LEAST_AIRSPEED_WALK_NEAR_WINDOWS, LEAST_COMPASS_SLOW_RAD, LEAST_COMPASS_WHITE_RAD, LEAST_FREE_TURN_WALK,
    LEVEL_PRIOR_LN, LEVEL_SETTLED, MOST_FREE_BINS, MOST_PASSES, NEAR_WINDOW_S, SAME_START_MPS, SCALE_AVERAGED_STEPS,
    SCALE_LENGTHENED, SLOWEST_BELIEVED_MPS, SLOWEST_FLIGHT_MPS, STRANGE_WIND_SQUARE, TRIM_BLOCK_S,
    VELOCITY_ERROR_TAU_S, WANDER_TAU_S, WIDEST_BIN_S, WIND_GRID_MPS, WIND_SHEAR, WIND_WALK, WINDOW_MARGIN_S,
    WORST_WIND_STD_U_MPS,
};

fn method() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/method.md");
    std::fs::read_to_string(path).expect("the method page")
}

#[test]
fn the_method_page_has_the_tables_of_the_record() {
    let blocks: Vec<Block> = tables().iter().map(Block::table).collect();
    assert!(blocks.len() > 5 && blocks.iter().all(|block| block.content.lines().count() > 2), "empty tables");
    let page = method();
    let filled = fill(&page, &blocks).expect("places that are closed");
    let missing: Vec<&str> = filled.lines().filter(|line| !page.contains(line)).collect();
    assert!(filled == page, "`driftless validate --studies method --out docs` makes docs/method.md anew: {missing:#?}");
}

const DEG: f64 = 180.0 / std::f64::consts::PI;
const PERCENT: f64 = 100.0;

/// A constant, what it is multiplied by to come into the unit of the text, and the words around it: `{}` is the number, `{2}`
/// the number with two decimals.
const REPEATED: &[(&Constant, f64, &str)] = &[
    (&WIND_WALK, 1.0, "by ({} m/s per √s)²"),
    (&WIND_SHEAR, 100.0, "by ({} m/s in 100 m)²"),
    (&WANDER_TAU_S, 1.0, "correlation time τ = {} s"),
    (&GROUND_MARGIN_S, 1.0, "from {} s after take-off to {} s before landing"),
    (&WIDEST_BIN_S, 1.0, "no step is longer than {} s"),
    (&MOST_FREE_BINS, 1.0 / 60.0, "A flight of more than {} minutes"),
    (&WIDEST_BIN_S, 1.0, "bins of up to {} s farther"),
    (&WINDOW_MARGIN_S, 1.0, "farther than {} s from its windows"),
    (&BREAK_S, 1.0, "An interval of more than {} s without a fix"),
    (&HUBER_LIMIT, 1.0, "Huber's weight at {} standard deviations"),
    (&HEADING_SETTLED_RAD, 1.0, "moves by more than {} rad"),
    (&LEVEL_SETTLED, PERCENT, "no level by more than {} %"),
    (&MOST_PASSES, 1.0, "{} passes at the most"),
    (&FARTHEST_TURN_RAD, 1.0, "a heading moves by {} rad at the most"),
    (&LARGEST_FACTOR, 1.0, "an airspeed by a factor of {}:"),
    (&LEVEL_PRIOR_LN, 1.0, "(ln v - ln v0)²/(2 · {}²)"),
    (&SCALE_LENGTHENED, 1.0, "{} times as far where the two tell nothing"),
    (&SLOWEST_FLIGHT_MPS, 1.0, "path that is slower than {} m/s through the air"),
    (&LEAST_FREE_TURN_WALK, 1.0, "no less than {} m/s² per √s"),
    (&LEAST_AIRSPEED_WALK_NEAR_WINDOWS, 1.0, "taken as quieter than {} m/s per √s"),
    (&NEAR_WINDOW_S, 1.0, "within {} s of a marked window, where power and trim"),
    (&FASTEST_WIND_MPS, 1.0, "every wind up to {} m/s on a grid"),
    (&WIND_GRID_MPS, 1.0, "on a grid of {} m/s is tried"),
    (&TRIM_BLOCK_S, 1.0, "most even within {} s at a time"),
    (&SAME_START_MPS, 1.0, "Starts less than {} m/s from one already tried"),
    (&VELOCITY_ERROR_TAU_S, 1.0, "τ = {} s is on the safe side"),
    (&STRANGE_WIND_SQUARE, 1.0, "Where the largest is above {}, the wind may change"),
    (&AS_STRANGE_WITHIN, 1.0, "stays within {} of its largest"),
    (&SLOWEST_BELIEVED_MPS, 1.0, "below {} or above"),
    (&FASTEST_BELIEVED_MPS, 1.0, "or above {} m/s, and nowhere"),
    (&FULL_TURN_WITHIN_S, 1.0, "nowhere within {} s the heading"),
    (&WORST_WIND_STD_U_MPS, 1.0, "is above {} m/s per axis"),
    (&GYRO_CLOCK_STD_U_S, 1.0, "clock {} s and scale"),
    (&GYRO_SCALE_STD_U, PERCENT, "scale {} % are open again"),
    (&CLOCK_AVERAGED_NODES, 1.0, "averaged over {} s either way; else"),
    (&SCALE_AVERAGED_STEPS, 1.0, "turns averaged over {} s either way"),
    (&GYRO_TURN_DOUBT, PERCENT, "uncertainty takes {} % of its turn"),
    (&GYRO_END_DOUBT_RAD, DEG, "on top, and {2}° at either end"),
    (&COMPASS_SLOW_TAU_S, 1.0, "first-order Markov with {} s"),
    (&LEAST_COMPASS_SLOW_RAD, DEG, "never below {}° and"),
    (&LEAST_COMPASS_WHITE_RAD, DEG, "and {}°, because"),
    // Section 6.
    (&segment::NORMAL_CLIPPED_VARIANCE, 1.0, "clipped there, {3}, put right"),
    (&segment::MIN_PIECE_S, 1.0, "Pieces last {} to"),
    (&segment::MAX_PIECE_S, 1.0, "to {} s. **Joining**"),
    (&segment::MERGE_TURN_DEG_S, 1.0, "they differ by less than {} °/s,"),
    (&segment::MERGE_AIRSPEED_MPS, 1.0, "{} m/s of airspeed and"),
    (&segment::MERGE_CLIMB_MPS, 1.0, "and {} m/s of climb"),
    (&segment::MIN_CANDIDATE_S, 1.0, "What then lasts {} s,"),
    (&segment::MAX_CANDIDATE_RATE_DEG_S, 1.0, "turns by at most {} °/s"),
    (&segment::DEFAULT_TIME_CONSTANT_S, 1.0, "else {} s (common practice"),
    (&segment::CANDIDATE_MARGIN_S, 1.0, "lose at least {} s at either end"),
    (&segment::MIN_GROUND_SPEED_MPS, 1.0, "not moving (less than {} m/s over the ground"),
    // Section 10.
    (&inertial::LOOSE_DEG, 1.0, "typically more than {}° does not sit firmly"),
    (&inertial::FORWARD_LEAST_CORRELATION, 1.0, "correlation is below {}, forward stays open"),
    (&inertial::TILT_TAU_S, 1.0, "drawn to the specific force with {} s"),
    (&inertial::SHAKEN_TAU_S, 1.0, "level is averaged over {} s first"),
    (&inertial::LEAST_TURNING_RAD_S, DEG, "turns by less than {0} °/s rms"),
    (&inertial::LEAST_CORRELATION, 1.0, "best correlation is below {}"),
    (&inertial::RIVAL_SHARE, PERCENT, "another lag scores {} % as well"),
    (&inertial::BLOCK_S, 1.0, "one block of {} s after another"),
    (&inertial::CLOCK_DRIFT, 1e6, "Drift ({} parts in a million)"),
    (&inertial::SCALE, PERCENT, "scale ({} %)"),
    (&inertial::BIAS_OPEN_RAD_S, DEG, "bias ({0} °/s, or"),
    (&inertial::BIAS_AFTER_STILL_RAD_S, DEG, "or {1} °/s after a period at rest"),
    (&inertial::LEVEL_RAD, DEG, "and a level that is off by {1}°"),
    (&inertial::STRENGTH_SHARE, PERCENT, "strength within {} %"),
    (&inertial::LEVEL_SHARE, PERCENT, "level part within {} %"),
    (&inertial::DIP_DEG, 1.0, "dip within {}°"),
    (&inertial::DECLINATION_SIGMAS, 1.0, "to within {} standard uncertainties of the mounting"),
    (&inertial::DECLINATION_LEAST_DEG, 1.0, "no less than {}° and no more"),
    (&inertial::DECLINATION_MOST_DEG, 1.0, "no more than {}° is given to the mounting"),
    (&inertial::SPREAD_DEG, 1.0, "headings must lie within {}° of the flight's"),
    (&inertial::LEAST_HEELING, 1.0, "which nothing calibrates; J {}."),
    (&inertial::SEGMENT_S, 1.0, "Welch's method ({} s, Hann"),
    (&inertial::OFF_BELOW, 1.0, "hands off below {}"),
    (&inertial::ON_ABOVE, 1.0, "on above {}."),
    (&analysis::COEFFICIENT_SIGMAS, 1.0, "a coefficient beyond {} of its"),
    (&analysis::SLOW_MOST_DEG, 1.0, "a slow error above {}° rms"),
    (&analysis::JUMP_SIGMAS, 1.0, "beyond {} standard deviations"),
    (&analysis::MOVED_SIGMAS, 1.0, "moves by more than {} of the uncertainties"),
    (&analysis::OFFSET_MOST_DEG, 1.0, "within {}° of offset"),
    (&analysis::SCATTER_MOST_DEG, 1.0, "and {}° of scatter"),
];

#[test]
fn the_words_of_the_method_repeat_the_record() {
    let page = method().split_whitespace().collect::<Vec<_>>().join(" ");
    let said = |(constant, factor, words): &(&Constant, f64, &str)| {
        let value = factor * constant.value;
        let rounded = (0..4).fold((*words).to_owned(), |w, n| w.replace(&format!("{{{n}}}"), &format!("{value:.n$}")));
        rounded.replace("{}", &((1e9 * value).round() / 1e9).to_string())
    };
    let missing: Vec<String> = REPEATED.iter().map(said).filter(|words| !page.contains(words)).collect();
    assert!(missing.is_empty(), "docs/method.md does not say {missing:#?}");
}
