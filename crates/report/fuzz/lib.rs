//! What the fuzz targets share: what each does ([`held`], which the tests of the program replay too), and the judges of what comes
//! out that only fuzzing needs.

pub mod held;
mod judges;

pub use judges::judge;
