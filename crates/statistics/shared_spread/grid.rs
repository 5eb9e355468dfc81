//! The grid over what all cells have in common, and the probability of each of its nodes.

use super::likelihood::{PLACES, Table, of_variance};
use super::{Belief, CellOfRuns, Likely, MeasuredTwice, SpreadPrior};
use driftless_units::Interval;

/// Nodes of ln a and of ln β about their typical values: e^±3.5, a factor of 33 either way.
const HALF_NODES: i32 = 7;
const NODE_STEP: f64 = 0.5;

/// Nodes of ln k, how much worse than stated a stopwatch was read: a factor of 0.35 to 4.
const BY_HAND_LOWEST: f64 = -1.05;
const BY_HAND_STEP: f64 = 0.35;
const BY_HAND_NODES: usize = 8;

/// Degrees of freedom of the priors in the logarithm; see [`Belief::Typical`].
const PRIOR_DOF: f64 = 4.0;

/// Nodes that are less likely than this against the likeliest are left out.
const NEGLIGIBLE: f64 = 1e-5;

/// Gauss and Hermite's five nodes and weights for a standard normal distribution (M. Abramowitz, I. A. Stegun, *Handbook of
/// Mathematical Functions*, 1964, table 25.10, nodes times √2, weights over √π).
const HERMITE: [(f64, f64); 5] = [
    (-2.856_970_013_872_806, 0.011_257_411_327_720_69),
    (-1.355_626_179_974_266, 0.222_075_922_005_612_6),
    (0.0, 0.533_333_333_333_333_3),
    (1.355_626_179_974_266, 0.222_075_922_005_612_6),
    (2.856_970_013_872_806, 0.011_257_411_327_720_69),
];
const NO_DEPARTURE: [(f64, f64); 1] = [(0.0, 1.0)];

/// The factors of the stopwatch that are tried: what is stated stands where no run was measured both ways.
pub(super) fn by_hand_factors(measured_twice: bool, prior: &SpreadPrior) -> Vec<f64> {
    if !measured_twice || prior.by_hand_log_scale <= 0.0 {
        return vec![1.0];
    }
    (0..BY_HAND_NODES).map(|i| (BY_HAND_LOWEST + BY_HAND_STEP * i as f64).exp()).collect()
}

/// One possibility for what all cells have in common.
#[derive(Debug, Clone)]
pub(super) struct Node {
    weight: f64,
    pub(super) absolute: f64,
    pub(super) share: f64,
    departure: f64,
    factor: usize,
    pub(super) by_hand_factor: f64,
    /// ln (τ / typical τ) of each cell, without its factors.
    ln_rule: Vec<f64>,
    /// By cell and factor of its group: ln of the likelihood, the cell's own factor integrated out.
    ln_cells: Vec<Vec<f64>>,
    /// By group: probability of each factor.
    groups: Vec<Vec<f64>>,
}

impl Node {
    fn quadrature(&self) -> &'static [(f64, f64)] {
        quadrature(self.departure)
    }

    /// Probabilities of the places of a cell's spread, given the factor of its group.
    fn places(&self, table: &Table, cell: usize, group_factor: usize) -> Vec<(usize, f64)> {
        let quadrature = self.quadrature();
        let of_group = quadrature.get(group_factor).map_or(0.0, |node| node.0);
        let rule = self.ln_rule.get(cell).copied().unwrap_or(f64::NAN);
        let ln_cell = self.ln_cells.get(cell).and_then(|of| of.get(group_factor)).copied().unwrap_or(f64::NAN);
        let mut places = Vec::with_capacity(2 * quadrature.len());
        for (own, weight) in quadrature {
            let ln_spread = rule + self.departure * (of_group + own);
            let probability = weight * (table.ln_likelihood(self.factor, ln_spread) - ln_cell).exp();
            let (place, next) = table.split(ln_spread);
            let next = of_variance(next);
            places.push((place, probability * (1.0 - next)));
            places.push((place + 1, probability * next));
        }
        places
    }
}

fn quadrature(departure: f64) -> &'static [(f64, f64)] {
    if departure > 0.0 { &HERMITE } else { &NO_DEPARTURE }
}

/// The nodes that matter, with probabilities that add up to one.
#[derive(Debug, Clone)]
pub(super) struct Posterior {
    nodes: Vec<Node>,
    group_of: Vec<usize>,
}

