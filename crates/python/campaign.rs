//! A campaign, compared.

#![expect(clippy::needless_pass_by_value, reason = "Python hands its arguments over")]

use crate::faults::Fault;
use crate::given::{asked, units};
use crate::threads::{interruptible, pool};
use driftless_analysis::campaign::{CampaignAnalysis, CampaignInput, analyse_campaign};
use driftless_analysis::{Asked, FlightConfig, MadeBy};
use driftless_charts::campaign::charts;
use driftless_display::DisplayUnits;
use driftless_display::reasons::{file_not_used, flight_failure};
use driftless_files::{DiskFolder, LoadedCampaign, analyse_flights, given_name, text};
use driftless_report::{campaign_brief, campaign_html, campaign_html_piece, campaign_json, campaign_text};
use pyo3::prelude::*;
use std::collections::HashMap;
use std::path::{Path, PathBuf};

/// A campaign, analysed.
#[pyclass(frozen, module = "driftless._native")]
pub(crate) struct Campaign {
    analysis: CampaignAnalysis,
    /// What could not be read or used, in the words of the program, in the order of the campaign file.
    #[pyo3(get)]
    failures: Vec<String>,
    units: DisplayUnits,
}

/// Analyses a campaign file and its flights.
#[pyfunction]
#[pyo3(signature = (campaign, *, units, jobs, anonymous, limits, command))]
pub(crate) fn compare(
    py: Python<'_>,
    campaign: PathBuf,
    units: Option<&str>,
    jobs: Option<usize>,
    anonymous: bool,
    limits: Option<HashMap<String, usize>>,
    command: String,
) -> PyResult<Campaign> {
    let raised = |fault: Fault| fault.into_exception(py);
    let units = self::units(units).map_err(raised)?;
    let asked = asked(limits, command).map_err(raised)?;
    let pool = pool(jobs).map_err(raised)?;
    let loaded = py.detach(|| load(&campaign, &asked)).map_err(raised)?;
    let of_flights = Asked { command: String::new(), ..asked.clone() };
    let outcomes = interruptible(py, &pool, |stop| analyse_flights(&loaded, &of_flights, stop, &|| ()))?;
    let failures = outcomes.iter().flat_map(|outcome| match outcome {
        Ok(summary) => {
            let told = |file| format!("{}: {}", driftless_units::printable(&summary.file), file_not_used(file));
            summary.files_not_used.iter().map(told).collect()
        }
        Err(why) if why.at_fault() => vec![flight_failure(why)],
        Err(_) => Vec::new(),
    });
    let failures = failures.collect();
    let input = CampaignInput {
        made_by: MadeBy {
            version: asked.version,
            command: asked.command,
            input_sha256: loaded.sha256,
            config: FlightConfig::default().entries(),
        },
        file: loaded.name,
        campaign: loaded.campaign,
        flights: outcomes,
    };
    let analysis = py.detach(|| analyse_campaign(if anonymous { input.anonymous() } else { input }));
    Ok(Campaign { analysis, failures, units })
}

fn load(path: &Path, asked: &Asked) -> Result<LoadedCampaign, Fault> {
    let limits = &asked.config.input;
    let folder = DiskFolder::new(path.parent().map(Path::to_owned).unwrap_or_default(), limits);
    LoadedCampaign::read(&text(path, limits)?, given_name(path), folder, limits).map_err(Fault::Campaign)
}

#[pymethods]
impl Campaign {
    /// The document as JSON text.
    fn json(&self, py: Python<'_>) -> PyResult<String> {
        py.detach(|| campaign_json(&self.analysis))
            .map_err(|error| Fault::Document(error.to_string()).into_exception(py))
    }

    /// The page.
    fn html(&self, py: Python<'_>) -> String {
        py.detach(|| campaign_html(&self.analysis, &self.units))
    }

    /// What a notebook shows.
    fn piece(&self, py: Python<'_>) -> String {
        py.detach(|| campaign_html_piece(&self.analysis, &self.units))
    }

    /// All figures in words.
    fn text(&self, py: Python<'_>, width: usize) -> String {
        py.detach(|| campaign_text(&self.analysis, &self.units, width))
    }

    /// The first screen in words.
    fn brief(&self, py: Python<'_>, width: usize) -> String {
        py.detach(|| campaign_brief(&self.analysis, &self.units, width))
    }

    /// Id and SVG file of each chart, in the order of the page.
    fn charts(&self, py: Python<'_>) -> Vec<(String, String)> {
        py.detach(|| {
            let charts = charts(&self.analysis, &self.units);
            charts.into_iter().map(|chart| (chart.id.clone(), chart.standalone())).collect()
        })
    }
}
