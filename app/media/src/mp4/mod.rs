//! MP4 and MOV: the picture track of the index, in one piece or in fragments.
//!
//! Source: ISO/IEC 14496-12:2022. Leaf boxes are read by `mp4-atom`; the way to them is our own, so
//! that a box that nobody needs cannot make a clip unreadable.

mod boxes;
mod capture_rate;
mod entry;
mod fragments;
mod tables;

use super::{Edit, MediaError, Orientation, RawSample, RawTrack, most_samples};
use boxes::{Head, Kind, atom, child, children};
use mp4_atom::{Elst, Mdhd, Mvhd, Tkhd};
use std::io::{Read, Seek};

/// Names with which a file of this kind may begin.
const FIRST: [&Kind; 12] = [
    b"ftyp", b"styp", b"moov", b"moof", b"mdat", b"free", b"skip", b"wide", b"pnot", b"sidx",
    b"uuid", b"pdin",
];

/// Whether a file that begins like this is of this kind.
#[must_use]
pub fn begins(first: &[u8]) -> bool {
    first.get(4..8).is_some_and(|kind| FIRST.iter().any(|f| *f == kind))
}

/// What the index says beside the tables.
struct Movie {
    body: Vec<u8>,
    ticks_per_s: u64,
    /// Most frames it may name.
    most: usize,
}

/// Reads the picture track.
///
/// # Errors
/// When the file is cut off, damaged, without picture or of a codec no browser knows.
pub fn read<R: Read + Seek>(file: &mut R, file_bytes: u64) -> Result<RawTrack, MediaError> {
    let heads = boxes::heads(file, file_bytes)?;
    let find = |kind: &Kind| heads.iter().copied().find(|h| h.kind == *kind);
    let Some(head) = find(b"moov") else {
        let still = find(b"meta").is_some() && find(b"mdat").is_some_and(|m| m.end <= file_bytes);
        return Err(if still { MediaError::NotVideo } else { MediaError::NoIndex });
    };
    let body = boxes::read_body(file, head, file_bytes)?;
    let header: Mvhd = atom(
        child(&body, b"mvhd")?.ok_or(MediaError::Damaged { what: "its index has no head" })?,
        "the head of its index",
    )?;
    let movie = Movie {
        body,
        ticks_per_s: u64::from(header.timescale.max(1)),
        most: most_samples(file_bytes),
    };
    let mut track = read_track(&movie)?;
    let moofs: Vec<Head> = heads.iter().copied().filter(|h| h.kind == *b"moof").collect();
    if !moofs.is_empty() {
        // The index may hold the beginning itself and leave the rest to fragments.
        let begun = std::mem::take(&mut track.samples);
        track.samples = read_fragments(file, file_bytes, &movie, (begun, &moofs))?;
    }
    if track.samples.is_empty() {
        return Err(MediaError::NoPicture);
    }
    track.check_end(file_bytes)?;
    Ok(track)
}

/// The first track with a picture that is switched on, else the first with a picture.
fn picture_track(movie: &[u8]) -> Result<(&[u8], Tkhd), MediaError> {
    let mut first = None;
    for (kind, trak) in children(movie)? {
        if kind != *b"trak" || !is_picture(trak)? {
            continue;
        }
        let head: Tkhd = atom(
            child(trak, b"tkhd")?.ok_or(MediaError::Damaged { what: "a track has no head" })?,
            "the head of a track",
        )?;
        if head.enabled {
            return Ok((trak, head));
        }
        first = first.or(Some((trak, head)));
    }
    first.ok_or(MediaError::NoPicture)
}

fn is_picture(trak: &[u8]) -> Result<bool, MediaError> {
    let Some(mdia) = child(trak, b"mdia")? else { return Ok(false) };
    let handler = child(mdia, b"hdlr")?.and_then(|hdlr| hdlr.get(8..12));
    Ok(handler == Some(b"vide".as_slice()))
}

fn read_track(movie: &Movie) -> Result<RawTrack, MediaError> {
    let (trak, head) = picture_track(&movie.body)?;
    let missing = MediaError::Damaged { what: "a track has no table of frames" };
    let mdia = child(trak, b"mdia")?.ok_or(missing.clone())?;
    let media: Mdhd = atom(child(mdia, b"mdhd")?.ok_or(missing.clone())?, "the clock of a track")?;
    let minf = child(mdia, b"minf")?.ok_or(missing.clone())?;
    let stbl = child(minf, b"stbl")?.ok_or(missing.clone())?;
    let entry = entry::read(child(stbl, b"stsd")?.ok_or(missing)?)?;
    let m = &head.matrix;
    Ok(RawTrack {
        codec: entry.codec,
        width_px: entry.width_px,
        height_px: entry.height_px,
        pixel_shape: entry.pixel_shape,
        orientation: Orientation::of_matrix(m.a, m.b, m.c, m.d),
        ticks_per_s: u64::from(media.timescale.max(1)),
        movie_ticks_per_s: movie.ticks_per_s,
        samples: tables::read(stbl, movie.most)?,
        edits: read_edits(trak)?,
        filmed_rate_hz: capture_rate::rate_hz(&movie.body),
    })
}

fn read_edits(trak: &[u8]) -> Result<Vec<Edit>, MediaError> {
    let Some(edts) = child(trak, b"edts")? else { return Ok(Vec::new()) };
    let Some(elst) = child(edts, b"elst")? else { return Ok(Vec::new()) };
    let list: Elst = atom(elst, "its edit list")?;
    let edit = |e: &mp4_atom::ElstEntry| Edit {
        duration_ticks: e.segment_duration,
        // A rate of zero holds one picture still: a wait, like an empty edit.
        media_ticks: e
            .media_time
            .filter(|_| e.media_rate.integer() != 0)
            .and_then(|t| i64::try_from(t).ok()),
    };
    Ok(list.entries.iter().map(edit).collect())
}

fn read_fragments<R: Read + Seek>(
    file: &mut R,
    file_bytes: u64,
    movie: &Movie,
    (begun, moofs): (Vec<RawSample>, &[Head]),
) -> Result<Vec<RawSample>, MediaError> {
    let (_, head) = picture_track(&movie.body)?;
    let mut fragments = fragments::Fragments::after(begun, head.track_id, &movie.body, movie.most)?;
    for moof in moofs {
        let body = boxes::read_body(file, *moof, file_bytes)?;
        fragments.add(moof.start, &body)?;
    }
    Ok(fragments.into_samples())
}
