//! `driftless check`: reads logs and lists their problems; estimates nothing.

use crate::args::CheckArgs;
use crate::outcome::Outcome;
use crate::output::to_stdout;
use crate::{flight_files, input, terminal};
use driftless_analysis::{Asked, FlightFiles, InputLimits, Problem, TextFile, prepare_or_tell, read_log};
use std::path::Path;

pub(crate) fn run(args: &CheckArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let asked = flight_files::asked(limits);
    let csv_mapping = args.csv_map.as_deref().map(|path| flight_files::text_file(path, limits)).transpose()?;
    let mut outcomes = Vec::new();
    for log in &args.logs {
        outcomes.push(match check(log, csv_mapping.clone(), &asked) {
            Ok((outcome, listing)) => {
                to_stdout(listing.as_bytes())?;
                outcome
            }
            Err(error) => {
                terminal::error(&format!("{error:#}"));
                Outcome::Failed
            }
        });
    }
    Ok(Outcome::of_all(&outcomes))
}

/// Reads one log and cleans its track.
fn check(path: &Path, csv_mapping: Option<TextFile>, asked: &Asked) -> anyhow::Result<(Outcome, String)> {
    let name = input::name_of(path);
    let bytes = input::bytes(path, &asked.config.input)?;
    let files = FlightFiles { name: input::given_name(path), log: &bytes, csv_mapping, ..FlightFiles::default() };
    let log = read_log(&files, asked)?;
    let format = log.format.name();
    let mut listing = format!("{name}: {format}, fixes read: {}, marks: {}\n", log.fixes.len(), log.marks.len());
    let mut problems: Vec<Problem> = log.problems.clone();
    let outcome = match prepare_or_tell(&log, &asked.config.track) {
        Ok(track) => {
            let end = track.time_at(track.duration_s());
            listing.push_str(&format!(
                "{} to {} UTC, fixes used: {}, gaps: {}, one every {:.1} s\n",
                track.epoch.format("%Y-%m-%d %H:%M:%S"),
                end.format("%Y-%m-%d %H:%M:%S"),
                track.points.len(),
                track.gaps.len(),
                track.median_interval_s
            ));
            problems.extend(track.problems);
            Outcome::Made
        }
        Err(none) => {
            listing.push_str(&format!("Not usable: {}\n", none.reason));
            problems.extend(none.problems);
            Outcome::NothingUsable
        }
    };
    listing.push_str(&match problems.as_slice() {
        [] if outcome == Outcome::Made => "No problems found.\n".to_owned(),
        [] => "Nothing else was found.\n".to_owned(),
        found => driftless_report::problem_list(found),
    });
    listing.push('\n');
    Ok((outcome, listing))
}
