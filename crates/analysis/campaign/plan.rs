//! The next flights: one run on each card, in an order that chance decides within blocks.
//!
//! A block is one wing and one set-up on one day, so that nothing is rigged twice in a row; its scenarios come in random
//! order, and so do the blocks of a day (randomised complete blocks, common practice of designed experiments: R. A.
//! Fisher, *The Design of Experiments*, 1935, from memory). Repeats of a cell are dealt over the days.

use super::cells::CellKey;
use super::compensation::JudgeBy;
use super::more_runs::{log_std_u, typical_std_u};
use super::{CampaignAnalysis, MoreRuns};
use driftless_campaign::model::{Campaign, SCENARIOS, SetupId, WingId};
use driftless_statistics::plan::expected_half_width;
use driftless_statistics::shared_spread::{Added, PairMixture};
use driftless_track::Scenario;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::collections::{BTreeMap, BTreeSet};

/// Most runs that a plan adds to a cell, whatever the wish: more is another campaign.
const MOST_ADDED: usize = 6;

/// Cards in the order to fly, and what they are expected to bring.
#[derive(Debug, Clone, PartialEq)]
pub struct CampaignPlan {
    /// Seed of the order.
    pub seed: u64,
    /// Cards in the order to fly.
    pub cards: Vec<Card>,
    /// Precision of each compensation before and after.
    pub expected: Vec<ExpectedPrecision>,
    /// What each block brings, in the order to fly.
    pub brought: Vec<BlockGain>,
    /// Cells of the plan with the runs they have and get.
    pub cells: Vec<PlannedCell>,
}

/// What a block brings, all blocks before it flown.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockGain {
    /// The block.
    pub block: usize,
    /// Compensations that its runs narrow.
    pub compensations: Vec<CompensationGain>,
}

/// Half-width of a compensation's 95 % interval before and after a block, percentage points; `None` without bounds, or
/// where one of the two cells was never flown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompensationGain {
    /// The cell with the device.
    pub key: CellKey,
    /// Before.
    pub before: Option<f64>,
    /// After.
    pub after: Option<f64>,
}

/// One run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Card {
    /// Number, from 1.
    pub number: usize,
    /// Day, from 1.
    pub day: u32,
    /// Block, from 1, counted over the whole plan.
    pub block: usize,
    /// What is flown.
    pub key: CellKey,
    /// Whether it is the first of its block: the set-up is rigged, and the wind is not yet known.
    pub first_of_block: bool,
    /// Which repeat of its cell it is, those flown counted.
    pub repeat: usize,
}

/// A cell of the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlannedCell {
    /// The cell.
    pub key: CellKey,
    /// Runs flown.
    pub flown: usize,
    /// Runs on the cards: the larger of the two wishes, as far as a plan goes.
    pub planned: usize,
    /// Runs that the campaign file still wishes for.
    pub for_repeats: usize,
    /// Runs that compensations still need to be as sure as wished, as device or as baseline.
    pub for_precision: usize,
}

/// Half-width of a compensation's 95 % interval, percentage points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedPrecision {
    /// The cell with the device.
    pub key: CellKey,
    /// As it stands; `None` without bounds or without runs.
    pub now: Option<f64>,
    /// After the plan, by the spread as known so far; `None` when one of the cells was never flown. Never above `now`.
    pub after: Option<f64>,
}

/// Plans the next flights of an analysed campaign.
pub fn plan_campaign(analysis: &CampaignAnalysis, seed: u64) -> CampaignPlan {
    let campaign = &analysis.campaign;
    let cells: Vec<PlannedCell> = wanted(campaign, analysis)
        .into_iter()
        .map(|key| {
            let flown = analysis.cell(key).map_or(0, |cell| cell.runs.len());
            let repeats = (campaign.plan.repeats as usize).saturating_sub(flown);
            let for_precision = asked_for(&analysis.more_runs, key);
            let planned = repeats.max(for_precision).min(MOST_ADDED);
            PlannedCell { key, flown, planned, for_repeats: repeats, for_precision }
        })
        .collect();
    let cards = deal(campaign, &cells, seed);
    let planned = planned(analysis, &cells);
    CampaignPlan { seed, expected: expected(&planned, &cells), brought: brought(&planned, &cards), cards, cells }
}

