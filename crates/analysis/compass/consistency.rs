//! Whether an estimate made with a compass may stand: what it found about the compass, and how it moved the flight.

use super::CompassDoubt;
use crate::constants::{COEFFICIENT_SIGMAS, JUMP_SIGMAS, MOVED_SIGMAS, SLOW_MOST_DEG, WHITE_MOST_DEG};
use driftless_wind::flight::{CompassEstimate, DeviationStdU, FlightEstimate};

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
        if found.value.abs() > COEFFICIENT_SIGMAS.value * std_u_rad {
            let (found_deg, expected_deg) = (found.value.to_degrees(), std_u_rad.to_degrees());
            doubts.push(CompassDoubt::Deviation { coefficient, found_deg, expected_deg });
        }
    }
    let (per_bank, limit) = (errors.heeling.value.abs(), COEFFICIENT_SIGMAS.value * deviation_std_u.heeling);
    if per_bank > limit {
        doubts.push(CompassDoubt::Heeling { per_bank, limit });
    }
    let (slow_deg, white_deg) = (errors.slow_rad.to_degrees(), errors.white_rad.to_degrees());
    if slow_deg > SLOW_MOST_DEG.value || white_deg > WHITE_MOST_DEG.value {
        doubts.push(CompassDoubt::Wander { wander_deg: slow_deg.hypot(white_deg) });
    }
    let sigmas = errors.jump.sigmas.abs();
    if sigmas > JUMP_SIGMAS.value {
        doubts.push(CompassDoubt::DeviationJumped { at_s: errors.jump.t_s, sigmas, limit: JUMP_SIGMAS.value });
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
    if turned > MOVED_SIGMAS.value {
        return Some(CompassDoubt::TurnMoved { sigmas: turned, limit: MOVED_SIGMAS.value });
    }
    let blown = without.nodes.iter().zip(&with.nodes).map(|(old, new)| {
        let (east, north) = (new.wind.east_mps - old.wind.east_mps, new.wind.north_mps - old.wind.north_mps);
        let [ee, en, nn] = old.wind_cov;
        let square = (nn * east * east - 2.0 * en * east * north + ee * north * north) / (ee * nn - en * en);
        square.max(0.0).sqrt()
    });
    let blown = blown.fold(0.0, f64::max);
    (blown > MOVED_SIGMAS.value).then_some(CompassDoubt::WindMoved { sigmas: blown, limit: MOVED_SIGMAS.value })
}
