//! The last hundredths: a template settled at its place by Gauss-Newton, whatever the brightness.

use super::algebra::{dot, sum2};
use super::template::Template;
use crate::image::{ImagePoint, Region};

/// Chosen: fits that settle do so in fewer; by trial on the worked clips, no record.
const MAX_ITERATIONS: usize = 15;
/// Step at which a fit ends.
///
/// Chosen: a hundredth of what the whole chain must reach (0.1 px).
const SETTLED_PX: f32 = 1e-3;
/// Least length of a window as a divisor, in grey levels: a window of one grey is no division by zero.
///
/// Chosen: far below the noise of any picture.
pub(super) const LEAST_LENGTH: f32 = 1.0;
/// Least determinant of a template's gram matrix over its squared trace.
///
/// Chosen: below it the gradients run along one direction; by trial on the worked clips, no record.
const LEAST_DETERMINANT_RATIO: f32 = 1e-3;

/// A place at which a template was settled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Where.
    pub at: ImagePoint,
    /// Correlation there.
    pub correlation: f32,
    /// Contrast there over the contrast of the template.
    pub gain_ratio: f32,
}

/// A template with its gradients, free of brightness and contrast.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitter {
    template: Template,
    gradient_x: Vec<f32>,
    gradient_y: Vec<f32>,
    /// `G = sum grad grad^T` as xx, xy, yy.
    gram: [f32; 3],
}

impl Fitter {
    /// The fitter of a template; `None` if its gradients run along one direction only.
    #[must_use]
    pub fn new(template: Template) -> Option<Self> {
        let (mut gradient_x, mut gradient_y) = gradients(&template);
        for gradient in [&mut gradient_x, &mut gradient_y] {
            remove_brightness(gradient, &template);
        }
        let gram = [
            dot(&gradient_x, &gradient_x),
            dot(&gradient_x, &gradient_y),
            dot(&gradient_y, &gradient_y),
        ];
        let determinant = gram[0] * gram[2] - gram[1] * gram[1];
        let trace = gram[0] + gram[2];
        (determinant > LEAST_DETERMINANT_RATIO * trace * trace).then_some(Self {
            template,
            gradient_x,
            gradient_y,
            gram,
        })
    }

    /// The template.
    #[must_use]
    pub fn template(&self) -> &Template {
        &self.template
    }

    /// How well a place agrees, without moving it; `None` outside the region.
    #[must_use]
    pub fn evaluate(&self, region: &Region, at: ImagePoint, window: &mut Vec<f32>) -> Option<Fit> {
        let (x, y) = region.local(at, 0);
        region.level(0).window(x, y, self.template.half_px(), window).then_some(())?;
        let (correlation, contrast) = self.template.agreement(window);
        Some(Fit { at, correlation, gain_ratio: contrast / self.template.contrast() })
    }

    /// Settles a guess at the highest correlation; `None` if it leaves the region or goes further than `reach`.
    ///
    /// With `w` the window at the place, its mean removed and its length one, `t` the template likewise and `g` the
    /// template's gradients freed of both, each step is `d = G^-1 sum (t - w) g`.
    #[must_use]
    pub fn settle(
        &self,
        region: &Region,
        guess: ImagePoint,
        reach_px: f32,
        window: &mut Vec<f32>,
    ) -> Option<Fit> {
        let (plane, half) = (region.level(0), self.template.half_px());
        let start = region.local(guess, 0);
        let (mut x, mut y) = start;
        let determinant = self.gram[0] * self.gram[2] - self.gram[1] * self.gram[1];
        for _ in 0..MAX_ITERATIONS {
            plane.window(x, y, half, window).then_some(())?;
            let mean = dot(self.template.weight(), window);
            let square = sum2(window, self.template.weight(), |v, w| (v - mean) * (v - mean) * w);
            let length = (square / self.template.weight_inside()).sqrt().max(LEAST_LENGTH);
            // The gradients are free of brightness and of the template itself, so both drop out of the sums.
            let bx = -dot(window, &self.gradient_x) / length;
            let by = -dot(window, &self.gradient_y) / length;
            let dx = (self.gram[2] * bx - self.gram[1] * by) / determinant;
            let dy = (self.gram[0] * by - self.gram[1] * bx) / determinant;
            x += dx;
            y += dy;
            let (far_x, far_y) = (x - start.0, y - start.1);
            let in_reach = far_x * far_x + far_y * far_y <= reach_px * reach_px;
            if !in_reach {
                return None;
            }
            if dx * dx + dy * dy < SETTLED_PX * SETTLED_PX {
                break;
            }
        }
        self.evaluate(region, region.global(x, y), window)
    }
}

/// Central differences of the template; zero if a neighbour is outside the disc.
pub(super) fn gradients(template: &Template) -> (Vec<f32>, Vec<f32>) {
    let side = 2 * template.half_px() + 1;
    let (unit, weight) = (template.unit(), template.weight());
    let difference = |i: usize, step: usize, along: usize| {
        if along == 0 || along + 1 == side {
            return 0.0;
        }
        let inside = |k: usize| weight.get(k).is_some_and(|w| *w > 0.0);
        let (before, after) = (i - step, i + step);
        if inside(before) && inside(after) { 0.5 * (unit[after] - unit[before]) } else { 0.0 }
    };
    let across = (0..unit.len()).map(|i| difference(i, 1, i % side)).collect();
    let down = (0..unit.len()).map(|i| difference(i, side, i / side)).collect();
    (across, down)
}

/// Removes from a gradient what a change of brightness or of contrast would add.
pub(super) fn remove_brightness(gradient: &mut [f32], template: &Template) {
    let mean = dot(gradient, template.weight());
    let along = dot(gradient, template.unit());
    let inside = template.weight_inside();
    for ((g, u), w) in gradient.iter_mut().zip(template.unit()).zip(template.weight()) {
        *g -= mean * (w / inside) + along * u;
    }
}
