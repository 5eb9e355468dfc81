//! What keeps a campaign's result from being taken at face value.

use driftless_campaign::model::{Flight, Place};
use driftless_track::Severity;

/// Something to know before reading the figures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CampaignAlert {
    /// Stable name of the kind, in kebab-case.
    pub code: &'static str,
    /// How bad.
    pub severity: Severity,
    /// What it is, with what it is about.
    pub message: String,
    /// What to do about it.
    pub help: String,
    /// Where it stands, when it comes from a line of a file other than a log.
    pub place: Option<Place>,
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

    pub(super) fn add(&mut self, code: &'static str, severity: Severity, message: String, help: &str) {
        self.list.push(CampaignAlert { code, severity, message, help: help.to_owned(), place: None });
    }

    /// About a flight: its name goes in front, its line in the campaign file behind.
    pub(super) fn flight(
        &mut self,
        flight: &Flight,
        code: &'static str,
        severity: Severity,
        message: &str,
        help: &str,
    ) {
        let place = Place { file: self.file.clone(), line: flight.line };
        self.place(&place, code, severity, format!("flight {}: {message}", flight.key), help);
    }

    pub(super) fn place(&mut self, place: &Place, code: &'static str, severity: Severity, message: String, help: &str) {
        self.list.push(CampaignAlert { code, severity, message, help: help.to_owned(), place: Some(place.clone()) });
    }

    /// Worst first, otherwise in the order met.
    pub(super) fn into_vec(mut self) -> Vec<CampaignAlert> {
        self.list.sort_by_key(|alert| std::cmp::Reverse(alert.severity));
        self.list
    }
}
