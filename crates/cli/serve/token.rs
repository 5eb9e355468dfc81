//! The secret of a run: whoever has not read the address cannot ask for anything.

use anyhow::anyhow;

/// Bytes of a token: more than can be guessed.
const BYTES: usize = 32;

/// A new token, in lower-case hex, from the system's generator.
pub(super) fn fresh() -> anyhow::Result<String> {
    let mut bytes = [0u8; BYTES];
    getrandom::fill(&mut bytes)
        .map_err(|error| anyhow!("the system gives no random numbers for the address: {error}"))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Whether two tokens are the same; how long this takes does not tell where they differ.
pub(super) fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |differs, (a, b)| differs | (a ^ b)) == 0
}