impl Posterior {
    pub(super) fn of(
        cells: &[CellOfRuns],
        tables: &[Table],
        factors: &[f64],
        measured_twice: &[MeasuredTwice],
        prior: &SpreadPrior,
        typical_only: bool,
    ) -> Self {
        let group_of: Vec<usize> = cells.iter().map(|cell| cell.group).collect();
        let groups = group_of.iter().max().map_or(0, |last| last + 1);
        let half = if typical_only { 0 } else { HALF_NODES };
        let departures: &[(f64, f64)] = if typical_only { &[(0.0, 1.0)] } else { &prior.departures };
        let steps = || (-half..=half).map(|i| NODE_STEP * f64::from(i));
        let of_hand: Vec<f64> = factors.iter().map(|factor| ln_of_hand(*factor, measured_twice, prior)).collect();
        let mut nodes: Vec<(f64, Node)> = Vec::new();
        for ln_a in steps() {
            for ln_share in steps().filter(|step| prior.share > 0.0 || *step == 0.0) {
                let (absolute, share) = (prior.absolute * ln_a.exp(), prior.share * ln_share.exp());
                let rule = |table: &Table| (absolute.hypot(share * table.plain_mean) / prior.absolute).ln();
                let ln_rule: Vec<f64> = tables.iter().map(rule).collect();
                let ln_prior = ln_belief(ln_a, prior.belief) + ln_belief(ln_share, prior.belief);
                for (departure, probability) in departures.iter().filter(|(_, probability)| *probability > 0.0) {
                    for (factor, (by_hand_factor, ln_hand)) in factors.iter().zip(&of_hand).enumerate() {
                        let mut node = Node {
                            weight: 0.0,
                            absolute,
                            share,
                            departure: *departure,
                            factor,
                            by_hand_factor: *by_hand_factor,
                            ln_rule: ln_rule.clone(),
                            ln_cells: Vec::new(),
                            groups: Vec::new(),
                        };
                        let ln_runs = weigh(&mut node, tables, &group_of, groups);
                        nodes.push((ln_prior + probability.ln() + ln_hand + ln_runs, node));
                    }
                }
            }
        }
        Self { nodes: likely_ones(nodes), group_of }
    }

    /// Factor of the stopwatch, place of the cell's spread, probability: those that are not negligible.
    pub(super) fn of_cell(&self, tables: &[Table], cell: usize) -> Vec<(usize, usize, f64)> {
        let (Some(table), Some(group)) = (tables.get(cell), self.group_of.get(cell)) else { return Vec::new() };
        let mut weights = vec![0.0; BY_HAND_NODES * PLACES];
        for node in &self.nodes {
            let factor = if table.has_by_hand() { node.factor } else { 0 };
            for (group_factor, of_group) in node.groups.get(*group).into_iter().flatten().enumerate() {
                for (place, probability) in node.places(table, cell, group_factor) {
                    if let Some(weight) = weights.get_mut(factor * PLACES + place) {
                        *weight += node.weight * of_group * probability;
                    }
                }
            }
        }
        let known = weights.into_iter().enumerate().filter(|(_, weight)| *weight > NEGLIGIBLE * NEGLIGIBLE);
        known.map(|(index, weight)| (index / PLACES, index % PLACES, weight)).collect()
    }

    /// Factor of the stopwatch, places of the spreads of two cells, probability: those that are not negligible.
    pub(super) fn of_pair(
        &self,
        tables: &[Table],
        a: usize,
        b: usize,
        by_hand: bool,
    ) -> Vec<(usize, (usize, usize), f64)> {
        let (Some(of_a), Some(of_b)) = (tables.get(a), tables.get(b)) else { return Vec::new() };
        let (Some(group_a), Some(group_b)) = (self.group_of.get(a), self.group_of.get(b)) else { return Vec::new() };
        let mut weights = vec![0.0; if by_hand { BY_HAND_NODES } else { 1 } * PLACES * PLACES];
        for node in &self.nodes {
            let factor = if by_hand { node.factor } else { 0 };
            let factors = |group: &usize| node.groups.get(*group).map_or(&[][..], Vec::as_slice);
            let mut add = |probability: f64, at_a: &[(usize, f64)], at_b: &[(usize, f64)]| {
                if probability < NEGLIGIBLE * node.weight {
                    return;
                }
                for (place_a, share_a) in at_a {
                    for (place_b, share_b) in at_b {
                        if let Some(weight) = weights.get_mut((factor * PLACES + place_a) * PLACES + place_b) {
                            *weight += probability * share_a * share_b;
                        }
                    }
                }
            };
            for (in_a, weight_a) in factors(group_a).iter().enumerate() {
                let at_a = node.places(of_a, a, in_a);
                if group_a == group_b {
                    add(node.weight * weight_a, &at_a, &node.places(of_b, b, in_a));
                } else {
                    for (in_b, weight_b) in factors(group_b).iter().enumerate() {
                        add(node.weight * weight_a * weight_b, &at_a, &node.places(of_b, b, in_b));
                    }
                }
            }
        }
        let known = weights.into_iter().enumerate().filter(|(_, weight)| *weight > NEGLIGIBLE * NEGLIGIBLE);
        known
            .map(|(index, weight)| (index / (PLACES * PLACES), (index / PLACES % PLACES, index % PLACES), weight))
            .collect()
    }

