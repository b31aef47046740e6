//! Chroma of frames that come as red, green and blue.

use tracking::image::{Order, push_chroma};

/// The chroma planes of a frame: one value for two by two pixels, rows without gaps, 128 for grey.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chroma {
    /// Blue difference.
    pub blue: Vec<u8>,
    /// Red difference.
    pub red: Vec<u8>,
}

/// The chroma of rows of four bytes a pixel, without gaps, `width_px` pixels to the row.
///
/// Of the mean over two by two pixels, as in [`push_chroma`].
#[must_use]
pub fn chroma(rgba: &[u8], order: Order, width_px: usize) -> Chroma {
    let rows: Vec<&[u8]> = rgba.chunks_exact((4 * width_px).max(4)).collect();
    let mut found = Chroma::default();
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

    fn of(colour: [u8; 3], count: usize, width: usize) -> Chroma {
        let [r, g, b] = colour;
        chroma(&[r, g, b, 255].repeat(count), Order::RedFirst, width)
    }

    #[test]
    fn grey_has_no_chroma_and_the_primaries_have_the_most() {
        assert_eq!(of([77, 77, 77], 6, 3), Chroma { blue: vec![128; 2], red: vec![128; 2] });
        // By definition the differences of pure blue and pure red reach the end of the range.
        assert_eq!(of([0, 0, 255], 4, 2).blue, [255]);
        assert_eq!(of([255, 0, 0], 4, 2).red, [255]);
        assert!(of([255, 255, 0], 4, 2).blue[0] < 10);
    }

    #[test]
    fn odd_sizes_have_a_value_for_the_last_column_and_the_last_row() {
        assert_eq!(of([10, 200, 30], 9, 3).blue.len(), 4);
        assert_eq!(chroma(&[], Order::BlueFirst, 0), Chroma::default());
    }
}
