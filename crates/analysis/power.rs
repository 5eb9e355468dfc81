//! How far the power that the name of a scenario claims is known: said by somebody, recorded, or only read off climb and
//! airspeed.

use crate::{Scenario, ScenarioBasis, Window};

/// What the power of a scenario is known from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PowerSource {
    /// Recorded engine noise: whether the engine ran, and not how hard.
    EngineNoise,
    /// Recorded engine speed.
    EngineSpeed,
    /// The campaign file names the scenario.
    CampaignFile,
    /// The marks name the scenario.
    Marks,
}

impl PowerSource {
    /// Of a window; `None` where nobody said or recorded it.
    pub const fn of(window: &Window) -> Option<Self> {
        match window.scenario_basis {
            ScenarioBasis::Marked => Some(Self::Marks),
            ScenarioBasis::Rpm => Some(Self::EngineSpeed),
            ScenarioBasis::EngineNoise => Some(Self::EngineNoise),
            ScenarioBasis::ClimbOnly => None,
        }
    }

    /// Stable name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::EngineNoise => "engine-noise",
            Self::EngineSpeed => "engine-speed",
            Self::CampaignFile => "campaign-file",
            Self::Marks => "marks",
        }
    }
}

/// How far the power that a scenario claims is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PowerKnown {
    /// As far as the name of the scenario claims it.
    Known,
    /// That the engine ran, and not that it ran at full power.
    Running,
    /// Of some of the windows that stand together.
    InPart,
    /// Nobody said or recorded it.
    NotRecorded,
}

impl PowerKnown {
    /// By what the power of a scenario is known from.
    pub fn by(source: Option<PowerSource>, scenario: Scenario) -> Self {
        match source {
            None => Self::NotRecorded,
            Some(PowerSource::EngineNoise) if scenario == Scenario::FullPowerClimb => Self::Running,
            Some(_) => Self::Known,
        }
    }

    /// Of a window.
    pub fn of(window: &Window) -> Self {
        Self::by(PowerSource::of(window), window.scenario)
    }

    /// Of several that stand together; known where there is none, as nothing is claimed.
    pub fn together(all: impl IntoIterator<Item = Self>) -> Self {
        let joined = |known: Self, next: Self| if known == next { known } else { Self::InPart };
        all.into_iter().reduce(joined).unwrap_or(Self::Known)
    }

    /// A scenario as far as it is known, as people say it: no power in the name that nobody said or recorded.
    pub const fn scenario_words(self, scenario: Scenario) -> &'static str {
        match (scenario, self) {
            (Scenario::Unclassified, _) | (_, Self::Known) => scenario.words(),
            (Scenario::FullPowerClimb, Self::Running) => "climb, engine running (how hard not recorded)",
            (_, Self::Running) => scenario.words(),
            (Scenario::TrimLevel, Self::NotRecorded) => "trim level (power not recorded)",
            (Scenario::AcceleratedLevel, Self::NotRecorded) => "accelerated level (power not recorded)",
            (Scenario::FullPowerClimb, Self::NotRecorded) => "climb (power not recorded)",
            (Scenario::PowerOffGlide, Self::NotRecorded) => "descent (power not recorded)",
            (Scenario::TrimLevel, Self::InPart) => "trim level (power not always recorded)",
            (Scenario::AcceleratedLevel, Self::InPart) => "accelerated level (power not always recorded)",
            (Scenario::FullPowerClimb, Self::InPart) => "climb (power not always recorded)",
            (Scenario::PowerOffGlide, Self::InPart) => "descent (power not always recorded)",
        }
    }

    /// The same where room is short.
    pub const fn short_scenario_words(self, scenario: Scenario) -> &'static str {
        match (scenario, self) {
            (Scenario::Unclassified, _) | (_, Self::Known) => scenario.words(),
            (Scenario::FullPowerClimb, Self::Running) => "climb (full power?)",
            (_, Self::Running) => scenario.words(),
            (Scenario::TrimLevel, _) => "trim level (power?)",
            (Scenario::AcceleratedLevel, _) => "accelerated (power?)",
            (Scenario::FullPowerClimb, _) => "climb (power?)",
            (Scenario::PowerOffGlide, _) => "descent (power?)",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_claims_a_power_that_is_not_known() {
        for known in [PowerKnown::Running, PowerKnown::InPart, PowerKnown::NotRecorded] {
            for scenario in [Scenario::FullPowerClimb, Scenario::PowerOffGlide] {
                if (scenario, known) == (Scenario::PowerOffGlide, PowerKnown::Running) {
                    continue;
                }
                for words in [known.scenario_words(scenario), known.short_scenario_words(scenario)] {
                    assert!(!words.starts_with("full-power") && !words.starts_with("power-off"), "{words}");
                    assert!(words.contains("recorded") || words.contains('?'), "{words}");
                }
            }
        }
        for scenario in Scenario::ALL {
            assert_eq!(PowerKnown::Known.scenario_words(scenario), scenario.words());
        }
        assert_eq!(PowerKnown::NotRecorded.scenario_words(Scenario::Unclassified), "not classified");
    }

    #[test]
    fn a_noise_sensor_tells_that_the_engine_ran_and_not_how_hard() {
        let noise = Some(PowerSource::EngineNoise);
        assert_eq!(PowerKnown::by(noise, Scenario::FullPowerClimb), PowerKnown::Running);
        assert_eq!(PowerKnown::by(noise, Scenario::PowerOffGlide), PowerKnown::Known);
        assert_eq!(PowerKnown::by(Some(PowerSource::EngineSpeed), Scenario::FullPowerClimb), PowerKnown::Known);
        assert_eq!(PowerKnown::by(None, Scenario::TrimLevel), PowerKnown::NotRecorded);
    }

    #[test]
    fn what_stands_together_is_known_in_part_where_it_differs() {
        let (known, not) = (PowerKnown::Known, PowerKnown::NotRecorded);
        assert_eq!(PowerKnown::together([known, known]), known);
        assert_eq!(PowerKnown::together([not, not]), not);
        assert_eq!(PowerKnown::together([known, not, known]), PowerKnown::InPart);
        assert_eq!(PowerKnown::together([]), known);
    }
}
