//! FAI/IGC flight recorder files.
//!
//! Source: FAI/IGC, *Technical Specification for IGC-approved GNSS Flight Recorders*, 2nd edition with AL8 (2023),
//! appendix A. Real recorders put any code into any of the B and K records, so both are read alike.

mod extension;
mod fields;
mod position;
mod tidy;

use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::error::ReadError;
use crate::lines::{Line, Lines};
use crate::time::{DayClock, of_day_ns, parse_ddmmyy};
use driftless_track::{Fix, FlightLog, InputLimit, LogFormat, Mark, MarkKind};
use driftless_units::excerpt;
use extension::Extensions;
use fields::{Code, Values};
use position::Position;

/// Reads an IGC file.
pub(crate) fn read(decoded: &Decoded<'_>, builder: LogBuilder) -> Result<FlightLog, ReadError> {
    let mut parser = Parser { builder, ..Parser::default() };
    for line in Lines::new(&decoded.bytes, decoded.base) {
        parser.line(&line);
    }
    parser.finish()
}

#[derive(Default)]
struct Parser {
    builder: LogBuilder,
    clock: DayClock,
    fix_extensions: Extensions,
    slow_extensions: Extensions,
    /// Values of a K record that wait for the B record of their second.
    slow: Option<(i64, Values)>,
    last_fix_ns: i64,
    /// Codes of all I and J records so far.
    named: Vec<Code>,
    /// First fix of the segment whose wide direction fields are not settled yet.
    unsettled: usize,
}

impl Parser {
    fn line(&mut self, line: &Line<'_>) {
        let bytes = line.bytes;
        if bytes.len() > self.builder.limits.of(InputLimit::LineBytes) {
            let message = || format!("a line of {} characters was left out: {}", bytes.len(), excerpt(bytes));
            return self.builder.warn(
                "line-too-long",
                line.source,
                message,
                "its line end may be missing; --limit line-bytes=N takes longer ones",
            );
        }
        match bytes.first() {
            Some(b'B') => self.fix(line),
            Some(b'K') => self.slow_record(line),
            Some(b'E') => self.event(line),
            Some(b'H') => self.header(line),
            Some(b'I') => {
                self.settle();
                self.fix_extensions = Extensions::parse(line, position::END, &mut self.builder);
                self.name_codes();
            }
            // K records hold the time in bytes 2 to 7, data from byte 8.
            Some(b'J') => {
                self.settle();
                self.slow_extensions = Extensions::parse(line, 7, &mut self.builder);
                self.name_codes();
            }
            Some(b'A') if !self.builder.fixes.is_empty() => self.next_flight(line),
            // Recorder, task, differential, satellites, comments, security, maker's own: nothing for this job.
            Some(b'A' | b'C' | b'D' | b'F' | b'G' | b'L' | b'M' | b'N' | b'O') | None => {}
            Some(_) => {
                let message = || format!("a line that is no IGC record was left out: {}", excerpt(bytes));
                self.builder.warn("unknown-record", line.source, message, "");
            }
        }
    }

    fn fix(&mut self, line: &Line<'_>) {
        let position = match Position::parse(line.bytes) {
            Ok(position) => position,
            Err(what) => return self.bad_record(line, "bad-fix", "fix", what),
        };
        let mut values = self.fix_extensions.values(line.bytes);
        if values.incomplete {
            self.builder.note(
                "extension-missing",
                line.source,
                || format!("a fix is shorter than its I record says: {}", excerpt(line.bytes)),
                "the position was kept, the missing values were not",
            );
        }
        let of_day_ns = position.of_day_ns + values.fraction_ns;
        let Some(time) = self.clock.advance(of_day_ns) else {
            return self.bad_record(line, "bad-fix", "fix", "time out of range");
        };
        if let Some((at_ns, slow)) = self.slow.take()
            && (of_day_ns - at_ns).abs() <= 1_000_000_000
        {
            values.fill_from(&slow);
        }
        if let Some(what) = values.bad {
            let message = || format!("a value was left out of a fix: {what} in {}", excerpt(line.bytes));
            self.builder.warn("bad-value", line.source, message, "the rest of the fix was kept");
        }
        let mut fix = Fix { time, source: line.source, ..Fix::default() };
        position.fill(&mut fix, &values);
        values.fill(&mut fix);
        self.last_fix_ns = of_day_ns;
        self.builder.fix(fix);
    }

