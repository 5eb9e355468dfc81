//! The temperature of the sensor over a flight, and whether the gyro's bias moves with it.
//!
//! The bias shows only while the sensor lies still. Over periods at rest at different temperatures, mean rates follow
//! `bias + slope · (T - T₀)` plus the random walk that every bias has; generalised least squares with the covariance of
//! that walk gives the slope and its uncertainty (C. R. Rao, *Linear Statistical Inference and Its Applications*, 2nd
//! edition, 4a.2). A walk and a slope look alike over one warming, and the uncertainty says so.

use crate::constants::{
    BIAS_WALK, CLEAR_SLOPE_SIGMAS, FEWEST_TEMPERATURE_PIECES, LEAST_WARMING_K, MOST_TEMPERATURE_PIECES, REST_BLOCK_S,
    TEMPERATURE_END_S, TEMPERATURE_PIECE_S,
};
use crate::log::ImuLog;
use crate::still::{RestPeriod, periods_at_rest};
use driftless_units::Estimate;
use nalgebra::{DMatrix, DVector, Matrix2, Matrix2xX, Vector2, Vector3};

/// What the temperature did.
#[derive(Debug, Clone, PartialEq)]
pub struct TemperatureHealth {
    /// Lowest and highest over the span, °C.
    pub range_c: [f64; 2],
    /// Temperature at the start of the span and at its end (medians of half a minute), °C.
    pub ends_c: [f64; 2],
    /// Whether the span is that of the flight; else it is the whole recording.
    pub of_flight: bool,
    /// How the bias moves with it; `None` when it cannot be told.
    pub bias_slope: Option<BiasSlope>,
}

/// How the gyro's bias moves with temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BiasSlope {
    /// Of the axes x, y and z, rad/s per kelvin.
    pub rad_s_per_k: [Estimate<f64>; 3],
    /// Lowest and highest temperature at rest, °C.
    pub range_c: [f64; 2],
    /// Seconds at rest.
    pub seconds: f64,
}

/// Looks at the temperature over `flight_s` (first and last second of the flight on the log's clock), or without it over
/// the whole recording. What looks like rest within the flight is not taken for rest. `None` without temperatures there.
pub fn temperature_health(log: &ImuLog, flight_s: Option<[f64; 2]>) -> Option<TemperatureHealth> {
    let temperature = &log.temperature;
    let whole = [*temperature.t_s.first()?, *temperature.t_s.last()?];
    let [from_s, to_s] = flight_s.map_or(whole, |[from, to]| [from.max(whole[0]), to.min(whole[1])]);
    let low = temperature.t_s.partition_point(|&t| t < from_s);
    let high = temperature.t_s.partition_point(|&t| t <= to_s);
    let inside = temperature.celsius.get(low..high)?.iter().copied().map(f64::from);
    let range_c = inside.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], c| [a.min(c), b.max(c)]);
    let start_c = temperature.median_c(from_s, from_s + TEMPERATURE_END_S.value)?;
    let end_c = temperature.median_c(to_s - TEMPERATURE_END_S.value, to_s + f64::EPSILON * to_s.abs().max(1.0))?;
    let at_rest = |(start_s, run): &RestPeriod| {
        // Take-off and landing are known to some seconds.
        let middle_s = start_s + 0.5 * run.len() as f64 * REST_BLOCK_S.value;
        flight_s.is_none_or(|[from, to]| !(from..=to).contains(&middle_s))
    };
    let periods: Vec<RestPeriod> = periods_at_rest(log).into_iter().filter(at_rest).collect();
    let bias_slope = bias_slope(log, &periods);
    Some(TemperatureHealth { range_c, ends_c: [start_c, end_c], of_flight: flight_s.is_some(), bias_slope })
}

impl TemperatureHealth {
    /// End less start, K.
    pub fn change_k(&self) -> f64 {
        self.ends_c[1] - self.ends_c[0]
    }
}

impl BiasSlope {
    /// Whether the bias of some axis moves with temperature by more than chance explains.
    pub fn is_clear(&self) -> bool {
        self.rad_s_per_k.iter().any(|slope| slope.value.abs() > CLEAR_SLOPE_SIGMAS.value * slope.std_u)
    }

    /// The largest change of bias over a change of temperature among the axes with a clear slope, rad/s; 0 without one.
    pub fn change_rad_s(&self, change_k: f64) -> f64 {
        let clear = self.rad_s_per_k.iter().filter(|slope| slope.value.abs() > CLEAR_SLOPE_SIGMAS.value * slope.std_u);
        clear.map(|slope| (slope.value * change_k).abs()).fold(0.0, f64::max)
    }
}

