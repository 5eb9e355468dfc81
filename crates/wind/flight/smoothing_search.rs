//! Which smoothing a receiver applies, told by the likelihood of what it wrote.

use super::blocks::{DIM, Layout};
use super::constants::{SMOOTHED_BELOW_M, SMOOTHED_NOISE_M, SMOOTHING_EVIDENCE_LN, SMOOTHING_STEP};
use super::iteration::Iteration;
use super::nodes;
use super::noise::Level;
use super::setting::Setting;
use super::smoothing::Smoothing;
use driftless_units::GroundPath;

/// A flight with a smoothing undone.
struct Tried {
    smoothing: Smoothing,
    setting: Setting,
    iteration: Iteration<DIM>,
    /// Of the positions as written.
    log_likelihood: f64,
}

/// The flight with the receiver's smoothing undone, where fixes scatter so little that there may be one and undoing it makes the
/// flight likelier. `plain` has settled without.
pub(super) fn find(path: &GroundPath, setting: &Setting, plain: &Iteration<DIM>) -> Option<(Setting, Iteration<DIM>)> {
    let of_node_m = plain.levels.levels[Level::POSITION].sqrt();
    if of_node_m * setting.blocks.receiver.typical_fixes().sqrt() > SMOOTHED_BELOW_M.value {
        return None;
    }
    let try_one = |smoothing: Smoothing, from: &Iteration<DIM>| {
        let mut nodes = nodes::build(path, &[]);
        let wider = smoothing.undo(&mut nodes);
        let setting = Setting {
            smoothing: Some(smoothing),
            ..Setting::new(nodes, &[], setting.typical, Layout::new(false, false))
        };
        let mut iteration = Iteration::after(&setting, from, Vec::new());
        iteration.settle(&setting);
        let log_likelihood = iteration.log_likelihood + wider;
        Tried { smoothing, setting, iteration, log_likelihood }
    };
    let best = Smoothing::families().into_iter().filter_map(|family| best_of(&family, plain, &try_one));
    let best = best.max_by(|a, b| a.log_likelihood.total_cmp(&b.log_likelihood))?;
    let gained = best.log_likelihood - plain.log_likelihood;
    // A receiver that smooths has noise to smooth; a track without any gets no likelier by being roughened.
    let noise_m = best.iteration.levels.levels[Level::POSITION].sqrt();
    let noisy = noise_m > SMOOTHED_NOISE_M.value;
    (noisy && gained > SMOOTHING_EVIDENCE_LN.value && best.iteration.flies()).then_some((best.setting, best.iteration))
}

/// The best of a family, with the time over which it smooths refined between those tried.
fn best_of(
    family: &[Smoothing],
    plain: &Iteration<DIM>,
    try_one: &impl Fn(Smoothing, &Iteration<DIM>) -> Tried,
) -> Option<Tried> {
    // From the shortest on; each begins where the one before ended. A family that has fallen off from its best is left.
    let mut tried: Vec<Tried> = Vec::new();
    for &smoothing in family {
        tried.push(try_one(smoothing, tried.last().map_or(plain, |before| &before.iteration)));
        let falling = tried.windows(2).rev().take_while(|p| p[1].log_likelihood < p[0].log_likelihood).count();
        if falling >= 2 {
            break;
        }
    }
    let likelihoods: Vec<f64> = tried.iter().map(|t| t.log_likelihood).collect();
    let place = (0..tried.len()).max_by(|a, b| likelihoods[*a].total_cmp(&likelihoods[*b]))?;
    let mut best = tried.swap_remove(place);
    let around = place.checked_sub(1).and_then(|left| Some([*likelihoods.get(left)?, *likelihoods.get(place + 1)?]));
    if let Some([left, right]) = around {
        // The summit of the parabola through three likelihoods, in steps of the logarithm of the time.
        let bend = left - 2.0 * best.log_likelihood + right;
        let off = if bend < 0.0 { (0.5 * (left - right) / bend).clamp(-0.5, 0.5) } else { 0.0 };
        let refined = best.smoothing.with_over_s(best.smoothing.over_s() * SMOOTHING_STEP.value.powf(off));
        let refined = try_one(refined, &best.iteration);
        if refined.log_likelihood > best.log_likelihood {
            best = refined;
        }
    }
    Some(best)
}
