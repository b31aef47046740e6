//! The picture of a marker as it was placed, and its normalised correlation with another picture.

use super::algebra::{dot, sum, sum2};
use crate::image::{ImagePoint, Plane, Region};

/// A round patch with its mean removed and its length made one, so that agreement is a correlation.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    half_px: usize,
    /// Row by row over the whole square; zero outside the disc.
    unit: Vec<f32>,
    /// One over the number of pixels inside the disc, zero outside.
    weight: Vec<f32>,
    /// Half the width of the disc in each row.
    reach: Vec<usize>,
    count: f32,
    contrast: f32,
}

impl Template {
    /// The disc of radius `half + 0.5` about `at`; `None` if it leaves the region or has no contrast.
    #[must_use]
    pub fn take(region: &Region, at: ImagePoint, half_px: usize) -> Option<Self> {
        let mut window = Vec::new();
        let (x, y) = region.local(at, 0);
        region.level(0).window(x, y, half_px, &mut window).then_some(())?;
        Self::of_window(&window, half_px)
    }

    /// The disc inside a square window of `2 half + 1` pixels; `None` if it has no contrast.
    #[must_use]
    pub fn of_window(window: &[f32], half_px: usize) -> Option<Self> {
        let side = 2 * half_px + 1;
        let reach = disc(half_px);
        let mut weight = vec![0.0; side * side];
        for (line, r) in weight.chunks_exact_mut(side).zip(&reach) {
            line[half_px - r..=half_px + r].fill(1.0);
        }
        let count = sum(&weight);
        let mean = dot(&weight, window) / count;
        let mut unit: Vec<f32> = window.iter().zip(&weight).map(|(v, w)| (v - mean) * w).collect();
        let length = dot(&unit, &unit).sqrt();
        let contrast = length / count.sqrt();
        let has_contrast = contrast > LEAST_CONTRAST;
        if !has_contrast {
            return None;
        }
        unit.iter_mut().for_each(|v| *v /= length);
        weight.iter_mut().for_each(|v| *v /= count);
        Some(Self { half_px, unit, weight, reach, count, contrast })
    }

    /// Half the side of the square about the disc.
    #[must_use]
    pub fn half_px(&self) -> usize {
        self.half_px
    }

    /// Standard deviation inside the disc, in grey levels.
    #[must_use]
    pub fn contrast(&self) -> f32 {
        self.contrast
    }

    /// The values of the disc: mean zero, sum of squares one, zero outside.
    #[must_use]
    pub fn unit(&self) -> &[f32] {
        &self.unit
    }

    /// One over the number of pixels inside the disc, zero outside.
    #[must_use]
    pub fn weight(&self) -> &[f32] {
        &self.weight
    }

    /// The weight of a pixel inside the disc: one over their number.
    #[must_use]
    pub fn weight_inside(&self) -> f32 {
        1.0 / self.count
    }

    /// Agreement with a window of the same size: `(correlation, contrast of the window)`.
    #[must_use]
    pub fn agreement(&self, window: &[f32]) -> (f32, f32) {
        let mean = dot(&self.weight, window);
        let mean_square = sum2(window, &self.weight, |v, w| v * v * w);
        let variance = (mean_square - mean * mean).max(0.0);
        let contrast = variance.sqrt();
        (dot(&self.unit, window) / (contrast * self.count.sqrt()).max(LEAST_LENGTH), contrast)
    }

    /// Correlation at every pixel up to `radius` from the pixel `(x, y)` of a plane; `None` if that leaves the plane.
    ///
    /// Source: Lewis, J. P. (1995), Fast normalized cross-correlation, Vision Interface 120-123: running sums.
    #[must_use]
    pub fn search(&self, plane: &Plane, x: usize, y: usize, radius_px: usize) -> Option<Scores> {
        Self::search_each(&[self], plane, (x, y), radius_px)?.pop()
    }

