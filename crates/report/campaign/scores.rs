//! What a cell is judged by, and the flags that stand beside it, the same in terminal and page.

use driftless_analysis::Scenario;
use driftless_analysis::campaign::{CampaignAnalysis, CellKey, JudgeBy};
use driftless_display::campaign::points;
use driftless_display::{DisplayUnits, fixed};
use driftless_units::Interval;

/// What to see at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Flag {
    /// It turns the other way than without the device, beyond doubt.
    Over,
    /// It turns in the glide by more than is tolerated, beyond doubt.
    Glide,
    /// Its margin is wider than wished.
    Imprecise,
}

impl Flag {
    /// One character beside a figure.
    pub(crate) const fn sign(self) -> &'static str {
        match self {
            Self::Over => "!",
            Self::Glide => "*",
            Self::Imprecise => "~",
        }
    }

    /// The same in words.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Over => "over-compensated",
            Self::Glide => "turns in the glide",
            Self::Imprecise => "margin wider than wished",
        }
    }
}

/// Compensation and its interval, where the cell is judged by it.
pub(crate) fn percent(analysis: &CampaignAnalysis, key: CellKey) -> Option<(f64, Interval<f64>)> {
    let of = analysis.compensation_of(key).filter(|of| of.judge_by == JudgeBy::Percent)?;
    of.result.percent.zip(of.result.interval)
}

/// The flag of a cell: what is wrong before what is unsure.
pub(crate) fn flag(analysis: &CampaignAnalysis, key: CellKey) -> Option<Flag> {
    let turn = analysis.cell(key)?.turn_deg_s().interval(0.95);
    let tolerated = analysis.campaign.tolerated_turn_deg_min / 60.0;
    if key.scenario == Scenario::PowerOffGlide && (turn.low > tolerated || turn.high < -tolerated) {
        return Some(Flag::Glide);
    }
    let (_, ends) = percent(analysis, key)?;
    match ends {
        Interval { low, .. } if low > 100.0 => Some(Flag::Over),
        Interval { low, high } if 0.5 * (high - low) > analysis.campaign.wished_half_width_percent => {
            Some(Flag::Imprecise)
        }
        _ => None,
    }
}

/// What the flags that are met mean, in one line; what a figure without a percent sign is.
pub(crate) fn legend(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let met = |flag: Flag| analysis.cells.iter().any(|cell| self::flag(analysis, cell.key) == Some(flag));
    let unit = units.turn.sign();
    let mut parts = vec![format!("%: compensation (95\u{a0}%); else the turn, {unit}, right positive")];
    let tolerated = fixed(analysis.campaign.tolerated_turn_deg_min, 0);
    for flag in [Flag::Over, Flag::Glide, Flag::Imprecise].into_iter().filter(|flag| met(*flag)) {
        let words = match flag {
            Flag::Over => "over-compensated".to_owned(),
            Flag::Glide => format!("glide beyond {tolerated}\u{a0}°/min"),
            Flag::Imprecise => format!("wider than {}", points(Some(analysis.campaign.wished_half_width_percent))),
        };
        parts.push(format!("{}\u{a0}{words}", flag.sign()));
    }
    format!("{}.", parts.join("; "))
}
