//! Dates after today: only the binary knows the clock, so they are judged here.

use anyhow::bail;
use chrono::{DateTime, TimeDelta, Utc};
use driftless_analysis::{FlightLog, Problem, Severity};

/// Time zones and a clock somewhat off are no fault of the log.
const SLACK_DAYS: i64 = 2;
/// No clock of a machine in use is slow by this much: then it is the log that is wrong.
const ABSURD_DAYS: i64 = 10 * 365;

/// Refuses a log dated many years after `now`; a date shortly after it becomes a warning, because this machine's clock
/// may be the one that is wrong.
pub(crate) fn judge(log: &mut FlightLog, now: DateTime<Utc>) -> anyhow::Result<()> {
    let Some(first) = log.fixes.iter().map(|fix| fix.time).min() else { return Ok(()) };
    let ahead = first - now;
    let (dated, today) = (first.format("%Y-%m-%d"), now.format("%Y-%m-%d"));
    let place = log.fixes.iter().find(|fix| fix.time == first).map(|fix| fix.source);
    let line = place.map(|source| source.line);
    if ahead > TimeDelta::days(ABSURD_DAYS) {
        let line = line.map(|line| format!("line {line}: ")).unwrap_or_default();
        bail!(
            "{line}the first fix is dated {dated}, in the future (today is {today} by this machine's clock), so the times \
             cannot be trusted; correct the date in the log, or the clock, and read it again"
        );
    }
    if ahead > TimeDelta::days(SLACK_DAYS) {
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

    fn judged(today: &str) -> anyhow::Result<Vec<Problem>> {
        let mut log =
            read(b"time,lat,lon\n2030-05-01T06:00:00Z,47,11\n2030-05-01T06:00:01Z,47,11\n", &ReadHint::default())?;
        judge(&mut log, today.parse()?).map(|()| log.problems)
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
