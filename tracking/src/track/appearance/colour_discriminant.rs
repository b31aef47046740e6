//! The mix of grey and colour in which a sticker stands out.

use crate::image::{GreyFrame, ImagePoint, Mix, Region};
use crate::point::{Blob, CircleSamples, Edge, edge_steps, find_blob, mean_and_spread, solve};
use crate::scales::CLICK_PX;
use std::cmp::Ordering::Equal;

/// The edge of a sticker in colour or in a mix.
///
/// Chosen: less than half of [`Edge::STRONG`], as colour has half as many values as grey and so a softer edge.
const COLOURED: Edge = Edge::Even(12.0);
/// The edge of a sticker if no edge is even.
///
/// Chosen: no shading of cloth or skin has such a step within two pixels on three sides.
const ANYWHERE: Edge = Edge::Uneven(10.0);
/// Grey levels by which a step is uncertain.
///
/// Chosen: for noise, and for a background that is still to come.
const FLOOR: f32 = 8.0;
/// A mix is taken if it stands out so many times as clearly as grey.
///
/// Chosen: until then grey serves, and its finer edges with it.
const CLEARER: f32 = 2.0;
/// Parts of a whole in the weights of a mix.
///
/// Exact: those of [`Mix`].
const MIX_PARTS: f32 = 16.0;

/// A sticker's surroundings as it is followed in them.
pub(in crate::track) struct Discriminant {
    /// The mix of grey and colour.
    pub mix: Mix,
    /// The square about the place, in that mix.
    pub region: Region,
    /// The sticker; `None` if there is no round edge near the place.
    pub blob: Option<Blob>,
    /// Whether its edge alone shows that it is a sticker: it is alike on all sides.
    pub is_even: bool,
}

/// A sticker near a place, in the mix of grey and colour in which its edge stands out.
///
/// With `m` the mean step across the edge in grey, blue and red difference and `C` the covariance of the steps about the
/// circle, the mix is `C^-1 m`: its mean step is greatest over its variation. Source: Fisher, R. A. (1936), The use of
/// multiple measurements in taxonomic problems, Ann. Eugenics 7:179-188.
pub(in crate::track) fn discriminate(
    frame: GreyFrame<'_>,
    placed: ImagePoint,
    half_px: usize,
) -> Discriminant {
    let planes =
        [Mix::GREY, Mix::BLUE, Mix::RED].map(|mix| Region::mixed(frame, placed, half_px, mix));
    let [grey, blue, red] = &planes;
    let strong = find_blob(grey, placed, CLICK_PX, Edge::STRONG);
    let mix = match strong {
        _ if !frame.has_colour() => Mix::GREY,
        Some(blob) => clearest_mix(&planes, &blob),
        None => {
            let in_colour = |plane| Some((plane, find_blob(plane, placed, CLICK_PX, COLOURED)?));
            let found = [blue, red].map(in_colour).into_iter().flatten();
            let clear = |(plane, blob): &(&Region, Blob)| edge_steps(plane, blob).map(clarity);
            let best = found.max_by(|a, b| clear(a).partial_cmp(&clear(b)).unwrap_or(Equal));
            best.map_or(Mix::GREY, |(_, blob)| clearest_mix(&planes, &blob))
        }
    };
    if mix.is_grey() {
        let blob = strong.or_else(|| find_blob(grey, placed, CLICK_PX, ANYWHERE));
        let [region, ..] = planes;
        return Discriminant { mix, region, blob, is_even: strong.is_some() };
    }
    let region = Region::mixed(frame, placed, half_px, mix);
    let even = find_blob(&region, placed, CLICK_PX, COLOURED);
    let blob = even.or_else(|| find_blob(&region, placed, CLICK_PX, ANYWHERE));
    Discriminant { mix, region, blob, is_even: even.is_some() }
}

/// The square of a mean step over its variance.
fn clarity(steps: CircleSamples) -> f32 {
    let (mean, spread) = mean_and_spread(&steps);
    mean * mean / (spread * spread + FLOOR * FLOOR)
}

/// The mix in which a blob stands out, if that is clearer than grey.
fn clearest_mix(planes: &[Region; 3], blob: &Blob) -> Mix {
    let [Some(grey), Some(blue), Some(red)] = planes.each_ref().map(|p| edge_steps(p, blob)) else {
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
    let is_clearer = clear > CLEARER * clarity(grey);
    if !is_clearer {
        return Mix::GREY;
    }
    let total: f32 = weights.iter().map(|w| w.abs()).sum();
    let [grey, blue, red] = weights.map(|w| (MIX_PARTS * w / total + 0.5).floor() as i32);
    Mix { grey, blue, red }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 96;
    const MIDDLE: ImagePoint = ImagePoint { x_px: 48.0, y_px: 48.0 };

    /// Planes of a picture with a disc of radius 8, each with its level outside and inside.
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

    fn discriminant([grey, blue, red]: &[Vec<u8>; 3]) -> Discriminant {
        let frame = GreyFrame::new(SIDE, SIDE, SIDE, grey).unwrap();
        discriminate(frame.with_colour(blue, red).unwrap(), MIDDLE.moved(2.0, -1.0), 40)
    }

    #[test]
    fn yellow_on_skin_of_its_lightness_stands_out_in_colour_and_white_in_grey() {
        // About the colours of fair skin and of a yellow sticker by ITU-R BT.601.
        let yellow = discriminant(&planes([190, 192], [110, 48], [150, 142]));
        assert!(yellow.mix.blue.abs() > 10 && yellow.mix.grey.abs() < 3, "{:?}", yellow.mix);
        let miss = yellow.blob.unwrap().centre.distance_px(MIDDLE);
        // Chroma values are two pixels apart.
        assert!(miss < 0.6, "{miss}");
        let white = discriminant(&planes([120, 230], [110, 128], [150, 128]));
        assert_eq!(white.mix, Mix::GREY);
        assert!(white.blob.unwrap().centre.distance_px(MIDDLE) < 0.1);
    }

    #[test]
    fn a_picture_of_one_colour_is_followed_in_grey() {
        let even = discriminant(&planes([120, 122], [110, 112], [150, 151]));
        assert_eq!((even.mix, even.blob), (Mix::GREY, None));
    }
}
