//! Pages in a browser: what screen readers and eyes need, in light and dark, and that no label lies on another.
//!
//! Needs chromium. Where there is none the tests say so and pass, unless `DRIFTLESS_NEEDS_BROWSER` is set.

use crate::campaign::{demo, with_demo_campaign};
use crate::first_screen::with_windows;
use crate::inertial::{IMU, LOG, flown};
use crate::run::Place;
use std::process::Command;

const LOOK: &str = include_str!("browser.js");
/// Wide enough for two columns, and as narrow as the browser goes: a phone held upright.
const WIDTHS: [u32; 2] = [1000, 500];

/// What was looked at, and complaints.
struct Look {
    figures: u64,
    texts: u64,
    words: u64,
    complaints: Vec<String>,
}

#[allow(clippy::print_stderr, reason = "a test that is skipped says so")]
fn browser() -> Option<&'static str> {
    let names = ["chromium", "chromium-browser", "google-chrome"];
    let found = names.into_iter().find(|name| Command::new(name).arg("--version").output().is_ok());
    let needed = std::env::var_os("DRIFTLESS_NEEDS_BROWSER").is_some();
    assert!(found.is_some() || !needed, "none of {names:?} is here");
    if found.is_none() {
        eprintln!("skipped: none of {names:?} is here");
    }
    found
}

/// The browser without a window, with a profile of its own.
fn headless(browser: &str, place: &Place) -> Command {
    let mut command = Command::new(browser);
    command
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"])
        .args(["--disable-component-update", "--disable-sync"])
        .arg(format!("--user-data-dir={}", place.path("browser").display()));
    command
}

/// Opens a page with the script in it and reads what it left.
fn look(browser: &str, place: &Place, page: &str, width: u32) -> Look {
    assert!(page.contains("</body>"));
    let name = place.with("look.html", page.replace("</body>", &format!("<script>{LOOK}</script></body>")));
    let address = format!("file://{}", place.path(name).display());
    let ran = headless(browser, place)
        .args(["--virtual-time-budget=5000", "--dump-dom"])
        .arg(format!("--window-size={width},900"))
        .arg(address)
        .output()
        .expect("the browser runs");
    let dom = String::from_utf8_lossy(&ran.stdout);
    let left = dom
        .split_once("<pre id=\"complaints\">")
        .and_then(|(_, rest)| rest.split_once("</pre>"))
        .unwrap_or_else(|| panic!("nothing was looked at: {}", String::from_utf8_lossy(&ran.stderr)))
        .0;
    let mut lines = left.lines();
    let looked: serde_json::Value = serde_json::from_str(lines.next().expect("a line")).expect("JSON");
    let count = |key: &str| looked[key].as_u64().expect("a count");
    Look {
        figures: count("figures"),
        texts: count("texts"),
        words: count("words"),
        complaints: lines.map(str::to_owned).collect(),
    }
}

/// In light and dark, wide and narrow: so many charts, and no complaint.
#[track_caller]
fn nothing_to_complain_of(place: &Place, light: &str, figures: u64) {
    let Some(browser) = browser() else { return };
    let dark = light.replace("(prefers-color-scheme: dark)", "all");
    assert_ne!(light, dark, "the page knows no dark");
    for (name, page, width) in [("light", light, WIDTHS[0]), ("dark", &dark, WIDTHS[0]), ("narrow", light, WIDTHS[1])] {
        let look = look(browser, place, page, width);
        assert_eq!(look.figures, figures, "{name}");
        assert!(look.words > 100 && look.texts > 5 * look.figures, "{name}: {} words", look.words);
        assert!(look.complaints.is_empty(), "{name}: {:#?}", look.complaints);
    }
}

#[test]
fn a_flight_with_a_sensor_that_helps() {
    let place = flown();
    place.run(&["report", LOG, "--imu", IMU, "-o", "page.html"]).expect_code(0);
    // Turn rates, four windows, two of the air, two of the flight, each for a wide screen and for a phone; gain, headings,
    // Allan, swing.
    nothing_to_complain_of(&place, &place.read("page.html"), 22);
}

