//! Grey and chroma of RGBA and BGRA pictures.
//!
//! This is in this crate because this crate is compiled for speed, and a picture has some millions of bytes.

/// Luma weights of red, green and blue, in ten-thousandths.
///
/// Source: Recommendation ITU-R BT.709-6, item 3.2.
const LUMA: [u32; 3] = [2126, 7152, 722];
/// The same as shares.
///
/// Source: Recommendation ITU-R BT.709-6, item 3.2.
const LUMA_RATIO: [f32; 3] = [0.2126, 0.7152, 0.0722];
/// What the blue and the red difference are divided by.
///
/// Source: Recommendation ITU-R BT.709-6, item 3.3.
const BLUE_DIVISOR: f32 = 1.8556;
/// See [`BLUE_DIVISOR`].
///
/// Source: Recommendation ITU-R BT.709-6, item 3.3.
const RED_DIVISOR: f32 = 1.5748;
/// What rounds a difference to a whole level from grey on.
///
/// Exact: 128 and a half.
const GREY_ROUNDED: f32 = 128.5;

/// The order of a pixel's colours; the fourth byte is not read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// Red, green, blue.
    RedFirst,
    /// Blue, green, red.
    BlueFirst,
}

/// Adds the grey of each pixel of a row: `0.2126 R + 0.7152 G + 0.0722 B`, rounded.
#[inline(never)]
pub fn push_grey(row: &[u8], order: Order, out: &mut Vec<u8>) {
    match order {
        Order::RedFirst => push_sums(row, LUMA, out),
        Order::BlueFirst => push_sums(row, [LUMA[2], LUMA[1], LUMA[0]], out),
    }
}

fn push_sums(row: &[u8], weights: [u32; 3], out: &mut Vec<u8>) {
    out.extend(row.chunks_exact(4).map(|pixel| {
        let [a, b, c] = [pixel[0], pixel[1], pixel[2]].map(u32::from);
        // Exact: ten-thousandths, half of them added for rounding.
        ((weights[0] * a + weights[1] * b + weights[2] * c + 5000) / 10_000) as u8
    }));
}

/// Adds the blue and the red difference (Cb, Cr) of two rows, one value each for two by two pixels; an odd last column has
/// a value of its two pixels, and for an odd last row both rows are the same.
///
/// Of the mean over the pixels, with `Y` their grey: `(B - Y) / 1.8556` and `(R - Y) / 1.5748`; 128 is no colour.
#[inline(never)]
pub fn push_chroma(rows: [&[u8]; 2], order: Order, blue: &mut Vec<u8>, red: &mut Vec<u8>) {
    let mut push = |sums: [u32; 3], count: f32| {
        let [first, g, third] = sums.map(|sum| sum as f32 / count);
        let (r, b) = if order == Order::RedFirst { (first, third) } else { (third, first) };
        let y = LUMA_RATIO[0] * r + LUMA_RATIO[1] * g + LUMA_RATIO[2] * b;
        blue.push(level((b - y) / BLUE_DIVISOR));
        red.push(level((r - y) / RED_DIVISOR));
    };
    let (upper, lower) = (rows[0].chunks_exact(8), rows[1].chunks_exact(8));
    let (last, under) = (upper.remainder(), lower.remainder());
    for (a, b) in upper.zip(lower) {
        let sum = |k: usize| [a[k], a[k + 4], b[k], b[k + 4]].map(u32::from).iter().sum();
        push([sum(0), sum(1), sum(2)], 4.0);
    }
    if let ([r, g, b, _], [s, h, c, _]) = (last, under) {
        push([[r, s], [g, h], [b, c]].map(|two| two.map(|v| u32::from(*v)).iter().sum()), 2.0);
    }
}

/// A difference as a level, rounded.
fn level(difference: f32) -> u8 {
    (GREY_ROUNDED + difference).clamp(0.0, 255.0) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(pixels: [[u8; 3]; 4]) -> (Vec<u8>, Vec<u8>) {
        let [a, b, c, d] = pixels.map(|[r, g, b]| [r, g, b, 255]);
        let (mut blue, mut red) = (Vec::new(), Vec::new());
        push_chroma([&[a, b].concat(), &[c, d].concat()], Order::RedFirst, &mut blue, &mut red);
        (blue, red)
    }

    #[test]
    fn grey_has_no_chroma_and_the_primaries_have_most() {
        assert_eq!(of([[77; 3]; 4]), (vec![128], vec![128]));
        // By the definition the differences of pure blue and red are half the range.
        assert_eq!(of([[0, 0, 255]; 4]).0, [255]);
        assert_eq!(of([[255, 0, 0]; 4]).1, [255]);
        assert!(of([[255, 255, 0]; 4]).0[0] < 10);
    }

    #[test]
    fn four_pixels_give_their_mean_chroma() {
        let pixels = [[200, 30, 90], [10, 250, 60], [90, 90, 5], [0, 17, 240]];
        let mean = |k: usize| pixels.iter().map(|p| f64::from(p[k])).sum::<f64>() / 4.0;
        let y = 0.2126 * mean(0) + 0.7152 * mean(1) + 0.0722 * mean(2);
        let plain = [(mean(2) - y) / 1.8556, (mean(0) - y) / 1.5748].map(|d| (128.5 + d) as u8);
        assert_eq!(of(pixels), (vec![plain[0]], vec![plain[1]]));
    }

    #[test]
    fn an_odd_column_has_a_value_and_grey_is_rounded() {
        let row = [10, 200, 30, 255].repeat(3);
        let (mut blue, mut red, mut grey) = (Vec::new(), Vec::new(), Vec::new());
        push_chroma([&row, &row], Order::RedFirst, &mut blue, &mut red);
        assert_eq!((blue.len(), red.len(), blue[0], red[0]), (2, 2, blue[1], red[1]));
        push_grey(&row, Order::RedFirst, &mut grey);
        // 2.126 + 143.04 + 2.166 = 147.332.
        assert_eq!(grey, [147; 3]);
    }

    #[test]
    fn both_orders_give_the_same_picture() {
        let row: Vec<u8> = (0..28_u8).map(|k| k.wrapping_mul(37)).collect();
        let turned: Vec<u8> = row.chunks(4).flat_map(|p| [p[2], p[1], p[0], p[3]]).collect();
        let read = |row: &[u8], order| {
            let (mut blue, mut red, mut grey) = (Vec::new(), Vec::new(), Vec::new());
            push_chroma([row, row], order, &mut blue, &mut red);
            push_grey(row, order, &mut grey);
            (blue, red, grey)
        };
        assert_eq!(read(&row, Order::RedFirst), read(&turned, Order::BlueFirst));
        assert_ne!(read(&row, Order::RedFirst), read(&turned, Order::RedFirst));
    }
}
