//! Alignment of simulated reference flights against the truth, for tuning by hand.
#![allow(clippy::print_stdout)]

#[path = "../tests/common/mod.rs"]
mod common;

use driftless_inertial::align::{ClockPrior, align};
use driftless_sim::reference::{self, AirClass, Options};

fn main() {
    let args: Vec<u64> = std::env::args().skip(1).filter_map(|a| a.parse().ok()).collect();
    let (from, to) = (args.first().copied().unwrap_or(0), args.get(1).copied().unwrap_or(10));
    let class = match args.get(2) {
        Some(0) => AirClass::Still,
        Some(1) => AirClass::Light,
        _ => AirClass::Moderate,
    };
    let mut sums = [0.0_f64; 10];
    for seed in from..to {
        let mut scenario = reference::flight(class, seed, &Options::default());
        scenario.sensors.imu = Some(reference::imu(seed));
        let flown = common::fly(&scenario, seed);
        let imu = scenario.sensors.imu.as_ref().expect("set above");
        let began = std::time::Instant::now();
        let prior = flown.dated_offset_s.map_or(ClockPrior::Open, ClockPrior::Near);
        match align(&flown.log, &flown.columns.nodes(), prior) {
            Err(error) => {
                println!("{seed}: {error:?} {imu:?} dated {:?}", flown.dated_offset_s);
                println!("{:?}", driftless_inertial::mounting::find_down(&flown.log, 0.0, 1e9));
                println!("{:?} {:?}", driftless_inertial::still_bias(&flown.log), flown.log.problems);
            }
            Ok(a) => {
                let dated = flown.dated_offset_s.unwrap_or(0.0);
                let true_s = dated - imu.clock_ahead_s - imu.clock_drift_ppm * 1e-6 * (a.at_s - flown.truth_zero_s);
                let error = a.offset_s.value - true_s;
                // Heading of the path against the truth, a straight line (zero and bias) taken off, by the true offset.
                let truth = &flown.flight.truth;
                let pairs: Vec<(f64, f64, f64)> = (0..a.path.len())
                    .step_by(20)
                    .filter_map(|i| {
                        let t_s = a.path.t_s(i) + true_s - flown.truth_zero_s;
                        let seen = a.path.mean_heading(a.path.t_s(i), 3.0)?;
                        let bank = truth.steps.get((t_s / 0.05).max(0.0) as usize)?.bank.rad();
                        let roll = (a.path.attitude_at(a.path.t_s(i))? * nalgebra::Vector3::y()).z.asin();
                        Some((t_s, seen - truth.heading_at(t_s).rad(), roll - bank))
                    })
                    .collect();
                let n = pairs.len() as f64;
                let (mt, mh) = (pairs.iter().map(|p| p.0).sum::<f64>() / n, pairs.iter().map(|p| p.1).sum::<f64>() / n);
                let slope = pairs.iter().map(|p| (p.0 - mt) * (p.1 - mh)).sum::<f64>()
                    / pairs.iter().map(|p| (p.0 - mt).powi(2)).sum::<f64>();
                let rms =
                    |v: &dyn Fn(&(f64, f64, f64)) -> f64| (pairs.iter().map(|p| v(p).powi(2)).sum::<f64>() / n).sqrt();
                sums[8] += rms(&|p| p.1 - mh - slope * (p.0 - mt)).to_degrees();
                sums[9] += rms(&|p| p.2).to_degrees();
                let scale_error = a.scale.value * (1.0 + imu.gyro_scale_error) - 1.0;
                for (sum, term) in sums.iter_mut().zip([
                    1.0,
                    error * error,
                    (error / a.offset_s.std_u).powi(2),
                    scale_error * scale_error,
                    (scale_error / a.scale.std_u).powi(2),
                    error,
                    f64::from(u8::from(
                        (a.offset_s.interval(0.95).low..a.offset_s.interval(0.95).high).contains(&true_s),
                    )),
                    a.offset_s.dof,
                ]) {
                    *sum += term;
                }
                if to - from > 20 {
                    continue;
                }
                println!(
                    "{seed}: {:3.0} Hz off err {error:+.3} u {:.3} z {:+.1} | r {:.3} | bias {:+.3}±{:.3} °/s scale {:.4}±{:.4} (true {:.4}) | fwd {:?} | {} ms",
                    imu.rate_hz,
                    a.offset_s.std_u,
                    error / a.offset_s.std_u,
                    a.correlation,
                    a.bias_rad_s.value.to_degrees(),
                    a.bias_rad_s.std_u.to_degrees(),
                    a.scale.value,
                    a.scale.std_u,
                    1.0 / (1.0 + imu.gyro_scale_error),
                    a.forward.map(|f| (f.correlation, f.std_u_deg)),
                    began.elapsed().as_millis()
                );
            }
        }
    }
    let rms = |i: usize| (sums[i] / sums[0]).sqrt();
    println!(
        "heading of the path within {:.2}°, roll within {:.2}° (swing included)",
        sums[8] / sums[0],
        sums[9] / sums[0]
    );
    println!("covered {:.3}, dof {:.1}", sums[6] / sums[0], sums[7] / sums[0]);
    println!(
        "{} flights: offset mean {:+.3} rms {:.3} s, in its uncertainty {:.2}; scale rms {:.4}, in its uncertainty {:.2}",
        sums[0],
        sums[5] / sums[0],
        rms(1),
        rms(2),
        rms(3),
        rms(4)
    );
}
