//! Outlines of limbs, heads and shoes as signed distances in metres, negative inside.

use crate::body::Point;

/// Extent of a limb to its front and back at a fraction of its length.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs, reason = "the three numbers are explained above")]
pub struct Girth {
    pub along_fraction: f64,
    pub front_m: f64,
    pub back_m: f64,
}

/// Short for a [`Girth`].
#[must_use]
pub const fn girth(along_fraction: f64, front_m: f64, back_m: f64) -> Girth {
    Girth { along_fraction, front_m, back_m }
}

/// A shape in its own frame: x along the limb, y to its front.
#[derive(Clone, Debug, PartialEq)]
pub enum Outline {
    /// A limb with round ends.
    Limb {
        /// Distance of its ends.
        length_m: f64,
        /// Its girths in order along the limb, from 0 to 1.
        girths: &'static [Girth],
    },
    /// An ellipse around the origin.
    Ellipse {
        /// Half its extent along x.
        along_m: f64,
        /// Half its extent along y.
        across_m: f64,
    },
    /// A polygon, rounded outwards.
    Polygon {
        /// Its corners in order.
        corners: Vec<Point>,
        /// Radius of the rounding.
        round_m: f64,
    },
}

impl Outline {
    /// The signed distance of a point from the outline, and its position across the shape (-1 back to 1 front).
    #[must_use]
    pub fn distance(&self, p: Point) -> (f64, f64) {
        match self {
            Outline::Limb { length_m, girths } => limb(p, *length_m, girths),
            Outline::Ellipse { along_m, across_m } => {
                let (u, v) = (p.x_m / along_m, p.y_m / across_m);
                let radius = u.hypot(v);
                // First-order distance: (f - 1) / |grad f|.
                let slope = (u / along_m).hypot(v / across_m).max(1e-9);
                (radius * (radius - 1.0) / slope, v)
            }
            Outline::Polygon { corners, round_m } => (polygon(p, corners) - round_m, 0.0),
        }
    }

    /// The largest distance of the shape from the origin of its frame.
    #[must_use]
    pub fn extent_m(&self) -> f64 {
        match self {
            Outline::Limb { length_m, girths } => {
                length_m + girths.iter().map(|g| g.front_m.max(g.back_m)).fold(0.0, f64::max)
            }
            Outline::Ellipse { along_m, across_m } => along_m.max(*across_m),
            Outline::Polygon { corners, round_m } => {
                corners.iter().map(|c| c.x_m.hypot(c.y_m)).fold(0.0, f64::max) + round_m
            }
        }
    }
}

fn limb(p: Point, length_m: f64, girths: &[Girth]) -> (f64, f64) {
    let u = (p.x_m / length_m).clamp(0.0, 1.0);
    let (front_m, back_m) = reach(u, girths);
    let (middle_m, half_m) = (0.5 * (front_m - back_m), 0.5 * (front_m + back_m));
    let across_m = p.y_m - middle_m;
    let beyond_m = p.x_m - u * length_m;
    // The ends are half ellipses whose semi-axis along the limb is 0.9 of the half width.
    let off_m = if beyond_m == 0.0 { across_m.abs() } else { (beyond_m / 0.9).hypot(across_m) };
    (off_m - half_m, across_m / half_m)
}

fn reach(u: f64, girths: &[Girth]) -> (f64, f64) {
    let after = girths.partition_point(|g| g.along_fraction <= u).min(girths.len() - 1).max(1);
    let (a, b) = (girths[after - 1], girths[after]);
    let t = ((u - a.along_fraction) / (b.along_fraction - a.along_fraction)).clamp(0.0, 1.0);
    let s = t * t * (3.0 - 2.0 * t);
    (a.front_m + s * (b.front_m - a.front_m), a.back_m + s * (b.back_m - a.back_m))
}

fn polygon(p: Point, corners: &[Point]) -> f64 {
    let mut nearest = f64::MAX;
    let mut inside = false;
    let Some(&last) = corners.last() else { return f64::MAX };
    let mut from = last;
    for &to in corners {
        let (ex, ey) = (to.x_m - from.x_m, to.y_m - from.y_m);
        let (px, py) = (p.x_m - from.x_m, p.y_m - from.y_m);
        let t = ((px * ex + py * ey) / (ex * ex + ey * ey)).clamp(0.0, 1.0);
        nearest = nearest.min((px - t * ex).hypot(py - t * ey));
        if (from.y_m > p.y_m) != (to.y_m > p.y_m) && px * ey / ey < py * ex / ey {
            inside = !inside;
        }
        from = to;
    }
    if inside { -nearest } else { nearest }
}
