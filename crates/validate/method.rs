//! The tables of docs/method.md: states and constants of the whole-flight estimate, from the record in the code.

use crate::tables::Table;
use driftless_wind::flight::constants::{Constant, GROUPS, Group, Part};
use driftless_wind::flight::{parts, sensor_parts};

/// All tables of the method.
pub fn tables() -> Vec<Table> {
    let states = [
        of_parts("method-states", "The state at each node", parts()),
        of_parts("method-sensor-states", "What sensors add to the state", sensor_parts()),
    ];
    states.into_iter().chain(GROUPS.iter().map(of_group)).collect()
}

fn of_parts(name: &'static str, title: &str, parts: impl Iterator<Item = &'static Part>) -> Table {
    let row = |part: &Part| {
        let name = part.name.split(", ").filter(|name| !name.is_empty()).map(|name| format!("`{name}`"));
        vec![
            part.symbol.to_owned(),
            name.collect::<Vec<_>>().join(", "),
            part.what.to_owned(),
            part.moves.to_owned(),
            part.first.to_owned(),
        ]
    };
    Table {
        name,
        title: title.to_owned(),
        head: ["symbol", "in the code", "what", "how it moves", "at the first node"].map(str::to_owned).to_vec(),
        rows: parts.map(row).collect(),
    }
}

fn of_group(group: &Group) -> Table {
    Table {
        name: group.name,
        title: group.title.to_owned(),
        head: ["what", "value", "source"].map(str::to_owned).to_vec(),
        rows: group.constants.iter().map(row).collect(),
    }
}

fn row(constant: &Constant) -> Vec<String> {
    // Three figures: constants that are computed have more than they mean.
    let rounded: f64 = format!("{:.2e}", constant.value).parse().unwrap_or(constant.value);
    let value = format!("{rounded} {}", constant.unit);
    vec![constant.what.to_owned(), value.trim_end().to_owned(), constant.source.to_owned()]
}
