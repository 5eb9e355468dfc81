//! A campaign written and read again is the same campaign.

use super::{AnyFolder, Folder, STARTER, read, write};
use crate::model::*;
use chrono::NaiveDate;
use driftless_units::Scenario;
use std::path::{Path, PathBuf};

/// Without lines and files, which are those of the new file.
fn without_places(mut campaign: Campaign) -> Campaign {
    campaign.setups.iter_mut().for_each(|setup| setup.line = 0);
    campaign.flights.iter_mut().for_each(|flight| flight.line = 0);
    let places = campaign.stopwatch_runs.iter_mut().map(|run| &mut run.place);
    for place in places.chain(campaign.weight_runs.iter_mut().map(|run| &mut run.place)) {
        *place = Place { file: String::new(), line: 0 };
    }
    campaign
}

#[track_caller]
fn comes_back(campaign: Campaign) {
    let text = write(&campaign);
    let again = read(&text, "written.toml", &AnyFolder).unwrap_or_else(|error| panic!("{error}\n{text}"));
    assert_eq!(without_places(again), without_places(campaign), "{text}");
}

struct Disk(PathBuf);

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

#[test]
fn the_demo_campaign_comes_back_with_the_runs_of_its_sheet() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-tracks/campaign");
    let text = std::fs::read_to_string(folder.join("campaign.toml")).expect("the demo");
    let campaign = read(&text, "campaign.toml", &Disk(folder)).expect("the demo");
    assert!(campaign.flights.len() > 20 && campaign.stopwatch_runs.len() > 5 && campaign.weight_runs.len() > 3);
    comes_back(campaign);
}

#[test]
fn the_starter_comes_back() {
    comes_back(read(STARTER, "starter.toml", &AnyFolder).expect("the starter"));
}

/// Nothing but a title, as a new logbook has it.
#[test]
fn an_empty_campaign_comes_back() {
    let campaign = Campaign { title: "My flights".to_owned(), ..bare() };
    let text = write(&campaign);
    assert!(text.contains("[wings]") && text.contains("[setups]"), "a reader would miss them: {text}");
    comes_back(campaign);
}

/// Nobody reads such a seed; what is written says so, and is not empty.
#[test]
fn a_seed_beyond_all_readers_is_refused_in_words() {
    let mut campaign = bare();
    campaign.plan.seed = u64::MAX;
    let error = read(&write(&campaign), "written.toml", &AnyFolder).expect_err("refused").to_string();
    assert!(error.contains("`seed` of the plan"), "{error}");
}

fn bare() -> Campaign {
    Campaign {
        title: "x".to_owned(),
        club: None,
        note: None,
        wished_half_width_percent: 10.0,
        tolerated_turn_deg_min: 30.0,
        power_units: Vec::new(),
        devices: Vec::new(),
        wings: Vec::new(),
        pilots: Vec::new(),
        setups: Vec::new(),
        flights: Vec::new(),
        stopwatch_runs: Vec::new(),
        weight_runs: Vec::new(),
        scenario_weights: SCENARIOS.into_iter().map(|scenario| (scenario, 1.0)).collect(),
        plan: PlanWishes::default(),
    }
}

/// Texts that TOML has to write in its own ways.
fn awkward_texts() -> Vec<String> {
    let long = "Umlaut \u{fc} ".repeat(400);
    [
        "plain",
        "it's",
        "say \"hold\" and 'go'",
        "'''\"\"\"'''",
        "back\\slash \\u0041 \\n",
        "two\nlines",
        "two\r\nlines and a\ttab",
        "\u{7f}\u{1} control \u{feff} mark",
        "# no remark",
        "[wings.x] = { a = 1 }",
        "a.b.c",
        "\u{65e5}\u{672c}\u{8a9e} \u{1f681} e\u{301}",
        "2026-05-14",
        "1e5",
        "true",
        "none",
        long.trim(),
    ]
    .map(str::to_owned)
    .to_vec()
}

