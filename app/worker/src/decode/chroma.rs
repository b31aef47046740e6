//! The chroma of a decoded frame: blue and red difference, one value each for two by two pixels.

use jobs::{Chroma, chroma};
use tracking::image::{Order, every_nth};

/// Exact: the chroma of grey.
const GREY: u8 = 128;

/// Rows of a plane.
pub struct Rows {
    /// The bytes, with the gaps between rows.
    pub bytes: Vec<u8>,
    /// Bytes from one row to the next.
    pub stride: usize,
}

/// How a format stores its chroma.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sampling {
    /// Values of each difference in two columns.
    across: usize,
    /// Values of each difference in two rows.
    down: usize,
    /// Whether both differences alternate in one plane.
    is_interleaved: bool,
    /// Bits of a value; more than eight take two bytes, lower first.
    bits: u32,
}

impl Sampling {
    /// Of a format with this name and `bits` for each value; none for a format without chroma.
    #[must_use]
    pub fn of(format: &str, bits: u32) -> Option<Self> {
        let of = |across, down, is_interleaved| Some(Self { across, down, is_interleaved, bits });
        match format.get(..4)? {
            "NV12" => of(1, 1, true),
            "I420" => of(1, 1, false),
            "I422" => of(1, 2, false),
            "I444" => of(2, 2, false),
            _ => None,
        }
    }

    /// The planes of the blue and the red difference, and the value at which each begins.
    #[must_use]
    pub fn planes(self) -> [(usize, usize); 2] {
        if self.is_interleaved { [(1, 0), (1, 1)] } else { [(1, 0), (2, 0)] }
    }

    /// Rows of a chroma plane under a frame of `height_px` rows.
    #[must_use]
    pub fn rows(self, height_px: usize) -> usize {
        height_px.div_ceil(2) * self.down
    }

    /// One difference of a frame of this size, from the rows of its plane and the `first` value on. If the plane has more
    /// than one value for two by two pixels, every second column and row is read. Missing bytes become grey.
    #[must_use]
    pub fn read(
        self,
        Rows { mut bytes, stride }: Rows,
        first: usize,
        (width_px, height_px): (usize, usize),
    ) -> Vec<u8> {
        let size = if self.bits > 8 { 2 } else { 1 };
        let step = size * self.across * if self.is_interleaved { 2 } else { 1 };
        let (width, height) = (width_px.div_ceil(2), height_px.div_ceil(2));
        let stride = self.down * stride;
        if (step, stride, first) == (1, width, 0) {
            bytes.resize(width * height, GREY);
            return bytes;
        }
        let mut out = Vec::with_capacity(width * height);
        for j in 0..height {
            let row = bytes.get(j * stride + first * size..).unwrap_or(&[]);
            if self.bits > 8 {
                out.extend((0..width).map(|i| self.value(row, i * step)));
            } else {
                every_nth(row, step, width, &mut out);
                out.resize((j + 1) * width, GREY);
            }
        }
        out
    }

    fn value(self, row: &[u8], at: usize) -> u8 {
        let Some(low) = row.get(at) else { return GREY };
        let high = row.get(at + 1).copied().unwrap_or(0);
        u8::try_from(u16::from_le_bytes([*low, high]) >> (self.bits - 8)).unwrap_or(u8::MAX)
    }
}

/// The chroma of rows of four bytes a pixel, `stride` bytes to the row.
#[must_use]
pub fn chroma_of_rgba(
    bytes: &[u8],
    stride: usize,
    order: Order,
    (width_px, height_px): (usize, usize),
) -> Chroma {
    if stride == 4 * width_px {
        return chroma(bytes.get(..stride * height_px).unwrap_or(bytes), order, width_px);
    }
    let rows = bytes.chunks(stride.max(1)).take(height_px);
    let packed: Vec<&[u8]> = rows.map(|row| row.get(..4 * width_px).unwrap_or(row)).collect();
    chroma(&packed.concat(), order, width_px)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both(format: &str, bits: u32, planes: [&[u8]; 2], stride: usize) -> [Vec<u8>; 2] {
        let sampling = Sampling::of(format, bits).unwrap();
        sampling.planes().map(|(plane, first)| {
            sampling.read(Rows { bytes: planes[plane - 1].to_vec(), stride }, first, (4, 3))
        })
    }

    #[test]
    fn every_format_gives_one_value_for_two_by_two_pixels() {
        let (blue, red) = (vec![1, 2, 3, 4], vec![5, 6, 7, 8]);
        // A gap of one byte ends each row.
        let planar = both("I420", 8, [&[1, 2, 0, 3, 4, 0], &[5, 6, 0, 7, 8, 0]], 3);
        assert_eq!(planar, [blue.clone(), red.clone()]);
        let interleaved = [1, 5, 2, 6, 3, 7, 4, 8];
        assert_eq!(both("NV12", 8, [&interleaved, &[]], 4), [blue.clone(), red.clone()]);
        let rows = both("I422", 8, [&[1, 2, 0, 0, 3, 4], &[5, 6, 0, 0, 7, 8]], 2);
        assert_eq!(rows, [blue.clone(), red.clone()]);
        let all = both(
            "I444",
            8,
            [&[1, 0, 2, 0, 0, 0, 0, 0, 3, 0, 4, 0], &[5, 0, 6, 0, 0, 0, 0, 0, 7, 0, 8, 0]],
            4,
        );
        assert_eq!(all, [blue, red]);
        // Five rows of a frame have three rows of chroma, or six if no row is left out.
        let rows = ["NV12", "I420", "I422", "I444"].map(|f| Sampling::of(f, 8).unwrap().rows(5));
        assert_eq!(rows, [3, 3, 6, 6]);
    }

    #[test]
    fn ten_bits_become_eight_and_missing_bytes_are_grey() {
        let sampling = Sampling::of("I420P10", 10).unwrap();
        let rows = Rows { bytes: vec![0xff, 0x03, 0x00, 0x02], stride: 4 };
        assert_eq!(sampling.read(rows, 0, (4, 1)), [255, 128]);
        let rows = Rows { bytes: vec![9], stride: 2 };
        assert_eq!(Sampling::of("I420", 8).unwrap().read(rows, 0, (4, 1)), [9, 128]);
        assert_eq!(Sampling::of("RGBA", 8), None);
    }

    #[test]
    fn gaps_between_rows_are_left_out() {
        let grey = [90, 90, 90, 255, 90, 90, 90, 255, 7, 7, 7, 7];
        let found = chroma_of_rgba(&[grey, grey].concat(), 12, Order::RedFirst, (2, 2));
        assert_eq!((found.blue, found.red), (vec![128], vec![128]));
    }
}
