//! Blue and red difference of pictures that come as red, green and blue.

use tracking::image::{Order, push_chroma};

/// Both differences of a picture, 128 where it is grey: one value each for two by two pixels, rows without gaps.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Differences {
    /// Blue difference.
    pub blue: Vec<u8>,
    /// Red difference.
    pub red: Vec<u8>,
}

/// The differences of rows of four bytes a pixel, without gaps, `width` pixels to the row.
///
/// Of the mean over two by two pixels, as [`push_chroma`] has it.
#[must_use]
pub fn differences(colours: &[u8], order: Order, width: usize) -> Differences {
    let rows: Vec<&[u8]> = colours.chunks_exact((4 * width).max(4)).collect();
    let mut found = Differences::default();
    for pair in rows.chunks(2) {
        if let (Some(upper), Some(lower)) = (pair.first(), pair.last()) {
            push_chroma([upper, lower], order, &mut found.blue, &mut found.red);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(colour: [u8; 3], count: usize, width: usize) -> Differences {
        let [r, g, b] = colour;
        differences(&[r, g, b, 255].repeat(count), Order::RedFirst, width)
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
        assert_eq!(differences(&[], Order::BlueFirst, 0), Differences::default());
    }
}
