//! Random numbers: one ChaCha stream per noise source, so that switching one source off leaves all others as they were.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// The sources of randomness. The number is the ChaCha stream: never renumber, or every simulated flight changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Source {
    /// Draws the parameters of a reference flight.
    Reference = 1,
    /// Slow change of the wind.
    SlowWind = 2,
    /// Gusts.
    Gust = 3,
    /// Wander of the turn rate.
    YawWander = 4,
    /// The pilot's small corrections.
    Pilot = 5,
    /// White position error.
    PositionWhite = 6,
    /// Slow position error.
    PositionSlow = 7,
    /// Altitude errors.
    Altitude = 8,
    /// Error of the Doppler velocity.
    Doppler = 9,
    /// Dropouts.
    Dropout = 10,
    /// Spikes.
    Spike = 11,
    /// How late or early the pilot presses the button.
    Mark = 12,
    /// What differs from flight to flight of a campaign.
    Campaign = 13,
    /// Readings of a stopwatch.
    Stopwatch = 14,
    /// Fixes that repeat the one before.
    Repeat = 15,
    /// Draws the parameters of flights under ordinary conditions.
    Ordinary = 16,
    /// Gyro noise and bias walk.
    ImuGyro = 21,
    /// Accelerometer noise.
    ImuAccel = 22,
    /// Magnetometer noise and disturbance.
    ImuMag = 23,
    /// Swing and twist of the pilot.
    ImuSwing = 24,
    /// Engine vibration.
    ImuVibration = 25,
    /// Scatter of the inertial time stamps.
    ImuClock = 26,
    /// Twitches while the hands are on.
    ImuControl = 27,
    /// Draws the parameters of a reference sensor.
    ReferenceImu = 28,
}

/// A stream of random numbers, the same on every machine.
///
/// Only additions, multiplications, square roots and a software logarithm are used: all are exactly rounded or
/// compiled from the same source everywhere, so the bits do not depend on the platform's mathematics library.
#[derive(Debug, Clone)]
pub(crate) struct Stream {
    rng: ChaCha8Rng,
    spare: Option<f64>,
}

impl Stream {
    /// The stream of `source` for `seed`.
    pub(crate) fn new(seed: u64, source: Source) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(source as u64);
        Self { rng, spare: None }
    }

    /// Uniform in `[0, 1)`, 53 random bits.
    pub(crate) fn uniform(&mut self) -> f64 {
        (self.rng.next_u64() >> 11) as f64 * (1.0 / (1_u64 << 53) as f64)
    }

    /// Uniform in `[low, high)`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.uniform()
    }

    /// Standard normal, by the polar method of Marsaglia and Bray (SIAM Review 6 (1964) 260-264).
    pub(crate) fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        loop {
            let (u, v) = (self.between(-1.0, 1.0), self.between(-1.0, 1.0));
            let s = u * u + v * v;
            if s > 0.0 && s < 1.0 {
                let scale = (-2.0 * libm::log(s) / s).sqrt();
                self.spare = Some(v * scale);
                return u * scale;
            }
        }
    }

    /// Exponential with the given mean.
    pub(crate) fn exponential(&mut self, mean: f64) -> f64 {
        -mean * libm::log(1.0 - self.uniform())
    }
}

/// A stationary first-order Markov (Ornstein-Uhlenbeck) process, stepped exactly:
/// x(t + dt) = e^(-dt/tau) x(t) + sd sqrt(1 - e^(-2 dt/tau)) n.
#[derive(Debug, Clone)]
pub(crate) struct Wander {
    decay: f64,
    kick: f64,
    value: f64,
}

impl Wander {
    /// Starts in its stationary state. `dt_s` is the fixed step, `tau_s` the correlation time.
    pub(crate) fn new(sd: f64, tau_s: f64, dt_s: f64, stream: &mut Stream) -> Self {
        let decay = libm::exp(-dt_s / tau_s);
        Self { decay, kick: sd * (1.0 - decay * decay).sqrt(), value: sd * stream.normal() }
    }

    /// The present value.
    pub(crate) fn value(&self) -> f64 {
        self.value
    }

    /// One step on.
    pub(crate) fn step(&mut self, stream: &mut Stream) -> f64 {
        self.value = self.decay * self.value + self.kick * stream.normal();
        self.value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean, variance and fourth moment of 200,000 draws within four standard errors of the normal's 0, 1 and 3
    /// (standard errors 1/√n, √(2/n) and √(96/n)).
    #[test]
    fn simulated_normal_moments() {
        let mut stream = Stream::new(1, Source::Gust);
        let n = 200_000.0_f64;
        let (mut m1, mut m2, mut m4) = (0.0, 0.0, 0.0);
        for _ in 0..200_000 {
            let x = stream.normal();
            m1 += x / n;
            m2 += x * x / n;
            m4 += x * x * x * x / n;
        }
        assert!(m1.abs() < 4.0 / n.sqrt(), "mean {m1}");
        assert!((m2 - 1.0).abs() < 4.0 * (2.0 / n).sqrt(), "variance {m2}");
        assert!((m4 - 3.0).abs() < 4.0 * (96.0 / n).sqrt(), "fourth moment {m4}");
    }

    /// Over many independent runs the values one correlation time apart correlate with e^-1. Each run gives one
    /// independent pair, so three standard errors are known exactly: sd of the variance √(2/n), of the product
    /// √((1 + e^-2)/n).
    #[test]
    fn simulated_wander_has_its_spread_and_correlation_time() {
        let (sd, tau_s, dt_s) = (0.6, 8.0, 0.05);
        let runs = 4000_u64;
        let n = runs as f64;
        let (mut variance, mut product) = (0.0, 0.0);
        for seed in 0..runs {
            let mut stream = Stream::new(seed, Source::Gust);
            let mut wander = Wander::new(sd, tau_s, dt_s, &mut stream);
            let first = wander.value();
            for _ in 0..160 {
                wander.step(&mut stream);
            }
            variance += wander.value() * wander.value() / n;
            product += first * wander.value() / n;
        }
        let e1 = (-1.0_f64).exp();
        assert!((variance / (sd * sd) - 1.0).abs() < 3.0 * (2.0 / n).sqrt(), "variance {variance}");
        assert!((product / (sd * sd) - e1).abs() < 3.0 * ((1.0 + e1 * e1) / n).sqrt(), "product {product}");
    }

    #[test]
    fn sources_do_not_share_numbers() {
        let draw = |source| Stream::new(5, source).rng.next_u64();
        assert_ne!(draw(Source::Gust), draw(Source::YawWander));
        assert_eq!(draw(Source::Gust), draw(Source::Gust));
    }
}
