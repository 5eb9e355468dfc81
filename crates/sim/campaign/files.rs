//! The files of a simulated campaign: scenarios, logs, truth, and the sheet of timed runs.

use super::{Description, timed_runs};
use crate::{SimError, simulate};
use std::fmt::Write;

/// Name and content of every file but the description and the campaign file themselves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CampaignFiles {
    /// `NAME.toml` of every flight.
    pub scenarios: Vec<(String, String)>,
    /// `NAME.igc` and `NAME.truth.json` of every flight whose log was kept.
    pub logs: Vec<(String, String)>,
    /// `stopwatch.csv`.
    pub sheet: (String, String),
}

impl Description {
    /// Flies the whole campaign.
    ///
    /// # Errors
    /// Those of [`Description::scenarios`] and [`simulate`].
    pub fn files(&self) -> Result<CampaignFiles, SimError> {
        let mut sheet = String::from("flight,window,setup,wing,scenario,degrees,seconds,turned,timed_by,date\n");
        let mut files = CampaignFiles { scenarios: Vec::new(), logs: Vec::new(), sheet: Default::default() };
        for (sortie, scenario) in self.sorties.iter().zip(self.scenarios()?) {
            files.scenarios.push((format!("{}.toml", scenario.name), scenario.to_toml()?));
            let flight = simulate(&scenario, scenario.seed)?;
            if let Some(by) = &sortie.timed_by {
                let date = scenario.start_utc.date_naive();
                for run in timed_runs(&flight) {
                    let (log, window) = match sortie.log_kept {
                        true => (sortie.name.as_str(), run.window.to_string()),
                        false => ("", String::new()),
                    };
                    let side = if run.to_the_right { "right" } else { "left" };
                    // Writing into a String cannot fail.
                    let _ = writeln!(
                        sheet,
                        "{log},{window},{},{},{},{},{:.1},{side},{by},{date}",
                        sortie.setup,
                        sortie.wing,
                        run.setting.name(),
                        run.degrees,
                        run.seconds,
                    );
                }
            }
            if sortie.log_kept {
                for &format in &scenario.output.formats {
                    let name = format!("{}.{}", scenario.name, format.extension());
                    files.logs.push((name, flight.to_format(format)));
                }
                files.logs.push((format!("{}.truth.json", scenario.name), flight.to_truth_json()));
            }
        }
        files.sheet = ("stopwatch.csv".to_owned(), sheet);
        Ok(files)
    }
}
