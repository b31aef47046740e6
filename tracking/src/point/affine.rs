//! A placed template found again moved, turned, stretched and slanted: six unknowns by Gauss-Newton.
//!
//! Source: the inverse compositional method of Baker, S. & Matthews, I. (2004), Lucas-Kanade 20 years on,
//! Int. J. Comput. Vis. 56:221-255; an affine change of a feature's window after Shi, J. & Tomasi, C. (1994), CVPR 593-600.

use super::algebra::{dot, sum2};
use super::fit::{gradients, remove_brightness};
use super::template::Template;
use crate::image::{Pixel, Region, Tile};
use nalgebra::{Cholesky, Const, Matrix2, SMatrix, SVector, Vector2};

const MAX_ITERATIONS: usize = 10;
/// Chosen: a hundredth of what is asked of the whole chain (0.1 px), at the disc's rim too.
const SETTLED_PX: f64 = 1e-3;
/// Chosen: a window is not stretched by more than this, nor shrunk by more than its inverse.
const MOST_STRETCH: f64 = 1.6;

/// Where a template was found, and how its axes lie there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AffineFit {
    /// Where its middle is.
    pub at: Pixel,
    /// Where one pixel to the right and one pixel down in the template lead, as columns.
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

/// A template with what an affine change does to it, free of brightness and contrast.
#[derive(Clone, Debug)]
pub struct AffineFitter {
    template: Template,
    /// `dt/dp` for the four numbers of the axes, column by column, and the two of the place.
    changes: [Vec<f32>; 6],
    /// `G = sum (dt/dp)^T dt/dp`, taken apart.
    gram: Cholesky<f64, Const<6>>,
}

impl AffineFitter {
    /// The fitter of a template; `None` where its picture does not tell all six numbers.
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
        let mut changes = [
            times(&across, &x),
            times(&down, &x),
            times(&across, &y),
            times(&down, &y),
            across,
            down,
        ];
        changes.iter_mut().for_each(|change| remove_brightness(change, &template));
        let gram = SMatrix::from_fn(|i, j| f64::from(dot(&changes[i], &changes[j])));
        Some(Self { gram: Cholesky::new(gram)?, template, changes })
    }

    /// Settles the place, and the axes from the template's own on, where the correlation is highest; `None` where it
    /// leaves the region, goes further than `reach`, or where the axes come to be stretched too far.
    ///
    /// With `w` the window there, mean off and length one, and `J` the template's changes freed of both: the step
    /// `d = G^-1 sum w J` is what the template would have to be changed by, so its inverse goes before the axes.
    #[must_use]
    pub fn settle(
        &self,
        region: &Region,
        guess: Pixel,
        reach_px: f64,
        scratch: &mut AffineScratch,
    ) -> Option<AffineFit> {
        scratch.tile.clear();
        let (mut at, mut axes) = (guess, Matrix2::identity());
        let half_px = self.template.half_px() as f64;
        for _ in 0..MAX_ITERATIONS {
            self.window(region, (at, axes), scratch)?;
            let window = &scratch.window;
            let mean = dot(self.template.weight(), window);
            let square = sum2(window, self.template.weight(), |v, w| (v - mean) * (v - mean) * w);
            let length = (square / self.template.weight_inside()).sqrt().max(1.0);
            let right = SVector::<f64, 6>::from_fn(|i, _| {
                f64::from(dot(window, &self.changes[i]) / length)
            });
            let step = self.gram.solve(&right);
            let turned = Matrix2::new(step[0], step[2], step[1], step[3]);
            let way = axes * Vector2::new(step[4], step[5]);
            at = at.moved(-way.x, -way.y);
            axes -= axes * turned;
            let too_far = at.distance_px(guess) > reach_px || !is_moderate(&axes);
            if too_far {
                return None;
            }
            if way.norm() + half_px * turned.norm() < SETTLED_PX {
                break;
            }
        }
        self.window(region, (at, axes), scratch)?;
        let (correlation, _) = self.template.agreement(&scratch.window);
        Some(AffineFit { at, axes_px: axes, correlation })
    }

    /// Reads the window of these axes about a place.
    fn window(
        &self,
        region: &Region,
        (at, axes): (Pixel, Matrix2<f64>),
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

/// Whether no way of the template is stretched or shrunk too far: by its singular values, of which the sum of squares
/// and the product are known.
fn is_moderate(axes: &Matrix2<f64>) -> bool {
    let (squares, product) = (axes.norm_squared(), axes.determinant());
    let spread = (squares * squares - 4.0 * product * product).max(0.0).sqrt();
    let (most, least) = (0.5 * (squares + spread), 0.5 * (squares - spread));
    product > 0.0 && most < MOST_STRETCH * MOST_STRETCH && least * MOST_STRETCH * MOST_STRETCH > 1.0
}
