//! Campaigns that are flown: every flight is simulated, written as a file and goes down the road of a user's log.

use super::score::{CampaignScore, score};
use super::truth::{DaySpread, Truth};
use crate::ValidateError;
use crate::run::in_parallel;
use crate::score::analyse;
use crate::study::Seeds;
use driftless_analysis::FlightConfig;
use driftless_analysis::campaign::FlightSummary;
use driftless_analysis::campaign::model::FlightId;
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::scenario::Residual;
use driftless_sim::simulate;

/// Flights of a campaign take this many seeds, so that no two campaigns share one.
const SEEDS_OF_A_CAMPAIGN: u64 = 32;

/// A campaign to fly.
pub struct Plan {
    truths: Vec<Truth>,
}

impl Plan {
    /// So many campaigns.
    pub fn new(campaigns: u64, seeds: Seeds) -> Self {
        Self { truths: (0..campaigns).map(|k| Truth::of(seeds.first() + k, DaySpread::TYPICAL)).collect() }
    }

    /// How many flights they hold.
    pub fn flights(&self) -> u64 {
        self.truths.iter().map(|truth| truth.days.len() as u64).sum()
    }

    /// Flies and analyses them with `jobs` threads. `done` is told of every flight as it lands, from any thread.
    ///
    /// # Errors
    /// The first [`ValidateError`] in the order of campaigns.
    pub fn run(
        &self,
        seeds: Seeds,
        jobs: usize,
        done: &(dyn Fn() + Sync),
    ) -> Result<Vec<CampaignScore>, ValidateError> {
        let of_campaign =
            |(nth, truth): (usize, &Truth)| (0..truth.days.len()).map(|day| (nth, day)).collect::<Vec<_>>();
        let tasks: Vec<(usize, usize)> = self.truths.iter().enumerate().flat_map(of_campaign).collect();
        let flown = in_parallel(&tasks, jobs, |&(nth, day)| {
            let seed = seeds.first() + SEEDS_OF_A_CAMPAIGN * nth as u64 + day as u64;
            let flown = fly(&self.truths[nth], day, seed);
            done();
            flown
        })?;
        let mut flown = flown.into_iter();
        let mut scores = Vec::new();
        for truth in &self.truths {
            let flights = flown.by_ref().take(truth.days.len()).collect::<Result<Vec<FlightSummary>, _>>()?;
            scores.push(score(truth, flights)?);
        }
        Ok(scores)
    }
}

/// One flight: a reference flight of one fix a second, in still, light and moderate air by turns, with the turn rates of its
/// day.
fn fly(truth: &Truth, day: usize, seed: u64) -> Result<FlightSummary, ValidateError> {
    let class = AirClass::ALL[(seed % 3) as usize];
    let options = Options { rate_hz: Some(1.0), ..Options::default() };
    let mut scenario = reference::flight(class, seed, &options);
    for (setting, of) in &mut scenario.aircraft.settings {
        if let Some(rate) = truth.days.get(day).and_then(|day| day.rates_deg_s.get(setting)) {
            of.residual = Residual::RateDegS(*rate);
        }
    }
    let flight = simulate(&scenario, seed).map_err(|source| ValidateError::Simulate { seed, source })?;
    let analysis = analyse(&flight, FlightConfig::default(), Vec::new())?;
    Ok(FlightSummary::of(FlightId(day), analysis))
}
