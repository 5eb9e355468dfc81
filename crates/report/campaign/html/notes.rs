//! What stands at the back of a campaign's page alone: runs left out, how to read its figures, its logs.

use super::sections::strings;
use crate::campaign::unused::why_unused;
use crate::html::back::{self, Inputs};
use crate::html::fold::{Paper, folded_section};
use crate::html::parts::{clean, table};
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_display::{DisplayUnits, count_of};
use maud::{Markup, html as markup};

/// Runs that count for nothing, each with its reason.
pub(super) fn unused(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    if analysis.unused.is_empty() {
        return markup! {};
    }
    let rows: Vec<Vec<String>> = analysis
        .unused
        .iter()
        .map(|run| vec![clean(&run.name), clean(&run.of), clean(&why_unused(&run.why, units))])
        .collect();
    let title = format!("{} left out", count_of(rows.len(), "run", "runs"));
    let head = strings(["Run", "Of", "Why"]);
    folded_section(
        "unused",
        &title,
        Paper::Opened,
        &table("Nothing is left out without a reason", "words", &head, &rows),
    )
}

/// What the figures mean.
pub(super) fn how_to_read() -> Markup {
    let body = markup! { ul {
        li { "A turn to the right is positive. ± is the 95 % margin, half of the interval; in brackets stands the interval \
              itself: in 95 of 100 such cases the truth lies inside." }
        li { "A " strong { "cell" } " is one set-up on one wing in one scenario. Its figure is the mean of its runs; \
              the spread from run to run is in its interval. All cells share what their repeats say of that spread, so that \
              two runs which agree by luck do not look sure, and a single run is as unsure as its day." }
        li { strong { "Compensation" } " is the share of the baseline's turn that a device compensates: 0 % is no \
              effect, 100 % is no turn left, above 100 % it turns the other way. Where the baseline hardly turns \
              (power-off glide) a percentage means nothing, and the residual turn itself is given." }
        li { strong { "Not told apart" } " does not mean alike: it means that these runs cannot tell." }
        li { "Pairs of devices are judged together (Holm), so that among many comparisons a chance finding stays \
              rarer than one in twenty." }
        li { "A stopwatch run counts like any other, with its own uncertainty. Timed beside a log it counts once, \
              by the log, and tells how well the watch was read." }
    } };
    folded_section("reading", "How to read it", Paper::Opened, &body)
}

/// How the page came to be.
pub(super) fn made_by(analysis: &CampaignAnalysis) -> Markup {
    let files = analysis.logs.iter().map(|(name, sha256)| (name.as_str(), sha256.as_str())).collect();
    let inputs =
        Inputs { kind: "campaign file", file: crate::known::bare_name(&analysis.file), further: "Logs", files };
    back::made_by(&analysis.made_by, &inputs)
}
