//! Charts as files that stand alone.

use crate::input;
use crate::output::Place;
use anyhow::Context;
use driftless_charts::Chart;
use std::path::Path;

/// Writes each chart as SVG into a folder, which is made if it is not there. `before` stands before the names, to keep the charts
/// of several logs apart.
pub(crate) fn write(folder: &Path, before: &str, charts: &[Chart]) -> anyhow::Result<()> {
    std::fs::create_dir_all(folder).with_context(|| {
        format!("cannot make the folder {}; check that you may write there", input::name_of(folder))
    })?;
    for chart in charts {
        Place::File(folder.join(format!("{before}{}.svg", chart.id))).write(chart.standalone().as_bytes())?;
    }
    Ok(())
}
