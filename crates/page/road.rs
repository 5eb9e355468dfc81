//! From the files of a flight in the logbook down the one road of the analysis.

use crate::app::{App, Progress};
use crate::failure::Result;
use crate::memory::MadeFrom;
use chrono::{DateTime, Utc};
use driftless_analysis::campaign::FlightSummary;
use driftless_analysis::campaign::model::FlightId as CampaignFlight;
use driftless_analysis::{Asked, FlightAnalysis, FlightConfig, TextFile, analyse_files};
use driftless_logbook::FlightId;
use std::sync::Arc;

/// Which marks are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Marks {
    /// Those that count: as corrected, as given, or those of the log.
    Counting,
    /// None at all, so that windows are looked for.
    Left,
}

/// A marks file with no windows: none of those in the log count either.
const NO_MARKS: &str = "let_go,take_over\n";

impl App {
    /// How flights are analysed here.
    pub(crate) fn asked(&self, now: DateTime<Utc>) -> Asked {
        Asked {
            version: self.version.clone(),
            command: "page".to_owned(),
            config: FlightConfig { input: self.limits, ..FlightConfig::default() },
            now: Some(now),
        }
    }

    /// The analysis of a flight.
    pub(crate) fn analysis(
        &self,
        id: FlightId,
        marks: Marks,
        now: DateTime<Utc>,
        progress: Progress<'_>,
    ) -> Result<Arc<FlightAnalysis>> {
        let from = self.made_from(id, marks)?;
        if let Some(analysis) = self.memory()?.analysis(&from) {
            return Ok(analysis);
        }
        let analysis = Arc::new(self.analyse(id, marks, now, progress)?);
        self.memory()?.keep(from, Arc::clone(&analysis));
        Ok(analysis)
    }

    /// What a campaign needs of a flight.
    pub(crate) fn summary(
        &self,
        id: FlightId,
        flight: CampaignFlight,
        now: DateTime<Utc>,
        progress: Progress<'_>,
    ) -> Result<FlightSummary> {
        let from = self.made_from(id, Marks::Counting)?;
        if let Some(summary) = self.memory()?.summary(&from) {
            return Ok(FlightSummary { flight, ..summary });
        }
        let summary = FlightSummary::of(flight, self.analyse(id, Marks::Counting, now, progress)?);
        self.memory()?.keep_summary(from, summary.clone());
        Ok(summary)
    }

    /// Everything that an analysis depends on, as one word; without reading the log.
    fn made_from(&self, id: FlightId, marks: Marks) -> Result<MadeFrom> {
        Ok(format!("{marks:?} {}", self.logbook()?.fingerprint(id)?))
    }

    fn analyse(
        &self,
        id: FlightId,
        marks: Marks,
        now: DateTime<Utc>,
        progress: Progress<'_>,
    ) -> Result<FlightAnalysis> {
        let mut stored = self.logbook()?.flight_files(id)?;
        if marks == Marks::Left {
            stored.marks = Some(TextFile { name: "no marks".to_owned(), text: NO_MARKS.to_owned() });
        }
        let _inside = self.gate.enter();
        let mut analysis = analyse_files(stored.files(), &self.asked(now), &mut |stage| progress(stage.words()))?;
        let rows = |text: &str| text.lines().filter(|line| !line.trim().is_empty()).count().saturating_sub(1);
        if stored.marks.as_ref().is_some_and(|marks| rows(&marks.text) == 0) {
            // Nobody named a window, so none is missing.
            analysis.problems.retain(|problem| problem.code != "marks-file-unused");
        }
        Ok(analysis)
    }
}
