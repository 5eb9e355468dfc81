//! Moments of a mixture of solutions.

use crate::flight::{SteadySpan, WindowTurn};
use driftless_units::{Angle, Estimate, TurnRate};

/// Weights that add up to one, from logarithms of what they are proportional to.
pub(super) fn weights(ln: &[f64]) -> Vec<f64> {
    let most = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let shares: Vec<f64> = ln.iter().map(|ln| (ln - most).exp()).collect();
    let sum: f64 = shares.iter().sum();
    shares.iter().map(|share| share / sum).collect()
}

/// The turn of a span by all solutions together.
pub(super) fn turn(turns: &[WindowTurn], weights: &[f64], span: SteadySpan) -> WindowTurn {
    let length_s = span.end_s - span.start_s;
    let moments = |of: &dyn Fn(&WindowTurn) -> Estimate<f64>| mixed(turns.iter().map(of).zip(weights.iter().copied()));
    let change = moments(&|turn| {
        Estimate::with_dof(turn.heading_change.value.rad(), turn.heading_change.std_u.rad(), turn.heading_change.dof)
    });
    let steady = moments(&|turn| {
        Estimate::with_dof(turn.steady_rate.value.rad_s(), turn.steady_rate.std_u.rad_s(), turn.steady_rate.dof)
    });
    let rate =
        |value: f64, std_u: f64, dof| Estimate::with_dof(TurnRate::from_rad_s(value), TurnRate::from_rad_s(std_u), dof);
    WindowTurn {
        heading_change: Estimate::with_dof(Angle::from_rad(change.value), Angle::from_rad(change.std_u), change.dof),
        turn_rate: rate(change.value / length_s, change.std_u / length_s, change.dof),
        steady_rate: rate(steady.value, steady.std_u, steady.dof),
    }
}

/// Mean and variance of a mixture: what each part leaves open, and how far they lie apart. Degrees of freedom are those of the
/// first share (Welch and Satterthwaite, JCGM 100:2008 G.4.1): how far solutions lie apart is no figure estimated from few.
fn mixed(parts: impl Iterator<Item = (Estimate<f64>, f64)> + Clone) -> Estimate<f64> {
    let mean: f64 = parts.clone().map(|(part, weight)| weight * part.value).sum();
    let within: f64 = parts.clone().map(|(part, weight)| weight * part.std_u * part.std_u).sum();
    let between: f64 = parts.clone().map(|(part, weight)| weight * (part.value - mean).powi(2)).sum();
    let dof = parts.map(|(part, _)| part.dof).fold(f64::INFINITY, f64::min);
    let variance = within + between;
    let dof = if within > 0.0 { dof * (variance / within).powi(2) } else { f64::INFINITY };
    Estimate::with_dof(mean, variance.sqrt(), dof)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_two_opposite_solutions_have_the_variance_of_their_distance() {
        let parts = [(Estimate::with_dof(0.4, 0.1, 10.0), 0.5), (Estimate::with_dof(-0.4, 0.1, 10.0), 0.5)];
        let mixed = mixed(parts.into_iter());
        assert!(mixed.value.abs() < 1e-12);
        assert!((mixed.std_u.powi(2) - (0.16 + 0.01)).abs() < 1e-12, "{}", mixed.std_u);
        assert!((mixed.dof - 10.0 * 17.0 * 17.0).abs() < 1e-6, "{}", mixed.dof);
    }

    #[test]
    fn derived_weights_add_up_and_follow_the_likelihood() {
        let weights = weights(&[-1000.0, -1000.0 + 3.0_f64.ln()]);
        assert!((weights[0] - 0.25).abs() < 1e-12 && (weights[1] - 0.75).abs() < 1e-12);
    }
}
