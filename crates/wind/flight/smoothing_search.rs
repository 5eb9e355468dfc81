//! Which smoothing a receiver applies, told by the likelihood of what it wrote.

use super::blocks::{DIM, Layout};
use super::constants::{SMOOTHED_BELOW_M, SMOOTHED_NOISE_M, SMOOTHING_EVIDENCE_LN, SMOOTHING_PART_S, SMOOTHING_STEP};
use super::iteration::Iteration;
use super::nodes;
use super::noise::Level;
use super::setting::Setting;
use super::smoothing::Smoothing;
use super::start;
use driftless_units::{GroundPath, PathPoint};

/// A flight, or a part of it, with a smoothing undone.
struct Tried {
    smoothing: Smoothing,
    setting: Setting,
    iteration: Iteration<DIM>,
    /// Of the positions as written.
    log_likelihood: f64,
}

/// The flight with the receiver's smoothing undone, where fixes scatter so little that there may be one and undoing it makes the
/// flight likelier. `plain` has settled without, if only roughly.
///
/// Which smoothing it is shows in any part of a flight: of a long one the part that turns most is searched, with nodes as
/// narrow as those of a short flight.
pub(super) fn find(
    path: &GroundPath,
    setting: &Setting,
    plain: &mut Iteration<DIM>,
) -> Option<(Setting, Iteration<DIM>)> {
    if !may_smooth(setting, plain) {
        return None;
    }
    let Some(part) = part(path, setting, plain) else {
        plain.settle(setting);
        return likeliest(path, setting, plain).map(|found| (found.setting, found.iteration));
    };
    let nodes = nodes::build(&part, &[]);
    let trajectory = start::between(&nodes, &setting.nodes, plain.trajectory());
    let of_part = Setting::new(nodes, &[], setting.typical, Layout::new(false, false));
    let mut plain_of_part = Iteration::new(&of_part, trajectory, plain.lend_scratch());
    plain_of_part.settle(&of_part);
    if !may_smooth(&of_part, &plain_of_part) {
        return None;
    }
    let mut found = likeliest(&part, &of_part, &mut plain_of_part)?;
    let nodes = nodes::build_without(path, &[], Some(found.smoothing));
    let setting = Setting {
        smoothing: Some(found.smoothing),
        ..Setting::new(nodes, &[], setting.typical, Layout::new(false, false))
    };
    let mut iteration = Iteration::after(&setting, plain, found.iteration.lend_scratch());
    iteration.levels = setting.search(found.iteration.levels.levels);
    iteration.settle(&setting);
    iteration.flies().then_some((setting, iteration))
}

/// Whether fixes scatter so little that the receiver may have smoothed them.
fn may_smooth(setting: &Setting, plain: &Iteration<DIM>) -> bool {
    let of_node_m = plain.levels.levels[Level::POSITION].sqrt();
    of_node_m * setting.blocks.receiver.typical_fixes().sqrt() <= SMOOTHED_BELOW_M.value
}

/// The part of a long flight that turns most: where smoothing shows. `None` where the flight is no longer than a part.
fn part(path: &GroundPath, setting: &Setting, plain: &Iteration<DIM>) -> Option<GroundPath> {
    let (times_s, headings_rad): (Vec<f64>, _) = (setting.nodes.iter().map(|n| n.t_s).collect(), plain.headings_rad());
    let last_s = *times_s.last()?;
    let long_s = SMOOTHING_PART_S.value;
    if last_s - times_s.first()? <= long_s {
        return None;
    }
    // How far it has turned in all up to each node, to the left as well as to the right.
    let turned_rad: Vec<f64> = std::iter::once(0.0)
        .chain(headings_rad.windows(2).scan(0.0, |sum, pair| {
            *sum += (pair[1] - pair[0]).abs();
            Some(*sum)
        }))
        .collect();
    let (mut end, mut most) = (0, (f64::NEG_INFINITY, 0.0));
    for (start, start_s) in times_s.iter().enumerate() {
        if start_s + long_s > last_s {
            break;
        }
        while times_s.get(end + 1).is_some_and(|t_s| *t_s <= start_s + long_s) {
            end += 1;
        }
        let turned_rad = turned_rad[end] - turned_rad[start];
        if turned_rad > most.0 {
            most = (turned_rad, *start_s);
        }
    }
    let within = |point: &&PathPoint| most.1 <= point.t_s && point.t_s <= most.1 + long_s;
    let points = path.airborne(0.0).iter().filter(within).cloned().collect();
    Some(GroundPath { points, takeoff_s: None, landing_s: None, rounding_m: path.rounding_m })
}

/// The likeliest smoothing, where undoing it makes the track likelier than `plain`.
///
/// One list of nodes is written over by all that are tried: each would hold megabytes.
fn likeliest(path: &GroundPath, setting: &Setting, plain: &mut Iteration<DIM>) -> Option<Tried> {
    let mut scratch = plain.lend_scratch();
    let mut try_one = |smoothing: Smoothing, from: &Iteration<DIM>| {
        let mut nodes = nodes::build(path, &[]);
        let wider = smoothing.undo(&mut nodes);
        let setting = Setting {
            smoothing: Some(smoothing),
            ..Setting::new(nodes, &[], setting.typical, Layout::new(false, false))
        };
        let mut iteration = Iteration::after(&setting, from, std::mem::take(&mut scratch));
        iteration.settle(&setting);
        scratch = iteration.lend_scratch();
        let log_likelihood = iteration.log_likelihood + wider;
        Tried { smoothing, setting, iteration, log_likelihood }
    };
    let best = Smoothing::families().into_iter().filter_map(|family| best_of(&family, plain, &mut try_one));
    let mut best = best.max_by(|a, b| a.log_likelihood.total_cmp(&b.log_likelihood))?;
    best.iteration.give_scratch(scratch);
    let gained = best.log_likelihood - plain.log_likelihood;
    // A receiver that smooths has noise to smooth; a track without any gets no likelier by being roughened.
    let noise_m = best.iteration.levels.levels[Level::POSITION].sqrt();
    let noisy = noise_m > SMOOTHED_NOISE_M.value;
    (noisy && gained > SMOOTHING_EVIDENCE_LN.value && best.iteration.flies()).then_some(best)
}

/// The best of a family, with the time over which it smooths refined between those tried.
fn best_of(
    family: &[Smoothing],
    plain: &Iteration<DIM>,
    try_one: &mut impl FnMut(Smoothing, &Iteration<DIM>) -> Tried,
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
