//! Joins the sentences of one moment into one fix.

use super::sentence::{Kind, Sentence};
use crate::builder::LogBuilder;
use crate::time::DayClock;
use chrono::NaiveDate;
use driftless_track::{Fix, FixQuality, SourceRef};

/// Collects sentences until the time of day moves on.
#[derive(Debug, Default)]
pub(super) struct Joiner {
    clock: DayClock,
    current: Option<Epoch>,
    /// Speed and course of a VTG that stands before the position it belongs to.
    early_motion: Option<Motion>,
    vtg_leads: Option<bool>,
    /// Which talkers have said RMC or GGA of this moment: the same one again is another moment.
    said: Vec<(Kind, [u8; 2])>,
}

#[derive(Debug, Default)]
struct Epoch {
    of_day_ns: i64,
    source: SourceRef,
    date: Option<NaiveDate>,
    position_deg: Option<(f64, f64)>,
    quality: FixQuality,
    altitude_m: Option<f64>,
    hdop: Option<f64>,
    /// Of RMC, which carries its own time.
    timed: Motion,
    /// Of VTG, which does not.
    untimed: Motion,
}

#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Motion {
    ground_speed_mps: Option<f64>,
    course_deg: Option<f64>,
}

impl Joiner {
    pub(super) fn add(&mut self, sentence: &Sentence, source: SourceRef, builder: &mut LogBuilder) {
        let motion = Motion { ground_speed_mps: sentence.ground_speed_mps, course_deg: sentence.course_deg };
        if sentence.kind == Kind::Vtg {
            return self.add_vtg(motion);
        }
        let Some(of_day_ns) = sentence.of_day_ns else {
            if sentence.position_deg.is_some() {
                builder.drop_without_time(source);
            } else {
                let message = || "a sentence has neither time nor position: the receiver had no fix yet".to_owned();
                builder.note("no-position", source, message, "");
            }
            return;
        };
        let key = (sentence.kind, sentence.talker);
        if self.current.as_ref().is_some_and(|epoch| epoch.of_day_ns != of_day_ns || self.said.contains(&key)) {
            self.flush(builder);
        }
        let early = self.early_motion.take();
        self.said.push(key);
        let epoch = self.current.get_or_insert_with(|| Epoch {
            of_day_ns,
            source,
            untimed: early.unwrap_or_default(),
            ..Epoch::default()
        });
        epoch.date = epoch.date.or(sentence.date);
        if epoch.position_deg.is_none() && sentence.position_deg.is_some() {
            epoch.position_deg = sentence.position_deg;
            epoch.source = source;
        }
        if sentence.quality == FixQuality::TwoD {
            epoch.quality = FixQuality::TwoD;
        }
        epoch.altitude_m = epoch.altitude_m.or(sentence.altitude_m);
        epoch.hdop = epoch.hdop.or(sentence.hdop);
        epoch.timed.ground_speed_mps = epoch.timed.ground_speed_mps.or(motion.ground_speed_mps);
        epoch.timed.course_deg = epoch.timed.course_deg.or(motion.course_deg);
    }

    /// VTG has no time. A receiver always writes it on the same side of its position; the first one in the file tells
    /// which. (RMC's own speed and course are preferred anyway.)
    fn add_vtg(&mut self, motion: Motion) {
        if *self.vtg_leads.get_or_insert(self.current.is_none()) {
            self.early_motion = Some(motion);
        } else if let Some(epoch) = &mut self.current {
            epoch.untimed = motion;
        }
    }

    fn flush(&mut self, builder: &mut LogBuilder) {
        let Some(epoch) = self.current.take() else { return };
        self.said.clear();
        if let Some(date) = epoch.date {
            let shift = self.clock.set_date(date, Some(epoch.of_day_ns));
            if !shift.is_zero() {
                builder.fixes.iter_mut().for_each(|fix| fix.time += shift);
            }
        }
        let time = self.clock.advance(epoch.of_day_ns);
        let (Some(time), Some((lat_deg, lon_deg))) = (time, epoch.position_deg) else {
            let message = || "a moment without a position: the receiver had no fix".to_owned();
            return builder.note("no-position", epoch.source, message, "");
        };
        builder.fix(Fix {
            time,
            lat_deg,
            lon_deg,
            gnss_altitude_m: epoch.altitude_m.into(),
            ground_speed_mps: epoch.timed.ground_speed_mps.or(epoch.untimed.ground_speed_mps).into(),
            course_deg: epoch.timed.course_deg.or(epoch.untimed.course_deg).into(),
            hdop: epoch.hdop.into(),
            quality: epoch.quality,
            source: epoch.source,
            ..Fix::default()
        });
    }

    pub(super) fn finish(&mut self, builder: &mut LogBuilder) {
        self.flush(builder);
        if !self.clock.is_dated() && !builder.fixes.is_empty() {
            builder.warn_all(
                "date-missing",
                || "the file has no date (no RMC or ZDA sentence); its first day was taken as 1970-01-01".to_owned(),
                "times of day are right, the date is not",
            );
        }
    }
}