/// Every set-up on every wing that it is flown with, in every scenario that has a weight.
fn wanted(campaign: &Campaign, analysis: &CampaignAnalysis) -> BTreeSet<CellKey> {
    let mut places: BTreeSet<(SetupId, WingId)> = analysis.cells.iter().map(|c| (c.key.setup, c.key.wing)).collect();
    places.extend(campaign.flights.iter().map(|flight| (flight.with.setup, flight.with.wing)));
    for (index, setup) in campaign.setups.iter().enumerate() {
        let setup_id = SetupId(index);
        match setup.wing {
            Some(wing) => {
                places.insert((setup_id, wing));
            }
            None if !places.iter().any(|(of, _)| *of == setup_id) => {
                places.extend((0..campaign.wings.len()).map(|wing| (setup_id, WingId(wing))));
            }
            None => {}
        }
    }
    // A device without its baseline on the same wing says nothing.
    let baselines: Vec<(SetupId, WingId)> =
        places.iter().filter_map(|(setup, wing)| Some((campaign.setup(*setup).baseline?, *wing))).collect();
    places.extend(baselines);
    let weighs = |scenario: &Scenario| campaign.scenario_weights.get(scenario).copied().unwrap_or(1.0) > 0.0;
    let scenarios: Vec<Scenario> = SCENARIOS.into_iter().filter(weighs).collect();
    places
        .into_iter()
        .flat_map(|(setup, wing)| scenarios.iter().map(move |scenario| CellKey { setup, wing, scenario: *scenario }))
        .collect()
}

/// Runs that the wished half-width asks of a cell, as device or as baseline.
fn asked_for(more: &[MoreRuns], key: CellKey) -> usize {
    let open = more.iter().filter(|of| !of.met && of.by_log.within_reach);
    open.map(|of| match (of.key == key, CellKey { setup: of.baseline, ..of.key } == key) {
        (true, _) => of.by_log.more_with_device,
        (_, true) => of.by_log.more_of_baseline,
        _ => 0,
    })
    .max()
    .unwrap_or(0)
}

/// Runs of a block: the cell, and which repeat of it.
type Runs = Vec<(CellKey, usize)>;

/// Deals the runs over days and passes, shuffles blocks within each pass and scenarios within each block.
fn deal(campaign: &Campaign, cells: &[PlannedCell], seed: u64) -> Vec<Card> {
    let days = campaign.plan.days.max(1) as usize;
    let mut blocks: BTreeMap<(usize, usize), BTreeMap<(WingId, SetupId), Runs>> = BTreeMap::new();
    for cell in cells {
        for run in 0..cell.planned {
            let slot = blocks.entry((run % days, run / days)).or_default();
            let block = slot.entry((cell.key.wing, cell.key.setup)).or_default();
            block.push((cell.key, cell.flown + run + 1));
        }
    }
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut cards = Vec::new();
    let mut block_number = 0;
    for ((day, _), slot) in blocks {
        let mut order: Vec<Runs> = slot.into_values().collect();
        shuffle(&mut order, &mut rng);
        for mut runs in order {
            block_number += 1;
            shuffle(&mut runs, &mut rng);
            for (place, (key, repeat)) in runs.into_iter().enumerate() {
                cards.push(Card {
                    number: cards.len() + 1,
                    day: day as u32 + 1,
                    block: block_number,
                    key,
                    first_of_block: place == 0,
                    repeat,
                });
            }
        }
    }
    cards
}

/// Fisher and Yates, in Durstenfeld's form (Comm. ACM 7 (1964) 420); rejection keeps every order equally likely.
fn shuffle<T>(items: &mut [T], rng: &mut ChaCha8Rng) {
    for last in (1..items.len()).rev() {
        items.swap(last, below(last + 1, rng));
    }
}

