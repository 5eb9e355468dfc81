//! The commands of a campaign: `compare`, `plan`, `campaign new`.

mod compare;
mod flights;
mod load;
mod new;
mod plan;

pub(crate) use compare::run as compare;
pub(crate) use load::load;
pub(crate) use new::run as new;
pub(crate) use plan::run as plan;
