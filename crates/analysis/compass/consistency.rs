//! Whether an estimate made with a compass may stand: what it found about the compass, and how it moved the flight.

use super::CompassDoubt;
use driftless_wind::flight::{CompassEstimate, DeviationStdU, FlightEstimate};

/// A coefficient of the deviation may come out this many times its prior standard uncertainty.
const COEFFICIENT_SIGMAS: f64 = 4.0;
/// Slow error of a compass that is worth having, root mean square, degrees (engineering judgement).
const SLOW_MOST_DEG: f64 = 6.0;
/// The same of its white error.
const WHITE_MOST_DEG: f64 = 10.0;
/// Steps of the slow error beyond this many standard deviations are none of a steady process: of ten thousand seconds of a
/// normal one the greatest is 3.9 (median), and simulated flights reached 4.5.
const JUMP_SIGMAS: f64 = 6.0;
/// What the compass moves must lie within this many standard uncertainties of what there was without: if both are right, the
/// variance of the difference is that of the one without less that of the one with (J. A. Hausman, *Econometrica* 46
/// (1978) 1251-1271), so this is the mildest form of the test.
const MOVED_SIGMAS: f64 = 3.5;

/// The doubts about a compass after the estimate was made with it; none when it proves consistent.
pub fn after_doubts(
    without: &FlightEstimate,
    with: &CompassEstimate,
    deviation_std_u: &DeviationStdU,
) -> Vec<CompassDoubt> {
    let mut doubts = Vec::new();
    let errors = &with.errors;
    for ((found, std_u_rad), coefficient) in
        errors.deviation_rad.iter().zip(deviation_std_u.coefficients_rad).zip(['A', 'B', 'C', 'D', 'E'])
    {
        if found.value.abs() > COEFFICIENT_SIGMAS * std_u_rad {
            let (found_deg, expected_deg) = (found.value.to_degrees(), std_u_rad.to_degrees());
            doubts.push(CompassDoubt::Deviation { coefficient, found_deg, expected_deg });
        }
    }
    let (per_bank, limit) = (errors.heeling.value.abs(), COEFFICIENT_SIGMAS * deviation_std_u.heeling);
    if per_bank > limit {
        doubts.push(CompassDoubt::Heeling { per_bank, limit });
    }
    let (slow_deg, white_deg) = (errors.slow_rad.to_degrees(), errors.white_rad.to_degrees());
    if slow_deg > SLOW_MOST_DEG || white_deg > WHITE_MOST_DEG {
        doubts.push(CompassDoubt::Wander { wander_deg: slow_deg.hypot(white_deg) });
    }
    let sigmas = errors.jump.sigmas.abs();
    if sigmas > JUMP_SIGMAS {
        doubts.push(CompassDoubt::DeviationJumped { at_s: errors.jump.t_s, sigmas, limit: JUMP_SIGMAS });
    }
    doubts.extend(moved(without, &with.flight));
    doubts
}

/// What moved farther than the uncertainty without the compass allows.
fn moved(without: &FlightEstimate, with: &FlightEstimate) -> Option<CompassDoubt> {
    let turns = without.turns.iter().filter_map(|(span, old)| {
        let new = with.window_turn(*span)?;
        Some((new.turn_rate.value.rad_s() - old.turn_rate.value.rad_s()).abs() / old.turn_rate.std_u.rad_s())
    });
    let turned = turns.fold(0.0, f64::max);
    if turned > MOVED_SIGMAS {
        return Some(CompassDoubt::TurnMoved { sigmas: turned, limit: MOVED_SIGMAS });
    }
    let blown = without.nodes.iter().zip(&with.nodes).map(|(old, new)| {
        let (east, north) = (new.wind.east_mps - old.wind.east_mps, new.wind.north_mps - old.wind.north_mps);
        let [ee, en, nn] = old.wind_cov;
        let square = (nn * east * east - 2.0 * en * east * north + ee * north * north) / (ee * nn - en * en);
        square.max(0.0).sqrt()
    });
    let blown = blown.fold(0.0, f64::max);
    (blown > MOVED_SIGMAS).then_some(CompassDoubt::WindMoved { sigmas: blown, limit: MOVED_SIGMAS })
}
