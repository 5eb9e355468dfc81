//! Arithmetic on columns of numbers, quick enough for fits that pass over their data many times.
//!
//! A sum of doubles may not be reordered, so the compiler adds one number after the other and waits for each addition.
//! Here two rows go side by side, which is what the baseline of 64-bit processors works on in one instruction.

pub(crate) use wide::f64x2 as Pair;

/// Rows of a pair.
const ROWS: usize = 2;

/// Sums of `K` terms over `C` columns of one length (the shortest, should they differ).
#[inline(always)]
pub(crate) fn sums<const C: usize, const K: usize>(
    columns: [&[f64]; C],
    terms: impl Fn([Pair; C]) -> [Pair; K],
) -> [f64; K] {
    let mut halves = [Pair::ZERO; K];
    let rest = each_pair(common_length(&columns), columns, |row| {
        for (half, term) in halves.iter_mut().zip(terms(row)) {
            *half += term;
        }
    });
    let mut total = [0.0; K];
    for (sum, half) in total.iter_mut().zip(halves) {
        *sum = half.reduce_add();
    }
    if let Some(row) = rest {
        for (sum, term) in total.iter_mut().zip(terms(row)) {
            *sum += term.to_array()[0];
        }
    }
    total
}

/// Fills `K` columns from `C` columns, row by row, to the length of the shortest.
#[inline(always)]
pub(crate) fn fill<const C: usize, const K: usize>(
    out: [&mut [f64]; K],
    columns: [&[f64]; C],
    values: impl Fn([Pair; C]) -> [Pair; K],
) {
    let length = out.iter().map(|c| c.len()).min().unwrap_or(0).min(common_length(&columns));
    let mut out = out.map(|column| column[..length].as_chunks_mut::<ROWS>());
    let mut at = 0;
    let rest = each_pair(length, columns, |row| {
        for ((chunks, _), value) in out.iter_mut().zip(values(row)) {
            chunks[at] = value.to_array();
        }
        at += 1;
    });
    if let Some(row) = rest {
        for ((_, rest), value) in out.iter_mut().zip(values(row)) {
            rest.copy_from_slice(&value.to_array()[..1]);
        }
    }
}

/// Hands on the first rows in pairs; a last row without a partner is handed back, twice over.
#[inline(always)]
fn each_pair<const C: usize>(
    length: usize,
    columns: [&[f64]; C],
    mut take: impl FnMut([Pair; C]),
) -> Option<[Pair; C]> {
    let columns = columns.map(|column| column[..length].as_chunks::<ROWS>());
    let mut row = [Pair::ZERO; C];
    for at in 0..length / ROWS {
        for (pair, (chunks, _)) in row.iter_mut().zip(&columns) {
            *pair = Pair::new(chunks[at]);
        }
        take(row);
    }
    for (pair, (_, rest)) in row.iter_mut().zip(&columns) {
        *pair = Pair::splat(*rest.first()?);
    }
    Some(row)
}

fn common_length(columns: &[&[f64]]) -> usize {
    columns.iter().map(|c| c.len()).min().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_and_columns_are_those_of_a_plain_loop_whatever_the_length() {
        for length in 0..7_u32 {
            let x: Vec<f64> = (0..length).map(|i| f64::from(i) - 1.5).collect();
            let y: Vec<f64> = (0..length + 1).map(|i| 2.0 * f64::from(i)).collect();
            let products: Vec<f64> = x.iter().zip(&y).map(|(x, y)| x * y).collect();
            let plain = [x.iter().sum(), products.iter().sum()];
            assert_eq!(sums([&x, &y], |[x, y]| [x, x * y]), plain, "{length}");
            let (mut doubled, mut product) = (vec![9.0; x.len()], vec![9.0; x.len()]);
            fill([&mut doubled, &mut product], [&x, &y], |[x, y]| [x + x, x * y]);
            assert_eq!(product, products);
            assert_eq!(doubled, x.iter().map(|x| 2.0 * x).collect::<Vec<_>>());
        }
    }
}
