//! The demo tracks are made from the scenario files beside them: remade here, byte for byte.

use driftless_sim::{Scenario, render};
use std::collections::BTreeSet;
use std::path::PathBuf;

#[test]
fn demo_tracks_are_what_their_scenarios_make() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-tracks");
    let mut made = BTreeSet::new();
    let entries: Vec<PathBuf> = std::fs::read_dir(&folder).unwrap().map(|e| e.unwrap().path()).collect();
    let is_scenario = |path: &&PathBuf| {
        path.extension().is_some_and(|e| e == "toml")
            && std::fs::read_to_string(path).is_ok_and(|text| text.contains("[[flight]]"))
    };
    for path in entries.iter().filter(is_scenario) {
        let scenario = Scenario::from_toml(&std::fs::read_to_string(path).unwrap())
            .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        assert_eq!(path.file_stem().unwrap().to_str(), Some(scenario.name.as_str()), "named as its file");
        for (name, bytes) in render(&scenario, scenario.seed).unwrap().files {
            let kept = std::fs::read(folder.join(&name)).unwrap_or_else(|error| panic!("{name}: {error}"));
            assert!(
                kept == bytes,
                "{name} is not what {} makes; make it anew with `driftless simulate`",
                path.display()
            );
            assert!(bytes.len() < 1_500_000, "{name} is small enough to keep");
            made.insert(name);
        }
    }
    let logs = made.iter().filter(|name| !name.ends_with(".marks.csv") && !name.ends_with(".truth.json")).count();
    assert!(logs >= 3, "{made:?}");
}
