//! Tests of this crate, beside the code they test.
