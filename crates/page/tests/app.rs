//! The app as a reader meets it: requests in, pages out, no host.

use chrono::{DateTime, Utc};
use driftless_logbook::Logbook;
use driftless_page::{App, Method, Part, Request, Response};
use std::path::Path;

fn demo(path: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-tracks").join(path)).expect("a demo track")
}

fn now() -> DateTime<Utc> {
    "2026-06-01T12:00:00Z".parse().expect("a time")
}

struct Reader(App);

impl Reader {
    fn new() -> Self {
        Self(App::new("0", Logbook::in_memory().expect("a logbook"), "in memory"))
    }

    fn ask(&self, method: Method, address: &str, parts: Vec<Part>) -> Response {
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        let query =
            query.split('&').filter_map(|field| field.split_once('=')).map(|(a, b)| (a.to_owned(), b.to_owned()));
        let request = Request { method, path: path.to_owned(), query: query.collect(), parts, now: now() };
        self.0.handle(&request, &mut |_| ())
    }

    fn get(&self, address: &str) -> String {
        let response = self.ask(Method::Get, address, Vec::new());
        assert_eq!(response.status, 200, "{address}: {}", String::from_utf8_lossy(&response.body));
        String::from_utf8(response.body).expect("text")
    }

    /// Posts, and gives the address that it leads to.
    fn post(&self, address: &str, parts: Vec<Part>) -> String {
        let response = self.ask(Method::Post, address, parts);
        assert_eq!(response.status, 303, "{address}: {}", words(&response));
        response.location.expect("an address")
    }

    fn refused(&self, address: &str, parts: Vec<Part>) -> String {
        let response = self.ask(Method::Post, address, parts);
        assert!(response.status >= 400, "{address} was not refused");
        words(&response)
    }
}

fn words(response: &Response) -> String {
    let text = String::from_utf8_lossy(&response.body).into_owned();
    let main = text.split("<main").nth(1).unwrap_or_default();
    main.split('<').filter_map(|part| part.split_once('>')).map(|(_, text)| text).collect::<Vec<_>>().join(" ")
}

fn field(name: &str, value: &str) -> Part {
    Part { name: name.to_owned(), file_name: None, bytes: value.as_bytes().to_vec() }
}

fn file(name: &str, bytes: Vec<u8>) -> Part {
    Part { name: "files".to_owned(), file_name: Some(name.to_owned()), bytes }
}

/// What stands in the field of that name in the n-th window of a page.
fn values(page: &str, name: &str) -> Vec<String> {
    let begin = format!("name=\"{name}\" value=\"");
    page.split(&begin).skip(1).filter_map(|rest| rest.split('"').next()).map(str::to_owned).collect()
}

#[test]
fn a_dropped_log_is_read_kept_and_shown() {
    let reader = Reader::new();
    let to = reader.post("/flights", vec![file("ridge-five-metres.igc", demo("ridge-five-metres.igc"))]);
    assert_eq!(to, "/flights/1");
    let page = reader.get(&to);
    // The finding is that of the command line, word for word.
    assert!(page.contains("turns left by itself at"), "no finding");
    assert!(page.contains("data-plot=\"/flights/1/series.json\""));
    let again = reader.post("/flights", vec![file("copy.igc", demo("ridge-five-metres.igc"))]);
    assert!(again.starts_with("/flights/1?told="), "the same log twice is one flight: {again}");
    assert!(reader.get(&again).contains("is in the logbook already"));
    let list = reader.get("/");
    assert_eq!(list.matches("class=\"whole\"").count(), 1);
    let log = reader.ask(Method::Get, "/flights/1/log", Vec::new());
    assert_eq!(log.body, demo("ridge-five-metres.igc"));
    assert_eq!(log.download.as_deref(), Some("ridge-five-metres.igc"));
}

