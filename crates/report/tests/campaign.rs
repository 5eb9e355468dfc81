//! Campaign reports of odd campaigns: nothing panics, nothing that is no number is printed, charts stay well-formed.

use driftless_analysis::MadeBy;
use driftless_analysis::campaign::file::{AnyFolder, read};
use driftless_analysis::campaign::{CampaignAnalysis, CampaignInput, analyse_campaign, plan_campaign};
use driftless_display::DisplayUnits;
use driftless_report::{
    campaign_brief, campaign_csv, campaign_html, campaign_html_piece, campaign_json, campaign_text, plan_html,
};
use std::fmt::Write;

const HEAD: &str = "title = \"<Odd> & \\\"quoted\\\"\"\n[power_units.tarn]\nreduction_ratio = 2.87\npropeller = \
                    \"clockwise\"\n[devices.vanes]\n[wings.fenlark]\n[setups.bare]\npower_unit = \"tarn\"\n";

/// A campaign of `setups` set-ups, each timed by hand in these scenarios: (seconds for 90°, side).
fn analysis(setups: usize, runs: &[(&str, f64, &str)]) -> CampaignAnalysis {
    let mut text = HEAD.to_owned();
    for setup in 1..setups {
        let _ = write!(
            text,
            "[setups.s{setup}]\nname = \"set-up number {setup} with a long name\"\npower_unit = \"tarn\"\ndevice = \
             \"vanes\"\nsetting = {setup}\nbaseline = \"bare\"\n"
        );
    }
    for setup in 0..setups {
        let name = if setup == 0 { "bare".to_owned() } else { format!("s{setup}") };
        for (scenario, seconds, turned) in runs {
            let seconds = seconds * (1.0 + 0.1 * setup as f64);
            let _ = write!(
                text,
                "[[stopwatch]]\nsetup = \"{name}\"\nscenario = \"{scenario}\"\nseconds = {seconds}\nturned = \"{turned}\"\n"
            );
        }
    }
    let campaign = read(&text, "odd.toml", &AnyFolder).unwrap_or_else(|faults| panic!("{faults}"));
    let made_by = MadeBy { version: "0".into(), command: "test".into(), input_sha256: "00".into(), config: Vec::new() };
    analyse_campaign(CampaignInput { campaign, flights: Vec::new(), made_by, file: "odd.toml".into() })
}

fn check(analysis: &CampaignAnalysis) -> String {
    let html = campaign_html(analysis, &DisplayUnits::default());
    let piece = campaign_html_piece(analysis, &DisplayUnits::default());
    assert!(!piece.contains("NaN") && !piece.contains(" id=") && piece.matches("<p>").count() > 2, "{piece}");
    let plan = plan_html(analysis, &plan_campaign(analysis, 1));
    let text = campaign_text(analysis, &DisplayUnits::default(), 80);
    let brief = campaign_brief(analysis, &DisplayUnits::default(), 40);
    let csv = campaign_csv(analysis).expect("rows");
    assert_eq!(csv.lines().count(), analysis.cells.len() + 1);
    let document: serde_json::Value =
        serde_json::from_str(&campaign_json(analysis).expect("a document")).expect("JSON");
    assert_eq!(document["cells"].as_array().map(Vec::len), Some(analysis.cells.len()));
    let alerts = document["alerts"].as_array().expect("alerts");
    assert!(alerts.iter().all(|alert| alert["finding"]["code"].is_string()), "{alerts:?}");
    for output in [&html, &plan, &text, &brief, &csv] {
        assert!(!output.contains("NaN") && !output.contains("inf "), "{output}");
    }
    for page in [&html, &plan] {
        assert!(page.contains("&lt;Odd&gt; &amp;"), "names are escaped");
        assert_eq!(page.matches("<svg").count(), page.matches("</svg>").count());
        assert_eq!(page.matches("<section").count(), page.matches("</section>").count());
    }
    html
}

#[test]
fn a_campaign_without_runs_has_a_page_that_says_so() {
    let html = check(&analysis(2, &[]));
    assert!(html.contains("Nothing can be compared"));
    assert!(!html.contains("<svg"));
}

#[test]
fn single_runs_of_a_single_set_up() {
    check(&analysis(1, &[("trim-level", 20.0, "left")]));
}

#[test]
fn repeats_that_agree_to_the_digit() {
    check(&analysis(2, &[("trim-level", 20.0, "left"), ("trim-level", 20.0, "left"), ("trim-level", 20.0, "left")]));
}

/// Two runs, opposite ways: intervals so wide that they leave every chart.
#[test]
fn repeats_that_turn_opposite_ways() {
    let html = check(&analysis(3, &[("full-power-climb", 8.0, "left"), ("full-power-climb", 9.0, "right")]));
    assert!(html.contains("turns-1"));
}

#[test]
fn more_set_ups_than_a_chart_has_room_for() {
    let html = check(&analysis(40, &[("trim-level", 30.0, "left"), ("power-off-glide", 90.0, "right")]));
    let matrix =
        html.split_once("<table class=\"matrix\">").expect("the matrix").1.split_once("</table>").expect("its end").0;
    assert_eq!(matrix.matches("<th scope=\"row\">").count(), 40, "the matrix holds all");
}

/// A chart has room for so many rows. Where it leaves some out the page says how many, and where they all stand.
#[test]
fn charts_that_leave_rows_out_say_so() {
    let runs = [
        ("trim-level", 30.0, "left"),
        ("accelerated-level", 25.0, "left"),
        ("full-power-climb", 20.0, "left"),
        ("power-off-glide", 60.0, "right"),
    ];
    let few = campaign_html(&analysis(6, &runs), &DisplayUnits::default());
    assert!(!few.contains("hold all"), "24 cells find room everywhere");
    let many = campaign_html(&analysis(30, &runs), &DisplayUnits::default());
    for words in [
        "The first 60 of 120 rows; the numbers under it hold all",
        "The first 60 of 87 rows; the numbers under it hold all",
    ] {
        assert!(many.contains(words), "{words}");
    }
}

