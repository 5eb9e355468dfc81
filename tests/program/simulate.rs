//! `driftless simulate`, and that the demo tracks are what their scenario files make.

use crate::run::Place;

#[test]
fn the_demo_tracks_are_remade_to_the_byte() {
    let place = Place::new();
    for name in ["ridge-five-metres", "meadow-light-wind", "lake-evening"] {
        let ran = place.run(&["simulate", &format!("demo-tracks/{name}.toml"), "-o", "again"]).expect_code(0);
        assert!(ran.stdout.lines().count() >= 2, "{}", ran.stdout);
        for made in ran.stdout.lines() {
            let file = made.rsplit(['/', '\\']).next().expect("a name");
            assert_eq!(place.read(made), place.read(&format!("demo-tracks/{file}")), "{made}");
        }
    }
}

#[test]
fn another_seed_is_another_flight() {
    let place = Place::new();
    place.run(&["simulate", "demo-tracks/meadow-light-wind.toml", "--seed", "6", "-o", "other"]).expect_code(0);
    assert_ne!(place.read("other/meadow-light-wind.gpx"), place.read("demo-tracks/meadow-light-wind.gpx"));
}

#[test]
fn a_faulty_scenario_is_named_with_its_line() {
    let place = Place::new();
    let faulty = place.read("demo-tracks/ridge-five-metres.toml").replacen("lat_deg", "latitude", 1);
    place.with("faulty.toml", faulty);
    let ran = place.run(&["simulate", "faulty.toml", "-o", "out"]).expect_code(2);
    assert!(ran.stderr.contains("faulty.toml") && ran.stderr.contains("line "), "{}", ran.stderr);
    assert!(!place.path("out").exists());
}
