//! What every analysis keeps, whatever it was given: figures that are figures, intervals in order, documents that parse, pages
//! without a script.

use driftless_analysis::{Asked, FlightFiles, InertialFile, TextFile, analyse_files};
use driftless_display::DisplayUnits;
use driftless_report::{CsvHeader, JsonLayout, brief, csv, html, json, marks_csv, text, window_rows};
use serde_json::Value;

/// A short log in which everything can be found: the flight that marks, mappings and sensors are put beside.
pub const LOG: &[u8] = include_bytes!("../../../fixtures/formats/csv/good/time-utc.csv");

/// Files down the whole road into every output.
pub fn report(log: &[u8], marks: Option<&str>, mapping: Option<&str>, inertial: Option<InertialFile>) {
    let text_file = |text: &str| TextFile { name: "beside".to_owned(), text: text.to_owned() };
    let files = FlightFiles {
        name: "log".to_owned(),
        log,
        marks: marks.map(text_file),
        inertial: inertial.into_iter().collect(),
        csv_mapping: mapping.map(text_file),
    };
    let analysis = match analyse_files(files, &Asked::default(), &mut |_| ()) {
        Ok(analysis) => analysis,
        Err(refusal) => {
            assert!(!refusal.to_string().is_empty(), "refused without a word");
            return;
        }
    };
    let units = DisplayUnits::default();
    let document = json(&analysis, JsonLayout::Line).expect("an analysis is a document");
    in_order(&serde_json::from_str(&document).expect("JSON"));
    let page = html(&analysis, &units);
    assert!(page.starts_with("<!DOCTYPE html>") && page.trim_end().ends_with("</html>"), "half a page");
    assert!(!page.contains("<script"), "a script in a page");
    for words in [text(&analysis, &units), brief(&analysis, &units, 80)] {
        // Alone: what a parser says of a file may well name them.
        let no_figure = words.split_whitespace().find(|word| ["NaN", "inf", "-inf", "+inf"].contains(word));
        assert!(no_figure.is_none(), "no figure: {words}");
    }
    csv(&analysis, CsvHeader::No).expect("rows");
    assert_eq!(window_rows(&analysis).expect("rows").len(), analysis.windows.len());
    marks_csv(&analysis).expect("marks");
}

/// Intervals of a document hold their value.
fn in_order(value: &Value) {
    match value {
        Value::Object(keys) => {
            let of = |name: &str| keys.get(name).and_then(Value::as_f64);
            if let (Some(low), Some(value), Some(high)) = (of("low95_deg_s"), of("value_deg_s"), of("high95_deg_s")) {
                assert!(low <= value && value <= high, "{low} {value} {high}");
            }
            if let Some(std_u) = of("std_u_deg_s") {
                assert!(std_u >= 0.0, "{std_u}");
            }
            keys.values().for_each(in_order);
        }
        Value::Array(list) => list.iter().for_each(in_order),
        _ => {}
    }
}