#[test]
fn an_edge_is_moved_taken_back_and_done_again() {
    let reader = Reader::new();
    let to = reader.post("/flights", vec![file("a.igc", demo("ridge-five-metres.igc"))]);
    let before = reader.get(&to);
    let (let_go, take_over) = (values(&before, "let_go"), values(&before, "take_over"));
    assert!(let_go.len() >= 2, "two windows are marked");
    let moved = format!("{}.5", take_over[0]);
    let save = |row: &str, take_over: &str| {
        vec![
            field("do", "save"),
            field("row", row),
            field("let_go", &let_go[0]),
            field("take_over", take_over),
            field("note", "smooth"),
        ]
    };
    let told = reader.get(&reader.post("/flights/1/windows", save("0", &moved)));
    assert!(told.contains("Window 1 changed"), "{told}");
    assert_eq!(values(&reader.get("/flights/1"), "take_over")[0], moved);
    assert_eq!(values(&reader.get("/flights/1"), "note")[0], "smooth");
    // The log is not changed, and the command line takes the marks as they are now.
    let marks = reader.get("/flights/1/marks.csv");
    assert!(marks.contains(",smooth"), "{marks}");
    reader.post("/flights/1/undo", Vec::new());
    assert_eq!(values(&reader.get("/flights/1"), "take_over"), take_over);
    reader.post("/flights/1/redo", Vec::new());
    assert_eq!(values(&reader.get("/flights/1"), "take_over")[0], moved);
    reader.post("/flights/1/windows", vec![field("do", "delete"), field("row", "0")]);
    assert_eq!(values(&reader.get("/flights/1"), "row").len(), values(&before, "row").len() - 1);
    for (wrong, word) in [("noon", "no time"), (let_go[0].as_str(), "ends before it begins")] {
        let words = reader.refused("/flights/1/windows", save("0", wrong));
        assert!(words.contains(word), "{words}");
    }
    assert!(reader.refused("/flights/1/windows", save("99", &moved)).contains("gone"));
    let over = vec![field("do", "add"), field("let_go", &let_go[1]), field("take_over", &take_over[1])];
    assert!(reader.refused("/flights/1/windows", over).contains("lies over"));
}

#[test]
fn candidates_are_confirmed_one_by_one() {
    let reader = Reader::new();
    reader.post("/flights", vec![file("m.gpx", demo("meadow-light-wind.gpx"))]);
    let rows = |page: &str| values(page, "row").len();
    let before = reader.get("/flights/1");
    // All marks go; what was marked is found again, and nobody vouches for it.
    for _ in 0..rows(&before) {
        reader.post("/flights/1/windows", vec![field("do", "delete"), field("row", "0")]);
    }
    let bare = reader.get("/flights/1");
    let candidates = bare.matches("Confirm hands off").count();
    assert!(rows(&bare) == 0 && candidates > 1, "{candidates} candidates");
    assert!(!bare.contains("names no window"), "nobody named one, so none is missing");
    let (let_go, take_over) = (values(&bare, "let_go"), values(&bare, "take_over"));
    reader.post(
        "/flights/1/windows",
        vec![field("do", "confirm"), field("let_go", &let_go[0]), field("take_over", &take_over[0])],
    );
    let one = reader.get("/flights/1");
    assert_eq!(rows(&one), 1);
    assert_eq!(one.matches("Confirm hands off").count(), candidates - 1, "the others are still offered");
}

#[test]
fn a_set_up_is_described_where_it_is_first_needed() {
    let reader = Reader::new();
    reader.post("/flights", vec![file("a.igc", demo("ridge-five-metres.igc"))]);
    assert!(reader.get("/parts/setup?back=/flights/1").contains("A new power unit"));
    let setup = vec![
        field("back", "/flights/1"),
        field("name", "Bare frame"),
        field("unit_name", "Tarn 185"),
        field("unit_reduction", "2,87"),
        field("unit_propeller", "clockwise"),
    ];
    let to = reader.post("/parts/setup", setup);
    assert!(to.starts_with("/flights/1?told="), "back to the flight: {to}");
    reader.post("/parts/wing", vec![field("name", "Fenlark <26>")]);
    let told =
        reader.get(&reader.post("/flights/1/about", vec![field("setup", "bare-frame"), field("wing", "fenlark-26")]));
    assert!(told.contains("takes part in comparisons"));
    assert!(told.contains("Bare frame · Fenlark &lt;26&gt;"));
    let compared = reader.get("/compare");
    assert!(compared.contains("id=\"matrix\""), "one set-up, one wing");
    assert!(reader.refused("/parts/setup/bare-frame/remove", Vec::new()).contains("used by"));
    for (field_of, word) in [("unit_propeller=clockwise", "reduction ratio"), ("unit_reduction=2.87", "propeller")] {
        let (name, value) = field_of.split_once('=').expect("a field");
        let incomplete = vec![field("name", "x"), field("unit_name", "y"), field(name, value)];
        assert!(reader.refused("/parts/setup", incomplete).contains(word), "{word}");
    }
    assert_eq!(reader.get("/parts").matches("/parts/unit/").count(), 1, "what was refused left nothing behind");
}

