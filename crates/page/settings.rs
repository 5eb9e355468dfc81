//! How a reader likes it: units, time zone, numbers, paper. Kept in the logbook.

use crate::numbers::Numbers;
use driftless_display::{DisplayUnits, Zone};

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Paper {
    /// As the system says.
    #[default]
    AsSystem,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

impl Paper {
    pub(crate) const ALL: [(Self, &str, &str); 3] =
        [(Self::AsSystem, "system", "as the system"), (Self::Light, "light", "light"), (Self::Dark, "dark", "dark")];

    fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, own, _)| *own == name).map(|(paper, ..)| *paper)
    }
}

/// All of it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Settings {
    /// Units and time zone of everything that is shown.
    pub(crate) units: DisplayUnits,
    /// The units as chosen: a list of names.
    pub(crate) units_named: String,
    /// How numbers are written.
    pub(crate) numbers: Numbers,
    /// Light or dark.
    pub(crate) paper: Paper,
}

/// Names under which settings are kept.
pub(crate) const UNITS: &str = "units";
pub(crate) const ZONE: &str = "zone";
pub(crate) const NUMBERS: &str = "numbers";
pub(crate) const PAPER: &str = "paper";

impl Settings {
    /// From what was kept; whatever is not understood (a logbook of another version) is as at the beginning.
    pub(crate) fn of(kept: impl Fn(&str) -> Option<String>) -> Self {
        let units_named = kept(UNITS).unwrap_or_default();
        let units: DisplayUnits = units_named.parse().unwrap_or_default();
        let zone = kept(ZONE).and_then(|zone| Zone::named(&zone).ok()).unwrap_or_default();
        Self {
            units: DisplayUnits { zone, ..units },
            units_named,
            numbers: kept(NUMBERS).and_then(|name| Numbers::named(&name)).unwrap_or_default(),
            paper: kept(PAPER).and_then(|name| Paper::named(&name)).unwrap_or_default(),
        }
    }
}
