//! The colour of a decoded frame: blue and red difference, one value each for two by two pixels.

use jobs::{Differences, differences};
use tracking::image::{Order, every_nth};

/// A difference of neither blue nor red.
const GREY: u8 = 128;

/// How a format holds its colour beside the luma.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sampling {
    /// How many values of each difference two columns have, and two rows.
    across: usize,
    down: usize,
    /// Whether both differences take turns in one plane.
    in_turns: bool,
    /// Bits of a value; more than eight stand in two bytes, lower first.
    bits: u32,
}

impl Sampling {
    /// Of a format by its name, with `bits` for each value; none where it holds no differences.
    #[must_use]
    pub fn of(format: &str, bits: u32) -> Option<Self> {
        let of = |across, down, in_turns| Some(Self { across, down, in_turns, bits });
        match format.get(..4)? {
            "NV12" => of(1, 1, true),
            "I420" => of(1, 1, false),
            "I422" => of(1, 2, false),
            "I444" => of(2, 2, false),
            _ => None,
        }
    }

    /// Which planes hold the blue and the red difference, and at which value of a pair each begins.
    #[must_use]
    pub fn planes(self) -> [(usize, usize); 2] {
        if self.in_turns { [(1, 0), (1, 1)] } else { [(1, 0), (2, 0)] }
    }

    /// How many rows of a plane a picture of so many rows needs.
    #[must_use]
    pub fn rows(self, height_px: usize) -> usize {
        height_px.div_ceil(2) * self.down
    }

    /// One difference of a picture of this size from its plane's bytes, `stride` to the row, from the `first` value on;
    /// of more values than one for two by two pixels those of every second column and row. Grey where bytes are missing.
    #[must_use]
    pub fn read(
        self,
        (mut bytes, stride): (Vec<u8>, usize),
        first: usize,
        (width_px, height_px): (usize, usize),
    ) -> Vec<u8> {
        let size = if self.bits > 8 { 2 } else { 1 };
        let step = size * self.across * if self.in_turns { 2 } else { 1 };
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

/// The differences of rows of four bytes a pixel, `stride` bytes to the row.
#[must_use]
pub fn of_colours(
    bytes: &[u8],
    stride: usize,
    order: Order,
    (width_px, height_px): (usize, usize),
) -> Differences {
    if stride == 4 * width_px {
        return differences(bytes.get(..stride * height_px).unwrap_or(bytes), order, width_px);
    }
    let rows = bytes.chunks(stride.max(1)).take(height_px);
    let packed: Vec<&[u8]> = rows.map(|row| row.get(..4 * width_px).unwrap_or(row)).collect();
    differences(&packed.concat(), order, width_px)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both(format: &str, bits: u32, planes: [&[u8]; 2], stride: usize) -> [Vec<u8>; 2] {
        let sampling = Sampling::of(format, bits).unwrap();
        sampling.planes().map(|(plane, first)| {
            sampling.read((planes[plane - 1].to_vec(), stride), first, (4, 3))
        })
    }

    #[test]
    fn every_format_gives_one_value_for_two_by_two_pixels() {
        let (blue, red) = (vec![1, 2, 3, 4], vec![5, 6, 7, 8]);
        // A gap of one byte ends each row.
        let planar = both("I420", 8, [&[1, 2, 0, 3, 4, 0], &[5, 6, 0, 7, 8, 0]], 3);
        assert_eq!(planar, [blue.clone(), red.clone()]);
        let turns = [1, 5, 2, 6, 3, 7, 4, 8];
        assert_eq!(both("NV12", 8, [&turns, &[]], 4), [blue.clone(), red.clone()]);
        let rows = both("I422", 8, [&[1, 2, 0, 0, 3, 4], &[5, 6, 0, 0, 7, 8]], 2);
        assert_eq!(rows, [blue.clone(), red.clone()]);
        let all = both(
            "I444",
            8,
            [&[1, 0, 2, 0, 0, 0, 0, 0, 3, 0, 4, 0], &[5, 0, 6, 0, 0, 0, 0, 0, 7, 0, 8, 0]],
            4,
        );
        assert_eq!(all, [blue, red]);
        // Of five rows three in the plane, or six where it holds all of them.
        let rows = ["NV12", "I420", "I422", "I444"].map(|f| Sampling::of(f, 8).unwrap().rows(5));
        assert_eq!(rows, [3, 3, 6, 6]);
    }

    #[test]
    fn ten_bits_become_eight_and_what_is_missing_is_grey() {
        let sampling = Sampling::of("I420P10", 10).unwrap();
        assert_eq!(sampling.read((vec![0xff, 0x03, 0x00, 0x02], 4), 0, (4, 1)), [255, 128]);
        assert_eq!(Sampling::of("I420", 8).unwrap().read((vec![9], 2), 0, (4, 1)), [9, 128]);
        assert_eq!(Sampling::of("RGBA", 8), None);
    }

    #[test]
    fn gaps_of_coloured_rows_are_left_out() {
        let grey = [90, 90, 90, 255, 90, 90, 90, 255, 7, 7, 7, 7];
        let found = of_colours(&[grey, grey].concat(), 12, Order::RedFirst, (2, 2));
        assert_eq!((found.blue, found.red), (vec![128], vec![128]));
    }
}