#[test]
fn settings_are_kept_and_shown() {
    let reader = Reader::new();
    reader.post("/flights", vec![file("a.igc", demo("ridge-five-metres.igc"))]);
    let choose = ["speed=km/h", "height=ft", "turn=deg/min", "zone=+02:00", "numbers=comma", "paper=dark"];
    let parts = choose.iter().filter_map(|field_of| field_of.split_once('=')).map(|(name, value)| field(name, value));
    reader.post("/settings", parts.collect());
    let page = reader.get("/flights/1");
    assert!(page.contains("data-paper=\"dark\"") && page.contains("UTC+02:00") && page.contains("°/min"));
    let json = reader.get("/flights/1/report.json");
    assert!(json.contains("\"value_deg_s\": -1."), "documents for programs keep the point");
    let settings = reader.get("/settings");
    assert!(settings.contains("value=\"+02:00\" selected") && settings.contains("value=\"comma\" selected"));
    assert!(reader.refused("/settings", vec![field("speed", "furlongs")]).contains("Unknown unit"));
}

#[test]
fn what_cannot_be_used_is_said_and_the_rest_is_kept() {
    let reader = Reader::new();
    let to = reader.post(
        "/flights",
        vec![file("letter.txt", b"dear diary".to_vec()), file("a.igc", demo("ridge-five-metres.igc"))],
    );
    let page = reader.get(&to);
    assert!(page.contains("letter.txt") && page.contains("told wrong"), "{to}");
    assert!(page.contains("turns left by itself"));
    assert!(reader.refused("/flights", Vec::new()).contains("choose a log"));
    for address in ["/flights/99", "/flights/x", "/nowhere", "/parts/engine", "/flights/1/nothing", "/compare/x.html"] {
        assert_eq!(reader.ask(Method::Get, address, Vec::new()).status, 404, "{address}");
    }
}

/// The files of the demo campaign, as a folder that is dropped gives them.
fn campaign_folder() -> Vec<Part> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-tracks/campaign");
    let mut parts = Vec::new();
    for name in ["campaign.toml", "stopwatch.csv"] {
        parts.push(file(&format!("campaign/{name}"), demo(&format!("campaign/{name}"))));
    }
    for entry in std::fs::read_dir(folder.join("logs")).expect("logs") {
        let name = entry.expect("an entry").file_name().to_string_lossy().into_owned();
        if name.ends_with(".igc") {
            parts.push(file(&format!("campaign/logs/{name}"), demo(&format!("campaign/logs/{name}"))));
        }
    }
    assert!(parts.len() > 20, "the demo campaign has many logs");
    parts
}

#[test]
fn a_campaign_is_read_from_its_folder_and_compared_in_parts() {
    let reader = Reader::new();
    let without =
        campaign_folder().into_iter().filter(|part| part.file_name.as_deref() != Some("campaign/logs/class-elm.igc"));
    let told = reader.get(&reader.post("/flights", without.collect()));
    assert!(told.contains("told wrong") && told.contains("class-elm.igc"), "a log is missing, and which");
    let to = reader.post("/flights", campaign_folder());
    assert!(to.starts_with("/compare?told="), "{to}");
    let whole = reader.get(&to);
    assert!(whole.contains("31\u{a0}flights"));
    assert!(whole.contains("id=\"matrix\""));
    let document = |query: &str| -> serde_json::Value {
        serde_json::from_str(&reader.get(&format!("/compare/report.json?{query}"))).expect("JSON")
    };
    let cells = |document: &serde_json::Value, key: &str| {
        let cells = document["cells"].as_array().expect("cells").iter();
        cells.map(|cell| cell[key].to_string()).collect::<std::collections::BTreeSet<_>>()
    };
    let all = document("");
    assert_eq!((cells(&all, "setup").len(), cells(&all, "wing").len(), cells(&all, "scenario").len()), (4, 2, 4));
    let part = document("setup=bare&setup=vanes&wing=fenlark&scenario=full-power-climb");
    assert_eq!((cells(&part, "setup").len(), cells(&part, "wing").len(), cells(&part, "scenario").len()), (2, 1, 1));
    assert_eq!(part["compensation"].as_array().map(Vec::len), Some(1), "the baseline is among them");
    let pilot = document("pilot=birch");
    assert!(cells(&pilot, "setup").len() > 1 && pilot["cells"] != all["cells"]);
    let anonymous = reader.get("/compare/report.html?anonymous=yes");
    assert!(anonymous.contains("Pilot A") && !anonymous.contains("Dogwood"));
    assert!(reader.get("/compare/cards.html").contains("<html"));
    // Out and in again: the same figures.
    let zip = reader.ask(Method::Get, "/logbook/campaign.zip", Vec::new());
    assert_eq!(zip.download.as_deref(), Some("offset-hang-points-and-vanes-on-two-wings.zip"));
    let other = Reader::new();
    other.post("/flights", vec![file("c.zip", zip.body)]);
    let again: serde_json::Value = serde_json::from_str(&other.get("/compare/report.json")).expect("JSON");
    for key in ["cells", "compensation", "comparisons"] {
        assert_eq!(again[key], all[key], "{key}");
    }
}

