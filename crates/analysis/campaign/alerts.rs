//! What keeps a campaign's result from being taken at face value: data, put into words by reports.

use super::{CellKey, FlightFailure};
use crate::FileNotUsed;
use driftless_campaign::model::{Flight, Place, SetupId};
use driftless_segment::Measured;
use driftless_statistics::StatisticsError;
use driftless_track::Severity;

/// Something to know before reading the figures.
#[derive(Debug, Clone, PartialEq)]
pub struct CampaignAlert {
    /// What it is.
    pub kind: CampaignAlertKind,
    /// Where it stands, when it comes from a line of a file other than a log.
    pub place: Option<Place>,
}

/// What there is to know.
#[derive(Debug, Clone, PartialEq)]
pub enum CampaignAlertKind {
    /// No run counts.
    NoCells,
    /// The log of a flight gives no analysis.
    FlightNotUsable {
        /// The flight.
        flight: String,
        /// Why.
        why: FlightFailure,
    },
    /// A file beside a log had no part in its analysis.
    FileNotUsed {
        /// The flight.
        flight: String,
        /// Name of its log as given.
        log: String,
        /// Which file, and why.
        why: FileNotUsed,
    },
    /// The campaign file leaves a window out that the flight does not have.
    NoWindowToLeaveOut {
        /// The flight.
        flight: String,
        /// Number of the window.
        window: u32,
    },
    /// The campaign file says that a window was flown with a known weight, and the flight does not have it.
    NoWindowWithWeight {
        /// The flight.
        flight: String,
        /// Number of the window.
        window: u32,
    },
    /// None of a flight's windows counts.
    FlightWithoutRuns {
        /// The flight.
        flight: String,
        /// How many windows it has.
        windows: usize,
    },
    /// Two flights have the same log.
    LogTwice {
        /// The flight.
        flight: String,
        /// The one before with that log.
        same_as: String,
    },
    /// A stopwatch run names another set-up, wing or scenario than its log.
    TimedAnotherRun {
        /// What the stopwatch run names.
        stopwatch: CellKey,
        /// What the log is of.
        log: CellKey,
    },
    /// The runs of a cell cannot be combined.
    CellNotCombined {
        /// The cell.
        cell: CellKey,
        /// Why.
        error: StatisticsError,
    },
    /// Repeats differ by more than their own uncertainties explain.
    RepeatsDiffer {
        /// Where, with the spread from run to run in °/s; the largest first.
        cells: Vec<(CellKey, f64)>,
        /// How many cells there are.
        of: usize,
        /// Whether one of them has too few runs to say how much they spread.
        too_few_runs: bool,
    },
    /// The cells cannot share their spread; each stands by itself.
    SpreadNotShared {
        /// Why.
        error: StatisticsError,
    },
    /// A run is far from the others of its cell.
    RunStandsApart {
        /// The cell.
        cell: CellKey,
        /// Name of the run.
        run: String,
        /// Its turn rate, °/s.
        rate_deg_s: f64,
    },
    /// Cells were flown on a single day each.
    SingleRuns {
        /// Which.
        cells: Vec<CellKey>,
        /// How many cells there are.
        of: usize,
        /// Repeats of other cells that their spread rests on; zero where nothing was repeated at all.
        repeats: usize,
    },
    /// A compensation could not be worked out.
    CompensationNotWorkedOut {
        /// Of which cell.
        cell: CellKey,
        /// Why.
        error: StatisticsError,
    },
    /// The baseline of a cell was not flown.
    BaselineNotFlown {
        /// The cell that is missing.
        baseline: CellKey,
    },
    /// Runs count whose power nobody named or recorded.
    PowerNotRecorded {
        /// The flight.
        flight: String,
        /// Numbers of the windows.
        windows: Vec<u32>,
    },
    /// A set-up with a torque device names no baseline.
    NoBaseline {
        /// The set-up.
        setup: SetupId,
    },
}

