//! MP4 and MOV: the video track of the index, in one piece or in fragments.
//!
//! Source: ISO/IEC 14496-12:2022. `mp4-atom` parses the leaf boxes; the walk to them is our own, so
//! that a damaged box that nobody needs does not make a clip unreadable.

mod boxes;
mod capture_rate;
mod entry;
mod fragments;
mod tables;

use crate::error::{MediaError, Part};
use crate::rotation::Orientation;
use crate::track::{Edit, RawTrack, sample_limit};
use boxes::{Kind, atom, child, children};
use mp4_atom::{Elst, Mdhd, Mvhd, Tkhd};
use std::io::{Read, Seek};

/// Boxes with which a file of this kind may begin.
const FIRST: [&Kind; 12] = [
    b"ftyp", b"styp", b"moov", b"moof", b"mdat", b"free", b"skip", b"wide", b"pnot", b"sidx",
    b"uuid", b"pdin",
];

/// Whether a file with these first bytes is of this kind.
#[must_use]
pub fn is_mp4(first: &[u8]) -> bool {
    first.get(4..8).is_some_and(|kind| FIRST.iter().any(|f| *f == kind))
}

/// The index: its body and what holds for all its tracks.
struct Movie {
    body: Vec<u8>,
    ticks_per_s: u64,
    sample_limit: usize,
}

/// Reads the video track.
///
/// # Errors
/// When the file is cut off, damaged, without a video track, or browsers have no decoder for its codec.
pub fn read<R: Read + Seek>(file: &mut R, file_bytes: u64) -> Result<RawTrack, MediaError> {
    let heads = boxes::heads(file, file_bytes)?;
    let find = |kind: &Kind| heads.iter().copied().find(|h| h.kind == *kind);
    let Some(head) = find(b"moov") else {
        let still = find(b"meta").is_some() && find(b"mdat").is_some_and(|m| m.end <= file_bytes);
        return Err(if still { MediaError::NotVideo } else { MediaError::NoIndex });
    };
    let body = boxes::read_body(file, head, file_bytes)?;
    let header: Mvhd =
        atom(child(&body, b"mvhd")?.ok_or(Part::MovieHeadMissing)?, Part::MovieHead)?;
    let movie = Movie {
        body,
        ticks_per_s: u64::from(header.timescale.max(1)),
        sample_limit: sample_limit(file_bytes),
    };
    let mut track = read_track(&movie)?;
    let mut moofs = heads.iter().copied().filter(|h| h.kind == *b"moof").peekable();
    if moofs.peek().is_some() {
        // The index may hold the first samples itself and leave the rest to fragments.
        let (_, head) = video_track(&movie.body)?;
        let first = std::mem::take(&mut track.samples);
        let mut fragments =
            fragments::Fragments::after(first, head.track_id, &movie.body, movie.sample_limit)?;
        for moof in moofs {
            fragments.add(moof.start, &boxes::read_body(file, moof, file_bytes)?)?;
        }
        track.samples = fragments.into_samples();
    }
    if track.samples.is_empty() {
        return Err(MediaError::NoPicture);
    }
    track.check_end(file_bytes)?;
    Ok(track)
}

/// The first video track that is enabled, else the first video track.
fn video_track(movie: &[u8]) -> Result<(&[u8], Tkhd), MediaError> {
    let mut first = None;
    for (kind, trak) in children(movie)? {
        if kind != *b"trak" || !is_video(trak)? {
            continue;
        }
        let head: Tkhd =
            atom(child(trak, b"tkhd")?.ok_or(Part::TrackHeadMissing)?, Part::TrackHead)?;
        if head.enabled {
            return Ok((trak, head));
        }
        first = first.or(Some((trak, head)));
    }
    first.ok_or(MediaError::NoPicture)
}

fn is_video(trak: &[u8]) -> Result<bool, MediaError> {
    let Some(mdia) = child(trak, b"mdia")? else { return Ok(false) };
    let handler = child(mdia, b"hdlr")?.and_then(|hdlr| hdlr.get(8..12));
    Ok(handler == Some(b"vide".as_slice()))
}

fn read_track(movie: &Movie) -> Result<RawTrack, MediaError> {
    let (trak, head) = video_track(&movie.body)?;
    let required =
        |body, kind| child(body, kind)?.ok_or(MediaError::from(Part::SampleTableMissing));
    let mdia = required(trak, b"mdia")?;
    let media: Mdhd = atom(required(mdia, b"mdhd")?, Part::TrackClock)?;
    let stbl = required(required(mdia, b"minf")?, b"stbl")?;
    let entry = entry::read(required(stbl, b"stsd")?)?;
    let m = &head.matrix;
    Ok(RawTrack {
        codec: entry.codec,
        width_px: entry.width_px,
        height_px: entry.height_px,
        pixel_shape: entry.pixel_shape,
        orientation: Orientation::of_matrix(m.a, m.b, m.c, m.d),
        ticks_per_s: u64::from(media.timescale.max(1)),
        movie_ticks_per_s: movie.ticks_per_s,
        samples: tables::read(stbl, movie.sample_limit)?,
        edits: read_edits(trak)?,
        capture_rate_hz: capture_rate::capture_rate_hz(&movie.body),
    })
}

fn read_edits(trak: &[u8]) -> Result<Vec<Edit>, MediaError> {
    let Some(edts) = child(trak, b"edts")? else { return Ok(Vec::new()) };
    let Some(elst) = child(edts, b"elst")? else { return Ok(Vec::new()) };
    let list: Elst = atom(elst, Part::EditList)?;
    let edit = |e: &mp4_atom::ElstEntry| Edit {
        duration_ticks: e.segment_duration,
        // A rate of zero holds one picture still: a delay, like an empty edit.
        media_ticks: e
            .media_time
            .filter(|_| e.media_rate.integer() != 0)
            .and_then(|t| i64::try_from(t).ok()),
    };
    Ok(list.entries.iter().map(edit).collect())
}
