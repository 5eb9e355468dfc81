//! Which start is carried on: the likeliest after a few passes.
//!
//! Most starts of a flight end in one place, and show it soon: after one pass, which costs half as much as the later ones, their
//! headings are those of a start tried before. Those and the hopeless ones are given up there.

use super::constants::{LOST_LN_PER_NODE, PASSES_PER_START, SAME_PATH_RAD, SAME_START_MPS};
use super::iteration::Iteration;
use super::setting::Setting;
use super::start::{self, StartAir};

/// The likeliest of the starts that fly, some passes on; `None` where none flies.
pub(super) fn likeliest<const N: usize>(
    setting: &Setting,
    starts: impl Iterator<Item = StartAir>,
) -> Option<Iteration<N>> {
    let mut tried: Vec<StartAir> = Vec::new();
    let mut search = Search { setting, paths: Vec::new(), best_second: f64::NEG_INFINITY };
    let mut best: Option<Iteration<N>> = None;
    let mut scratch = Vec::new();
    for start in starts {
        if tried.iter().any(|other| start.apart_mps(other) < SAME_START_MPS.value) {
            continue;
        }
        tried.push(start);
        let trajectory = start::trajectory(&setting.nodes, &setting.heights_m, &start);
        let mut iteration = Iteration::new(setting, trajectory, scratch);
        let is_best = search.is_worth_all_passes(&mut iteration)
            && iteration.log_likelihood.is_finite()
            && iteration.flies()
            && best.as_ref().is_none_or(|b| iteration.log_likelihood > b.log_likelihood);
        let given_up = if is_best { best.replace(iteration) } else { Some(iteration) };
        scratch = given_up.map_or_else(Vec::new, |mut iteration| iteration.lend_scratch());
    }
    best
}

/// What is known of the starts tried.
struct Search<'a> {
    setting: &'a Setting,
    /// Headings after one pass, rad.
    paths: Vec<Vec<f64>>,
    /// Best log-likelihood of the second pass.
    best_second: f64,
}

impl Search<'_> {
    /// Makes the passes of a start; `false` where it was given up on the way.
    fn is_worth_all_passes<const N: usize>(&mut self, iteration: &mut Iteration<N>) -> bool {
        iteration.advance(self.setting);
        let path = iteration.headings_rad();
        if self.paths.iter().any(|other| are_one_path(other, &path)) {
            return false;
        }
        self.paths.push(path);
        iteration.advance(self.setting);
        let lost = LOST_LN_PER_NODE.value * self.setting.nodes.len() as f64;
        if iteration.log_likelihood < self.best_second - lost {
            return false;
        }
        self.best_second = self.best_second.max(iteration.log_likelihood);
        for _ in 2..PASSES_PER_START.value as usize {
            iteration.advance(self.setting);
        }
        true
    }
}

/// Whether two lists of headings are those of one path: near each other at every node, full turns of the whole left out.
fn are_one_path(a: &[f64], b: &[f64]) -> bool {
    let turn = std::f64::consts::TAU;
    let apart = a.first().zip(b.first()).map_or(0.0, |(a, b)| ((a - b) / turn).round() * turn);
    a.iter().zip(b).all(|(a, b)| (a - b - apart).abs() < SAME_PATH_RAD.value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_paths_are_one_but_for_full_turns_of_the_whole() {
        let path = [0.1, 0.5, 3.0];
        let moved = |by: [f64; 3]| [path[0] + by[0], path[1] + by[1], path[2] + by[2]];
        let turn = std::f64::consts::TAU;
        assert!(are_one_path(&path, &moved([0.05, -0.05, 0.0])));
        assert!(are_one_path(&path, &moved([turn, turn + 0.05, turn])));
        assert!(!are_one_path(&path, &moved([0.0, 0.0, turn])));
        assert!(!are_one_path(&path, &moved([0.0, 0.3, 0.0])));
    }
}
