//! Search for patches: at half their size first, then near each place found at their own.

use crate::image::{ImagePoint, Plane, Region, halve};
use crate::point::{Patch, Rotation, Template};

/// Least correlation of a place, at both sizes.
///
/// Chosen: what a right place falls to in blur is 0.6; by trial on the worked clips, no record.
const LEAST_CORRELATION: f32 = 0.5;
/// Places of each patch that are searched closely.
///
/// Chosen: for time; by trial on the worked clips, no record.
const MOST_PLACES: usize = 3;
/// What a place found at half the size may be off.
///
/// Chosen: a pixel and a half of that size.
const NEAR_PX: usize = 3;

/// What is searched, and where.
#[derive(Clone, Copy)]
pub(super) struct SearchArea<'a> {
    pub region: &'a Region,
    /// The middle of the search.
    pub about: ImagePoint,
    pub radius_px: usize,
}

/// The places where the middle of one of these patches, rotated so, is found.
///
/// The middle is a disc of radius `half_px + 0.5`.
pub(super) fn search_patches<'p>(
    patches: impl Iterator<Item = &'p Patch>,
    rotation: Rotation,
    half_px: usize,
    SearchArea { region, about, radius_px }: SearchArea<'_>,
) -> Vec<ImagePoint> {
    let both: Vec<BothSizes> = patches
        .filter_map(|patch| BothSizes::of(&patch.rotated_middle(rotation, half_px), half_px))
        .collect();
    let halves: Vec<&Template> = both.iter().map(|sizes| &sizes.half).collect();
    let middle = nearest(region.local(about, 1));
    let found = Template::search_each(&halves, region.level(1), middle, radius_px.div_ceil(2));
    let mut places = Vec::new();
    for (sizes, scores) in both.iter().zip(found.unwrap_or_default()) {
        for peak in scores.peaks(LEAST_CORRELATION, MOST_PLACES) {
            let x = 2.0 * (middle.0 as f32 + peak.dx_px);
            let y = 2.0 * (middle.1 as f32 + peak.dy_px);
            let (x, y) = nearest((x, y));
            let near = sizes.whole.search(region.level(0), x, y, NEAR_PX);
            let best = near.and_then(|scores| scores.peaks(LEAST_CORRELATION, 1).first().copied());
            places.extend(best.map(|p| region.global(x as f32 + p.dx_px, y as f32 + p.dy_px)));
        }
    }
    places
}

/// A window as a template, at its own size and at half of it.
struct BothSizes {
    whole: Template,
    half: Template,
}

impl BothSizes {
    /// `None` if the window is of one grey.
    fn of(window: &[f32], half_px: usize) -> Option<Self> {
        let side = 2 * half_px + 1;
        let halved = halve(&Plane::from_values(side, side, window.to_vec()));
        // Its middle stays its middle if that stands on an even pixel, as it does with an even half.
        let rows = (0..halved.height_px()).flat_map(|y| halved.row(y));
        let halved: Vec<f32> = rows.copied().collect();
        Some(Self {
            whole: Template::of_window(window, half_px)?,
            half: Template::of_window(&halved, half_px / 2)?,
        })
    }
}

fn nearest((x, y): (f32, f32)) -> (usize, usize) {
    ((x + 0.5) as usize, (y + 0.5) as usize)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::{GreyFrame, noise};
    use crate::point::Pose;

    const SIDE: usize = 160;
    const HALF: usize = 10;

    /// Noise from a seed, smoothed over a square of a side in pixels.
    fn picture(seed: u64, smooth: usize) -> Vec<u8> {
        let noise: Vec<f32> = noise(seed, SIDE * SIDE).into_iter().map(f32::from).collect();
        let value = |x: usize, y: usize| {
            let mut sum = 0.0;
            for (j, i) in (0..smooth).flat_map(|j| (0..smooth).map(move |i| (j, i))) {
                sum += noise[(y + j) % SIDE * SIDE + (x + i) % SIDE];
            }
            let area = (smooth * smooth) as f32;
            // Smoothing divides the deviation of noise by the side of the square.
            (128.0 + (sum / area - 128.0) * smooth as f32 * 0.5).clamp(0.0, 255.0) as u8
        };
        (0..SIDE * SIDE).map(|k| value(k % SIDE, k / SIDE)).collect()
    }

    /// The slow twin: every place at the patch's own size.
    fn plain(
        patch: &Patch,
        region: &Region,
        about: ImagePoint,
        reach_px: usize,
    ) -> Vec<ImagePoint> {
        let template =
            Template::of_window(&patch.rotated_middle(Rotation::IDENTITY, HALF), HALF).unwrap();
        let (x, y) = nearest(region.local(about, 0));
        let peaks = template
            .search(region.level(0), x, y, reach_px)
            .unwrap()
            .peaks(LEAST_CORRELATION, MOST_PLACES);
        peaks.iter().map(|p| region.global(x as f32 + p.dx_px, y as f32 + p.dy_px)).collect()
    }

    #[test]
    fn the_best_place_of_a_full_search_is_found_at_half_the_size_too() {
        for (seed, smooth) in [(1, 3), (2, 4), (3, 5), (4, 7)] {
            let bytes = picture(seed, smooth);
            let frame = GreyFrame::new(SIDE, SIDE, SIDE, &bytes).unwrap();
            let middle = ImagePoint { x_px: 80.0, y_px: 80.0 };
            let region = Region::around(frame, middle, 70);
            let patch =
                Patch::take(&region, Pose { at: middle, rotation: Rotation::IDENTITY }, HALF)
                    .unwrap();
            for about in [middle, middle.moved(9.0, -12.0), middle.moved(-17.0, 4.0)] {
                let found = search_patches(
                    [&patch].into_iter(),
                    Rotation::IDENTITY,
                    HALF,
                    SearchArea { region: &region, about, radius_px: 24 },
                );
                let every = plain(&patch, &region, about, 24);
                let best = every.first().unwrap();
                assert!(best.distance_px(middle) < 0.1, "{best:?}");
                let nearest = found.iter().map(|p| p.distance_px(*best)).fold(f64::MAX, f64::min);
                assert!(nearest < 0.01, "{seed} {smooth} {about:?}: {found:?}");
            }
        }
    }

    #[test]
    fn a_patch_of_one_grey_and_a_region_that_is_too_small_have_no_places() {
        let middle = ImagePoint { x_px: 80.0, y_px: 80.0 };
        let places = |bytes: &[u8], radius_px| {
            let frame = GreyFrame::new(SIDE, SIDE, SIDE, bytes).unwrap();
            let region = Region::around(frame, middle, 40);
            let patch =
                Patch::take(&region, Pose { at: middle, rotation: Rotation::IDENTITY }, HALF)
                    .unwrap();
            {
                let area = SearchArea { region: &region, about: middle, radius_px };
                search_patches([&patch].into_iter(), Rotation::IDENTITY, HALF, area).len()
            }
        };
        let (even, uneven) = (vec![90; SIDE * SIDE], picture(5, 4));
        assert_eq!((places(&even, 8), places(&uneven, 200)), (0, 0));
        assert!(places(&uneven, 8) > 0);
    }
}
