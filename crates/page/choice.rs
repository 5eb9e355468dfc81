//! Which part of a campaign is compared: set-ups, wings, scenarios, pilots. Nothing chosen of a kind means all of it.

use crate::request::Request;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{
    Campaign, FlightId, FlownWith, KnownWeightRun, StopwatchRun, WeightMeasured, WindowRef,
};
use driftless_analysis::campaign::{FlightOutcome, FlightSummary};

/// What was chosen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Choice {
    /// Keys of set-ups.
    pub(crate) setups: Vec<String>,
    /// Keys of wings.
    pub(crate) wings: Vec<String>,
    /// Keys of pilots.
    pub(crate) pilots: Vec<String>,
    /// Scenarios.
    pub(crate) scenarios: Vec<Scenario>,
    /// Whether names of people are left out.
    pub(crate) anonymous: bool,
}

fn chosen<T: PartialEq>(of: &[T], one: &T) -> bool {
    of.is_empty() || of.contains(one)
}

impl Choice {
    /// What a request asks for.
    pub(crate) fn of(request: &Request) -> Self {
        let all = |name| request.asked_all(name).filter(|key| !key.is_empty()).map(str::to_owned).collect();
        Self {
            setups: all("setup"),
            wings: all("wing"),
            pilots: all("pilot"),
            scenarios: request.asked_all("scenario").filter_map(Scenario::from_name).collect(),
            anonymous: request.asked("anonymous").is_some(),
        }
    }

    /// The query that asks for it.
    pub(crate) fn query(&self) -> String {
        let all =
            |name: &str, keys: &[String]| keys.iter().map(|key| format!("{name}={}", encoded(key))).collect::<Vec<_>>();
        let scenarios: Vec<String> = self.scenarios.iter().map(|scenario| scenario.name().to_owned()).collect();
        let mut fields = all("setup", &self.setups);
        fields.extend(all("wing", &self.wings));
        fields.extend(all("pilot", &self.pilots));
        fields.extend(all("scenario", &scenarios));
        fields.extend(self.anonymous.then(|| "anonymous=yes".to_owned()));
        fields.join("&")
    }

    fn takes(&self, campaign: &Campaign, with: FlownWith) -> bool {
        let pilot = with.pilot.map(|pilot| campaign.pilot(pilot).key.clone());
        chosen(&self.setups, &campaign.setup(with.setup).key)
            && chosen(&self.wings, &campaign.wing(with.wing).key)
            && (self.pilots.is_empty() || pilot.is_some_and(|pilot| self.pilots.contains(&pilot)))
    }

    /// Whether a flight may take part: its marks may name other set-ups, window by window.
    pub(crate) fn may_take(&self, campaign: &Campaign, with: FlownWith) -> bool {
        let any_setup = Self { setups: Vec::new(), ..self.clone() };
        any_setup.takes(campaign, with)
    }

    /// The part of a campaign that was chosen, with what became of its flights.
    pub(crate) fn part(&self, campaign: &Campaign, outcomes: &[FlightOutcome]) -> (Campaign, Vec<FlightOutcome>) {
        let mut new_number = vec![None; campaign.flights.len()];
        let (mut flights, mut taken) = (Vec::new(), Vec::new());
        for (old, (flight, outcome)) in campaign.flights.iter().zip(outcomes).enumerate() {
            if !self.may_take(campaign, flight.with) {
                continue;
            }
            let id = FlightId(flights.len());
            let outcome = outcome.clone().map(|summary| self.windows_of(campaign, summary, flight.with, id));
            if outcome.as_ref().is_ok_and(|summary| summary.windows.is_empty()) {
                continue;
            }
            if let Some(number) = new_number.get_mut(old) {
                *number = Some(id);
            }
            flights.push(flight.clone());
            taken.push(outcome);
        }
        let renumbered = |id: FlightId| new_number.get(id.0).copied().flatten();
        let watch = |run: &StopwatchRun| {
            let takes = self.takes(campaign, run.with) && chosen(&self.scenarios, &run.scenario);
            let same_run = run.same_run.and_then(|same| Some(WindowRef { flight: renumbered(same.flight)?, ..same }));
            takes.then(|| StopwatchRun { same_run, ..run.clone() })
        };
        let weight = |run: &KnownWeightRun| match &run.measured {
            WeightMeasured::Log { flight, windows } => {
                let measured = WeightMeasured::Log { flight: renumbered(*flight)?, windows: windows.clone() };
                Some(KnownWeightRun { measured, ..run.clone() })
            }
            WeightMeasured::Stopwatch { with, scenario, .. } => {
                (self.takes(campaign, *with) && chosen(&self.scenarios, scenario)).then(|| run.clone())
            }
        };
        let part = Campaign {
            stopwatch_runs: campaign.stopwatch_runs.iter().filter_map(watch).collect(),
            weight_runs: campaign.weight_runs.iter().filter_map(weight).collect(),
            flights,
            ..campaign.clone()
        };
        (part, taken)
    }

    /// The windows of a flight that were flown with a chosen set-up, in a chosen scenario.
    fn windows_of(&self, campaign: &Campaign, summary: FlightSummary, with: FlownWith, id: FlightId) -> FlightSummary {
        let own = &campaign.setup(with.setup).key;
        let setup = |named: &Option<String>| match named {
            None => Some(own.clone()),
            Some(name) => campaign.setup_named(name).map(|setup| campaign.setup(setup).key.clone()),
        };
        let windows = summary.windows.into_iter().filter(|measured| {
            let window = &measured.window;
            let by_setup = self.setups.is_empty() || setup(&window.setup).is_some_and(|key| self.setups.contains(&key));
            by_setup && chosen(&self.scenarios, &window.scenario)
        });
        FlightSummary { flight: id, windows: windows.collect(), ..summary }
    }
}

/// A value for a query, or a step of a path.
pub(crate) fn encoded(value: &str) -> String {
    percent_encoding::utf8_percent_encode(value, percent_encoding::NON_ALPHANUMERIC).to_string()
}
