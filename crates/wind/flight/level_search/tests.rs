//! The search on a model whose likelihood can be written down: numbers y = d + e, with the variance of e known to be 1 and
//! that of d wanted.

use super::*;
use crate::flight::constants::LEVEL_SETTLED;

/// As many numbers as a flight has of a typical disturbance.
const NUMBERS: f64 = 400.0;

/// Mean squares of `NUMBERS` numbers, y²; the numbers themselves do not matter.
struct Numbers {
    mean_square: f64,
}

impl Numbers {
    /// What a pass at a variance says: posterior mean squares of d over `v`, and the share of `v` that is taken away.
    fn moments(&self, v: f64) -> Moments {
        let mut moments = Moments::default();
        for _ in 0..NUMBERS as usize {
            let told = v / (v + 1.0);
            moments.add(Level::GUST, v * self.mean_square / ((v + 1.0) * (v + 1.0)) + 1.0 - told, told);
        }
        moments
    }

    fn log_likelihood(&self, v: f64) -> f64 {
        -0.5 * NUMBERS * ((v + 1.0).ln() + self.mean_square / (v + 1.0))
    }

    /// The most probable variance, prior about `typical` included, by halving.
    fn most_probable(&self, typical: f64) -> f64 {
        let slope = |ln_v: f64| {
            let told = ln_v.exp() / (ln_v.exp() + 1.0);
            let of_log = 0.5 * NUMBERS * told * (self.mean_square / (ln_v.exp() + 1.0) - 1.0);
            of_log - (ln_v - typical.ln()) / (LEVEL_PRIOR_LN.value * LEVEL_PRIOR_LN.value)
        };
        let (mut low, mut high) = (-30.0, 30.0);
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if slope(middle) > 0.0 { low = middle } else { high = middle }
        }
        low.exp()
    }

    /// Steps until the search settles, and the variance where it does.
    fn search(&self) -> (usize, f64) {
        let typical = Levels::typical(0.0);
        let mut search = LevelSearch::new(typical, typical).with_only(&[Level::GUST]);
        for step in 1..100 {
            let moved = search.advance(&self.moments(search.levels[Level::GUST]));
            if moved < LEVEL_SETTLED.value {
                return (step, search.levels[Level::GUST]);
            }
        }
        panic!("it does not settle")
    }
}

#[test]
fn derived_slope_is_that_of_the_likelihood() {
    let numbers = Numbers { mean_square: 1.7 };
    for v in [0.01_f64, 0.3, 0.7, 4.0] {
        let h = 1e-5;
        let at = |ln_v: f64| numbers.log_likelihood(ln_v.exp());
        let difference = (at(v.ln() + h) - at(v.ln() - h)) / (2.0 * h);
        let slope = numbers.moments(v).slope(Level::GUST);
        assert!((slope - difference).abs() < 1e-5 * difference.abs().max(1.0), "{v}: {slope} against {difference}");
    }
}

/// The typical variance of the level is 0.09. A step within 3 % of the end is the search's own limit; as it closes in faster
/// than in proportion, where it stops is nearer still.
#[test]
fn derived_search_arrives_where_the_likelihood_is_highest() {
    for mean_square in [1.02, 1.09, 1.5, 3.0, 30.0] {
        let numbers = Numbers { mean_square };
        let wanted = numbers.most_probable(0.09);
        let (steps, found) = numbers.search();
        assert!(steps <= 16, "{mean_square}: {steps} steps");
        assert!((found / wanted).sqrt().ln().abs() < 0.02, "{mean_square}: {found} against {wanted}");
    }
}

/// Where the numbers are smaller than e alone would make them, d wants to be nothing: the level falls to where the prior holds
/// it, in few steps and not by a percent at a time.
#[test]
fn derived_a_level_that_wants_to_be_none_gets_there_soon() {
    let numbers = Numbers { mean_square: 0.7 };
    let (steps, found) = numbers.search();
    let wanted = numbers.most_probable(0.09);
    assert!(wanted < 0.09 / 30.0 && (found / wanted).sqrt().ln().abs() < 0.02, "{found} against {wanted}");
    assert!(steps <= 12, "{steps} steps");
}

/// A slope that nothing holds against: the step ends at the farthest that one may go.
#[test]
fn a_step_ends_at_its_limits() {
    let free = [0, 1, 2];
    let slope = masked(&free, |i| [1e9, -1e9, 0.0][i]);
    let model = Model { at: PerLevel::repeat(0.8), slope, curvature: Curvature::identity() };
    let none = PerLevel::repeat(0.0);
    let next = model.step(&free, &none);
    let farthest = [-0.5 * FARTHEST_FALL_LN.value, 0.5 * FARTHEST_RISE_LN.value].map(|ln| 0.8 * ln.exp());
    assert!((next[0] / farthest[0] - 1.0).abs() < 1e-12 && (next[1] / farthest[1] - 1.0).abs() < 1e-12, "{next}");
    assert!(next.iter().skip(3).all(|level| *level == 0.8), "held: {next}");
    assert_eq!(model.step(&free, &PerLevel::repeat(0.75))[0], 0.75, "no level falls below its least");
    let top = Model { at: PerLevel::repeat(MOST_LEVEL_FACTOR.value), ..model };
    assert_eq!(top.step(&free, &none)[1], MOST_LEVEL_FACTOR.value, "nor rises above the most");
}

/// The lowest point of a parabola and the prior: there the two slopes add up to nothing.
#[test]
fn within_its_limits_a_step_goes_to_the_lowest_point() {
    let free = [0, 1];
    let mut curvature = Curvature::identity() * 30.0;
    (curvature[(0, 1)], curvature[(1, 0)]) = (8.0, 8.0);
    let slope = masked(&free, |i| [4.0, -3.0][i]);
    let model = Model { at: PerLevel::repeat(1.0), slope, curvature };
    let next = model.step(&free, &PerLevel::repeat(0.0));
    for i in free {
        let left = slope[i] + curvature.row(i).transpose().dot(&(next - model.at)) + prior(next[i]).0;
        assert!(left.abs() < 1e-9, "level {i}: {left}");
    }
    assert!(next[0] < 1.0 && next[1] > 1.0, "{next}");
}
