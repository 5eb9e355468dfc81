//! The charts of a campaign. One file for each; `style` keeps set-ups told apart by shape and ink alike on all of them.

mod air_paths;
mod compensation;
mod forest;
mod repeats;
mod style;
mod trade_off;
mod turns;

use super::Chart;
use driftless_analysis::campaign::model::WingId;
use driftless_analysis::campaign::physics::DeviceOnWing;
use driftless_analysis::campaign::{CampaignAnalysis, Cell};
use driftless_display::DisplayUnits;
use std::collections::BTreeSet;

/// All charts of a campaign, in the order of the page.
pub fn charts(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Vec<Chart> {
    let by_wing =
        [turns(analysis, units), compensation(analysis), air_paths(analysis, units), repeats(analysis, units)];
    let trade_offs = trade_offs(analysis, units).into_iter().map(|(_, chart)| chart);
    trade_offs.chain(by_wing.into_iter().flatten().map(|(_, chart)| chart)).collect()
}

/// Residual turns side by side, one chart for each wing.
pub fn turns(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Vec<(WingId, Chart)> {
    wings(analysis).into_iter().filter_map(|wing| Some((wing, turns::draw(analysis, units, wing)?))).collect()
}

/// Where the aircraft would be after a minute hands off, one chart for each wing.
pub fn air_paths(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Vec<(WingId, Chart)> {
    wings(analysis).into_iter().filter_map(|wing| Some((wing, air_paths::draw(analysis, units, wing)?))).collect()
}

/// Where the paths of [`air_paths`] end: metres to the right and ahead of the start.
pub fn path_end_m(cell: &Cell) -> Option<(f64, f64)> {
    air_paths::path(cell)?.middle.last().copied()
}

/// Compensation with intervals, one chart for each wing.
pub fn compensation(analysis: &CampaignAnalysis) -> Vec<(WingId, Chart)> {
    wings(analysis).into_iter().filter_map(|wing| Some((wing, compensation::draw(analysis, wing)?))).collect()
}

/// Every run beside the mean of its cell, one chart for each wing.
pub fn repeats(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Vec<(WingId, Chart)> {
    wings(analysis).into_iter().filter_map(|wing| Some((wing, repeats::draw(analysis, units, wing)?))).collect()
}

/// Residual against setting, for each device flown at several settings, wing by wing.
pub fn trade_offs<'a>(analysis: &'a CampaignAnalysis, units: &DisplayUnits) -> Vec<(&'a DeviceOnWing, Chart)> {
    analysis.physics.devices.iter().filter_map(|of| Some((of, trade_off::draw(analysis, units, of)?))).collect()
}

/// Wings that were flown.
fn wings(analysis: &CampaignAnalysis) -> BTreeSet<WingId> {
    analysis.cells.iter().map(|cell| cell.key.wing).collect()
}

/// Cells of a wing by scenario, then set-up.
pub fn cells_of(analysis: &CampaignAnalysis, wing: WingId) -> Vec<&Cell> {
    let mut cells: Vec<&Cell> = analysis.cells.iter().filter(|cell| cell.key.wing == wing).collect();
    cells.sort_by_key(|cell| (cell.key.scenario, cell.key.setup));
    cells
}