    /// Median and interval of what nodes differ by.
    pub(super) fn likely(&self, of: impl Fn(&Node) -> f64) -> Likely {
        let mut values: Vec<(f64, f64)> = self.nodes.iter().map(|node| (of(node), node.weight)).collect();
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        Likely {
            median: quantile(&values, 0.5),
            interval: Interval { low: quantile(&values, 0.025), high: quantile(&values, 0.975) },
        }
    }
}

/// Quantile of sorted values with weights that add up to one: on a logarithmic scale between the middles of their weights.
pub(super) fn quantile(sorted: &[(f64, f64)], p: f64) -> f64 {
    let mut merged: Vec<(f64, f64)> = Vec::new();
    for (value, weight) in sorted {
        match merged.last_mut() {
            Some(last) if (value - last.0).abs() <= 1e-9 * value.abs() => last.1 += weight,
            _ => merged.push((*value, *weight)),
        }
    }
    let (mut below, mut last): (f64, Option<(f64, f64)>) = (0.0, None);
    for (value, weight) in merged {
        let middle = below + 0.5 * weight;
        if middle >= p {
            return match last {
                Some((before, at)) if before > 0.0 => before * (value / before).powf((p - at) / (middle - at)),
                _ => value,
            };
        }
        below += weight;
        last = Some((value, middle));
    }
    last.map_or(f64::NAN, |(value, _)| value)
}

/// ln of the density of Student's t, up to a constant.
fn ln_student(x: f64) -> f64 {
    -0.5 * (PRIOR_DOF + 1.0) * (x * x / PRIOR_DOF).ln_1p()
}

/// ln of the density of the logarithm of a spread over its typical value, up to a constant.
fn ln_belief(ln_spread: f64, belief: Belief) -> f64 {
    match belief {
        Belief::Typical { log_scale } => ln_student(ln_spread / log_scale),
        // The density of ln τ is that of τ times τ.
        Belief::Flat => ln_spread,
    }
}

/// ln of prior and likelihood of a factor of the stopwatch, by the runs that were measured both ways.
fn ln_of_hand(factor: f64, measured_twice: &[MeasuredTwice], prior: &SpreadPrior) -> f64 {
    let of_pair = |pair: &MeasuredTwice| {
        let variance = (factor * pair.by_hand_std_u).powi(2) + pair.other_std_u.powi(2);
        -0.5 * variance.ln() - 0.5 * pair.difference.powi(2) / variance
    };
    let ln_prior = if prior.by_hand_log_scale > 0.0 { ln_student(factor.ln() / prior.by_hand_log_scale) } else { 0.0 };
    ln_prior + measured_twice.iter().map(of_pair).sum::<f64>()
}

/// ln of the likelihood of all runs at a node; fills in what the node has to know of cells and groups.
fn weigh(node: &mut Node, tables: &[Table], group_of: &[usize], groups: usize) -> f64 {
    let quadrature = node.quadrature();
    let mut of_groups = vec![vec![0.0; quadrature.len()]; groups];
    for ((table, rule), group) in tables.iter().zip(&node.ln_rule).zip(group_of) {
        let of_factor = |(of_group, _): &(f64, f64)| {
            let terms = quadrature.iter().map(|(own, weight)| {
                weight.ln() + table.ln_likelihood(node.factor, rule + node.departure * (of_group + own))
            });
            ln_sum(&terms.collect::<Vec<f64>>())
        };
        let ln_cell: Vec<f64> = quadrature.iter().map(of_factor).collect();
        if let Some(of_group) = of_groups.get_mut(*group) {
            of_group.iter_mut().zip(&ln_cell).for_each(|(sum, ln)| *sum += ln);
        }
        node.ln_cells.push(ln_cell);
    }
    let mut total = 0.0;
    for of_group in &mut of_groups {
        of_group.iter_mut().zip(quadrature).for_each(|(ln, (_, weight))| *ln += weight.ln());
        let ln_group = ln_sum(of_group);
        total += ln_group;
        of_group.iter_mut().for_each(|ln| *ln = (*ln - ln_group).exp());
    }
    node.groups = of_groups;
    total
}

fn ln_sum(terms: &[f64]) -> f64 {
    let highest = terms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    highest + terms.iter().map(|term| (term - highest).exp()).sum::<f64>().ln()
}

/// Leaves out what is negligible and makes the weights add up to one.
fn likely_ones(nodes: Vec<(f64, Node)>) -> Vec<Node> {
    let highest = nodes.iter().map(|(ln, _)| *ln).fold(f64::NEG_INFINITY, f64::max);
    let mut kept: Vec<Node> = nodes
        .into_iter()
        .map(|(ln, node)| Node { weight: (ln - highest).exp(), ..node })
        .filter(|node| node.weight > NEGLIGIBLE)
        .collect();
    let total: f64 = kept.iter().map(|node| node.weight).sum();
    kept.iter_mut().for_each(|node| node.weight /= total);
    kept
}
