//! Physics of a campaign: from turn rate to something to adjust. Plain functions of numbers, no domain model, no I/O.
//!
//! A turn to the right is positive, a moment that turns the aircraft to the right too. Turn rates are in °/s where the
//! name says so.
//!
//! | module | question |
//! |---|---|
//! | [`torque`] | how much does the engine twist the aircraft? |
//! | [`sensitivity`] | how fast does it turn for each newton-metre? |
//! | [`adjust`] | what would hold a residual turn: moment, hang-point offset, weight shift? |
//! | [`devices`] | does the device act as a constant moment, or with the propwash? What will it do elsewhere? |
//! | [`recommend`] | which setting keeps the weighted residual smallest, and does any setting do it all? |
//! | [`reduce`] | what would another day's mass and air have shown? |

pub mod adjust;
pub mod devices;
pub mod recommend;
pub mod reduce;
pub mod sensitivity;
pub mod torque;
