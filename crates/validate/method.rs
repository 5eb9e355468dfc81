//! The tables of docs/method.md: the states of the whole-flight estimate, and the constants of it, of windows and of sensors, from
//! the records in the code.

use crate::tables::Table;
use driftless_units::constant::{Constant, Group};
use driftless_wind::flight::constants::{GROUPS, Part};
use driftless_wind::flight::{parts, sensor_parts};

/// All tables of the method.
pub fn tables() -> Vec<Table> {
    let states = [
        of_parts("method-states", "The state at each node", parts()),
        of_parts("method-sensor-states", "What sensors add to the state", sensor_parts()),
    ];
    let records = [
        GROUPS.as_slice(),
        &driftless_segment::constants::GROUPS,
        &driftless_inertial::constants::GROUPS,
        &driftless_analysis::constants::GROUPS,
    ];
    states.into_iter().chain(records.into_iter().flatten().map(of_group)).collect()
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
    // Three figures: constants that are computed have more than they mean. Whole numbers are written out.
    let rounded = match constant.value {
        whole if whole.fract() == 0.0 => whole,
        broken => format!("{broken:.2e}").parse().unwrap_or(broken),
    };
    let space = if constant.unit == "°" { "" } else { " " };
    let value = format!("{rounded}{space}{}", constant.unit);
    vec![constant.what.to_owned(), value.trim_end().to_owned(), constant.source.to_owned()]
}
