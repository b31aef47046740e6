//! A placed template found again under an affine change: six unknowns by Gauss-Newton.
//!
//! Source: the inverse compositional method of Baker, S. & Matthews, I. (2004), Lucas-Kanade 20 years on,
//! Int. J. Comput. Vis. 56:221-255; an affine change of a feature's window after Shi, J. & Tomasi, C. (1994), CVPR 593-600.

use super::algebra::{dot, sum2};
use super::fit::{LEAST_LENGTH, gradients, remove_brightness};
use super::template::Template;
use crate::image::{ImagePoint, Region, Tile};
use nalgebra::{Cholesky, Const, Matrix2, SMatrix, SVector, Vector2};

/// Chosen: fits that settle do so in fewer; by trial on the worked clips, no record.
const MAX_ITERATIONS: usize = 10;
/// Step at which a fit ends.
///
/// Chosen: a hundredth of what the whole chain must reach (0.1 px), at the disc's rim too.
const SETTLED_PX: f64 = 1e-3;
/// The most that a window is stretched; it is shrunk by no more than the inverse.
///
/// Chosen: by trial on the worked clips, no record.
const MOST_STRETCH: f64 = 1.6;

/// Where a template was found, and how its axes lie there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AffineFit {
    /// Where its middle is.
    pub at: ImagePoint,
    /// One pixel to the right and one pixel down in the template, in the picture, as columns.
    pub axes_px: Matrix2<f64>,
    /// Correlation there.
    pub correlation: f32,
}

/// Buffers of a fit, kept from call to call.
#[derive(Clone, Debug, Default)]
pub struct AffineScratch {
    tile: Tile,
    window: Vec<f32>,
}

/// A template with its derivatives by an affine change, free of brightness and contrast.
#[derive(Clone, Debug)]
pub struct AffineFitter {
    template: Template,
    /// `dt/dp` for the four numbers of the axes, column by column, and the two of the place.
    derivatives: [Vec<f32>; 6],
    /// `G = sum (dt/dp)^T dt/dp`, decomposed.
    gram: Cholesky<f64, Const<6>>,
}

impl AffineFitter {
    /// The fitter of a template; `None` if its picture does not determine all six numbers.
    #[must_use]
    pub fn new(template: Template) -> Option<Self> {
        let (across, down) = gradients(&template);
        let half = template.half_px();
        let side = 2 * half + 1;
        let own =
            |along: fn(usize, usize) -> usize| move |k: usize| along(k, side) as f32 - half as f32;
        let (x, y) = (own(|k, side| k % side), own(|k, side| k / side));
        let times = |slope: &[f32], by: &dyn Fn(usize) -> f32| {
            slope.iter().enumerate().map(|(k, g)| g * by(k)).collect::<Vec<f32>>()
        };
        let mut derivatives = [
            times(&across, &x),
            times(&down, &x),
            times(&across, &y),
            times(&down, &y),
            across,
            down,
        ];
        derivatives.iter_mut().for_each(|d| remove_brightness(d, &template));
        let gram = SMatrix::from_fn(|i, j| f64::from(dot(&derivatives[i], &derivatives[j])));
        Some(Self { gram: Cholesky::new(gram)?, template, derivatives })
    }

    /// Settles place and axes at the highest correlation, from a guess and the template's own axes; `None` if the window
    /// leaves the region, goes further than `reach`, or is stretched too far.
    ///
    /// With `w` the window there, its mean removed and its length one, and `J` the template's derivatives freed of both, the
    /// step `d = G^-1 sum w J` is the change of the template, so its inverse is applied to the axes.
    #[must_use]
    pub fn settle(
        &self,
        region: &Region,
        guess: ImagePoint,
        reach_px: f64,
        scratch: &mut AffineScratch,
    ) -> Option<AffineFit> {
        scratch.tile.clear();
        let (mut at, mut axes) = (guess, Matrix2::identity());
        let half_px = self.template.half_px() as f64;
        for _ in 0..MAX_ITERATIONS {
            self.window(region, at, axes, scratch)?;
            let window = &scratch.window;
            let mean = dot(self.template.weight(), window);
            let square = sum2(window, self.template.weight(), |v, w| (v - mean) * (v - mean) * w);
            let length = (square / self.template.weight_inside()).sqrt().max(LEAST_LENGTH);
            let right = SVector::<f64, 6>::from_fn(|i, _| {
                f64::from(dot(window, &self.derivatives[i]) / length)
            });
            let step = self.gram.solve(&right);
            let change = Matrix2::new(step[0], step[2], step[1], step[3]);
            let shift = axes * Vector2::new(step[4], step[5]);
            at = at.moved(-shift.x, -shift.y);
            axes -= axes * change;
            let too_far = at.distance_px(guess) > reach_px || !is_moderate(&axes);
            if too_far {
                return None;
            }
            if shift.norm() + half_px * change.norm() < SETTLED_PX {
                break;
            }
        }
        self.window(region, at, axes, scratch)?;
        let (correlation, _) = self.template.agreement(&scratch.window);
        Some(AffineFit { at, axes_px: axes, correlation })
    }

    /// Reads the window of these axes about a place.
    fn window(
        &self,
        region: &Region,
        at: ImagePoint,
        axes: Matrix2<f64>,
        scratch: &mut AffineScratch,
    ) -> Option<()> {
        let half = self.template.half_px();
        let [a, b, c, d] = [axes.m11, axes.m21, axes.m12, axes.m22].map(|v| v as f32);
        let (x, y) = region.local(at, 0);
        let h = half as f32;
        let reach = h * (a.abs() + c.abs()).max(b.abs() + d.abs());
        scratch.tile.hold(region.level(0), (x, y), reach).then_some(())?;
        let side = 2 * half + 1;
        scratch.window.resize(side * side, 0.0);
        for (j, line) in scratch.window.chunks_exact_mut(side).enumerate() {
            let v = j as f32 - h;
            let start = (x - a * h + c * v, y - b * h + d * v);
            scratch.tile.along(start, (a, b), line);
        }
        Some(())
    }
}

/// Whether no direction of the template is stretched or shrunk too far, by the singular values of its axes, whose sum of
/// squares and product are known.
fn is_moderate(axes: &Matrix2<f64>) -> bool {
    let (squares, product) = (axes.norm_squared(), axes.determinant());
    let spread = (squares * squares - 4.0 * product * product).max(0.0).sqrt();
    let (most, least) = (0.5 * (squares + spread), 0.5 * (squares - spread));
    product > 0.0 && most < MOST_STRETCH * MOST_STRETCH && least * MOST_STRETCH * MOST_STRETCH > 1.0
}