#[test]
fn a_flight_with_a_sensor_of_another_day() {
    let place = flown();
    place.with("other.csv", place.read(IMU).replace("2026-05-14", "2026-06-14"));
    // The page is made, and the exit code tells that a file given with the log had no part in it.
    place.run(&["report", LOG, "--imu", "other.csv", "-o", "page.html"]).expect_code(2);
    nothing_to_complain_of(&place, &place.read("page.html"), 19);
}

#[test]
fn a_campaign() {
    // On each of two wings: trade-off, turns, compensation, air paths, repeats.
    nothing_to_complain_of(&Place::new(), &demo().page, 10);
}

/// Height of a page in a frame of this width as it opens, and what reaches beyond the frame once all folds are open.
fn framed(browser: &str, place: &Place, page: &str, width: u32) -> (u64, Vec<String>) {
    let source = page.replace('&', "&amp;").replace('"', "&quot;");
    let frame = format!(
        "<body><iframe id=\"frame\" style=\"width:{width}px;height:800px;border:0\" srcdoc=\"{source}\"></iframe><script>{}</script></body>",
        include_str!("frame.js")
    );
    let name = place.with("frame.html", frame);
    let ran = headless(browser, place)
        .args(["--virtual-time-budget=5000", "--dump-dom", "--window-size=1400,900"])
        .arg(format!("file://{}", place.path(name).display()))
        .output()
        .expect("the browser runs");
    let dom = String::from_utf8_lossy(&ran.stdout);
    let left =
        dom.split_once("<pre id=\"framed\">").and_then(|(_, rest)| rest.split_once("</pre>")).expect("measured").0;
    let mut lines = left.lines();
    let height = lines.next().and_then(|height| height.parse().ok()).expect("a height");
    (height, lines.map(str::to_owned).collect())
}

/// Sheets of A4 that a page takes.
fn sheets(browser: &str, place: &Place, page: &str) -> usize {
    let name = place.with("print.html", page);
    let paper = place.path("print.pdf");
    headless(browser, place)
        .arg("--no-pdf-header-footer")
        .arg(format!("--print-to-pdf={}", paper.display()))
        .arg(format!("file://{}", place.path(name).display()))
        .output()
        .expect("the browser runs");
    let pdf = std::fs::read(paper).expect("a PDF");
    let page = b"/Type /Page\n";
    pdf.windows(page.len()).filter(|bytes| bytes == page).count()
}

/// The answer stands on the first screen, the whole page is short, and nothing leaves a phone.
#[test]
fn a_campaign_is_short_on_screen_phone_and_paper() {
    let Some(browser) = browser() else { return };
    let (place, page) = (Place::new(), &demo().page);
    let (height, beyond) = framed(browser, &place, page, 1280);
    assert!((2000..9000).contains(&height) && beyond.is_empty(), "{height} px, {beyond:?}");
    let (height, beyond) = framed(browser, &place, page, 390);
    assert!((3000..12_000).contains(&height) && beyond.is_empty(), "{height} px on a phone, {beyond:#?}");
    with_demo_campaign(&place);
    let long = "name = \"Offset hang points of the second series on the low bars, 15 mm, with the long trimmers\"";
    let file = place.read("campaign/campaign.toml").replace("name = \"offset 15 mm\"", long);
    place.with("campaign/long.toml", file);
    place.run(&["compare", "campaign/long.toml", "-o", "long.html"]).expect_code(0);
    for width in [1280, 768, 390] {
        let (_, beyond) = framed(browser, &place, &place.read("long.html"), width);
        assert!(beyond.is_empty(), "long names at {width}: {beyond:#?}");
    }
    nothing_to_complain_of(&place, &place.read("long.html"), 10);
    let sheets = sheets(browser, &place, page);
    assert!((3..=8).contains(&sheets), "{sheets} sheets");
}

