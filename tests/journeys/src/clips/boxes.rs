//! Changes one box of an MP4 or MOV file whose index lies at its end, and leaves all else as it is.

/// Boxes that hold those that are changed here.
const PARENTS: [&[u8; 4]; 5] = [b"moov", b"trak", b"mdia", b"minf", b"stbl"];

/// Makes a new body from the old one; none removes the box.
type Change<'a> = &'a mut dyn FnMut(&[u8]) -> Option<Vec<u8>>;

fn number(bytes: &[u8]) -> usize {
    bytes.iter().take(4).fold(0, |sum, b| sum << 8 | usize::from(*b))
}

fn boxed(kind: &[u8], body: &[u8]) -> Vec<u8> {
    let size = u32::try_from(body.len() + 8).unwrap_or(u32::MAX);
    [&size.to_be_bytes(), kind, body].concat()
}

/// The same boxes, with each box of this name changed.
fn change(boxes: &[u8], name: &[u8; 4], with: Change) -> Vec<u8> {
    let mut out = Vec::with_capacity(boxes.len() + 64);
    let mut rest = boxes;
    while let Some(size) = rest.get(..4).map(number).filter(|s| (8..=rest.len()).contains(s)) {
        let (this, after) = rest.split_at(size);
        let (kind, body) = (this.get(4..8).unwrap_or_default(), this.get(8..).unwrap_or_default());
        if kind == name {
            out.extend(with(body).map(|body| boxed(kind, &body)).unwrap_or_default());
        } else if PARENTS.iter().any(|parent| *parent == kind) {
            out.extend(boxed(kind, &change(body, name, with)));
        } else {
            out.extend_from_slice(this);
        }
        rest = after;
    }
    out.extend_from_slice(rest);
    out
}

/// The matrix by which a track's frames are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Matrix {
    /// Right in the frame, from right in the coded frame.
    pub a: i32,
    /// Down in the frame, from right in the coded frame.
    pub b: i32,
    /// Right in the frame, from down in the coded frame.
    pub c: i32,
    /// Down in the frame, from down in the coded frame.
    pub d: i32,
}

/// The file with its frames shown by this matrix.
///
/// Source: ISO/IEC 14496-12:2022, 8.3.2 (`tkhd` version 0: the matrix begins at byte 40 of the body).
#[must_use]
pub fn with_matrix(file: &[u8], matrix: Matrix) -> Vec<u8> {
    change(file, b"tkhd", &mut |body| {
        let mut body = body.to_vec();
        let one = 1 << 16;
        let Matrix { a, b, c, d } = matrix;
        let matrix = [a * one, b * one, 0, c * one, d * one, 0, 0, 0, 1 << 30];
        let bytes = matrix.iter().flat_map(|n| n.to_be_bytes());
        body.iter_mut().skip(40).zip(bytes).for_each(|(old, new)| *old = new);
        Some(body)
    })
}

/// The file with these edits: the length in ticks of the movie, and the tick of the track where it begins
/// (added to the beginning of the first edit), or none for an empty edit.
///
/// Source: ISO/IEC 14496-12:2022, 8.6.6 (`elst` version 0).
#[must_use]
pub fn with_edits(file: &[u8], edits: &[(u32, Option<i32>)]) -> Vec<u8> {
    change(file, b"edts", &mut |edts| {
        let begin = edts.get(20..24).map_or(0, number);
        let begin = i32::try_from(begin).unwrap_or(0);
        let count = u32::try_from(edits.len()).unwrap_or(0);
        let mut elst = [0_u32.to_be_bytes(), count.to_be_bytes()].concat();
        for (length, from) in edits {
            elst.extend(length.to_be_bytes());
            elst.extend(from.map_or(-1, |from| begin + from).to_be_bytes());
            elst.extend((1_u32 << 16).to_be_bytes());
        }
        Some(boxed(b"elst", &elst))
    })
}

/// The file with 64-bit sizes and offsets, as a file of more than 4 GB has.
///
/// Source: ISO/IEC 14496-12:2022, 4.2 (`size` 1) and 8.7.5 (`co64`).
#[must_use]
pub fn with_64_bits(file: &[u8]) -> Vec<u8> {
    let large = change(file, b"stco", &mut |body| {
        let (head, places) = body.split_at_checked(8)?;
        let wide = places.chunks(4).flat_map(|p| [&[0; 4], p].concat());
        Some(head.iter().copied().chain(wide).collect())
    });
    let mut large = replace(&large, b"stco", b"co64");
    // The free box before the frames has the length that the longer header needs.
    if let Some(at) =
        large.windows(16).position(|w| w.starts_with(b"\0\0\0\x08free") && w.ends_with(b"mdat"))
    {
        let size = large.get(at + 8..at + 12).map_or(0, number) as u64 + 8;
        let head = [&1_u32.to_be_bytes()[..], b"mdat", &size.to_be_bytes()].concat();
        large.iter_mut().skip(at).zip(head).for_each(|(old, new)| *old = new);
    }
    large
}

/// The file with its capture rate beside its tracks, as Android phones write it.
///
/// Sources: Android Open Source Project, `MPEG4Writer` (the key); Apple, QuickTime File Format Specification, "Metadata"
/// (`meta`, `keys`, `ilst`; a value of type 23 is a 32-bit float).
#[must_use]
pub fn with_filmed_rate(file: &[u8], rate_hz: f32) -> Vec<u8> {
    let key = boxed(b"mdta", b"com.android.capture.fps");
    let keys = boxed(b"keys", &[&[0, 0, 0, 0, 0, 0, 0, 1], &key[..]].concat());
    let value = [&23_u32.to_be_bytes()[..], &[0; 4], &rate_hz.to_be_bytes()].concat();
    let item = boxed(&1_u32.to_be_bytes(), &boxed(b"data", &value));
    let handler = boxed(b"hdlr", &[&[0; 8], &b"mdta"[..], &[0; 13]].concat());
    let meta = boxed(b"meta", &[handler, keys, boxed(b"ilst", &item)].concat());
    change(file, b"moov", &mut |body| Some([body, &meta].concat()))
}

fn replace(file: &[u8], from: &[u8; 4], to: &[u8; 4]) -> Vec<u8> {
    let mut file = file.to_vec();
    while let Some(at) = file.windows(4).rposition(|w| w == from) {
        file.iter_mut().skip(at).zip(to).for_each(|(old, new)| *old = *new);
    }
    file
}
