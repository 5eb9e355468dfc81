//! `driftless report`: each log goes down the one road and comes out in the format asked for.
//!
//! * [`logs`]: which logs are meant by files, folders, patterns and lists; [`plan`]: everything that is settled before the first
//!   one is read.
//! * [`one`]: one log, from bytes to what is told of it ([`done`]); [`mod@in_order`]: many of them side by side, taken in order.
//! * [`sink`]: where the reports go that share a place, [`parquet`] among them; [`beside`]: files given beside the logs.
//! * [`kept`]: what an interrupted run had finished.

mod beside;
mod done;
mod in_order;
mod kept;
mod logs;
mod one;
mod parquet;
mod parquet_sink;
mod plan;
mod sink;
mod tally;

pub(crate) use one::rendered;

use crate::args::ReportArgs;
use crate::outcome::Outcome;
use crate::terminal::{self, Progress};
use beside::BesideFiles;
use done::{Content, Done, Message};
use driftless_analysis::InputLimits;
use in_order::in_order;
use kept::Kept;
use sink::Sink;
use std::io::IsTerminal;
use tally::Tally;

pub(crate) fn run(args: &ReportArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let plan = plan::plan(args, limits)?;
    let kept = Kept::open(&plan)?;
    let mut sink = Sink::open(&plan)?;
    let mut beside = BesideFiles::default();
    let mut tally = Tally::default();
    let progress = plan.many().then(|| Progress::of_many(plan.logs.len()));
    in_order(
        plan.logs.len(),
        plan.jobs,
        |index| one::report(&plan, &plan.logs[index], kept.as_ref()),
        |_, done: Done| {
            tally.take(&done);
            if let Some(progress) = &progress {
                progress.many_done(tally.done(), tally.failed());
            }
            if !done.messages.is_empty() {
                quietly(progress.as_ref(), || tell(&done.messages));
            }
            beside.take(&done);
            done.content.map_or(Ok(()), |content| put(&mut sink, content, progress.as_ref()))
        },
    )?;
    drop(progress);
    sink.finish()?;
    if plan.many() {
        tally.tell();
    }
    let of_no_use = beside.tell();
    if let Some(kept) = kept {
        kept.close();
    }
    Ok(if of_no_use { Outcome::Failed } else { tally.outcome() })
}

fn tell(messages: &[Message]) {
    for message in messages {
        match message {
            Message::Error(words) => terminal::error(words),
            Message::Note(words) => terminal::note(words),
        }
    }
}

fn put(sink: &mut Sink, content: Content, progress: Option<&Progress>) -> anyhow::Result<()> {
    quietly(progress.filter(|_| std::io::stdout().is_terminal()), || sink.put(content))
}

/// Does something that may write on the terminal, where a bar may stand.
fn quietly<T>(progress: Option<&Progress>, action: impl FnOnce() -> T) -> T {
    match progress {
        Some(progress) => progress.aside(action),
        None => action(),
    }
}
