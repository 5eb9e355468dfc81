//! Which set-up leaves the least turn on a wing, all scenarios weighed as the campaign file says.

use super::cells::Cell;
use driftless_campaign::model::{Campaign, SCENARIOS, SetupId, WingId};
use driftless_statistics::ranking::chances_of_least;
use driftless_track::Scenario;
use driftless_units::Estimate;
use std::collections::BTreeSet;

/// The set-ups of a wing, the least turn first.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranking {
    /// Wing.
    pub wing: WingId,
    /// Scenarios that all of them were flown in and that have a weight, with the weight.
    pub scenarios: Vec<(Scenario, f64)>,
    /// Set-up and weighted turn, °/s: root of the weighted mean square over the scenarios.
    pub setups: Vec<(SetupId, Estimate<f64>)>,
    /// Chance of each to turn least, in the same order.
    pub chances_of_least: Vec<f64>,
}

impl Ranking {
    /// Chance that the first is the first.
    pub fn chance_of_first(&self) -> Option<f64> {
        self.chances_of_least.first().copied()
    }
}

/// Ranks the set-ups of each wing over the scenarios that all of them were flown in.
pub(super) fn rankings(campaign: &Campaign, cells: &[Cell]) -> Vec<Ranking> {
    let wings: BTreeSet<WingId> = cells.iter().map(|cell| cell.key.wing).collect();
    wings.into_iter().filter_map(|wing| ranking(campaign, cells, wing)).collect()
}

/// Weight and turn of each scenario.
type Turns = Vec<(f64, Estimate<f64>)>;

fn ranking(campaign: &Campaign, cells: &[Cell], wing: WingId) -> Option<Ranking> {
    let of_wing: Vec<&Cell> = cells.iter().filter(|cell| cell.key.wing == wing).collect();
    let setups: BTreeSet<SetupId> = of_wing.iter().map(|cell| cell.key.setup).collect();
    let weight = |scenario: &Scenario| campaign.scenario_weights.get(scenario).copied().unwrap_or(0.0);
    let find = |setup: SetupId, scenario: Scenario| {
        of_wing.iter().find(|cell| cell.key.setup == setup && cell.key.scenario == scenario)
    };
    let scenarios: Vec<(Scenario, f64)> = SCENARIOS
        .into_iter()
        .map(|scenario| (scenario, weight(&scenario)))
        .filter(|(scenario, weight)| *weight > 0.0 && setups.iter().all(|setup| find(*setup, *scenario).is_some()))
        .collect();
    if scenarios.is_empty() || setups.len() < 2 {
        return None;
    }
    let mut ranked: Vec<(SetupId, Turns, Estimate<f64>)> = setups
        .iter()
        .map(|setup| {
            let turns = scenarios.iter().filter_map(|(s, weight)| Some((*weight, find(*setup, *s)?.turn_deg_s())));
            let turns: Turns = turns.collect();
            let weighted = weighted(&turns);
            (*setup, turns, weighted)
        })
        .collect();
    ranked.sort_by(|a, b| a.2.value.total_cmp(&b.2.value));
    let turns: Vec<Turns> = ranked.iter().map(|(_, turns, _)| turns.clone()).collect();
    Some(Ranking {
        wing,
        scenarios,
        setups: ranked.into_iter().map(|(setup, _, weighted)| (setup, weighted)).collect(),
        chances_of_least: chances_of_least(&turns),
    })
}

/// √(Σ w T² / Σ w) with first-order uncertainty (JCGM 100:2008, 5.1.2): u² = Σ (w T u / (R Σw))²; degrees of freedom of
/// the part that counts most, to be careful.
fn weighted(turns: &[(f64, Estimate<f64>)]) -> Estimate<f64> {
    let total: f64 = turns.iter().map(|(w, _)| w).sum();
    let size = (turns.iter().map(|(w, t)| w * t.value * t.value).sum::<f64>() / total).sqrt();
    let part =
        |(w, t): &(f64, Estimate<f64>)| if size > 0.0 { w * t.value * t.std_u / (size * total) } else { t.std_u };
    let variance: f64 = turns.iter().map(|turn| part(turn).powi(2)).sum();
    let most = turns.iter().max_by(|a, b| part(a).abs().total_cmp(&part(b).abs()));
    Estimate::with_dof(size, variance.sqrt(), most.map_or(f64::NAN, |(_, turn)| turn.dof))
}

#[cfg(test)]
mod tests {
    use super::weighted;
    use driftless_units::Estimate;

    /// Weights 1 and 3 of 2 and 0 °/s: √(4/4) = 1 °/s; only the first part has an uncertainty, 1·2·0.1/(1·4) = 0.05.
    #[test]
    fn derived_weighted_turn() {
        let turn = weighted(&[(1.0, Estimate::new(-2.0, 0.1)), (3.0, Estimate::new(0.0, 0.1))]);
        assert!((turn.value - 1.0).abs() < 1e-12 && (turn.std_u - 0.05).abs() < 1e-12);
    }
}
