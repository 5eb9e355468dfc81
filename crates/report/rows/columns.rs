//! The columns: name, type, where the value stands in the document, and what it means.

use super::{Cell, WindowRow};
use serde_json::Value;

/// Name and version of the columns. A column may be added at the end; those there keep name, type and meaning.
pub const WINDOW_ROWS_SCHEMA: &str = "driftless/window-rows/1";

/// What a column holds. Every column may hold nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// UTF-8 text.
    Text,
    /// Yes or no.
    Flag,
    /// A whole number.
    Count,
    /// A figure in the unit that the name of the column ends in.
    Number,
    /// A time in UTC, to the millisecond.
    Time,
}

/// One column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WindowColumn {
    /// Its name: the key of the JSON document, flattened with underscores.
    pub name: &'static str,
    /// What it holds.
    pub kind: ColumnKind,
    /// What it means, in a sentence.
    pub meaning: &'static str,
    place: Place,
}

/// Where the value stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// In the document, which is the same for every window.
    Document(&'static str),
    /// In the window.
    Window(&'static str),
    /// In the window, one word of each entry of a list.
    Each(&'static str, &'static str),
}

const fn of_log(name: &'static str, kind: ColumnKind, pointer: &'static str, meaning: &'static str) -> WindowColumn {
    WindowColumn { name, kind, meaning, place: Place::Document(pointer) }
}

const fn of_window(name: &'static str, kind: ColumnKind, pointer: &'static str, meaning: &'static str) -> WindowColumn {
    WindowColumn { name, kind, meaning, place: Place::Window(pointer) }
}

use ColumnKind::{Count, Flag, Number, Text, Time};

/// All columns, in their order.
#[rustfmt::skip]
pub const WINDOW_COLUMNS: [WindowColumn; 61] = [
    of_log("log_file", Text, "/log/file", "Name of the log, without its folder"),
    of_log("log_format", Text, "/log/format", "Format of the log"),
    of_log("log_start_utc", Time, "/log/start_utc", "First fix of the log"),
    of_log("log_end_utc", Time, "/log/end_utc", "Last fix of the log"),
    of_log("log_median_interval_s", Number, "/log/median_interval_s", "Median time between two fixes"),
    of_log("made_by_input_sha256", Text, "/made_by/input_sha256", "SHA-256 of the log: what tells logs apart"),
    of_log("made_by_version", Text, "/made_by/version", "Version of the program"),
    of_window("id", Count, "/id", "Number of the window in its log, from 1"),
    of_window("flight", Count, "/flight", "Number of the flight of the log, from 1; empty on the ground"),
    of_window("start_utc", Time, "/start_utc", "From when the window is measured"),
    of_window("end_utc", Time, "/end_utc", "Until when"),
    of_window("let_go_utc", Time, "/let_go_utc", "Let-go: the brakes are released"),
    of_window("take_over_utc", Time, "/take_over_utc", "Take-over: hands are on again"),
    of_window("origin", Text, "/origin", "marked, found or given"),
    of_window("hands_off", Text, "/hands_off", "confirmed or candidate"),
    of_window("scenario", Text, "/scenario", "Power scenario"),
    of_window("scenario_basis", Text, "/scenario_basis", "What the scenario was told by"),
    of_window("setup", Text, "/setup", "Set-up, where the marks name one"),
    of_window("note", Text, "/note", "Note of the marks"),
    of_window("turn_rate_value_deg_s", Number, "/turn_rate/value_deg_s", "Turn rate between start and end; right is positive"),
    of_window("turn_rate_std_u_deg_s", Number, "/turn_rate/std_u_deg_s", "Its standard uncertainty"),
    of_window("turn_rate_low95_deg_s", Number, "/turn_rate/low95_deg_s", "Lower end of its 95 % interval"),
    of_window("turn_rate_high95_deg_s", Number, "/turn_rate/high95_deg_s", "Upper end of its 95 % interval"),
    of_window("turn_rate_degrees_of_freedom", Number, "/turn_rate/degrees_of_freedom", "Its degrees of freedom; empty: as good as known"),
    of_window("turn_rate_coverage_factor95", Number, "/turn_rate/coverage_factor95", "Its coverage factor for 95 %"),
    of_window("steady_rate_value_deg_s", Number, "/steady_rate/value_deg_s", "What the set-up does, turbulence wander included"),
    of_window("steady_rate_std_u_deg_s", Number, "/steady_rate/std_u_deg_s", "Its standard uncertainty"),
    of_window("steady_rate_low95_deg_s", Number, "/steady_rate/low95_deg_s", "Lower end of its 95 % interval"),
    of_window("steady_rate_high95_deg_s", Number, "/steady_rate/high95_deg_s", "Upper end of its 95 % interval"),
    of_window("steady_rate_degrees_of_freedom", Number, "/steady_rate/degrees_of_freedom", "Its degrees of freedom"),
    of_window("steady_rate_coverage_factor95", Number, "/steady_rate/coverage_factor95", "Its coverage factor for 95 %"),
    of_window("second_opinion_method", Text, "/second_opinion/method", "Method of the second opinion"),
    of_window("second_opinion_value_deg_s", Number, "/second_opinion/value_deg_s", "Its turn rate"),
    of_window("second_opinion_std_u_deg_s", Number, "/second_opinion/std_u_deg_s", "Its standard uncertainty"),
    of_window("second_opinion_disagrees", Flag, "/second_opinion/disagrees", "Farther apart than chance would bring about"),
    of_window("second_opinion_apart_std_u", Number, "/second_opinion/apart_std_u", "Distance in standard uncertainties of the difference"),
    of_window("second_opinion_favoured", Text, "/second_opinion/favoured", "Which of two that disagree the log speaks for"),
    of_window("course_rate_deg_s", Number, "/course_rate_deg_s", "Rate of the course over the ground, wind not taken out"),
    of_window("heading_change_deg", Number, "/heading_change_deg", "Change of heading between start and end"),
    of_window("heading_change_std_u_deg", Number, "/heading_change_std_u_deg", "Its standard uncertainty"),
    of_window("seconds_per_90deg", Number, "/seconds_per_90deg", "Time for a quarter turn at this rate"),
    of_window("turn_per_minute_deg", Number, "/turn_per_minute_deg", "Turn in a minute at this rate"),
    of_window("airspeed_mps", Number, "/airspeed_mps", "Mean airspeed"),
    of_window("airspeed_std_u_mps", Number, "/airspeed_std_u_mps", "Its standard uncertainty"),
    of_window("ground_speed_mps", Number, "/ground_speed_mps", "Mean speed over the ground"),
    of_window("climb_mps", Number, "/climb_mps", "Mean climb"),
    of_window("bank_deg", Number, "/bank_deg", "Bank for this turn"),
    of_window("air_radius_m", Number, "/air_radius_m", "Radius of the turn through the air"),
    of_window("load_factor", Number, "/load_factor", "Load factor of the turn"),
    of_window("altitude_m", Number, "/altitude_m", "Mean altitude"),
    of_window("height_above_takeoff_m", Number, "/height_above_takeoff_m", "Mean height above the take-off"),
    of_window("wind_speed_mps", Number, "/wind_speed_mps", "Wind in the window"),
    of_window("wind_from_deg", Number, "/wind_from_deg", "Where it comes from"),
    of_window("wind_std_u_mps", Number, "/wind_std_u_mps", "Its standard uncertainty by axis"),
    of_window("accepted", Flag, "/accepted", "Whether nothing speaks against the window"),
    of_window("reasons", Text, "/reasons", "What speaks against it, in words"),
    WindowColumn { name: "findings_code", kind: Text, meaning: "The same for programs, in the same order", place: Place::Each("/findings", "code") },
    of_log("log_fixes_read", Count, "/log/fixes_read", "Fixes in the log"),
    of_log("log_fixes_used", Count, "/log/fixes_used", "Fixes that were used"),
    of_log("schema", Text, "/schema", "Schema of the document that the row was made of"),
    of_window("power_source", Text, "/power_source", "What the power is known from; empty where nobody named or recorded it"),
];

/// The row of a window of a document.
pub(super) fn row(document: &Value, window: &Value) -> WindowRow {
    WINDOW_COLUMNS.iter().map(|column| cell(column, document, window)).collect()
}

fn cell(column: &WindowColumn, document: &Value, window: &Value) -> Cell {
    let held = match column.place {
        Place::Document(pointer) => document.pointer(pointer).cloned(),
        Place::Window(pointer) => window.pointer(pointer).cloned(),
        Place::Each(pointer, key) => window
            .pointer(pointer)
            .and_then(Value::as_array)
            .map(|list| list.iter().filter_map(|entry| entry.get(key).cloned()).collect()),
    };
    held.map_or(Cell::Empty, |value| Cell::of(&value, column.kind))
}
