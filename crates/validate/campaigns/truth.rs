//! What is drawn of a campaign: set-ups, their true turns, days.

use driftless_analysis::Scenario;
use driftless_analysis::campaign::file::{AnyFolder, read};
use driftless_analysis::campaign::model::Campaign;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::collections::BTreeMap;
use std::fmt::Write;

/// How far days differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DaySpread {
    /// °/s.
    pub deg_s: f64,
    /// As a share of the turn.
    pub share: f64,
}

impl DaySpread {
    /// What is held typical before any run.
    pub const TYPICAL: Self = Self { deg_s: 0.10, share: 0.04 };
    /// Days that differ otherwise than expected: half as much, twice, three times.
    pub const OTHERWISE: [Self; 3] = [Self::TYPICAL.times(0.5), Self::TYPICAL.times(2.0), Self::TYPICAL.times(3.0)];

    const fn times(self, factor: f64) -> Self {
        Self { deg_s: factor * self.deg_s, share: factor * self.share }
    }
}

/// Set-ups of a campaign, the baseline first.
pub(super) const SETUPS: [&str; 3] = ["bare", "vanes", "offset"];
pub(super) const SCENARIOS: [Scenario; 4] =
    [Scenario::TrimLevel, Scenario::AcceleratedLevel, Scenario::FullPowerClimb, Scenario::PowerOffGlide];

/// Draws from a seed.
pub(super) struct Draws(ChaCha8Rng);

impl Draws {
    pub(super) fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// In (0, 1).
    pub(super) fn uniform(&mut self) -> f64 {
        ((self.0.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Standard normal (Box and Muller 1958).
    pub(super) fn normal(&mut self) -> f64 {
        let (u, v) = (self.uniform(), self.uniform());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}

/// A flight: its set-up and what it turns by on its day.
#[derive(Debug, Clone)]
pub(super) struct Day {
    pub(super) setup: usize,
    pub(super) rates_deg_s: BTreeMap<Scenario, f64>,
}

/// A campaign and its truth.
#[derive(Debug, Clone)]
pub(super) struct Truth {
    pub(super) seed: u64,
    /// True turns over all days, °/s, by set-up and scenario.
    pub(super) turns_deg_s: Vec<BTreeMap<Scenario, f64>>,
    pub(super) days: Vec<Day>,
}

impl Truth {
    /// The campaign of a seed: without a device 1.5 to 5.5 °/s to the left under power and hardly any in the glide; a device
    /// leaves a tenth to seven tenths of it and puts up to 0.5 °/s on the glide.
    pub(super) fn of(seed: u64, spread: DaySpread) -> Self {
        let mut draws = Draws::new(seed);
        let bare: BTreeMap<Scenario, f64> = SCENARIOS
            .into_iter()
            .map(|scenario| {
                let glide = scenario == Scenario::PowerOffGlide;
                (scenario, if glide { 0.1 * draws.normal() } else { -1.5 - 4.0 * draws.uniform() })
            })
            .collect();
        let mut turns_deg_s = vec![bare.clone()];
        for _ in 1..SETUPS.len() {
            let mut left = |(scenario, rate): (&Scenario, &f64)| {
                let glide = *scenario == Scenario::PowerOffGlide;
                (*scenario, if glide { 0.5 * draws.uniform() } else { rate * (0.1 + 0.6 * draws.uniform()) })
            };
            turns_deg_s.push(bare.iter().map(&mut left).collect());
        }
        let mut days = Vec::new();
        for (setup, turns) in turns_deg_s.iter().enumerate() {
            for _ in 0..1 + (6.0 * draws.uniform()) as usize {
                let mut of_day = |(scenario, turn): (&Scenario, &f64)| {
                    (*scenario, turn + spread.deg_s.hypot(spread.share * turn) * draws.normal())
                };
                days.push(Day { setup, rates_deg_s: turns.iter().map(&mut of_day).collect() });
            }
        }
        Self { seed, turns_deg_s, days }
    }

    /// The campaign file; `None` for a name of the file that the reader would not take, which is not so.
    pub(super) fn campaign(&self) -> Option<Campaign> {
        let mut text = String::from(
            "title = \"Drawn\"\n[power_units.tarn]\nreduction_ratio = 2.87\npropeller = \"clockwise\"\n[devices.vanes]\n\
             [devices.offset]\n[wings.fenlark]\n[setups.bare]\npower_unit = \"tarn\"\n",
        );
        for setup in &SETUPS[1..] {
            // Writing into a String cannot fail.
            let _ =
                writeln!(text, "[setups.{setup}]\npower_unit = \"tarn\"\ndevice = \"{setup}\"\nbaseline = \"bare\"");
        }
        for (number, day) in self.days.iter().enumerate() {
            let setup = SETUPS[day.setup];
            let _ = writeln!(text, "[[flights]]\nlog = \"{setup}-{number}.gpx\"\nsetup = \"{setup}\"");
        }
        read(&text, "drawn.toml", &AnyFolder).ok()
    }
}