    fn slow_record(&mut self, line: &Line<'_>) {
        let Some(of_day_ns) = line.bytes.get(1..7).and_then(hhmmss_ns) else {
            return self.bad_record(line, "bad-slow-record", "K record", "no time");
        };
        let values = self.slow_extensions.values(line.bytes);
        // Written behind the fix of the same second, or before it.
        match self.builder.fixes.last_mut() {
            Some(fix) if (self.last_fix_ns / 1_000_000_000) == of_day_ns / 1_000_000_000 => values.fill_gaps(fix),
            _ => self.slow = Some((of_day_ns, values)),
        }
    }

    fn event(&mut self, line: &Line<'_>) {
        let time = line.bytes.get(1..7).and_then(hhmmss_ns).and_then(|ns| self.clock.peek(ns));
        let Some(time) = time else { return self.bad_record(line, "bad-event", "event", "no time") };
        let all = String::from_utf8_lossy(line.bytes.get(7..).unwrap_or_default());
        // The three-letter code is not always there: some write the words right behind the time.
        let whole = Mark::from_text(time, &all, line.source);
        let mark = match all.char_indices().nth(3).and_then(|(at, _)| all.get(at..)) {
            Some(text) if whole.kind == MarkKind::Other && !text.trim().is_empty() => {
                Mark::from_text(time, text, line.source)
            }
            _ => whole,
        };
        self.builder.marks.push(mark);
    }

    /// Only the date matters here: `HFDTE160701` or `HFDTEDATE:160701,01`.
    fn header(&mut self, line: &Line<'_>) {
        let Some([b'D', b'T', b'E', rest @ ..]) = line.bytes.get(2..) else { return };
        let digits = rest.iter().position(u8::is_ascii_digit).and_then(|at| rest.get(at..));
        let Some(date) = digits.and_then(parse_ddmmyy) else {
            let message = || format!("a date was not understood: {}", excerpt(line.bytes));
            return self.builder.warn("bad-date", line.source, message, "dates are written DDMMYY");
        };
        let shift = self.clock.set_date(date, None);
        if !shift.is_zero() {
            for time in self
                .builder
                .fixes
                .iter_mut()
                .map(|f| &mut f.time)
                .chain(self.builder.marks.iter_mut().map(|m| &mut m.time))
            {
                *time += shift;
            }
        }
    }

    /// Files of several flights are sometimes put one behind the other.
    fn next_flight(&mut self, line: &Line<'_>) {
        self.builder.note(
            "several-flights",
            line.source,
            || "another flight begins in the same file".to_owned(),
            "its fixes were read as a new segment",
        );
        self.settle();
        self.builder.start_segment();
        self.clock.restart();
        self.fix_extensions = Extensions::default();
        self.slow_extensions = Extensions::default();
        self.slow = None;
    }

    fn name_codes(&mut self) {
        for code in self.fix_extensions.codes().chain(self.slow_extensions.codes()) {
            if !self.named.contains(&code) {
                self.named.push(code);
            }
        }
    }

    fn settle(&mut self) {
        let fixes = self.builder.fixes.get_mut(self.unsettled..).unwrap_or_default();
        tidy::settle_directions(fixes, [&self.fix_extensions, &self.slow_extensions]);
        self.unsettled = self.builder.fixes.len();
    }

    fn bad_record(&mut self, line: &Line<'_>, code: &'static str, name: &str, what: &str) {
        if line.complete {
            let message = || format!("a {name} was left out: {what} in {}", excerpt(line.bytes));
            self.builder.warn(code, line.source, message, "");
        } else {
            let message = || format!("the file ends inside a {name}, which was left out: {}", excerpt(line.bytes));
            self.builder.warn("cut-off", line.source, message, "copy the file from the logger again");
        }
    }

    fn finish(mut self) -> Result<FlightLog, ReadError> {
        if !self.clock.is_dated() && !self.builder.fixes.is_empty() {
            self.builder.warn_all(
                "date-missing",
                || "the file has no date (no HFDTE record); its first day was taken as 1970-01-01".to_owned(),
                "times of day are right, the date is not",
            );
        }
        self.settle();
        tidy::forget_empty_columns(&self.named, &mut self.builder);
        self.builder.finish(LogFormat::Igc, "an IGC file holds its fixes in lines that begin with B")
    }
}

/// `HHMMSS` as nanoseconds of the day.
fn hhmmss_ns(text: &[u8]) -> Option<i64> {
    let [h1, h2, m1, m2, s1, s2] = *text.first_chunk::<6>()?;
    let number = |a: u8, b: u8| {
        let (a, b) = (a.wrapping_sub(b'0'), b.wrapping_sub(b'0'));
        (a <= 9 && b <= 9).then(|| i64::from(a) * 10 + i64::from(b))
    };
    of_day_ns(number(h1, h2)?, number(m1, m2)?, number(s1, s2)?, 0)
}

#[cfg(test)]
mod tests;
