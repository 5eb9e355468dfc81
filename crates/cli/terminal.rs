//! Messages and progress on standard error, and how wide a text may be.

use driftless_units::{printable, printable_lines};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};
use std::io::{IsTerminal, Write};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// What text is set for where nobody says how wide the terminal is, and where the text goes into a file.
const USUAL_WIDTH: usize = 80;

/// Narrower than this no table of figures holds; wider than this no eye finds the next line.
const WIDTHS: std::ops::RangeInclusive<usize> = 40..=100;

/// Width for text on standard output, in characters: what COLUMNS says, else that of the terminal.
pub(crate) fn width() -> usize {
    let asked = std::env::var("COLUMNS").ok().and_then(|columns| columns.trim().parse().ok());
    let seen = || terminal_size::terminal_size_of(std::io::stdout()).map(|(width, _)| usize::from(width.0));
    sane(asked.or_else(seen))
}

/// A width that text can be set in.
fn sane(columns: Option<usize>) -> usize {
    columns.filter(|columns| *columns > 0).unwrap_or(USUAL_WIDTH).clamp(*WIDTHS.start(), *WIDTHS.end())
}

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
        Self::with(name, steps, "{prefix} {bar:20} {msg} ({elapsed})")
    }

    /// Begins that of many logs: with what is done of them in a second, and the time that is left.
    pub(crate) fn of_many(logs: usize) -> Self {
        Self::with("logs", logs, "{pos} of {len} {prefix} {bar:20} {rate}, {eta} left{msg}")
    }

    fn with(name: &str, steps: usize, template: &str) -> Self {
        let bar = ProgressBar::with_draw_target(Some(steps as u64), ProgressDrawTarget::hidden());
        if !std::io::stderr().is_terminal() {
            return Self { bar, waiting: None };
        }
        if let Ok(style) = ProgressStyle::with_template(template) {
            let rate = |state: &ProgressState, to: &mut dyn std::fmt::Write| {
                // A bar that cannot be written is let go, as every other message.
                let _ = write!(to, "{:.1} a second", state.per_sec());
            };
            bar.set_style(style.with_key("rate", rate));
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

    /// So many logs are done, and so many of them failed.
    pub(crate) fn many_done(&self, done: usize, failed: usize) {
        self.bar.set_position(done as u64);
        if failed > 0 {
            self.bar.set_message(format!(", {failed} failed"));
        }
    }

    /// Does something that writes on the terminal; the bar makes way.
    pub(crate) fn aside<T>(&self, action: impl FnOnce() -> T) -> T {
        self.bar.suspend(action)
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

#[cfg(test)]
mod tests {
    use super::sane;

    #[test]
    fn derived_widths_hold_a_table_and_a_line() {
        for (columns, width) in [(None, 80), (Some(0), 80), (Some(20), 40), (Some(72), 72), (Some(250), 100)] {
            assert_eq!(sane(columns), width, "{columns:?}");
        }
    }
}