    /// The same for several templates of one size, which share the sums of the windows; one of another size is left out.
    #[must_use]
    pub fn search_each(
        templates: &[&Self],
        plane: &Plane,
        (x, y): (usize, usize),
        radius_px: usize,
    ) -> Option<Vec<Scores>> {
        let first = templates.first()?;
        let (h, side) = (first.half_px, 2 * radius_px + 1);
        let margin = h + radius_px;
        let (left, top) = (x.checked_sub(margin)?, y.checked_sub(margin)?);
        let span = side + 2 * h;
        let leaves = |from: usize, size: usize| from.saturating_add(span) > size;
        if leaves(left, plane.width_px()) || leaves(top, plane.height_px()) {
            return None;
        }
        let rows: Vec<&[f32]> = (0..span).map(|j| &plane.row(top + j)[left..left + span]).collect();
        let sums = RowSums::of(&rows);
        let alike: Vec<&&Self> = templates.iter().filter(|t| t.half_px == h).collect();
        let mut found = vec![Scores { radius_px, values: vec![0.0; side * side] }; alike.len()];
        let (mut sum, mut square) = (vec![0.0_f32; side], vec![0.0_f32; side]);
        for j in 0..side {
            sum.fill(0.0);
            square.fill(0.0);
            for (k, r) in first.reach.iter().enumerate() {
                sums.add_runs(j + k, (h - r, h + r + 1), &mut sum, &mut square);
            }
            let lengths = &mut square;
            for (q, s) in lengths.iter_mut().zip(&sum) {
                *q = (*q - s * s / first.count).max(0.0).sqrt().max(LEAST_LENGTH);
            }
            for (template, scores) in alike.iter().zip(&mut found) {
                let out = &mut scores.values[j * side..(j + 1) * side];
                template.correlate(&rows[j..=j + 2 * h], out);
                out.iter_mut().zip(lengths.iter()).for_each(|(value, length)| *value /= length);
            }
        }
        Some(found)
    }

    /// Sums of the disc's values times those under it, at every place along one line of a search; `rows` are those under the
    /// disc.
    ///
    /// Computed for as many places at a time as have their sums in registers; each is added row by row whatever the block.
    fn correlate(&self, rows: &[&[f32]], out: &mut [f32]) {
        let mut done = 0;
        while done < out.len() {
            done = match out.len() - done {
                WIDE.. => self.block::<WIDE>(rows, out, done),
                9.. if done > 0 => self.block::<WIDE>(rows, out, out.len() - WIDE),
                8.. => self.block::<8>(rows, out, done),
                5.. if done > 0 => self.block::<8>(rows, out, out.len() - 8),
                4.. => self.block::<4>(rows, out, done),
                // The last block ends with the line, and repeats places that are already known.
                1.. if done > 0 => self.block::<4>(rows, out, out.len() - 4),
                _ => self.block::<1>(rows, out, done),
            };
        }
    }

    /// The sums of [`Template::correlate`] at `N` places from `from` on; returns the place after them.
    fn block<const N: usize>(&self, rows: &[&[f32]], out: &mut [f32], from: usize) -> usize {
        let (h, mut sums) = (self.half_px, [0.0_f32; N]);
        for ((unit, r), row) in self.unit.chunks_exact(2 * h + 1).zip(&self.reach).zip(rows) {
            let inside = &unit[h - r..=h + r];
            let under = row[from + h - r..].windows(N);
            for (t, values) in inside.iter().zip(under) {
                for (sum, value) in sums.iter_mut().zip(values) {
                    *sum += t * value;
                }
            }
        }
        out[from..from + N].copy_from_slice(&sums);
        from + N
    }
}

/// Places computed at a time.
///
/// Chosen: four vector registers of four, which leaves as many for what is read.
const WIDE: usize = 16;
/// Least length of a window as a divisor, in grey levels: a window so flat correlates with nothing.
///
/// Chosen: by trial on the worked clips, no record; a grey level at each of a hundred pixels.
const LEAST_LENGTH: f32 = 10.0;
/// Least standard deviation of a template, in grey levels.
///
/// Chosen: below it a template is coding noise; by trial on the worked clips, no record.
const LEAST_CONTRAST: f32 = 1.0;

/// Half widths of the rows of a disc of radius `half + 0.5`.
fn disc(half_px: usize) -> Vec<usize> {
    let limit = half_px * half_px + half_px;
    let row = |j: usize| {
        let dy = j.abs_diff(half_px);
        (0..=half_px).rev().find(|dx| dx * dx + dy * dy <= limit).unwrap_or(0)
    };
    (0..=2 * half_px).map(row).collect()
}

