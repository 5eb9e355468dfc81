//! Dates after today: a log that is dated years ahead has times that nobody can trust.

use chrono::{DateTime, TimeDelta, Utc};
use driftless_track::{FlightLog, Problem, Severity};

/// Time zones and a clock somewhat off are no fault of the log (engineering judgement).
const SLACK_DAYS: i64 = 2;
/// No clock of a machine in use is slow by this much: then it is the log that is wrong (engineering judgement).
const ABSURD_DAYS: i64 = 10 * 365;

/// The first fix of a log is dated years after today.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{}the first fix is dated {}, in the future (today is {} by this machine's clock), so the times cannot be trusted; \
     correct the date in the log, or the clock, and read it again",
    line.map(|line| format!("line {line}: ")).unwrap_or_default(), first.format("%Y-%m-%d"), now.format("%Y-%m-%d")
)]
pub struct DateError {
    /// Line of that fix.
    pub line: Option<u32>,
    /// Its time.
    pub first: DateTime<Utc>,
    /// What the clock said.
    pub now: DateTime<Utc>,
}

/// Refuses a log dated many years after `now`; a date shortly after it becomes a warning, because the clock may be the
/// one that is wrong.
pub(crate) fn judge_dates(log: &mut FlightLog, now: DateTime<Utc>) -> Result<(), DateError> {
    let Some(first) = log.fixes.iter().map(|fix| fix.time).min() else { return Ok(()) };
    let ahead = first - now;
    let place = log.fixes.iter().find(|fix| fix.time == first).map(|fix| fix.source);
    let line = place.and_then(|source| source.line_number());
    if ahead > TimeDelta::days(ABSURD_DAYS) {
        return Err(DateError { line, first, now });
    }
    if ahead > TimeDelta::days(SLACK_DAYS) {
        let (dated, today) = (first.format("%Y-%m-%d"), now.format("%Y-%m-%d"));
        log.problems.push(Problem {
            code: "date-in-future",
            severity: Severity::Warning,
            message: format!(
                "the first fix is dated {dated}, in the future (today is {today} by this machine's clock)"
            ),
            line,
            byte: place.map(|source| source.byte),
            count: 1,
            help: Some(
                "Turn rates do not depend on the date; correct it before the flight goes into a campaign.".into(),
            ),
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_formats::{ReadHint, read};

    fn judged(today: &str) -> Result<Vec<Problem>, DateError> {
        let log = b"time,lat,lon\n2030-05-01T06:00:00Z,47,11\n2030-05-01T06:00:01Z,47,11\n";
        let mut log = read(log, &ReadHint::default()).expect("a log");
        judge_dates(&mut log, today.parse().expect("a time")).map(|()| log.problems)
    }

    #[test]
    fn dates_after_today_are_warned_of_and_those_far_off_refused() {
        let codes = |today| judged(today).unwrap().iter().map(|p| p.code).collect::<Vec<_>>();
        assert!(!codes("2030-04-30T06:00:00Z").contains(&"date-in-future"), "a time zone away");
        assert!(!codes("2044-01-01T00:00:00Z").contains(&"date-in-future"), "the past");
        assert!(codes("2029-05-01T00:00:00Z").contains(&"date-in-future"), "a year ahead");
        let refused = judged("2019-05-01T00:00:00Z").unwrap_err().to_string();
        assert!(refused.starts_with("line 2: ") && refused.contains("2030-05-01"), "{refused}");
    }
}
