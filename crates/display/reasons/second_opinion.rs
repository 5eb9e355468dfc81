//! What to make of a second opinion that differs.

use crate::{DisplayUnits, turn_signed};
use driftless_analysis::{Favoured, FlightAnalysis, WindowMeasurement};

/// A clause about the second opinion of a window: what it says, and which of both the log speaks for; `None` where both agree.
pub fn disagreement(analysis: &FlightAnalysis, measured: &WindowMeasurement, units: &DisplayUnits) -> Option<String> {
    let favoured = analysis.disagreement(measured)?;
    let second = measured.second_opinion?;
    let weighed = match favoured {
        Favoured::MainByWind => {
            "with the wind of this window in place of a borrowed one it comes closer, so the log speaks for the main figure"
        }
        Favoured::MainByPath => "the fixes do not lie on such a circle, so the log speaks for the main figure",
        Favoured::Neither => "the log speaks for neither, so take neither for certain",
    };
    Some(format!(
        "the second opinion says {} {}, farther off than chance explains; {weighed}",
        turn_signed(units, &second.turn_rate),
        units.turn.sign()
    ))
}
