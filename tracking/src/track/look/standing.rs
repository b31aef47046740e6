//! The mix of grey and colour in which a sticker stands out.

use crate::image::{GreyFrame, Mix, Pixel, Region};
use crate::point::{Around, Edge, Ring, mean_and_spread, ring_near, ring_steps, solve};
use std::cmp::Ordering::Equal;

/// A click lands so near to the middle of its sticker.
const CLICK_PX: usize = 5;
/// Chosen: the least step of a sticker's edge in colour or in a mix, where colour has half as many values as grey and
/// so a softer edge.
const COLOURED: Edge = Edge::Even(12.0);
/// Chosen: where no edge is even, a step that no shading of cloth or skin has within two pixels on three sides.
const ANYWHERE: Edge = Edge::Uneven(10.0);
/// Chosen: grey levels by which a step is not known, for noise and for surroundings that are not there yet.
const FLOOR: f32 = 8.0;
/// Chosen: grey alone serves, and its finer edges with it, until a mix stands out twice as clearly.
const CLEARER: f32 = 2.0;

/// A sticker's surroundings as it is followed in them.
pub(in crate::track) struct Standing {
    /// What of grey and colour.
    pub mix: Mix,
    /// The square about the place, in that mix.
    pub region: Region,
    /// The round edge near the place; `None` where there is none.
    pub ring: Option<Ring>,
    /// Whether that edge alone tells a sticker: it is alike on all sides.
    pub is_even: bool,
}

/// A sticker near a place, in the mix of grey and colour in which its edge stands out.
///
/// With `m` the mean step across the edge in grey, blue and red difference and `C` the covariance of the steps about the
/// circle, that is `C^-1 m`: the mix whose mean step is greatest over what it varies. Source: Fisher, R. A. (1936), The
/// use of multiple measurements in taxonomic problems, Ann. Eugenics 7:179-188.
pub(in crate::track) fn standing_out(
    frame: GreyFrame<'_>,
    placed: Pixel,
    half_px: usize,
) -> Standing {
    let planes =
        [Mix::GREY, Mix::BLUE, Mix::RED].map(|mix| Region::mixed(frame, placed, half_px, mix));
    let [grey, blue, red] = &planes;
    let strong = ring_near(grey, placed, CLICK_PX, Edge::STRONG);
    let mix = match strong {
        _ if !frame.has_colour() => Mix::GREY,
        Some(ring) => clearest(&planes, &ring),
        None => {
            let in_colour = |plane| Some((plane, ring_near(plane, placed, CLICK_PX, COLOURED)?));
            let found = [blue, red].map(in_colour).into_iter().flatten();
            let clear = |(plane, ring): &(&Region, Ring)| ring_steps(plane, ring).map(clear_ratio);
            let best = found.max_by(|a, b| clear(a).partial_cmp(&clear(b)).unwrap_or(Equal));
            best.map_or(Mix::GREY, |(_, ring)| clearest(&planes, &ring))
        }
    };
    if mix.is_grey() {
        let ring = strong.or_else(|| ring_near(grey, placed, CLICK_PX, ANYWHERE));
        let [region, ..] = planes;
        return Standing { mix, region, ring, is_even: strong.is_some() };
    }
    let region = Region::mixed(frame, placed, half_px, mix);
    let even = ring_near(&region, placed, CLICK_PX, COLOURED);
    let ring = even.or_else(|| ring_near(&region, placed, CLICK_PX, ANYWHERE));
    Standing { mix, region, ring, is_even: even.is_some() }
}

/// The square of a mean step over what it varies.
fn clear_ratio(steps: Around) -> f32 {
    let (mean, spread) = mean_and_spread(&steps);
    mean * mean / (spread * spread + FLOOR * FLOOR)
}

/// The mix in which a ring stands out, where that is clearer than grey.
fn clearest(planes: &[Region; 3], ring: &Ring) -> Mix {
    let [Some(grey), Some(blue), Some(red)] = planes.each_ref().map(|p| ring_steps(p, ring)) else {
        return Mix::GREY;
    };
    let steps = [grey, blue, red];
    let count = grey.len() as f32;
    let mean = steps.each_ref().map(|s| mean_and_spread(s).0);
    let covariance = |a: usize, b: usize| {
        let both = steps[a].iter().zip(&steps[b]);
        let sum: f32 = both.map(|(p, q)| (p - mean[a]) * (q - mean[b])).sum();
        sum / count + if a == b { FLOOR * FLOOR } else { 0.0 }
    };
    let of = [(0, 0), (0, 1), (1, 1), (0, 2), (1, 2), (2, 2)];
    let of = of.map(|(a, b)| f64::from(covariance(a, b)));
    let Some(weights) = solve(of, mean.map(f64::from)) else { return Mix::GREY };
    let weights = weights.map(|w| w as f32);
    let clear: f32 = weights.iter().zip(&mean).map(|(w, m)| w * m).sum();
    let is_clearer = clear > CLEARER * clear_ratio(grey);
    if !is_clearer {
        return Mix::GREY;
    }
    let total: f32 = weights.iter().map(|w| w.abs()).sum();
    let [grey, blue, red] = weights.map(|w| (16.0 * w / total + 0.5).floor() as i32);
    Mix { grey, blue, red }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 96;
    const MIDDLE: Pixel = Pixel { x_px: 48.0, y_px: 48.0 };

    /// Planes of a picture with a disc of radius 8: of grey and of blue and red difference by whether inside.
    fn planes(grey: [u8; 2], blue: [u8; 2], red: [u8; 2]) -> [Vec<u8>; 3] {
        let inside = |x: f64, y: f64| usize::from((x - 48.0).hypot(y - 48.0) < 8.0);
        let half = SIDE / 2;
        let of = |values: [u8; 2], side: usize, step: f64| -> Vec<u8> {
            let at = |k: usize, add: f64| k as f64 * step + add;
            let value = |k: usize| inside(at(k % side, 0.0), at(k / side, 0.5 * (step - 1.0)));
            (0..side * side).map(|k| values[value(k)]).collect()
        };
        [of(grey, SIDE, 1.0), of(blue, half, 2.0), of(red, half, 2.0)]
    }

    fn standing([grey, blue, red]: &[Vec<u8>; 3]) -> Standing {
        let frame = GreyFrame::new(SIDE, SIDE, SIDE, grey).unwrap();
        standing_out(frame.with_colour(blue, red).unwrap(), MIDDLE.moved(2.0, -1.0), 40)
    }

    #[test]
    fn yellow_on_skin_as_light_stands_out_in_colour_and_white_in_grey() {
        // About the colours of fair skin and of a yellow sticker by ITU-R BT.601.
        let yellow = standing(&planes([190, 192], [110, 48], [150, 142]));
        assert!(yellow.mix.blue.abs() > 10 && yellow.mix.grey.abs() < 3, "{:?}", yellow.mix);
        let miss = yellow.ring.unwrap().middle.distance_px(MIDDLE);
        // Values of colour are two pixels apart.
        assert!(miss < 0.6, "{miss}");
        let white = standing(&planes([120, 230], [110, 128], [150, 128]));
        assert_eq!(white.mix, Mix::GREY);
        assert!(white.ring.unwrap().middle.distance_px(MIDDLE) < 0.1);
    }

    #[test]
    fn what_is_of_one_colour_is_followed_in_grey() {
        let even = standing(&planes([120, 122], [110, 112], [150, 151]));
        assert_eq!((even.mix, even.ring), (Mix::GREY, None));
    }
}
