//! Clips: whole files, and the tables from which frame times come.

use crate::seeds;
use crate::target::{Target, anywhere};
use media::{ClipIndex, fingerprint};
use std::io::Cursor;
use std::ops::Range;

/// Any byte of a clip.
pub const CONTAINER: Target = Target {
    name: "container",
    seeds: || seeds::clips().to_vec(),
    fields: anywhere,
    dictionary: BOXES,
    run,
};

/// Only the numbers of the tables.
pub const TIMING: Target = Target {
    name: "timing",
    seeds: || seeds::clips().to_vec(),
    fields: tables,
    dictionary: NUMBERS,
    run,
};

/// Names of boxes and elements.
const BOXES: &[&[u8]] = &[
    b"moov",
    b"trak",
    b"edts",
    b"elst",
    b"mdia",
    b"minf",
    b"stbl",
    b"stsd",
    b"avcC",
    b"hvcC",
    b"av1C",
    b"vpcC",
    b"moof",
    b"traf",
    b"tfhd",
    b"trun",
    b"mvex",
    b"trex",
    b"meta",
    b"udta",
    b"\x1a\x45\xdf\xa3",
    b"\x18\x53\x80\x67",
    b"\x1f\x43\xb6\x75",
    b"\x16\x54\xae\x6b",
    b"\xbf\x84",
    b"\x01\xff\xff\xff\xff\xff\xff\xff",
];

/// Numbers at the ends of what fits.
const NUMBERS: &[&[u8]] = &[
    b"\x00\x00\x00\x00",
    b"\x00\x00\x00\x01",
    b"\x00\x00\x00\x02",
    b"\x00\x00\x7f\xff",
    b"\x00\x00\xff\xff",
    b"\x00\x0f\x42\x40",
    b"\x00\xff\xff\xff",
    b"\x7f\xff\xff\xff",
    b"\x80\x00\x00\x00",
    b"\xff\xff\xff\xf0",
    b"\xff\xff\xff\xff",
];

/// Boxes whose numbers become times.
const TABLES: [&[u8]; 10] =
    [b"elst", b"stts", b"ctts", b"stsz", b"stsc", b"mdhd", b"mvhd", b"trun", b"tfdt", b"stss"];

/// Bodies of the tables, without version and flags, so that they are still read as what they are.
fn tables(clip: &[u8]) -> Vec<Range<usize>> {
    let body = |name_at: usize| {
        let size = clip.get(name_at - 4..name_at)?.try_into().ok().map(u32::from_be_bytes)?;
        let end = (name_at - 4).checked_add(usize::try_from(size).ok()?)?;
        let body = name_at + 8..end.min(clip.len());
        (!body.is_empty()).then_some(body)
    };
    let is_table = |at: &usize| TABLES.iter().any(|name| clip[*at..].starts_with(name));
    (4..clip.len().saturating_sub(4)).filter(is_table).filter_map(body).collect()
}

fn run(bytes: &[u8]) {
    let Ok(index) = ClipIndex::read(&mut Cursor::new(bytes)) else { return };
    let count = index.frame_count();
    assert!(index.stamps_s().iter().all(|s| s.is_finite()), "a timestamp is no number");
    for frame in [0, 1, count / 2, count - 1, count, u32::MAX] {
        if let Some((at, sample)) = index.sample_of(frame) {
            assert!(index.decode_start(at) <= at, "decoding of frame {frame} begins after it");
            let end = sample.offset + u64::from(sample.size_bytes);
            assert!(end <= bytes.len() as u64, "frame {frame} lies beyond the end");
            assert!(
                index.decode_start_frame(frame) <= frame && index.batch_start(frame, 20) <= frame
            );
        }
    }
    let mut stamps_us: Vec<i64> = index.samples().iter().map(|s| s.stamp_us).collect();
    stamps_us.sort_unstable();
    assert!(stamps_us.is_sorted_by(|a, b| a < b), "two samples share a timestamp");
    fingerprint(&mut Cursor::new(bytes)).unwrap();
}
