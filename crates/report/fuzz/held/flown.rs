//! Flights out of bytes: what no changed byte of a log makes, a flight that is flown on for minutes and is still odd.

use std::f64::consts::TAU;
use std::fmt::Write as _;

/// Bytes that say one leg.
const LEG_BYTES: usize = 8;
/// Legs at most: longer flights only take longer.
const MOST_LEGS: usize = 12;
/// Metres of a degree of latitude, near enough.
const METRES_PER_DEG: f64 = 111_200.0;

/// A log of CSV and the marks beside it.
pub(super) struct Flown {
    pub(super) log: String,
    pub(super) marks: String,
    /// From when on it turns how fast: seconds from nine o'clock, °/s.
    pub(super) turns: Vec<(f64, f64)>,
    /// When it ends, s.
    pub(super) end_s: f64,
}

/// One leg: how long, how it turns, how fast, what befalls it.
struct Leg {
    fixes: u32,
    turn_deg_s: f64,
    airspeed_mps: f64,
    climb_mps: f64,
    wind_mps: f64,
    noise_m: f64,
    /// What befalls it: gaps, repeated fixes, a clock that jumps, a mark.
    oddity: u8,
    /// Seconds from fix to fix.
    step_s: f64,
}

impl Leg {
    fn of(bytes: &[u8; LEG_BYTES]) -> Self {
        let [length, turn, airspeed, climb, wind, noise, oddity, step] = *bytes;
        let signed = |byte: u8| f64::from(byte.cast_signed());
        Self {
            fixes: u32::from(length),
            turn_deg_s: signed(turn) / 4.0,
            airspeed_mps: f64::from(airspeed) / 8.0,
            climb_mps: signed(climb) / 16.0,
            wind_mps: signed(wind) / 6.0,
            noise_m: f64::from(noise) / 64.0,
            oddity,
            step_s: [1.0, 0.2, 0.5, 2.0, 5.0, 0.1, 1.003, 60.0][usize::from(step % 8)],
        }
    }
}

/// The flight that bytes say: eight a leg. The first byte of all says where on Earth it begins.
pub(super) fn flown(bytes: &[u8]) -> Flown {
    let (&place, legs) = bytes.split_first().unwrap_or((&0, &[]));
    let places = [(47.5, 8.25), (80.0, 20.0), (-0.0001, 179.9999), (-89.9, -120.0), (89.9999, 0.0), (0.0, -179.9999)];
    let (mut lat_deg, mut lon_deg) = places[usize::from(place) % places.len()];
    let mut log = "time,lat,lon,altitude_m,mark\n".to_owned();
    let mut marks = "let_go,take_over,scenario\n".to_owned();
    let mut turns = Vec::new();
    let (mut seconds, mut heading_deg, mut altitude_m) = (0.0, 0.0, 600.0);
    // A noise that every machine draws alike (Numerical Recipes' quick generator, from memory).
    let mut drawn = u32::from(place);
    let mut noise = || {
        drawn = drawn.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(drawn >> 8) / f64::from(1_u32 << 24) - 0.5
    };
    for leg in legs.as_chunks::<LEG_BYTES>().0.iter().take(MOST_LEGS).map(Leg::of) {
        let begin_s = seconds;
        turns.push((begin_s, leg.turn_deg_s));
        for fix in 0..leg.fixes {
            heading_deg += leg.turn_deg_s * leg.step_s;
            let angle = heading_deg * TAU / 360.0;
            let (north_mps, east_mps) = (leg.airspeed_mps * angle.cos(), leg.airspeed_mps * angle.sin() + leg.wind_mps);
            lat_deg = (lat_deg + (north_mps * leg.step_s + leg.noise_m * noise()) / METRES_PER_DEG).clamp(-90.0, 90.0);
            let narrow = (lat_deg * TAU / 360.0).cos().max(1e-6);
            lon_deg += (east_mps * leg.step_s + leg.noise_m * noise()) / METRES_PER_DEG / narrow;
            lon_deg = (lon_deg + 180.0).rem_euclid(360.0) - 180.0;
            altitude_m += leg.climb_mps * leg.step_s;
            seconds += match (leg.oddity, fix) {
                (1, 20) => 30.0,
                (2, 20) => -5.0,
                (3, _) if fix % 3 == 0 => 0.0,
                (4, 20) => 7_200.0,
                _ => leg.step_s,
            };
            let mark = if leg.oddity == 5 && fix == 3 { "let go" } else { "" };
            let time = format_args!("2026-05-0{}T{}", 1 + whole(seconds) / 86_400 % 9, clock(seconds));
            writeln!(log, "{time},{lat_deg:.7},{lon_deg:.7},{altitude_m:.1},{mark}").expect("a text takes words");
        }
        if leg.oddity >= 128 {
            let scenario = ["", "trim-level", "accelerated-level", "full-power-climb", "power-off-glide"]
                [usize::from(leg.oddity) % 5];
            writeln!(marks, "{begin_s:.1},{seconds:.1},{scenario}").expect("a text takes words");
        }
    }
    Flown { log, marks, turns, end_s: seconds }
}

/// Whole seconds, none below nought.
fn whole(seconds: f64) -> u64 {
    // Flights last hours: no second is beyond what fits.
    seconds.max(0.0) as u64
}

/// The time of day of a second of the flight.
pub(super) fn clock(seconds: f64) -> String {
    let (whole, part) = (whole(seconds) + 9 * 3600, seconds.max(0.0).fract());
    format!("{:02}:{:02}:{:02}.{:03}Z", whole / 3600 % 24, whole / 60 % 60, whole % 60, (part * 1000.0) as u64)
}

/// Two circles and two marked minutes: a flight in which everything is found, for what is put beside it.
pub(super) fn ordinary() -> Flown {
    let legs: [[u8; LEG_BYTES]; 5] = [
        // 30 s straight, 60 s of circles, two marked minutes, 40 s home.
        [30, 0, 90, 8, 12, 40, 0, 0],
        [60, 48, 90, 0, 12, 40, 0, 0],
        [70, 4, 90, 0, 12, 40, 131, 0],
        [70, 6, 96, 24, 12, 40, 128 + 5, 0],
        [40, 0, 90, 0, 12, 40, 0, 0],
    ];
    flown(&[&[0], legs.as_flattened()].concat())
}