#[test]
fn a_backup_is_one_file_and_comes_back() {
    let reader = Reader::new();
    reader.post("/flights", vec![file("a.igc", demo("ridge-five-metres.igc"))]);
    reader.post("/flights/1/windows", vec![field("do", "delete"), field("row", "0")]);
    let backup = reader.ask(Method::Get, "/logbook/backup.sqlite", Vec::new()).body;
    let other = Reader::new();
    assert!(other.refused("/logbook/restore", vec![file("x", b"dear diary".to_vec())]).contains("no backup"));
    other.post("/logbook/restore", vec![file("backup.sqlite", backup)]);
    let (here, there) = (reader.get("/flights/1"), other.get("/flights/1"));
    assert_eq!(values(&here, "let_go"), values(&there, "let_go"));
    assert!(there.contains("deleted (this counts)") || there.contains("this counts"));
    let check = other.ask(Method::Get, "/logbook/check", Vec::new());
    assert!(other.get(&check.location.expect("an address")).contains("is sound"));
}

#[test]
fn stopwatch_runs_count_in_comparisons() {
    let reader = Reader::new();
    reader.post(
        "/parts/setup",
        vec![
            field("name", "Bare"),
            field("unit_name", "Tarn"),
            field("unit_reduction", "2.87"),
            field("unit_propeller", "clockwise"),
        ],
    );
    reader.post("/parts/wing", vec![field("name", "Fenlark")]);
    let run = |seconds: &str| {
        let choose =
            [("setup", "bare"), ("wing", "fenlark"), ("scenario", "trim-level"), ("turned", "left"), ("degrees", "90")];
        let mut parts: Vec<Part> = choose.iter().map(|(name, value)| field(name, value)).collect();
        parts.extend([field("seconds", seconds), field("date", "2026-05-14")]);
        parts
    };
    reader.post("/watch", run("45,5"));
    assert!(reader.get("/watch").contains("90° left in 45.5"));
    let compared: serde_json::Value = serde_json::from_str(&reader.get("/compare/report.json")).expect("JSON");
    let rate = compared["cells"][0]["turn_rate"]["value_deg_s"].as_f64().expect("a rate");
    assert!((rate + 90.0 / 45.5).abs() < 1e-6, "{rate}");
    assert!(reader.refused("/watch", run("soon")).contains("no number"));
    reader.post("/watch/1/remove", Vec::new());
    assert!(reader.get("/compare").contains("Nothing to compare yet"));
}

/// The reader's choice of paper has the colours that the system's would have.
#[test]
fn chosen_paper_has_the_colours_of_the_system() {
    let css = driftless_page::style();
    let colours = |after: &str| {
        let rest = css.split_once(after).expect("a rule").1.split_once("--paper").expect("colours").1;
        let rule = rest.split_once('}').expect("its end").0;
        rule.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(colours(":root[data-paper=dark]"), colours("@media (prefers-color-scheme: dark)"));
    assert_eq!(colours(":root[data-paper=light]"), colours(":root {"));
}
