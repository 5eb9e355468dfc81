//! One track: times and positions, paired by their order (OGC 12-007r2, Track).

use super::altitudes::Altitudes;
use super::field::Field;
use super::moment::Moment;
use crate::builder::LogBuilder;
use crate::number::parse_f64;
use crate::sane;
use crate::table::Scale;
use driftless_track::{Fix, InputLimit, SourceRef};
use driftless_units::excerpt;

/// A position as written.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Position {
    At {
        lat_deg: f64,
        lon_deg: f64,
        altitude_m: Option<f64>,
    },
    /// An empty element: the recorder had none.
    None,
    /// Told already.
    Bad,
}

/// Values beside the positions, one for each.
#[derive(Debug)]
struct Array {
    depth: u32,
    /// Of a ground speed in a known unit; values of other arrays are not kept.
    scale: Option<Scale>,
    values: Vec<Option<f64>>,
}

/// A track while it is being read.
#[derive(Debug)]
pub(super) struct Track {
    /// Depth of its element.
    pub(super) depth: u32,
    source: SourceRef,
    altitudes: Altitudes,
    moments: Vec<Moment>,
    positions: Vec<(Position, SourceRef)>,
    open_array: Option<Array>,
    speeds_mps: Option<Vec<Option<f64>>>,
    /// How many pairs are sure, where the XML was broken behind them.
    sure_pairs: Option<usize>,
}

impl Track {
    pub(super) fn new(depth: u32, source: SourceRef, altitudes: Option<Altitudes>) -> Self {
        Self {
            depth,
            source,
            altitudes: altitudes.unwrap_or(Altitudes::Unstated),
            moments: Vec::new(),
            positions: Vec::new(),
            open_array: None,
            speeds_mps: None,
            sure_pairs: None,
        }
    }

    pub(super) fn set_altitudes(&mut self, altitudes: Altitudes) {
        self.altitudes = altitudes;
    }

    pub(super) fn push_when(&mut self, text: Option<&str>, place: SourceRef, builder: &mut LogBuilder) {
        let moment = Moment::read(text, place, builder);
        self.keep_moment(moment, place, builder);
    }

    fn keep_moment(&mut self, moment: Moment, place: SourceRef, builder: &mut LogBuilder) {
        if has_place(self.moments.len(), place, builder) {
            self.moments.push(moment);
        }
    }

    pub(super) fn push_coord(&mut self, text: Option<&str>, place: SourceRef, builder: &mut LogBuilder) {
        let text = text.unwrap_or("(not plain text)");
        let position = if text.is_empty() {
            let message = || "a moment without a position: the recorder had none".to_owned();
            builder.note("no-position", place, message, "");
            Position::None
        } else {
            position(text, place, builder)
        };
        self.keep_position(position, place, builder);
    }

    fn keep_position(&mut self, position: Position, place: SourceRef, builder: &mut LogBuilder) {
        if has_place(self.positions.len(), place, builder) {
            self.positions.push((position, place));
        }
    }

    /// A time or position that is lost, and told: those behind it keep their order.
    pub(super) fn push_missing(&mut self, field: Field, place: SourceRef, builder: &mut LogBuilder) {
        match field {
            Field::When => self.keep_moment(Moment::Bad, place, builder),
            Field::Coord => self.keep_position(Position::Bad, place, builder),
            _ => {}
        }
    }

    /// The XML is broken inside of `field`, or between elements: perhaps some of them are lost.
    pub(super) fn break_off(&mut self, field: Option<Field>, place: SourceRef, builder: &mut LogBuilder) {
        let pairs = self.moments.len().min(self.positions.len());
        self.sure_pairs.get_or_insert(pairs);
        self.open_array = None;
        if let Some(field) = field {
            self.push_missing(field, place, builder);
        }
    }

    /// An array begins; `scale` where it is a ground speed.
    pub(super) fn begin_array(&mut self, scale: Option<Scale>, depth: u32) {
        let scale = scale.filter(|_| self.speeds_mps.is_none());
        self.open_array = Some(Array { depth, scale, values: Vec::new() });
    }

    pub(super) fn array_depth(&self) -> Option<u32> {
        self.open_array.as_ref().filter(|array| array.scale.is_some()).map(|array| array.depth)
    }

    pub(super) fn push_array_value(&mut self, text: Option<&str>) {
        // One more than there are positions says already that they do not belong together.
        let most = self.moments.len().max(self.positions.len()).saturating_add(1);
        if let Some(array) = &mut self.open_array
            && let Some(scale) = array.scale
            && array.values.len() < most
        {
            let number = parse_f64(text.unwrap_or_default().as_bytes());
            array.values.push(number.and_then(|number| sane::speed_mps(scale.si(number))));
        }
    }

