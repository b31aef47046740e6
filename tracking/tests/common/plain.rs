//! Slow twins of fast routines, by their definitions in double precision.

use tracking::image::Plane;

/// The bilinear value between the pixels of a plane.
pub fn value(plane: &Plane, x: f64, y: f64) -> f64 {
    let (x0, y0) = (x.floor(), y.floor());
    let at = |i: f64, j: f64| f64::from(plane.row((y0 + j) as usize)[(x0 + i) as usize]);
    let (u, v) = (x - x0, y - y0);
    let line = |j: f64| (1.0 - u) * at(0.0, j) + u * at(1.0, j);
    (1.0 - v) * line(0.0) + v * line(1.0)
}
