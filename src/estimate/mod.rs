//! Values that are not known exactly: low/mode/high with the basis they stand on, sampling and quantiles.

mod basis;
mod quantile;
mod sample;
mod triple;

pub use basis::{Basis, Grounds};
pub use quantile::{Quantiles, quantile};
pub use sample::{PointSet, normal_from_uniform, uniform_from_normal};
pub use triple::Triple;
