//! A campaign into the logbook and out again.

use chrono::{DateTime, Utc};
use driftless_analysis::campaign::file::{AnyFolder, read, write};
use driftless_analysis::campaign::model::Campaign;
use driftless_logbook::{FlightFilter, Logbook};
use std::path::Path;

fn now() -> DateTime<Utc> {
    DateTime::parse_from_rfc3339("2026-06-01T12:00:00Z").expect("a time").to_utc()
}

#[test]
fn the_demo_campaign_comes_out_as_it_went_in() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-tracks/campaign");
    struct Disk<'a>(&'a Path);
    impl driftless_analysis::campaign::file::Folder for Disk<'_> {
        fn holds(&self, path: &str) -> bool {
            self.0.join(path).is_file()
        }
        fn near(&self, _: &str) -> Vec<String> {
            Vec::new()
        }
        fn text(&self, path: &str) -> Result<String, String> {
            std::fs::read_to_string(self.0.join(path)).map_err(|e| e.to_string())
        }
    }
    let text = std::fs::read_to_string(folder.join("campaign.toml")).expect("the demo");
    let campaign = read(&text, "campaign.toml", &Disk(&folder)).expect("the demo");
    let mut logbook = Logbook::in_memory().expect("a logbook");
    let get = |path: &str| std::fs::read(folder.join(path)).ok();
    let id = logbook.import_campaign(&campaign, &get, now()).expect("imported");
    let out = logbook.campaign(id).expect("there");
    assert!(out.waiting.is_empty());
    let lines_apart = |campaign: &Campaign| {
        read(&write(campaign), "c", &AnyFolder).unwrap_or_else(|e| panic!("{e}\n{}", write(campaign)))
    };
    assert_eq!(lines_apart(&out.campaign), lines_apart(&campaign));
    assert_eq!(logbook.check(), Ok(Vec::new()));
    assert_eq!(logbook.flights(id, &FlightFilter::default()).expect("flights").len(), campaign.flights.len());
}
