//! Blue and red difference of pictures that come as red, green and blue.

/// Both differences of a picture, 128 where it is grey: one value each for two by two pixels, rows without gaps.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Differences {
    /// Blue difference.
    pub blue: Vec<u8>,
    /// Red difference.
    pub red: Vec<u8>,
}

/// The differences of rows of red, green, blue and one more, without gaps, `width` pixels to the row.
///
/// Of the mean over two by two pixels: `Y = 0.2126 R + 0.7152 G + 0.0722 B`, `(B - Y) / 1.8556` and `(R - Y) / 1.5748`.
/// Source: Recommendation ITU-R BT.709-6, items 3.2 and 3.3.
#[must_use]
pub fn differences(rgba: &[u8], width: usize) -> Differences {
    let rows: Vec<&[u8]> = rgba.chunks_exact((4 * width).max(4)).collect();
    let mut found = Differences::default();
    for pair in rows.chunks(2) {
        for i in (0..width).step_by(2) {
            let (mut sum, mut count) = ([0.0; 3], 0.0);
            for pixel in pair.iter().flat_map(|row| row[4 * i..].chunks_exact(4).take(2)) {
                for (sum, value) in sum.iter_mut().zip(pixel) {
                    *sum += f64::from(*value);
                }
                count += 1.0;
            }
            let [r, g, b] = sum.map(|s| s / count);
            let y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
            found.blue.push(level((b - y) / 1.8556));
            found.red.push(level((r - y) / 1.5748));
        }
    }
    found
}

/// From grey on, rounded to a whole level.
fn level(difference: f64) -> u8 {
    (128.5 + difference).clamp(0.0, 255.0) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(colour: [u8; 3], count: usize, width: usize) -> Differences {
        let [r, g, b] = colour;
        differences(&[r, g, b, 255].repeat(count), width)
    }

    #[test]
    fn grey_has_none_and_the_primaries_have_most() {
        assert_eq!(of([77, 77, 77], 6, 3), Differences { blue: vec![128; 2], red: vec![128; 2] });
        // By the definition the differences of pure blue and red are half the range.
        assert_eq!(of([0, 0, 255], 4, 2).blue, [255]);
        assert_eq!(of([255, 0, 0], 4, 2).red, [255]);
        assert!(of([255, 255, 0], 4, 2).blue[0] < 10);
    }

    #[test]
    fn odd_sizes_have_a_value_for_the_last_column_and_row() {
        assert_eq!(of([10, 200, 30], 9, 3).blue.len(), 4);
        assert_eq!(differences(&[], 0), Differences::default());
    }
}