/// Rest for some seconds at one temperature.
struct Piece {
    at_s: f64,
    celsius: f64,
    rates: Vector3<f64>,
    blocks: f64,
}

fn bias_slope(log: &ImuLog, periods: &[RestPeriod]) -> Option<BiasSlope> {
    let blocks: usize = periods.iter().map(|(_, run)| run.len()).sum();
    let least = (TEMPERATURE_PIECE_S.value / REST_BLOCK_S.value).ceil() as usize;
    let length = least.max(blocks.div_ceil(MOST_TEMPERATURE_PIECES.count()));
    let pieces: Vec<Piece> = periods.iter().flat_map(|period| pieces(log, period, length, least)).collect();
    let range_c =
        pieces.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], p| [a.min(p.celsius), b.max(p.celsius)]);
    if pieces.len() < FEWEST_TEMPERATURE_PIECES.count() || range_c[1] - range_c[0] < LEAST_WARMING_K.value {
        return None;
    }
    let white = block_variance(periods)?;
    let start_s = pieces.first()?.at_s;
    let n = pieces.len();
    let walk = BIAS_WALK.value * BIAS_WALK.value;
    let covariance = DMatrix::from_fn(n, n, |i, j| {
        let shared = walk * (pieces[i].at_s.min(pieces[j].at_s) - start_s);
        if i == j { shared + white / pieces[i].blocks } else { shared }
    });
    let factor = covariance.cholesky()?;
    let centre = pieces.iter().map(|p| p.celsius).sum::<f64>() / n as f64;
    let design = DMatrix::from_fn(n, 2, |i, j| if j == 0 { 1.0 } else { pieces[i].celsius - centre });
    let weighted: Matrix2xX<f64> = Matrix2xX::from_iterator(n, factor.solve(&design).transpose().iter().copied());
    let cofactor: Matrix2<f64> = Matrix2::from_iterator((&weighted * &design).iter().copied()).try_inverse()?;
    let slope = |axis: usize| {
        let rates = DVector::from_fn(n, |i, _| pieces[i].rates[axis]);
        let found: Vector2<f64> = cofactor * Vector2::from_iterator((&weighted * &rates).iter().copied());
        let left = &rates - &design * DVector::from_column_slice(found.as_slice());
        // Residuals that the walk and the noise do not explain (a gyro worse than usual, a sensor handled): wider.
        let excess = (left.dot(&factor.solve(&left)) / (n as f64 - 2.0)).max(1.0);
        Estimate::new(found[1], (cofactor[(1, 1)] * excess).sqrt())
    };
    let seconds = pieces.iter().map(|p| p.blocks).sum::<f64>() * REST_BLOCK_S.value;
    Some(BiasSlope { rad_s_per_k: [slope(0), slope(1), slope(2)], range_c, seconds })
}

fn pieces(log: &ImuLog, (start_s, run): &RestPeriod, length: usize, least: usize) -> Vec<Piece> {
    let cut = |(k, blocks): (usize, &[Vector3<f64>])| {
        let from_s = start_s + (k * length) as f64 * REST_BLOCK_S.value;
        let to_s = from_s + blocks.len() as f64 * REST_BLOCK_S.value;
        let at_s = 0.5 * (from_s + to_s);
        // A slow temperature column may have no value within the piece.
        let celsius = log.temperature.median_c(from_s, to_s).or_else(|| log.temperature.at(at_s))?;
        let count = blocks.len() as f64;
        Some(Piece { at_s, celsius, rates: blocks.iter().sum::<Vector3<f64>>() / count, blocks: count })
    };
    run.chunks(length).enumerate().filter(|(_, blocks)| blocks.len() >= least).filter_map(cut).collect()
}

/// Variance of the mean rate of a block about its neighbours' (half the mean square of successive differences; J. von
/// Neumann et al., Annals of Mathematical Statistics 12, 1941), per axis, (rad/s)².
fn block_variance(periods: &[RestPeriod]) -> Option<f64> {
    let steps = periods.iter().flat_map(|(_, run)| run.windows(2)).map(|w| (w[1] - w[0]).norm_squared());
    let (sum, count) = steps.fold((0.0, 0.0), |(sum, count), square| (sum + square, count + 1.0));
    (count > 0.0 && sum > 0.0).then(|| sum / (6.0 * count))
}

#[cfg(test)]
mod tests;