    /// An element of this depth closes.
    pub(super) fn close(&mut self, depth: u32) {
        if let Some(array) = self.open_array.take_if(|array| depth <= array.depth)
            && array.scale.is_some()
        {
            self.speeds_mps = Some(array.values);
        }
    }

    /// Puts the pairs into the log. Where the file is `cut_off` inside of the track, counts that differ are no wonder.
    pub(super) fn store(mut self, cut_off: bool, builder: &mut LogBuilder) {
        let (times, places) = (self.moments.len(), self.positions.len());
        if times == 0 {
            return self.positions.iter().for_each(|&(_, place)| builder.drop_without_time(place));
        }
        let mut pairs = times.min(places);
        if times != places && !cut_off {
            pairs = self.sure_pairs.unwrap_or(pairs);
            builder.warn(
                "track-counts-differ",
                self.source,
                || format!("a track has {times} times and {places} positions; the first {pairs} of both were paired"),
                "what is left over was left out; if one is missing inside, the times behind it are off by a step",
            );
        }
        let speeds = self.speeds_mps.take().filter(|speeds| {
            let fits = speeds.len() == places;
            if !fits {
                let message = || format!("{} speeds beside {places} positions were left out", speeds.len());
                builder.warn("bad-speed", self.source, message, "an array holds one value for each position");
            }
            fits
        });
        builder.fixes.reserve(pairs);
        let mut altitude_left_out = None;
        for (index, (moment, (position, place))) in self.moments.iter().zip(&self.positions).take(pairs).enumerate() {
            let Position::At { lat_deg, lon_deg, altitude_m } = *position else { continue };
            let time = match *moment {
                Moment::At(time) => time,
                Moment::Untimed => {
                    builder.drop_without_time(*place);
                    continue;
                }
                Moment::Bad => continue,
            };
            let gnss_altitude_m = altitude_m.filter(|_| self.altitudes == Altitudes::AboveSea);
            if gnss_altitude_m.is_none() && altitude_m.is_some_and(|altitude| altitude != 0.0) {
                altitude_left_out.get_or_insert(*place);
            }
            let ground_speed_mps = speeds.as_ref().and_then(|speeds| speeds.get(index).copied().flatten());
            let source = *place;
            builder.fix(Fix {
                time,
                lat_deg,
                lon_deg,
                gnss_altitude_m: gnss_altitude_m.into(),
                ground_speed_mps: ground_speed_mps.into(),
                source,
                ..Fix::default()
            });
        }
        if let Some(place) = altitude_left_out {
            let message = || format!("altitudes were left out: {}", self.altitudes.words());
            builder.note("altitude-not-used", place, message, "export them with altitudeMode absolute");
        }
    }
}

/// Whether one more may be kept beside `count` of this track.
fn has_place(count: usize, place: SourceRef, builder: &mut LogBuilder) -> bool {
    let all = builder.fixes.len().saturating_add(count).saturating_add(1);
    match builder.limits.hold(InputLimit::Fixes, all, place.line_number()) {
        Ok(()) => true,
        Err(over) => {
            builder.refuse(over);
            false
        }
    }
}

/// `longitude latitude [altitude]`, blanks between them.
fn position(text: &str, place: SourceRef, builder: &mut LogBuilder) -> Position {
    let mut words = text.split_ascii_whitespace();
    let mut number = || words.next().map(|word| parse_f64(word.as_bytes()));
    let (lon, lat, altitude) = (number(), number(), number());
    let lon_deg = lon.flatten().and_then(sane::longitude);
    let lat_deg = lat.flatten().and_then(sane::latitude);
    let (Some(lat_deg), Some(lon_deg), None) = (lat_deg, lon_deg, words.next()) else {
        let message = || format!("a position was left out: {}", excerpt(text.as_bytes()));
        builder.warn("bad-coordinate", place, message, "longitude, latitude and altitude, with blanks between them");
        return Position::Bad;
    };
    let altitude_m = altitude.map(|altitude| altitude.and_then(sane::altitude_m));
    if altitude_m == Some(None) {
        let message = || format!("an altitude was left out: {}", excerpt(text.as_bytes()));
        builder.warn("bad-altitude", place, message, "the rest of the position was kept");
    }
    Position::At { lat_deg, lon_deg, altitude_m: altitude_m.flatten() }
}
