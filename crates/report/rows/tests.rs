use super::*;
use crate::JsonLayout;
use driftless_sample::{round_flight, round_flight_without_wind};
use serde_json::Value;
use std::collections::BTreeSet;

fn document(analysis: &FlightAnalysis) -> Value {
    serde_json::from_str(&crate::json(analysis, JsonLayout::Line).expect("a document")).expect("JSON")
}

/// Keys of a value, flattened; of a list of words its own key, of a list of objects those of an entry.
fn flattened(prefix: &str, value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(keys) => {
            for (key, value) in keys {
                let name = if prefix.is_empty() { key.clone() } else { format!("{prefix}_{key}") };
                flattened(&name, value, into);
            }
        }
        _ => drop(into.insert(prefix.to_owned())),
    }
}

fn cell<'a>(row: &'a WindowRow, name: &str) -> &'a Cell {
    &row[WINDOW_COLUMNS.iter().position(|column| column.name == name).expect(name)]
}

#[test]
fn every_key_of_a_window_has_its_column_and_no_column_is_without_one() {
    let analysis = round_flight();
    let document = document(&analysis);
    let mut keys = BTreeSet::new();
    flattened("", &document["windows"][0], &mut keys);
    assert!(keys.remove("findings") && keys.insert("findings_code".to_owned()), "the codes stand for the findings");
    let mut of_log = BTreeSet::from(["schema".to_owned()]);
    flattened("log", &document["log"], &mut of_log);
    for key in ["made_by_version", "made_by_input_sha256"] {
        of_log.insert(key.to_owned());
    }
    let columns: BTreeSet<String> = WINDOW_COLUMNS.iter().map(|column| column.name.to_owned()).collect();
    assert_eq!(columns.len(), WINDOW_COLUMNS.len(), "no name twice");
    assert_eq!(columns, keys.union(&of_log).cloned().collect());
}

#[test]
fn a_row_says_what_the_document_says() {
    let analysis = round_flight();
    let (document, rows) = (document(&analysis), window_rows(&analysis).expect("rows"));
    let windows = document["windows"].as_array().expect("windows");
    assert_eq!(rows.len(), windows.len());
    assert!(!rows.is_empty());
    for (row, window) in rows.iter().zip(windows) {
        assert_eq!(row.len(), WINDOW_COLUMNS.len());
        assert_eq!(*cell(row, "id"), Cell::Count(window["id"].as_i64().unwrap()));
        assert_eq!(
            *cell(row, "turn_rate_value_deg_s"),
            Cell::Number(window["turn_rate"]["value_deg_s"].as_f64().unwrap())
        );
        assert_eq!(*cell(row, "accepted"), Cell::Flag(window["accepted"].as_bool().unwrap()));
        let Cell::Time(start) = *cell(row, "start_utc") else { panic!("a time") };
        let told = chrono::DateTime::from_timestamp_millis(start).unwrap();
        assert_eq!(crate::json::utc(told), window["start_utc"].as_str().unwrap());
        assert_eq!(*cell(row, "made_by_input_sha256"), Cell::Text(analysis.made_by.input_sha256.clone()));
    }
}

#[test]
fn what_is_not_known_is_empty_and_what_acts_is_shown() {
    let mut analysis = round_flight_without_wind();
    analysis.windows[0].window.note = Some("red\u{1b}[31m".to_owned());
    let rows = window_rows(&analysis).expect("rows");
    assert_eq!(*cell(&rows[0], "turn_rate_value_deg_s"), Cell::Empty);
    assert_eq!(*cell(&rows[0], "accepted"), Cell::Flag(false));
    assert!(matches!(cell(&rows[0], "findings_code"), Cell::Text(codes) if !codes.is_empty()));
    assert_eq!(*cell(&rows[0], "note"), Cell::Text("red\\u{1b}[31m".to_owned()));
}

#[test]
fn the_page_of_formats_says_what_each_column_is() {
    let page = include_str!("../../../docs/formats.md");
    let told = |kind| match kind {
        ColumnKind::Text => "text",
        ColumnKind::Flag => "flag",
        ColumnKind::Count => "whole number",
        ColumnKind::Number => "number",
        ColumnKind::Time => "time",
    };
    let lines =
        WINDOW_COLUMNS.map(|column| format!("| `{}` | {} | {} |", column.name, told(column.kind), column.meaning));
    assert!(page.contains(&lines.join("\n")), "docs/formats.md is to have\n{}", lines.join("\n"));
    assert!(page.contains(WINDOW_ROWS_SCHEMA));
}
