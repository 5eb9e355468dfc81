//! What the tests of the logbook have in common.
#![allow(dead_code, reason = "each test uses its part")]

use chrono::{DateTime, TimeDelta, Utc};
use driftless_analysis::campaign::file::{Folder, read};
use driftless_analysis::campaign::model::{Campaign, PowerUnit, PropellerDirection, Wing};
use driftless_analysis::{FlightFiles, Scenario, TextFile};
use driftless_logbook::{About, CampaignId, FlightId, Logbook, MarkRow, SetupItem};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

pub(crate) fn now() -> DateTime<Utc> {
    DateTime::parse_from_rfc3339("2026-06-01T12:00:00.250Z").expect("a time").to_utc()
}

/// A logbook in memory, and its one campaign.
pub(crate) fn logbook() -> (Logbook, CampaignId) {
    let logbook = Logbook::in_memory().expect("a logbook");
    let id = logbook.campaigns().expect("campaigns")[0].id;
    (logbook, id)
}

pub(crate) fn log<'a>(name: &str, bytes: &'a [u8]) -> FlightFiles<'a> {
    FlightFiles { name: name.to_owned(), log: bytes, ..FlightFiles::default() }
}

pub(crate) fn text(name: &str, text: &str) -> Option<TextFile> {
    Some(TextFile { name: name.to_owned(), text: text.to_owned() })
}

pub(crate) fn add(logbook: &mut Logbook, campaign: CampaignId, name: &str) -> FlightId {
    logbook.add_flight(campaign, &log(name, name.as_bytes()), now()).expect("added").flight
}

/// A power unit, a wing and a set-up.
pub(crate) fn describe(logbook: &mut Logbook, campaign: CampaignId) {
    let unit = PowerUnit {
        key: "tarn".to_owned(),
        name: "Tarn 185".to_owned(),
        reduction_ratio: 2.87,
        drive_efficiency: 1.0,
        propeller: PropellerDirection::Clockwise,
        engine: BTreeMap::new(),
    };
    logbook.put_power_unit(campaign, &unit, None).expect("a power unit");
    logbook.put_wing(campaign, &wing("fenlark", "Fenlark 26"), None).expect("a wing");
    let setup = SetupItem {
        key: "bare".to_owned(),
        name: "no device".to_owned(),
        power_unit: "tarn".to_owned(),
        ..SetupItem::default()
    };
    logbook.put_setup(campaign, &setup, None).expect("a set-up");
}

pub(crate) fn wing(key: &str, name: &str) -> Wing {
    Wing { key: key.to_owned(), name: name.to_owned(), area_m2: Some(26.0), mass_kg: None, class: None }
}

pub(crate) fn about(setup: &str, wing: Option<&str>) -> About {
    About { setup: Some(setup.to_owned()), wing: wing.map(str::to_owned), ..About::default() }
}

/// A window of a minute that begins so many seconds after the time of these tests.
pub(crate) fn mark(from_s: i64) -> MarkRow {
    MarkRow {
        let_go: now() + TimeDelta::seconds(from_s),
        take_over: now() + TimeDelta::seconds(from_s + 60),
        scenario: Some(Scenario::TrimLevel),
        setup: None,
        note: Some("calm, \"smooth\"; #1\nsecond line".to_owned()),
    }
}

pub(crate) fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-tracks/campaign")
}

pub(crate) struct Disk(pub(crate) PathBuf);

impl Folder for Disk {
    fn holds(&self, path: &str) -> bool {
        self.0.join(path).is_file()
    }
    fn near(&self, _path: &str) -> Vec<String> {
        Vec::new()
    }
    fn text(&self, path: &str) -> Result<String, String> {
        std::fs::read_to_string(self.0.join(path)).map_err(|error| error.to_string())
    }
}

pub(crate) fn demo_campaign() -> Campaign {
    let text = std::fs::read_to_string(demo().join("campaign.toml")).expect("the demo");
    read(&text, "campaign.toml", &Disk(demo())).expect("the demo")
}
