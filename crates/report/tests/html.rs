//! The page: self-contained, complete in words, the same on every machine.

use driftless_display::DisplayUnits;
use driftless_report::{html, html_piece};
use driftless_sample::{IMPOSSIBLE, flight, with_impossible_values, without_wind};

fn page() -> String {
    html(&flight(), &DisplayUnits::default())
}

/// The words of a page, a line for each block; style sheet and charts left out.
fn words(page: &str) -> String {
    let mut rest = page.to_owned();
    for (open, close) in [("<style>", "</style>"), ("<svg", "</svg>")] {
        while let Some(start) = rest.find(open) {
            let end = rest[start..].find(close).map_or(rest.len(), |e| start + e + close.len());
            rest.replace_range(start..end, "");
        }
    }
    for cell in ["</th>", "</td>", "</dt>"] {
        rest = rest.replace(cell, " | ");
    }
    for block in ["</p>", "</h1>", "</h2>", "</h3>", "</li>", "</tr>", "</caption>", "</dd>", "</title>"] {
        rest = rest.replace(block, "\n");
    }
    let mut out = String::new();
    let mut inside = false;
    for c in rest.chars() {
        match c {
            '<' => inside = true,
            '>' => inside = false,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out.lines().map(|l| l.trim().trim_end_matches(" |")).filter(|l| !l.is_empty()).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_words_of_the_report() {
    insta::assert_snapshot!(words(&page()));
}

#[test]
fn the_words_without_wind() {
    insta::assert_snapshot!(words(&html(&without_wind(), &DisplayUnits::default())));
}

#[test]
fn nothing_is_fetched_from_anywhere() {
    let page = page();
    // The name of the SVG language looks like an address; it is never opened.
    let page = page.replace("http://www.w3.org/2000/svg", "");
    for word in ["http:", "https:", "//fonts", "<script", "<link", "<img", "url(", "@import", "src=", "srcset"] {
        assert!(!page.contains(word), "{word}");
    }
    for target in page.split("href=\"").skip(1) {
        assert!(target.starts_with('#'), "a link leaves the page");
    }
}

#[test]
fn ids_are_unique_and_links_lead_somewhere() {
    let page = page();
    let mut ids: Vec<&str> = page.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    for target in page.split("href=\"#").skip(1).filter_map(|rest| rest.split('"').next()) {
        assert!(ids.contains(&target), "{target}");
    }
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
}

#[test]
fn words_from_files_cannot_become_markup() {
    let mut analysis = flight();
    analysis.file = "</title><script>alert(1)</script>.gpx".to_owned();
    analysis.windows[0].window.note = Some("<b>\u{0}\u{7}&</b>".to_owned());
    let page = html(&analysis, &DisplayUnits::default());
    assert!(!page.contains("<script") && !page.contains("<b>") && !page.contains('\u{0}'));
}

#[test]
fn no_number_that_is_none_reaches_the_page() {
    for analysis in [flight(), without_wind()] {
        let words = words(&html(&analysis, &DisplayUnits::default()));
        assert!(!words.contains("NaN") && !words.split_whitespace().any(|w| w == "inf"));
    }
}

#[test]
fn no_set_up_is_called_safe() {
    let words = words(&page()).to_lowercase();
    assert!(words.contains("does not call a set-up safe"));
    assert_eq!(words.matches("safe").count(), 1);
}

/// Left behind under the target folder for people to look at, in light, dark and print.
#[test]
fn pages_to_look_at() {
    let units = DisplayUnits::default();
    for (name, analysis) in [("flight", flight()), ("without-wind", without_wind())] {
        let path = format!("{}/report-{name}.html", env!("CARGO_TARGET_TMPDIR"));
        std::fs::write(&path, html(&analysis, &units)).unwrap();
    }
}

#[test]
fn impossible_values_neither_hang_nor_panic() {
    for value in IMPOSSIBLE {
        assert!(html(&with_impossible_values(value), &DisplayUnits::default()).len() < 2_000_000, "{value}");
    }
}

/// The figures of a refused window count for nothing, and printed they would be read.
#[test]
fn regression_no_rate_stands_beside_a_refusal() {
    let mut analysis = flight();
    for measured in &mut analysis.windows {
        measured.verdict.findings = vec![driftless_analysis::Finding::RateNotMeasured];
    }
    let words = words(&html(&analysis, &DisplayUnits::default()));
    assert!(words.contains("refused") && !words.contains("accepted |"), "{words}");
    for figure in ["3.10 ± ", "3.1 ± ", "7.4", "Load factor", "Degrees of freedom"] {
        assert!(!words.contains(figure), "{figure}: {words}");
    }
}

/// What the ground track alone would have said stands beside each set-up, and is left out where it lies within the interval.
#[test]
fn the_ground_track_stands_beside_each_set_up() {
    let words = words(&page());
    // Courses of 4.4, 5.9, 6.1 and -0.4 °/s for turns of 3.1, 5.2, 7.4 and 0.05 ± 0.4.
    for said in ["says 4.4\u{a0}°/s right.", "says 5.9\u{a0}°/s right.", "says 6.1\u{a0}°/s right."] {
        assert!(words.contains(said), "{said}: {words}");
    }
}

/// Inside somebody else's page: no style, no script, no id that could meet another, the same figures as the table of the report.
#[test]
fn a_piece_for_another_page_leaves_that_page_as_it_is() {
    for analysis in [flight(), without_wind(), with_impossible_values(IMPOSSIBLE[0])] {
        let piece = html_piece(&analysis, &DisplayUnits::default());
        for never in ["<style", "<script", "<svg", "<h1", " id=", "NaN", "href="] {
            assert!(!piece.contains(never), "{never} in {piece}");
        }
        assert!(piece.contains("data:image/svg+xml,%3C%3Fxml"), "no chart in {piece}");
    }
    let piece = words(&html_piece(&flight(), &DisplayUnits::default()));
    let page = page();
    let rows = piece.lines().filter(|line| line.contains(" | ")).collect::<Vec<_>>();
    assert_eq!(rows.len(), 1 + flight().windows.len(), "{piece}");
    let page = words(&page);
    for row in rows {
        assert!(page.contains(row), "{row} is not in the page");
    }
}
