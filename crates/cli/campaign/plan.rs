//! `driftless plan`: the test cards of the next flights.

use super::compare::analysed;
use super::load::load;
use crate::args::PlanArgs;
use crate::input::{self, is_dash};
use crate::outcome::Outcome;
use crate::output::{Place, refuse_clashes, to_stdout};
use crate::terminal;
use driftless_analysis::InputLimits;
use driftless_analysis::campaign::plan_campaign;
use driftless_report::{plan_html, plan_words};

pub(crate) fn run(args: &PlanArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let place = match args.output.as_deref() {
        Some(path) => Place::named(path, &args.campaign, "cards.html"),
        None if is_dash(&args.campaign) => Place::Stdout,
        None => Place::beside(&args.campaign, "cards.html"),
    };
    refuse_clashes([&place], [args.campaign.as_path()])?;
    let loaded = load(&args.campaign, limits)?;
    let seed = args.seed.unwrap_or(loaded.campaign.plan.seed);
    let (analysis, any_failed) = analysed(loaded, limits, args.anonymous);
    let plan = plan_campaign(&analysis, seed);
    place.write(plan_html(&analysis, &plan).as_bytes())?;
    if let Place::File(path) = &place {
        let cards = plan.cards.len();
        let words = if cards == 1 { "card" } else { "cards" };
        let about = plan_words(&analysis, &plan, terminal::width());
        to_stdout(format!("{cards} {words}: {}\n{about}", input::name_of(path)).as_bytes())?;
    }
    Ok(if any_failed { Outcome::Failed } else { Outcome::Made })
}
