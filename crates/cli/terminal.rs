//! Messages and progress on standard error.

use driftless_units::{printable, printable_lines};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::{IsTerminal, Write};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// Work shorter than this shows no bar: it would only flicker.
const PATIENCE: Duration = Duration::from_millis(1000);

/// An error: what, where, why and what to do, in one message.
pub(crate) fn error(message: &str) {
    say("error", message);
}

/// A message that is not an error.
pub(crate) fn note(message: &str) {
    say("note", message);
}

/// A closed standard error must not end the run, so a failed write is let go.
fn say(kind: &str, message: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{kind}: {}", printable_lines(message.trim_end()));
}

/// A progress bar for one log, on a terminal only; it goes away without a trace when dropped.
pub(crate) struct Progress {
    bar: ProgressBar,
    waiting: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Progress {
    /// Begins; nothing is shown before the work has taken a second.
    pub(crate) fn start(name: &str, steps: usize) -> Self {
        let bar = ProgressBar::with_draw_target(Some(steps as u64), ProgressDrawTarget::hidden());
        if !std::io::stderr().is_terminal() {
            return Self { bar, waiting: None };
        }
        if let Ok(style) = ProgressStyle::with_template("{prefix} {bar:20} {msg} ({elapsed})") {
            bar.set_style(style);
        }
        bar.set_prefix(printable(name).into_owned());
        let (stop, stopped) = channel();
        let shown = bar.clone();
        let thread = std::thread::spawn(move || {
            if stopped.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
                shown.set_draw_target(ProgressDrawTarget::stderr());
                shown.enable_steady_tick(Duration::from_millis(200));
            }
        });
        Self { bar, waiting: Some((stop, thread)) }
    }

    /// A step begins.
    pub(crate) fn step(&self, done: usize, words: &'static str) {
        self.bar.set_position(done as u64);
        self.bar.set_message(words);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((stop, thread)) = self.waiting.take() {
            let _ = stop.send(());
            let _ = thread.join();
        }
        self.bar.finish_and_clear();
    }
}
