//! Keys of the documents that state no figure of the program's own.

use super::is_key;

/// What says how a document was made, repeats what came out of the files, names things, or says figures once more in words.
const WORDS: &[&str] = &[
    "schema",
    "made_by.*",
    // Both documents: what was met while reading, and what is told in words.
    "problems[].*",
    "alerts[].code",
    "alerts[].severity",
    "alerts[].message",
    "alerts[].finding.*",
    "inertial.own_noise.*",
    "inertial.status_finding",
    "inertial.status_finding.*",
    "alerts[].help",
    "alerts[].file",
    "alerts[].line",
    // A flight.
    "log.file",
    "log.format",
    "wind.reason",
    "compass.doubts[]",
    "compass.reference",
    "flights[].number",
    "flights[].inertial_status",
    "flights[].inertial_status_reason",
    "flights[].windows[]",
    "windows[].id",
    "windows[].flight",
    "windows[].power_source",
    "combined[].flight",
    "combined[].setup",
    "combined[].power_source",
    "combined[].scenario",
    "combined[].windows[]",
    "windows[].origin",
    "windows[].hands_off",
    "windows[].setup",
    "windows[].note",
    "windows[].second_opinion.method",
    "windows[].reasons[]",
    "inertial.files[].*",
    "inertial.status_reason",
    "inertial.clock_offset_reason",
    "inertial.verdict",
    "inertial.allan[].axis",
    "inertial.compass.doubts[]",
    "inertial.windows[].id",
    // A campaign.
    "campaign.*",
    "spread.typical_absolute_deg_s",
    "spread.typical_share_percent",
    "spread.statement",
    "cells[].run_list[].name",
    "cells[].run_list[].source",
    "cells[].run_list[].power_source",
    "cells[].power_not_recorded_runs",
    "cells[].run_list[].pilot",
    "cells[].run_list[].date",
    "cells[].run_list[].timed_by",
    "class_questions[].*",
    "next_flights[].*",
    "cells[].setup_name",
    "cells[].wing_name",
    "comparisons[].setup_a",
    "comparisons[].setup_b",
    "log_against_stopwatch.runs[].name",
    "log_against_stopwatch.runs[].timed_by",
    "heading_drift[].limit_deg_min",
    "rankings[].scenarios[]",
    "rankings[].weights.*",
    "rankings[].setups[].setup",
    "devices[].device",
    "devices[].setting_unit",
    "devices[].predictions[].setup",
    "devices[].predictions[].scenario",
    "reduced[].reference_all_up_kg",
    "reduced[].reference_density_kg_m3",
    "students[].pilot",
    "students[].question",
    "unused_runs[].*",
];

/// Lists of a campaign, each entry of which names its cell and may say it in words.
const OF_CELLS: [&str; 11] = [
    "cells[]",
    "compensation[]",
    "comparisons[]",
    "heading_drift[]",
    "rankings[]",
    "sensitivities[]",
    "equivalents[]",
    "devices[]",
    "reduced[]",
    "more_runs[]",
    "students[]",
];
const NAMES_OF_CELLS: [&str; 5] = ["setup", "baseline", "wing", "scenario", "statement"];

/// Whether a key of a document states no figure of the program's own.
pub fn is_word(key: &str) -> bool {
    let names_a_cell = || {
        let parts = key.split_once('.');
        parts.is_some_and(|(list, name)| OF_CELLS.contains(&list) && NAMES_OF_CELLS.contains(&name))
    };
    WORDS.iter().any(|listed| is_key(listed, key)) || names_a_cell()
}