/// The finding stands on the first screen; more windows make a page longer by a line each.
#[test]
fn a_flight_is_short_on_screen_phone_and_paper() {
    let Some(browser) = browser() else { return };
    let place = Place::new();
    for (windows, most, on_phone, on_paper) in
        [(0, 4400, 6000, 7), (1, 4400, 6500, 7), (5, 4550, 7000, 8), (40, 12_000, 12_000, 10)]
    {
        let log = with_windows(&place, windows);
        let ran = place.run(&["report", &log, "-o", "page.html"]);
        assert!(ran.code == 0 || windows == 0, "{}", ran.stderr);
        let page = place.read("page.html");
        let (height, beyond) = framed(browser, &place, &page, 1280);
        assert!((1500..most).contains(&height) && beyond.is_empty(), "{windows}: {height} px, {beyond:?}");
        let (height, beyond) = framed(browser, &place, &page, 390);
        assert!(
            (2000..on_phone).contains(&height) && beyond.is_empty(),
            "{windows}: {height} px on a phone, {beyond:#?}"
        );
        let sheets = sheets(browser, &place, &page);
        assert!((2..=on_paper).contains(&sheets), "{windows}: {sheets} sheets");
    }
}

/// Two cards to a sheet after the overview, whatever the length of names.
#[test]
fn cards_take_half_a_sheet_each() {
    let Some(browser) = browser() else { return };
    let place = Place::new();
    with_demo_campaign(&place);
    let file = place.read("campaign/campaign.toml");
    let long = "name = \"Offset hang points of the second series on the low bars, 15 mm, with the long trimmers\"";
    for (name, file) in [("short", file.clone()), ("long", file.replace("name = \"offset 15 mm\"", long))] {
        place.with("campaign/named.toml", file);
        place.run(&["plan", "campaign/named.toml", "-o", "cards.html"]).expect_code(0);
        let page = place.read("cards.html");
        let cards = page.matches("<article class=\"card\"").count();
        assert!(cards > 10);
        let overview = sheets(browser, &place, &page) - cards.div_ceil(2);
        assert!((1..=2).contains(&overview), "{name}: {overview} sheets beside {cards} cards");
        let (_, beyond) = framed(browser, &place, &page, 390);
        assert!(beyond.is_empty(), "{name}: {beyond:#?}");
    }
}

/// Each fault put into a good page is found, or the looks above would mean nothing.
#[test]
fn faults_are_found() {
    let Some(browser) = browser() else { return };
    let place = Place::new();
    place.run(&["report", "demo-tracks/meadow-light-wind.gpx", "-o", "page.html"]).expect_code(0);
    let page = place.read("page.html");
    let first_words = "<text ";
    let moved = page.replacen("text-anchor=\"start\" font-size=\"50\"", "text-anchor=\"start\" font-size=\"400\"", 1);
    for (fault, page) in [
        ("has a contrast of", page.replace("--soft: #595959", "--soft: #999999")),
        ("marks of air have a contrast of", page.replace("--air: #0072B2", "--air: #9bd0f0")),
        ("not an image to a screen reader", page.replacen("role=\"img\"", "", 1)),
        ("no desc", page.replacen("<desc ", "<metadata ", 1).replacen("</desc>", "</metadata>", 1)),
        ("no headline", page.replacen("<figcaption><h3>", "<figcaption><h3 hidden></h3><h3>", 1)),
        (
            "lies on",
            page.replacen(first_words, "<text x=\"0\" y=\"60\" font-size=\"60\">Overlap of words here</text><text ", 1),
        ),
        ("leaves the sheet", moved),
        ("a head without scope", page.replacen(" scope=\"col\"", "", 1)),
        ("heading level jumps", page.replacen("<h2 id=\"finding\">Finding</h2>", "<h4>Finding</h4>", 1)),
    ] {
        let look = look(browser, &place, &page, WIDTHS[0]);
        assert!(look.complaints.iter().any(|c| c.contains(fault)), "\"{fault}\" not in {:#?}", look.complaints);
    }
}
