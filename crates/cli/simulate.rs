//! `driftless simulate`: a scenario file and a seed become logs with known truth.

use crate::args::SimulateArgs;
use crate::input;
use crate::outcome::Outcome;
use crate::output::{Place, refuse_clashes, to_stdout};
use anyhow::Context;
use driftless_analysis::InputLimits;
use driftless_sim::{Scenario, render_within};

pub(crate) fn run(args: &SimulateArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let name = input::name_of(&args.scenario);
    let text = input::text(&args.scenario, limits)?;
    let scenario = Scenario::from_toml(&text).with_context(|| name.clone())?;
    let rendered = render_within(&scenario, args.seed.unwrap_or(scenario.seed), limits).context(name)?;
    let files: Vec<_> =
        rendered.files.into_iter().map(|(name, content)| (Place::File(args.output.join(name)), content)).collect();
    refuse_clashes(files.iter().map(|(place, _)| place), [args.scenario.as_path()])?;
    for (place, content) in &files {
        place.write(content)?;
        if let Place::File(path) = place {
            to_stdout(format!("{}\n", input::name_of(path)).as_bytes())?;
        }
    }
    Ok(Outcome::Made)
}
