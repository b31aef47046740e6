//! The samples of an index in fragments.
//!
//! Source: ISO/IEC 14496-12:2022, 8.8.

use super::boxes::{atom, child, children};
use crate::error::{Limit, MediaError, Part};
use crate::track::RawSample;
use mp4_atom::{Tfdt, Tfhd, Trex, Trun};

/// Flag of a sample that is no key frame.
///
/// Source: ISO/IEC 14496-12:2022, 8.8.3.1 (`sample_is_non_sync_sample`).
const NOT_KEY: u32 = 0x0001_0000;

const DAMAGED: Part = Part::Fragment;

/// Collects the samples of one track, fragment by fragment.
pub struct Fragments {
    track: u32,
    defaults: Trex,
    dts_ticks: i64,
    limit: usize,
    samples: Vec<RawSample>,
}

/// What the samples of a run have in common unless one overrides it.
struct RunDefaults {
    duration_ticks: u32,
    size_bytes: u32,
    flags: u32,
}

impl Fragments {
    /// Continues the samples of this track that the index itself holds, up to `limit` in all.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn after(
        samples: Vec<RawSample>,
        track: u32,
        movie: &[u8],
        limit: usize,
    ) -> Result<Self, MediaError> {
        let mut defaults = Trex { track_id: track, ..Trex::default() };
        for (kind, body) in child(movie, b"mvex")?.map(children).transpose()?.unwrap_or_default() {
            if kind == *b"trex" {
                let trex: Trex = atom(body, Part::FragmentDefaults)?;
                if trex.track_id == track {
                    defaults = trex;
                }
            }
        }
        let dts_ticks = samples.iter().map(|s| i64::from(s.duration_ticks)).sum();
        Ok(Self { track, defaults, dts_ticks, limit, samples })
    }

    /// Adds the samples of a fragment whose `moof` begins at `start` in the file and has this body.
    ///
    /// # Errors
    /// When it is damaged or exceeds the limit of samples.
    pub fn add(&mut self, start: u64, moof: &[u8]) -> Result<(), MediaError> {
        for (kind, traf) in children(moof)? {
            if kind == *b"traf" {
                self.add_track(start, traf)?;
            }
        }
        Ok(())
    }

    fn add_track(&mut self, start: u64, traf: &[u8]) -> Result<(), MediaError> {
        let head: Tfhd = atom(child(traf, b"tfhd")?.ok_or(DAMAGED)?, Part::FragmentHead)?;
        if head.track_id != self.track {
            return Ok(());
        }
        if let Some(body) = child(traf, b"tfdt")? {
            let time: Tfdt = atom(body, Part::FragmentTime)?;
            self.dts_ticks = i64::try_from(time.base_media_decode_time).map_err(|_| DAMAGED)?;
        }
        let usual = &self.defaults;
        let defaults = RunDefaults {
            duration_ticks: head.default_sample_duration.unwrap_or(usual.default_sample_duration),
            size_bytes: head.default_sample_size.unwrap_or(usual.default_sample_size),
            flags: head.default_sample_flags.unwrap_or(usual.default_sample_flags),
        };
        let base = head.base_data_offset.unwrap_or(start);
        let mut offset = base;
        for (kind, body) in children(traf)? {
            if kind == *b"trun" {
                let trun: Trun = atom(body, Part::FragmentRun)?;
                if let Some(shift) = trun.data_offset {
                    offset = base.checked_add_signed(i64::from(shift)).ok_or(DAMAGED)?;
                }
                offset = self.add_run(offset, &defaults, &trun)?;
            }
        }
        Ok(())
    }

    /// Adds one run and returns its end, which is the default offset of the next run.
    fn add_run(
        &mut self,
        mut offset: u64,
        defaults: &RunDefaults,
        trun: &Trun,
    ) -> Result<u64, MediaError> {
        if trun.samples.len() > self.limit.saturating_sub(self.samples.len()) {
            return Err(Limit::Frames.into());
        }
        for entry in &trun.samples {
            let size_bytes = entry.size.unwrap_or(defaults.size_bytes);
            let duration_ticks = entry.duration.unwrap_or(defaults.duration_ticks);
            self.samples.push(RawSample {
                offset,
                size_bytes,
                is_key: entry.flags.unwrap_or(defaults.flags) & NOT_KEY == 0,
                is_displayed: true,
                pts_ticks: self.dts_ticks.saturating_add(entry.cts.unwrap_or(0)),
                duration_ticks,
            });
            offset = offset.checked_add(u64::from(size_bytes)).ok_or(DAMAGED)?;
            self.dts_ticks = self.dts_ticks.saturating_add(i64::from(duration_ticks));
        }
        Ok(offset)
    }

    /// All samples, in decoding order.
    #[must_use]
    pub fn into_samples(self) -> Vec<RawSample> {
        self.samples
    }
}