/// Running sums of rows and of their squares. Whole grey levels, so exact below 2^24.
struct RowSums {
    /// Length of a row of sums: one more than it has values.
    stride: usize,
    first: Vec<f32>,
    second: Vec<f32>,
}

impl RowSums {
    fn of(rows: &[&[f32]]) -> Self {
        let stride = rows.iter().map(|row| row.len() + 1).max().unwrap_or(1);
        let mut of = Self {
            stride,
            first: vec![0.0; rows.len() * stride],
            second: vec![0.0; rows.len() * stride],
        };
        let lines = of.first.chunks_exact_mut(stride).zip(of.second.chunks_exact_mut(stride));
        for (row, (first, second)) in rows.iter().zip(lines) {
            let (mut sum, mut square) = (0.0_f32, 0.0_f32);
            for ((one, two), v) in first[1..].iter_mut().zip(&mut second[1..]).zip(*row) {
                (sum, square) = (sum + v, square + v * v);
                (*one, *two) = (sum, square);
            }
        }
        of
    }

    /// Adds a row's sums over `[i + from, i + to)` for every `i`.
    fn add_runs(
        &self,
        row: usize,
        (from, to): (usize, usize),
        first: &mut [f32],
        second: &mut [f32],
    ) {
        let start = row * self.stride;
        for (out, runs) in [(first, &self.first), (second, &self.second)] {
            let ends = runs[start + to..].iter().zip(&runs[start + from..]);
            for (o, (b, a)) in out.iter_mut().zip(ends) {
                *o += b - a;
            }
        }
    }
}

/// A place whose correlation is higher than all about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// To the right of the middle of the search.
    pub dx_px: f32,
    /// Below the middle of the search.
    pub dy_px: f32,
    /// Correlation there.
    pub correlation: f32,
}

/// Correlations over a square of pixels.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores {
    radius_px: usize,
    values: Vec<f32>,
}

impl Scores {
    /// The correlation at an offset from the middle.
    #[must_use]
    pub fn at(&self, dx_px: i64, dy_px: i64) -> Option<f32> {
        let radius = self.radius_px as i64;
        let (i, j) = (dx_px + radius, dy_px + radius);
        let side = 2 * radius + 1;
        let inside = (0..side).contains(&i) && (0..side).contains(&j);
        inside.then(|| self.values.get((j * side + i) as usize).copied()).flatten()
    }

    /// The `most` highest peaks above `least`, best first, each fitted by a parabola both ways.
    #[must_use]
    pub fn peaks(&self, least: f32, most: usize) -> Vec<Peak> {
        let radius = self.radius_px as i64;
        let mut peaks: Vec<Peak> = Vec::new();
        for dy in 1 - radius..radius {
            for dx in 1 - radius..radius {
                if self.at(dx, dy).is_some_and(|v| v >= least)
                    && let Some(peak) = self.peak(dx, dy)
                {
                    peaks.push(peak);
                }
            }
        }
        peaks.sort_by(|a, b| b.correlation.total_cmp(&a.correlation));
        peaks.truncate(most);
        peaks
    }

    fn peak(&self, dx: i64, dy: i64) -> Option<Peak> {
        let centre = self.at(dx, dy)?;
        for (j, i) in [(-1, -1), (-1, 0), (-1, 1), (0, -1)] {
            // Among equals the first in reading order is the peak.
            if self.at(dx + i, dy + j)? >= centre || self.at(dx - i, dy - j)? > centre {
                return None;
            }
        }
        let x = parabola_vertex(self.at(dx - 1, dy)?, centre, self.at(dx + 1, dy)?);
        let y = parabola_vertex(self.at(dx, dy - 1)?, centre, self.at(dx, dy + 1)?);
        Some(Peak { dx_px: dx as f32 + x, dy_px: dy as f32 + y, correlation: centre })
    }
}

/// The vertex of the parabola through `(-1, a) (0, b) (1, c)`: `(a - c) / (2 (a - 2 b + c))`, within a half.
#[must_use]
pub fn parabola_vertex(a: f32, b: f32, c: f32) -> f32 {
    let curvature = a - 2.0 * b + c;
    if curvature < 0.0 { (0.5 * (a - c) / curvature).clamp(-0.5, 0.5) } else { 0.0 }
}
