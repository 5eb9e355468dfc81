//! The fixes still in use while a log is cleaned, with their times and places.

use crate::frame::Axes;
use crate::{Fix, LocalFrame};
use driftless_units::{Ground, Position, median};

/// The fixes still in use, with their times and places; the three lists keep step.
pub(crate) struct Path {
    pub(crate) used: Vec<usize>,
    /// Seconds from the first of them.
    pub(crate) t_s: Vec<f64>,
    pub(crate) positions: Vec<Position<Ground>>,
}

impl Path {
    pub(crate) fn new(fixes: &[Fix], used: Vec<usize>, frame: &LocalFrame) -> Self {
        let axes = Axes::new(frame);
        let time_us = |i: usize| fixes.get(i).map_or(0, |f| f.time.timestamp_micros());
        let start_us = used.first().map_or(0, |&i| time_us(i));
        let t_s = used.iter().map(|&i| time_us(i).saturating_sub(start_us) as f64 * 1e-6).collect();
        // Room for all at once: how many pass a filter is not known beforehand, and lists that grow take twice their size.
        let mut positions = Vec::with_capacity(used.len());
        positions.extend(used.iter().filter_map(|&i| fixes.get(i)).map(|f| axes.to_local(f.lat_deg, f.lon_deg)));
        Self { used, t_s, positions }
    }

    /// Removes the entries at these places of the lists (rising).
    pub(crate) fn remove(&mut self, places: &[usize]) {
        let mut keep = vec![true; self.used.len()];
        for &k in places {
            if let Some(flag) = keep.get_mut(k) {
                *flag = false;
            }
        }
        let mut flags = keep.iter();
        self.used.retain(|_| *flags.next().unwrap_or(&true));
        let mut flags = keep.iter();
        self.t_s.retain(|_| *flags.next().unwrap_or(&true));
        let mut flags = keep.iter();
        self.positions.retain(|_| *flags.next().unwrap_or(&true));
    }
}

/// The frame in which a log is cleaned: its origin at the median latitude and longitude, which no small number of wrong
/// fixes can carry away. Seen from an origin on another continent the flight itself would be foreshortened, and wrong
/// places would look believable.
pub(crate) fn frame_for_cleaning(fixes: &[Fix], used: &[usize]) -> Option<LocalFrame> {
    let middle = |of: fn(&Fix) -> f64| median(used.iter().filter_map(|&i| fixes.get(i)).map(of));
    Some(LocalFrame { lat_deg: middle(|f| f.lat_deg)?, lon_deg: middle(|f| f.lon_deg)?, altitude_m: 0.0 })
}

/// The frame of the track: its origin at this fix. Its height matters little (1 part in 6,000 of lengths per kilometre).
pub(crate) fn frame_at(fix: &Fix) -> LocalFrame {
    let height_m = fix.gnss_altitude_m.or(fix.pressure_altitude_m).get().filter(|h| h.is_finite()).unwrap_or(0.0);
    LocalFrame { lat_deg: fix.lat_deg, lon_deg: fix.lon_deg, altitude_m: height_m }
}
