//! Which fixes are a position at all.

use crate::{Fix, FixQuality, Problems, Severity};

/// Fixes the receiver stood behind and whose numbers are a place, in file order.
///
/// Receivers without a position write latitude 0, longitude 0 to the last digit; a flight through that point of the Gulf of
/// Guinea would lose one fix. Fixes are counted in four bytes, which would do for a thousand times what a log may hold.
pub(crate) fn trusted(fixes: &[Fix], problems: &mut Problems) -> Vec<u32> {
    let mut kept = Vec::with_capacity(fixes.len());
    for (i, fix) in (0..=u32::MAX).zip(fixes) {
        let sound = (-90.0..=90.0).contains(&fix.lat_deg) && (-180.0..=180.0).contains(&fix.lon_deg);
        if fix.quality == FixQuality::TwoD {
            problems.add(
                "two-d-fix",
                Severity::Warning,
                Some(fix.source),
                || {
                    "the receiver had no three-dimensional fix here; these positions are kept out of the wind work"
                        .into()
                },
                "Give the logger a clear view of the sky, and a minute of reception before take-off.",
            );
        } else if !sound {
            problems.add(
                "bad-coordinate",
                Severity::Warning,
                Some(fix.source),
                || format!("latitude {} or longitude {} is not a place on Earth", fix.lat_deg, fix.lon_deg),
                "",
            );
        } else if fix.lat_deg == 0.0 && fix.lon_deg == 0.0 {
            problems.add(
                "zero-position",
                Severity::Warning,
                Some(fix.source),
                || {
                    format!(
                        "the position at {} is latitude 0, longitude 0: the receiver had none yet",
                        fix.time.format("%H:%M:%S")
                    )
                },
                "Give the logger a clear view of the sky, and a minute of reception before take-off.",
            );
        } else {
            kept.push(i);
        }
    }
    kept
}
