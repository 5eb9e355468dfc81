//! Alignment of a recorded flight: a flight log and an inertial CSV.
//!
//! `cargo run -p driftless-inertial --example real -- LOG IMU.csv`
#![allow(clippy::print_stdout)]

use driftless_inertial::align::{ClockPrior, FlightColumns, align};
use driftless_inertial::allan::{overlapping, read_off};
use driftless_inertial::{ImuLog, read, still_bias};
use driftless_track::{TrackConfig, prepare};
use driftless_units::Wind;
use driftless_wind::circle::best_wind_guess;
use driftless_wind::flight::{Node, StartGuess, estimate};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let began = std::time::Instant::now();
    let imu = read(&std::fs::read(args.last().ok_or("no file")?)?, None)?;
    println!(
        "read in {} ms: gyro {} accel {} mag {}",
        began.elapsed().as_millis(),
        imu.gyro.len(),
        imu.accel.len(),
        imu.mag.len()
    );
    println!("interval {:?}, epoch {:?}", imu.gyro.interval_s(), imu.epoch);
    for problem in &imu.problems {
        println!("  {} {}: {}", problem.code, problem.count, problem.message);
    }
    noise(&imu);
    let [log, _] = args.as_slice() else { return Ok(()) };
    let bytes = std::fs::read(log)?;
    let flight = driftless_formats::read(&bytes, &driftless_formats::ReadHint::default())?;
    let track = prepare(&flight, &TrackConfig::default())?;
    let path = track.path();
    let mut starts = vec![StartGuess { wind: Wind::default(), airspeed_mps: 11.0 }];
    if let Ok(guess) = best_wind_guess(&path) {
        starts.insert(0, StartGuess { wind: guess.best.fit.wind, airspeed_mps: guess.best.fit.airspeed_mps.value });
    }
    let columns = match estimate(&path, &starts) {
        Ok(free) => {
            let column = |value: fn(&Node) -> f64| free.nodes.iter().map(value).collect::<Vec<_>>();
            FlightColumns {
                t_s: column(|n| n.t_s),
                heading_rad: column(|n| n.heading.value.rad()),
                turn_rate_rad_s: column(|n| n.turn_rate.value.rad_s()),
                turn_rate_std_u_rad_s: column(|n| n.turn_rate.std_u.rad_s()),
                airspeed_mps: column(|n| n.airspeed_mps.value),
                wind_std_u_mps: 0.5,
            }
        }
        Err(error) => {
            println!("no estimate ({error}); velocities less the wind {:?}", starts[0]);
            let [from_s, to_s] = [track.takeoff_s.unwrap_or(0.0), track.landing_s.unwrap_or(f64::INFINITY)];
            let airborne = || track.points.iter().filter(|p| p.t_s >= from_s && p.t_s <= to_s);
            let t_s: Vec<f64> = airborne().map(|p| p.t_s).collect();
            let v: Vec<[f64; 2]> = airborne().map(|p| [p.velocity.east_mps, p.velocity.north_mps]).collect();
            let wind = starts[0].wind;
            FlightColumns::from_velocities(&t_s, &v, [wind.east_mps, wind.north_mps], 0.3)
        }
    };
    let nodes = columns.nodes();
    println!("{} nodes, track epoch {}", nodes.t_s.len(), track.epoch);
    let prior = imu.epoch.map_or(ClockPrior::Open, |epoch| ClockPrior::Near(track.seconds_of(epoch)));
    let aligned = align(&imu, &nodes, prior).map_err(|error| format!("{error:?}"))?;
    println!("offset {:?} drift {:?}", aligned.offset_s, aligned.drift);
    // Logs that both count from one start: the track's epoch is that second of it.
    let zero_s = track.epoch.timestamp_millis() as f64 / 1000.0;
    println!("flight log late by {:.3} s if both count from one start", aligned.offset_s.value + zero_s);
    println!(
        "scale {:?} bias {:.3} ± {:.3} °/s",
        aligned.scale,
        aligned.bias_rad_s.value.to_degrees(),
        aligned.bias_rad_s.std_u.to_degrees()
    );
    println!("correlation {:.4}, residual {:.2} °/s", aligned.correlation, aligned.residual_rad_s.to_degrees());
    println!("down {:?} forward {:?} reversed {}", aligned.down, aligned.forward, aligned.accel_reversed);
    println!("still {:?}", aligned.still);
    Ok(())
}

fn noise(imu: &ImuLog) {
    let still = still_bias(imu);
    println!("still: {still:?}");
    let Some(span_s) = still.map(|s| s.longest_s).or(imu.gyro.span_s()) else { return };
    for axis in 0..3 {
        let rates: Vec<f64> = imu.gyro.range(span_s[0], span_s[1]).map(|i| imu.gyro.at(i)[axis].to_degrees()).collect();
        let curve = overlapping(&rates, imu.gyro.interval_s().unwrap_or(1.0));
        let shown: Vec<String> =
            curve.iter().step_by(6).map(|p| format!("{:.2} s {:.4}", p.tau_s, p.deviation)).collect();
        println!("axis {axis}: {:?} | {}", read_off(&curve), shown.join(", "));
    }
}