/// Two set-ups whose names share their first forty letters and more are told apart wherever they stand.
#[test]
fn names_of_any_length_never_look_alike() {
    let runs = [("trim-level", 30.0, "left"), ("trim-level", 31.0, "left"), ("full-power-climb", 20.0, "left")];
    let mut analysis = analysis(4, &runs);
    let shared = "Offset hang points of the second series on the low bars, ";
    assert!(shared.chars().count() > 40);
    for (setup, ends) in analysis.campaign.setups.iter_mut().zip(["15 mm", "20 mm", "20 mm, washed", "120 mm"]) {
        setup.name = format!("{shared}{ends}");
    }
    for width in [40, 60, 80, 100] {
        let brief = campaign_brief(&analysis, &DisplayUnits::default(), width);
        assert!(brief.lines().all(|line| line.chars().count() <= width), "{brief}");
        let rows: Vec<&str> = brief.lines().filter(|line| line.contains("°/s") || line.contains('±')).collect();
        assert!(rows.len() > 3, "{brief}");
        if width >= 80 {
            // One line for each set-up: what comes before the figures differs.
            let figures = |line: &&&str| line.starts_with("  Off") && line.matches('±').count() > 1;
            let names: std::collections::BTreeSet<&str> =
                rows.iter().filter(figures).filter_map(|line| line.trim_start().split("  ").next()).collect();
            assert_eq!(names.len(), 4, "{brief}");
        }
    }
    let page = campaign_html(&analysis, &DisplayUnits::default());
    let chart = page.split_once("<figure id=\"turns-1\"").expect("the chart").1;
    let svg = chart.split_once("</desc>").expect("a description").1.split_once("</svg>").expect("its end").0;
    let names: std::collections::BTreeSet<&str> = svg
        .split("</text>")
        .filter_map(|text| text.rsplit_once('>').map(|(_, words)| words))
        .filter(|words| words.starts_with("Off"))
        .collect();
    assert_eq!(names.len(), 4, "{names:?}");
    let cards = plan_html(&analysis, &plan_campaign(&analysis, 1));
    assert!(cards.contains("low bars, 20 mm, washed"), "cards have room for the whole name");
}

/// A run by hand: scenario, seconds for 90°, side.
type ByHand = (&'static str, f64, &'static str);

/// The document of a class; each student with the set-up and the runs.
fn class(students: &[(&str, &str, &[ByHand])]) -> serde_json::Value {
    let mut text = HEAD.to_owned();
    text.push_str("[setups.s1]\npower_unit = \"tarn\"\ndevice = \"vanes\"\nsetting = 1\nbaseline = \"bare\"\n");
    for (name, ..) in students {
        let _ = write!(text, "[pilots.{name}]\nname = \"{name}\"\nstudent = true\n");
    }
    for (name, setup, runs) in students {
        for (scenario, seconds, turned) in *runs {
            let _ = write!(
                text,
                "[[stopwatch]]\nsetup = \"{setup}\"\npilot = \"{name}\"\nscenario = \"{scenario}\"\nseconds = {seconds}\nturned = \
                 \"{turned}\"\n"
            );
        }
    }
    let campaign = read(&text, "class.toml", &AnyFolder).unwrap_or_else(|faults| panic!("{faults}"));
    let made_by = MadeBy { version: "0".into(), command: "test".into(), input_sha256: "00".into(), config: Vec::new() };
    let input = CampaignInput { campaign, flights: Vec::new(), made_by, file: "class.toml".into() };
    serde_json::from_str(&campaign_json(&analyse_campaign(input)).expect("a document")).expect("JSON")
}

/// A propeller that turns clockwise turns the aircraft to the left. What helps in one scenario and harms in another stands in
/// one question; no student gets two that contradict.
#[test]
fn derived_one_question_a_student_joins_the_scenarios() {
    let document = class(&[
        ("zoe", "bare", &[("trim-level", 20.0, "left"), ("full-power-climb", 10.0, "left")]),
        ("ann", "s1", &[("trim-level", 40.0, "left"), ("power-off-glide", 45.0, "right")]),
        ("ben", "s1", &[("trim-level", 40.0, "right"), ("power-off-glide", 45.0, "right")]),
        ("cyd", "s1", &[("full-power-climb", 40.0, "left"), ("trim-level", 40.0, "right")]),
    ]);
    let questions = document["class_questions"].as_array().expect("questions");
    let said: Vec<(&str, &str)> = questions
        .iter()
        .map(|of| (of["pilot"].as_str().expect("who"), of["question"].as_str().expect("what")))
        .collect();
    let names: Vec<&str> = said.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ["ann", "ben", "cyd", "zoe"], "by name, one line each");
    for ((name, question), words) in said.iter().zip([
        ["A stronger setting", "worsen the glide, already"],
        ["A weaker setting", "and the glide too"],
        ["A stronger setting", "would help the full-power climb"],
        ["Turns with the torque", "would a device help"],
    ]) {
        assert!(words.iter().all(|words| question.contains(words)) && question.ends_with('?'), "{name}: {question}");
    }
    for student in document["students"].as_array().expect("students") {
        let joined = said.iter().find(|(name, _)| student["pilot"] == **name).expect("a question").1;
        assert_eq!(student["question"], joined, "the same in every scenario");
    }
}