fn below(bound: usize, rng: &mut ChaCha8Rng) -> usize {
    let bound = bound as u64;
    let fair = u64::MAX - u64::MAX % bound;
    loop {
        let draw = rng.next_u64();
        if draw < fair {
            return (draw % bound) as usize;
        }
    }
}

/// A compensation of the plan: its cell, its baseline, and what is known of both.
struct Planned {
    key: CellKey,
    baseline: CellKey,
    now: Option<f64>,
    /// `None` where one of the two was never flown, so that its turn is not known.
    pair: Option<PairMixture>,
    device_std_u: f64,
    baseline_std_u: f64,
}

impl Planned {
    fn after(&self, runs: impl Fn(CellKey) -> usize) -> Option<f64> {
        let (device, baseline) = (runs(self.key), runs(self.baseline));
        if device + baseline == 0 {
            return self.now;
        }
        let added = |runs, std_u| Added { runs, std_u };
        let (device, baseline) = (added(device, self.device_std_u), added(baseline, self.baseline_std_u));
        expected_half_width(self.pair.as_ref()?, device, baseline)
    }
}

fn planned(analysis: &CampaignAnalysis, cells: &[PlannedCell]) -> Vec<Planned> {
    let typical = typical_std_u(&analysis.cells);
    let find = |key: CellKey| analysis.cells.iter().position(|cell| cell.key == key);
    let std_u = |key: CellKey| analysis.cell(key).and_then(log_std_u).unwrap_or(typical);
    cells
        .iter()
        .filter(|of| of.key.scenario != Scenario::PowerOffGlide)
        .filter_map(|of| {
            let baseline = CellKey { setup: analysis.campaign.setup(of.key.setup).baseline?, ..of.key };
            let now = analysis.compensation_of(of.key).filter(|c| c.judge_by == JudgeBy::Percent);
            let pair = analysis.shared.as_ref().zip(find(of.key).zip(find(baseline)));
            Some(Planned {
                key: of.key,
                baseline,
                now: now.and_then(|c| c.result.half_width()),
                pair: pair.map(|(shared, (device, base))| shared.pair(device, base)),
                device_std_u: std_u(of.key),
                baseline_std_u: std_u(baseline),
            })
        })
        .collect()
}

fn expected(planned: &[Planned], cells: &[PlannedCell]) -> Vec<ExpectedPrecision> {
    let added = |key: CellKey| cells.iter().find(|of| of.key == key).map_or(0, |of| of.planned);
    let of = |of: &Planned| ExpectedPrecision { key: of.key, now: of.now, after: of.after(added) };
    planned.iter().map(of).collect()
}

/// What each block brings, one after the other: every compensation that a run of the block narrows.
fn brought(planned: &[Planned], cards: &[Card]) -> Vec<BlockGain> {
    let last = cards.iter().map(|card| card.block).max().unwrap_or(0);
    let flown = |until: usize, key: CellKey| cards.iter().filter(|card| card.block <= until && card.key == key).count();
    (1..=last)
        .map(|block| {
            let touches = |of: &&Planned| {
                let in_block = |key: CellKey| cards.iter().any(|card| card.block == block && card.key == key);
                in_block(of.key) || in_block(of.baseline)
            };
            let gain = |of: &Planned| CompensationGain {
                key: of.key,
                before: of.after(|key| flown(block - 1, key)),
                after: of.after(|key| flown(block, key)),
            };
            BlockGain { block, compensations: planned.iter().filter(touches).map(gain).collect() }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every order of three is drawn about equally often: 6,000 draws, a sixth each; three standard errors are 1.5 %.
    #[test]
    fn simulated_shuffles_are_fair() {
        let mut rng = ChaCha8Rng::seed_from_u64(3);
        let mut seen: BTreeMap<[u8; 3], u32> = BTreeMap::new();
        for _ in 0..6000 {
            let mut items = [1, 2, 3];
            shuffle(&mut items, &mut rng);
            *seen.entry(items).or_default() += 1;
        }
        assert_eq!(seen.len(), 6);
        assert!(seen.values().all(|count| (913..=1087).contains(count)), "{seen:?}");
    }
}
