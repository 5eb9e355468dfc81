//! What every analysis keeps, whatever it was given: figures that are figures, intervals in order, documents that parse, pages
//! without a script.

mod campaigns;
mod flown;
mod logbooks;
mod sensed;
pub mod targets;

use driftless_analysis::{Asked, FlightAnalysis, FlightFiles, InertialFile, TextFile, analyse_files};
use driftless_display::DisplayUnits;
use driftless_report::{CsvHeader, JsonLayout, brief, csv, html, json, marks_csv, text, window_rows};
use serde_json::Value;

/// What came out, for other judges.
#[derive(Debug)]
pub struct Made {
    /// The document.
    pub document: Value,
    /// The page.
    pub page: String,
}

/// What lies beside a log.
#[derive(Debug, Clone, Default)]
struct Beside<'a> {
    marks: Option<&'a str>,
    mapping: Option<&'a str>,
    inertial: Option<InertialFile>,
}

/// Files as an analysis, or refused in words.
fn analysed(log: &[u8], beside: Beside<'_>) -> Option<FlightAnalysis> {
    let text_file = |text: &str| TextFile { name: "beside".to_owned(), text: text.to_owned() };
    let files = FlightFiles {
        name: "log".to_owned(),
        log,
        marks: beside.marks.map(text_file),
        inertial: beside.inertial.into_iter().collect(),
        csv_mapping: beside.mapping.map(text_file),
    };
    match analyse_files(files, &Asked::default(), &mut |_| ()) {
        Ok(analysis) => Some(analysis),
        Err(refusal) => {
            assert!(!refusal.to_string().is_empty(), "refused without a word");
            None
        }
    }
}

/// Files down the whole road into every output.
fn report(log: &[u8], beside: Beside<'_>) -> Vec<Made> {
    let Some(analysis) = analysed(log, beside) else { return Vec::new() };
    let units = DisplayUnits::default();
    let document = json(&analysis, JsonLayout::Line).expect("an analysis is a document");
    let made = hold(&document, html(&analysis, &units), [text(&analysis, &units), brief(&analysis, &units, 80)]);
    csv(&analysis, CsvHeader::No).expect("rows");
    assert_eq!(window_rows(&analysis).expect("rows").len(), analysis.windows.len());
    marks_csv(&analysis).expect("marks");
    vec![made]
}

/// Holds what came out to its promises.
fn hold(document: &str, page: String, words: [String; 2]) -> Made {
    let document = serde_json::from_str(document).expect("JSON");
    in_order(&document);
    assert!(page.starts_with("<!DOCTYPE html>") && page.trim_end().ends_with("</html>"), "half a page");
    assert!(!page.contains("<script"), "a script in a page");
    for words in words {
        // Alone: what a parser says of a file may well name them.
        let no_figure = words.split_whitespace().find(|word| ["NaN", "inf", "-inf", "+inf"].contains(word));
        assert!(no_figure.is_none(), "no figure: {words}");
    }
    Made { document, page }
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
