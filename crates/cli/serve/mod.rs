//! `driftless serve`: the page on this machine, at native speed.
//!
//! * [`guard`]: which requests may come in at all; [`token`]: the secret of a run; [`body`]: bodies, read within limits.
//! * [`answer`]: from HTTP to the app and back; [`listen`]: sockets and connections.
//!
//! The app itself is the crate `page`; nothing here knows what a flight is.

mod answer;
mod body;
mod guard;
mod listen;
mod place;
#[cfg(test)]
mod tests;
mod token;

use crate::args::ServeArgs;
use crate::outcome::Outcome;
use crate::{output, terminal};
use anyhow::Context;
use driftless_analysis::{InputLimit, InputLimits};
use driftless_page::App;
use std::sync::Arc;

pub(crate) fn run(args: &ServeArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let (app, place) = match &args.logbook {
        Some(path) => place::open(path, limits)?,
        None => place::open(&place::usual()?, limits)?,
    };
    // Several files come with one body, and forms have their own frame.
    let most_body = limits.of(InputLimit::Bytes).saturating_mul(2);
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_io()
        .enable_time()
        .build()
        .context("cannot start the threads of the page")?;
    runtime.block_on(serve(Arc::new(app), args, most_body, &place))?;
    Ok(Outcome::Made)
}

async fn serve(app: Arc<App>, args: &ServeArgs, most_body: usize, logbook: &str) -> anyhow::Result<()> {
    let sockets = listen::bind(args.port).await?;
    let site = Arc::new(answer::Site::new(app, sockets.port, token::fresh()?, most_body));
    let address = site.address();
    // A program that started this one reads the first line and goes there: by then the sockets listen.
    output::to_stdout(format!("{address}\n").as_bytes())?;
    terminal::note(&format!("logbook: {logbook}; the page answers on this machine alone; Ctrl-C ends it"));
    if !args.no_open && open::that_detached(&address).is_err() {
        terminal::note("no browser could be started; open the address above in one");
    }
    listen::accept(sockets, site).await
}
