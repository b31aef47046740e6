//! Where patches that are turned alike may lie: looked for at half their size, then about each place found at their own.

use crate::image::{Pixel, Plane, Region, halve};
use crate::point::{Patch, Template, Turn};

/// Chosen: the least correlation of a place, at both sizes, and how many places of a patch are looked at closely.
const LEAST: f32 = 0.5;
const MOST: usize = 3;
/// Chosen: what is found at half the size is off by at most so much.
const NEAR_PX: usize = 3;

/// The places within `reach_px` of one where the middle of one of these patches, turned so, is found again.
///
/// The middle is a disc of radius `half_px + 0.5`.
pub(super) fn places_like<'p>(
    patches: impl Iterator<Item = &'p Patch>,
    (turn, half_px): (Turn, usize),
    region: &Region,
    (about, reach_px): (Pixel, usize),
) -> Vec<Pixel> {
    let both: Vec<(Template, Template)> =
        patches.filter_map(|patch| both_sizes(&patch.shown(turn, half_px), half_px)).collect();
    let halves: Vec<&Template> = both.iter().map(|(_, half)| half).collect();
    let middle = nearest(region.local(about, 1));
    let found = Template::search_each(&halves, region.level(1), middle, reach_px.div_ceil(2));
    let mut places = Vec::new();
    for ((whole, _), scores) in both.iter().zip(found.unwrap_or_default()) {
        for peak in scores.peaks(LEAST, MOST) {
            let x = 2.0 * (middle.0 as f32 + peak.dx_px);
            let y = 2.0 * (middle.1 as f32 + peak.dy_px);
            let (x, y) = nearest((x, y));
            let near = whole.search(region.level(0), x, y, NEAR_PX);
            let best = near.and_then(|scores| scores.peaks(LEAST, 1).first().copied());
            places.extend(best.map(|p| region.global(x as f32 + p.dx_px, y as f32 + p.dy_px)));
        }
    }
    places
}

/// A window as a template, and its halving as one; `None` where it is even.
fn both_sizes(window: &[f32], half_px: usize) -> Option<(Template, Template)> {
    let side = 2 * half_px + 1;
    let halved = halve(&Plane::from_values(side, side, window.to_vec()));
    // Its middle stays its middle where that stands on an even pixel, as it does with an even half.
    let rows = (0..halved.height_px()).flat_map(|y| halved.row(y));
    let halved: Vec<f32> = rows.copied().collect();
    Some((Template::of_window(window, half_px)?, Template::of_window(&halved, half_px / 2)?))
}

fn nearest((x, y): (f32, f32)) -> (usize, usize) {
    ((x + 0.5) as usize, (y + 0.5) as usize)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::GreyFrame;
    use crate::point::Pose;

    const SIDE: usize = 160;
    const HALF: usize = 10;

    /// Noise drawn from a seed, smoothed over so many pixels each way.
    fn picture(seed: u32, smooth: usize) -> Vec<u8> {
        let mut state = seed;
        let noise: Vec<f32> = (0..SIDE * SIDE)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (state >> 24) as f32
            })
            .collect();
        let value = |x: usize, y: usize| {
            let mut sum = 0.0;
            for (j, i) in (0..smooth).flat_map(|j| (0..smooth).map(move |i| (j, i))) {
                sum += noise[(y + j) % SIDE * SIDE + (x + i) % SIDE];
            }
            let area = (smooth * smooth) as f32;
            // Smoothing takes from what noise varies by the side of the square.
            (128.0 + (sum / area - 128.0) * smooth as f32 * 0.5).clamp(0.0, 255.0) as u8
        };
        (0..SIDE * SIDE).map(|k| value(k % SIDE, k / SIDE)).collect()
    }

    /// The same by the plain way: every place at the patch's own size.
    fn plain(patch: &Patch, region: &Region, about: Pixel, reach_px: usize) -> Vec<Pixel> {
        let template = Template::of_window(&patch.shown(Turn::NONE, HALF), HALF).unwrap();
        let (x, y) = nearest(region.local(about, 0));
        let peaks = template.search(region.level(0), x, y, reach_px).unwrap().peaks(LEAST, MOST);
        peaks.iter().map(|p| region.global(x as f32 + p.dx_px, y as f32 + p.dy_px)).collect()
    }

    #[test]
    fn what_is_found_at_every_place_is_found_at_half_the_size_too() {
        for (seed, smooth) in [(1, 3), (2, 4), (3, 5), (4, 7)] {
            let bytes = picture(seed, smooth);
            let frame = GreyFrame::new(SIDE, SIDE, SIDE, &bytes).unwrap();
            let middle = Pixel { x_px: 80.0, y_px: 80.0 };
            let region = Region::around(frame, middle, 70);
            let patch = Patch::take(&region, Pose { at: middle, turn: Turn::NONE }, HALF).unwrap();
            for about in [middle, middle.moved(9.0, -12.0), middle.moved(-17.0, 4.0)] {
                let found =
                    places_like([&patch].into_iter(), (Turn::NONE, HALF), &region, (about, 24));
                let every = plain(&patch, &region, about, 24);
                let best = every.first().unwrap();
                assert!(best.distance_px(middle) < 0.1, "{best:?}");
                let nearest = found.iter().map(|p| p.distance_px(*best)).fold(f64::MAX, f64::min);
                assert!(nearest < 0.01, "{seed} {smooth} {about:?}: {found:?}");
            }
        }
    }

    #[test]
    fn an_even_patch_and_a_region_that_is_too_small_have_no_places() {
        let middle = Pixel { x_px: 80.0, y_px: 80.0 };
        let places = |bytes: &[u8], reach_px| {
            let frame = GreyFrame::new(SIDE, SIDE, SIDE, bytes).unwrap();
            let region = Region::around(frame, middle, 40);
            let patch = Patch::take(&region, Pose { at: middle, turn: Turn::NONE }, HALF).unwrap();
            places_like([&patch].into_iter(), (Turn::NONE, HALF), &region, (middle, reach_px)).len()
        };
        let (even, uneven) = (vec![90; SIDE * SIDE], picture(5, 4));
        assert_eq!((places(&even, 8), places(&uneven, 200)), (0, 0));
        assert!(places(&uneven, 8) > 0);
    }
}
