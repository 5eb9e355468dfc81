//! From the files of a flight in the logbook down the one road of the analysis.

use crate::app::{App, Progress};
use crate::failure::Result;
use chrono::{DateTime, Utc};
use driftless_analysis::campaign::FlightSummary;
use driftless_analysis::campaign::model::FlightId as CampaignFlight;
use driftless_analysis::{Asked, FlightAnalysis, FlightConfig, FlightFiles, TextFile, analyse_files, sha256};
use driftless_logbook::{FlightId, StoredFiles};
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
        let stored = self.stored(id, marks)?;
        let from = made_from(&stored);
        if let Some(analysis) = self.memory()?.analysis(&from) {
            return Ok(analysis);
        }
        let analysis = Arc::new(self.analyse(stored, now, progress)?);
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
        let stored = self.stored(id, Marks::Counting)?;
        let from = made_from(&stored);
        if let Some(summary) = self.memory()?.summary(&from) {
            return Ok(FlightSummary { flight, ..summary });
        }
        let summary = FlightSummary::of(flight, self.analyse(stored, now, progress)?);
        self.memory()?.keep_summary(from, summary.clone());
        Ok(summary)
    }

    fn stored(&self, id: FlightId, marks: Marks) -> Result<StoredFiles> {
        let mut stored = self.logbook()?.flight_files(id)?;
        if marks == Marks::Left {
            stored.marks = Some(TextFile { name: "no marks".to_owned(), text: NO_MARKS.to_owned() });
        }
        Ok(stored)
    }

    fn analyse(&self, stored: StoredFiles, now: DateTime<Utc>, progress: Progress<'_>) -> Result<FlightAnalysis> {
        let _inside = self.gate.enter();
        let no_rows =
            stored.marks.as_ref().is_some_and(|marks| marks.text.lines().filter(|l| !l.trim().is_empty()).count() < 2);
        let files = FlightFiles {
            name: stored.name,
            log: &stored.log,
            marks: stored.marks,
            inertial: stored.inertial,
            csv_mapping: stored.csv_mapping,
        };
        let mut analysis = analyse_files(files, &self.asked(now), &mut |stage| progress(stage.words()))?;
        if no_rows {
            // Nobody named a window, so none is missing.
            analysis.problems.retain(|problem| problem.code != "marks-file-unused");
        }
        Ok(analysis)
    }
}

/// Everything that an analysis depends on, as one word.
fn made_from(stored: &StoredFiles) -> String {
    let text = |file: &Option<TextFile>| file.as_ref().map(|file| file.text.clone()).unwrap_or_default();
    let inertial: Vec<String> = stored
        .inertial
        .iter()
        .map(|file| format!("{} {}", file.sha256, file.mapping_toml.clone().unwrap_or_default()))
        .collect();
    let all =
        [sha256(&stored.log), stored.name.clone(), text(&stored.marks), text(&stored.csv_mapping), inertial.join("\n")];
    sha256(all.join("\0").as_bytes())
}
