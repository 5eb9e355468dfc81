//! A sensor that flies along, as bytes say: how it sits, how its clock goes, what is wrong with it.

use super::flown::{Flown, clock, flown, ordinary};
use driftless_analysis::InertialFile;
use std::fmt::Write as _;

/// Bytes that say what sensor it is; those behind them say another flight than the ordinary one.
const SENSOR_BYTES: usize = 10;
/// Rows at most: more only take longer.
const MOST_ROWS: usize = 6_000;
const GRAVITY_MPS2: f64 = 9.81;

/// A flight and the file of its sensor.
pub(super) fn sensed(bytes: &[u8]) -> (Flown, InertialFile) {
    let (sensor, legs) = bytes.split_at(SENSOR_BYTES.min(bytes.len()));
    let flown = if legs.is_empty() { ordinary() } else { flown(legs) };
    let mut ten = [0; SENSOR_BYTES];
    ten.iter_mut().zip(sensor).for_each(|(to, from)| *to = *from);
    let rows = rows(ten, &flown);
    (flown, InertialFile::new("sensor.csv".to_owned(), rows.into_bytes(), None))
}

fn rows(
    [rate, late, drift, yaw, tilt, scale, bias, noise, oddity, place]: [u8; SENSOR_BYTES],
    flown: &Flown,
) -> String {
    let signed = |byte: u8| f64::from(byte.cast_signed());
    let step_s = [0.1, 0.05, 0.02, 0.2, 0.5, 1.0, 0.0999, 0.01][usize::from(rate % 8)];
    // The zero bytes are an ordinary sensor: on time, level, true, quiet.
    let (late_s, stretch) = (signed(late) / 4.0, 1.0 + signed(drift) * 1e-5);
    let (yaw, tilt) = ((signed(yaw) * 1.5).to_radians(), (signed(tilt) * 1.5).to_radians());
    let (scale, bias) = (1.0 + signed(scale) / 256.0, signed(bias) / 500.0);
    let mut drawn = u32::from(place) | 1;
    let mut shake = move || {
        drawn = drawn.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (f64::from(drawn >> 8) / f64::from(1_u32 << 24) - 0.5) * f64::from(noise) / 64.0
    };
    let odd_from = usize::from(place) * 10;
    let mut text = "time,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2\n".to_owned();
    for row in 0..MOST_ROWS {
        let seconds = step_s * row as f64;
        if seconds > flown.end_s {
            break;
        }
        let turn_deg_s = flown.turns.iter().rev().find(|(from_s, _)| *from_s <= seconds).map_or(0.0, |turn| turn.1);
        // Coordinated: the bank that the turn takes at 11 m/s, forward x, right y, down z, then turned as it sits.
        let rate = turn_deg_s.to_radians();
        let bank = (11.0 * rate / GRAVITY_MPS2).atan();
        // And who hangs below a wing swings.
        let (roll, pitch) = (0.1 * (2.1 * seconds).cos(), 0.04 * (1.3 * seconds).sin());
        let gyro = sits([roll, rate * bank.sin() + pitch, rate * bank.cos()], yaw, tilt);
        let accel = sits([8.0 * pitch, 2.0 * roll, roll - GRAVITY_MPS2 / bank.cos()], yaw, tilt);
        let odd = row >= odd_from && row < odd_from + 100;
        let mut told_s = (seconds * stretch + late_s).max(0.0);
        match oddity % 8 {
            1 if odd => continue,
            2 if odd => told_s = (told_s - 20.0).max(0.0),
            3 if row >= odd_from => told_s += 3_600.0,
            _ => {}
        }
        write!(text, "2026-05-01T{}", clock(told_s)).expect("a text takes words");
        for value in gyro.map(|value| value * scale + bias).into_iter().chain(accel) {
            let value = value + shake();
            match oddity % 8 {
                4 if odd => text.push_str(",NaN"),
                5 if odd => text.push_str(",1e9"),
                6 if row >= odd_from => write!(text, ",{:.4}", gyro[0]).expect("a text takes words"),
                7 if odd => text.push(','),
                _ => write!(text, ",{value:.5}").expect("a text takes words"),
            }
        }
        text.push('\n');
    }
    text
}

/// A vector as a sensor sees it that was turned about the vertical, then tilted about its own side.
fn sits([x, y, z]: [f64; 3], yaw: f64, tilt: f64) -> [f64; 3] {
    let ((sin_yaw, cos_yaw), (sin_tilt, cos_tilt)) = (yaw.sin_cos(), tilt.sin_cos());
    let (x, y) = (cos_yaw * x + sin_yaw * y, cos_yaw * y - sin_yaw * x);
    [cos_tilt * x - sin_tilt * z, y, cos_tilt * z + sin_tilt * x]
}

#[cfg(test)]
mod tests {
    use super::super::{Beside, analysed};
    use super::*;

    /// The target reaches what it is for: an ordinary sensor is laid on the track.
    #[test]
    fn an_ordinary_sensor_takes_part() {
        let (flown, sensor) = sensed(&[]);
        let beside = Beside { marks: Some(&flown.marks), inertial: Some(sensor), ..Beside::default() };
        let analysis = analysed(flown.log.as_bytes(), beside).expect("analysed");
        let inertial = analysis.inertial.expect("it was read");
        assert!(inertial.alignment.is_some() && !inertial.windows.is_empty(), "{:?}", inertial.status);
    }
}