impl CampaignAlert {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self.kind {
            CampaignAlertKind::NoCells => "no-cells",
            CampaignAlertKind::FlightNotUsable { .. } => "flight-not-usable",
            CampaignAlertKind::FileNotUsed { .. } => "file-not-used",
            CampaignAlertKind::NoWindowToLeaveOut { .. } | CampaignAlertKind::NoWindowWithWeight { .. } => {
                "no-such-window"
            }
            CampaignAlertKind::FlightWithoutRuns { .. } => "flight-without-runs",
            CampaignAlertKind::LogTwice { .. } => "log-twice",
            CampaignAlertKind::TimedAnotherRun { .. } => "timed-another-run",
            CampaignAlertKind::CellNotCombined { .. } => "cell-not-combined",
            CampaignAlertKind::SpreadNotShared { .. } => "spread-not-shared",
            CampaignAlertKind::RepeatsDiffer { .. } => "repeats-differ",
            CampaignAlertKind::RunStandsApart { .. } => "run-stands-apart",
            CampaignAlertKind::SingleRuns { .. } => "single-runs",
            CampaignAlertKind::CompensationNotWorkedOut { .. } => "compensation-not-worked-out",
            CampaignAlertKind::BaselineNotFlown { .. } => "baseline-not-flown",
            CampaignAlertKind::PowerNotRecorded { .. } => "power-not-recorded",
            CampaignAlertKind::NoBaseline { .. } => "no-baseline",
        }
    }

    /// How bad.
    pub const fn severity(&self) -> Severity {
        match self.kind {
            CampaignAlertKind::NoCells
            | CampaignAlertKind::FlightNotUsable { .. }
            | CampaignAlertKind::LogTwice { .. }
            | CampaignAlertKind::CellNotCombined { .. }
            | CampaignAlertKind::SpreadNotShared { .. }
            | CampaignAlertKind::CompensationNotWorkedOut { .. } => Severity::Error,
            // Real set-ups do differ from run to run, and the interval accounts for it; too few to say how much is
            // another matter.
            CampaignAlertKind::RepeatsDiffer { too_few_runs: false, .. } => Severity::Note,
            _ => Severity::Warning,
        }
    }

    /// Stable name of the reason, in kebab-case, and the figure that decided, with its limit.
    pub fn finding(&self) -> (&'static str, Measured) {
        let alone = |value: f64, unit: Option<&'static str>| Measured { value: Some(value), limit: None, unit };
        match &self.kind {
            CampaignAlertKind::FlightNotUsable { why, .. } => (why.code(), Measured::default()),
            CampaignAlertKind::FileNotUsed { why, .. } => why.reason(),
            CampaignAlertKind::CellNotCombined { error, .. }
            | CampaignAlertKind::SpreadNotShared { error }
            | CampaignAlertKind::CompensationNotWorkedOut { error, .. } => statistics_reason(error),
            CampaignAlertKind::NoWindowToLeaveOut { window, .. } => {
                ("no-window-to-leave-out", alone(f64::from(*window), None))
            }
            CampaignAlertKind::NoWindowWithWeight { window, .. } => {
                ("no-window-with-weight", alone(f64::from(*window), None))
            }
            CampaignAlertKind::FlightWithoutRuns { windows, .. } => (self.code(), alone(*windows as f64, None)),
            CampaignAlertKind::RepeatsDiffer { .. } | CampaignAlertKind::RunStandsApart { .. } => {
                (self.code(), Measured { value: self.value_deg_s(), limit: None, unit: Some("°/s") })
            }
            CampaignAlertKind::PowerNotRecorded { windows, .. } => (self.code(), alone(windows.len() as f64, None)),
            CampaignAlertKind::SingleRuns { cells, .. } => (self.code(), alone(cells.len() as f64, None)),
            CampaignAlertKind::NoCells
            | CampaignAlertKind::LogTwice { .. }
            | CampaignAlertKind::TimedAnotherRun { .. }
            | CampaignAlertKind::BaselineNotFlown { .. }
            | CampaignAlertKind::NoBaseline { .. } => (self.code(), Measured::default()),
        }
    }

    /// The figure behind it, °/s, where there is one: the spread from run to run, the rate of a run.
    pub fn value_deg_s(&self) -> Option<f64> {
        match &self.kind {
            CampaignAlertKind::RepeatsDiffer { cells, .. } => cells.first().map(|(_, spread)| *spread),
            CampaignAlertKind::RunStandsApart { rate_deg_s, .. } => Some(*rate_deg_s),
            _ => None,
        }
    }
}

/// Why statistics cannot be worked out.
fn statistics_reason(error: &StatisticsError) -> (&'static str, Measured) {
    match *error {
        StatisticsError::TooFew { needed, got, .. } => {
            ("too-few-values", Measured { value: Some(got as f64), limit: Some(needed as f64), unit: None })
        }
        StatisticsError::NotFinite { .. } => ("not-finite", Measured::default()),
        StatisticsError::NotPositive { value, .. } => {
            ("not-positive", Measured { value: Some(value), limit: Some(0.0), unit: None })
        }
        StatisticsError::Unequal { left, right, .. } => {
            ("unequal-lengths", Measured { value: Some(left as f64), limit: Some(right as f64), unit: None })
        }
        StatisticsError::NotIdentifiable { .. } => ("not-identifiable", Measured::default()),
        StatisticsError::NotConverged { iterations, .. } => {
            ("no-convergence", Measured { value: Some(iterations as f64), limit: None, unit: None })
        }
    }
}

/// Collects them.
#[derive(Debug, Default)]
pub(super) struct Alerts {
    list: Vec<CampaignAlert>,
    file: String,
}

impl Alerts {
    pub(super) fn of(file: &str) -> Self {
        Self { list: Vec::new(), file: file.to_owned() }
    }

    pub(super) fn add(&mut self, kind: CampaignAlertKind) {
        self.list.push(CampaignAlert { kind, place: None });
    }

    /// About a flight, at its line in the campaign file.
    pub(super) fn flight(&mut self, flight: &Flight, kind: CampaignAlertKind) {
        self.place(&Place { file: self.file.clone(), line: flight.line }, kind);
    }

    pub(super) fn place(&mut self, place: &Place, kind: CampaignAlertKind) {
        self.list.push(CampaignAlert { kind, place: Some(place.clone()) });
    }

    /// Worst first, otherwise in the order met.
    pub(super) fn into_vec(mut self) -> Vec<CampaignAlert> {
        self.list.sort_by_key(|alert| std::cmp::Reverse(alert.severity()));
        self.list
    }
}