fn parts(text: &str, number: f64, with: bool) -> Campaign {
    let some = |value: f64| with.then_some(value);
    let words = || with.then(|| text.to_owned());
    let key = text.to_owned();
    let name = format!("{text} by name");
    let point = EnginePoint { power_kw: number, power_std_u_kw: number / 7.0, speed_rpm: 100.0 + number };
    // A set-up of that key could not be named as a baseline.
    let setup_key = if text == "none" { "nobody".to_owned() } else { text.to_owned() };
    let setup = |key: &str, device: Option<usize>, baseline: Option<usize>| Setup {
        key: key.to_owned(),
        name: format!("set-up {key}"),
        power_unit: PowerUnitId(0),
        device: device.map(DeviceId),
        setting: device.map(|_| number),
        wing: with.then_some(WingId(0)),
        pilot: with.then_some(PilotId(0)),
        baseline: baseline.map(SetupId),
        claim: Claim { compensation_percent: some(number), drift_deg_min: some(number) },
        line: 0,
    };
    Campaign {
        title: text.to_owned(),
        club: words(),
        note: words(),
        power_units: vec![PowerUnit {
            key: key.clone(),
            name: name.clone(),
            reduction_ratio: 1.0 + number / 9.0,
            drive_efficiency: 1.0 - number / 1000.0,
            propeller: if with { PropellerDirection::Clockwise } else { PropellerDirection::Anticlockwise },
            engine: SCENARIOS.into_iter().filter(|_| with).map(|scenario| (scenario, point)).collect(),
        }],
        devices: [None, Some(DeviceKind::Constant), Some(DeviceKind::Propwash), Some(DeviceKind::Mixed)]
            .into_iter()
            .enumerate()
            .map(|(i, model)| Device {
                key: format!("{text}{i}"),
                name: format!("device {i}"),
                model,
                setting_unit: words(),
                setting_range: with.then_some((number - 1.0 / 3.0, number + 1e-9)),
            })
            .collect(),
        wings: vec![
            Wing {
                key,
                name: name.clone(),
                area_m2: some(5.0 + number),
                mass_kg: some(0.5 + number / 3.0),
                class: words(),
            },
            Wing { key: "other".to_owned(), name: "other".to_owned(), area_m2: None, mass_kg: None, class: None },
        ],
        pilots: vec![Pilot {
            key: text.to_owned(),
            name,
            all_up_kg: some(40.0 + number),
            body_kg: some(25.0 + number),
            student: with,
        }],
        // The baseline stands behind the set-up that names it.
        setups: vec![setup("z", Some(0), Some(2)), setup("y", Some(3), None), setup(&setup_key, None, None)],
        scenario_weights: SCENARIOS.into_iter().zip([number, 0.0, 1.0, 1.0 / 3.0]).collect(),
        plan: PlanWishes {
            seed: u64::from(u32::MAX),
            repeats: 50,
            days: 1,
            hands_off_s: 20.0 + number,
            height_low_m: 100.0 + number,
            height_high_m: 200.0 + number,
            abort_height_m: some(60.0),
            wind_limit_mps: 0.5 + number / 7.0,
        },
        ..bare()
    }
}

fn awkward(text: &str, number: f64, with: bool) -> Campaign {
    let words = || with.then(|| text.to_owned());
    let flown = FlownWith { setup: SetupId(2), wing: WingId(1), pilot: with.then_some(PilotId(0)) };
    let flight = |key: &str, log: &str| Flight {
        key: key.to_owned(),
        log: log.to_owned(),
        marks: words(),
        imu: if with { vec![text.to_owned(), "b".to_owned()] } else { Vec::new() },
        csv_map: words(),
        exclude: words(),
        with: flown,
        scenario: with.then_some(Scenario::PowerOffGlide),
        take_candidates: with,
        leave_out: (1..=3).filter(|_| with).map(|window| LeftOut { window, reason: text.to_owned() }).collect(),
        temperature_c: with.then_some(number - 20.0),
        qnh_hpa: with.then_some(1000.0 + number),
        altitude_note: words(),
        note: words(),
        line: 0,
    };
    let timing = Timing {
        degrees: 90.0 + number,
        seconds: 0.5 + number / 3.0,
        count: 3,
        turned: if with { Turned::Left } else { Turned::Right },
        reading_std_u_s: 0.1 + number / 11.0,
        pointing_std_u_deg: 1e-6 + number / 13.0,
    };
    let weight = HungWeight {
        mass_kg: number / 10.0,
        mass_std_u_kg: 0.02,
        arm_m: 0.5,
        arm_std_u_m: 0.02 + number / 1e3,
        side: Turned::Right,
    };
    let place = || Place { file: String::new(), line: 0 };
    let run = |measured| KnownWeightRun { weight, measured, note: words(), place: place() };
    let scenario = Scenario::AcceleratedLevel;
    let flight_id = FlightId(1);
    Campaign {
        flights: vec![flight("one", "logs/one.igc.gz"), flight(text, "logs/two.igc")],
        stopwatch_runs: vec![StopwatchRun {
            with: flown,
            scenario,
            timing: timing.clone(),
            timed_by: words(),
            date: with.then(|| NaiveDate::from_ymd_opt(2026, 2, 28)).flatten(),
            same_run: with.then_some(WindowRef { flight: flight_id, window: 10_000 }),
            note: words(),
            place: place(),
        }],
        weight_runs: vec![
            run(WeightMeasured::Log { flight: flight_id, windows: Vec::new() }),
            run(WeightMeasured::Log { flight: flight_id, windows: vec![3, 1] }),
            run(WeightMeasured::Stopwatch { with: flown, scenario, timing }),
        ],
        ..parts(text, number, with)
    }
}

#[test]
fn every_field_comes_back_whatever_stands_in_it() {
    let numbers = [0.0, 1.0, 1.0 / 3.0, 12.345_678_901_234_567, 20.0 - f64::EPSILON * 8.0];
    for (i, text) in awkward_texts().iter().enumerate() {
        for with in [false, true] {
            comes_back(awkward(text, numbers[i % numbers.len()], with));
        }
    }
}

mod drawn {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

        #[test]
        fn any_text_and_number_come_back(text in "\\PC(.|\\n|\\r|\\t|[\"'\\\\#=\\[\\]]){0,60}\\PC", number in 0.0..20.0f64, with: bool) {
            // A reader takes blanks around a text away; these begin and end with something that can be seen.
            prop_assume!(text.trim() == text && !text.is_empty());
            comes_back(awkward(&text, number, with));
        }
    }
}
