//! The samples of an index in fragments.
//!
//! Source: ISO/IEC 14496-12:2022, 8.8.

use super::boxes::{atom, child, children};
use crate::{MediaError, RawSample, TOO_MANY};
use mp4_atom::{Tfdt, Tfhd, Trex, Trun};

/// Flag of a sample that is no key frame.
///
/// Source: ISO/IEC 14496-12:2022, 8.8.3.1 (`sample_is_non_sync_sample`).
const NO_KEY: u32 = 0x0001_0000;

const DAMAGED: MediaError = MediaError::Damaged { what: "a fragment contradicts itself" };

/// Gathers the samples of one track from fragment after fragment.
pub struct Fragments {
    track: u32,
    usual: Trex,
    dts_ticks: i64,
    most: usize,
    samples: Vec<RawSample>,
}

/// What holds within one run unless a sample says otherwise.
struct Run {
    duration_ticks: u32,
    size_bytes: u32,
    flags: u32,
}

impl Fragments {
    /// For this track of this index, after the samples that the index itself holds; at most so many in all.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn after(
        samples: Vec<RawSample>,
        track: u32,
        movie: &[u8],
        most: usize,
    ) -> Result<Self, MediaError> {
        let mut usual = Trex { track_id: track, ..Trex::default() };
        for (kind, body) in child(movie, b"mvex")?.map(children).transpose()?.unwrap_or_default() {
            if kind == *b"trex" {
                let trex: Trex = atom(body, "what its fragments have in common")?;
                if trex.track_id == track {
                    usual = trex;
                }
            }
        }
        let dts_ticks = samples.iter().map(|s| i64::from(s.duration_ticks)).sum();
        Ok(Self { track, usual, dts_ticks, most, samples })
    }

    /// Takes the body of a fragment's head that begins at `start` in the file.
    ///
    /// # Errors
    /// When it is damaged or names too many samples.
    pub fn add(&mut self, start: u64, moof: &[u8]) -> Result<(), MediaError> {
        for (kind, traf) in children(moof)? {
            if kind == *b"traf" {
                self.add_track(start, traf)?;
            }
        }
        Ok(())
    }

    fn add_track(&mut self, start: u64, traf: &[u8]) -> Result<(), MediaError> {
        let head: Tfhd = atom(child(traf, b"tfhd")?.ok_or(DAMAGED)?, "the head of a fragment")?;
        if head.track_id != self.track {
            return Ok(());
        }
        if let Some(body) = child(traf, b"tfdt")? {
            let time: Tfdt = atom(body, "the time of a fragment")?;
            self.dts_ticks = i64::try_from(time.base_media_decode_time).map_err(|_| DAMAGED)?;
        }
        let run = Run {
            duration_ticks: head
                .default_sample_duration
                .unwrap_or(self.usual.default_sample_duration),
            size_bytes: head.default_sample_size.unwrap_or(self.usual.default_sample_size),
            flags: head.default_sample_flags.unwrap_or(self.usual.default_sample_flags),
        };
        let base = head.base_data_offset.unwrap_or(start);
        let mut offset = base;
        for (kind, body) in children(traf)? {
            if kind == *b"trun" {
                let trun: Trun = atom(body, "a run of a fragment")?;
                if let Some(shift) = trun.data_offset {
                    offset = base.checked_add_signed(i64::from(shift)).ok_or(DAMAGED)?;
                }
                offset = self.add_run(offset, &run, &trun)?;
            }
        }
        Ok(())
    }

    /// Takes one run; answers where the next begins unless it says so itself.
    fn add_run(&mut self, mut offset: u64, run: &Run, trun: &Trun) -> Result<u64, MediaError> {
        if trun.samples.len() > self.most.saturating_sub(self.samples.len()) {
            return Err(TOO_MANY);
        }
        for entry in &trun.samples {
            let size_bytes = entry.size.unwrap_or(run.size_bytes);
            let duration_ticks = entry.duration.unwrap_or(run.duration_ticks);
            self.samples.push(RawSample {
                offset,
                size_bytes,
                is_key: entry.flags.unwrap_or(run.flags) & NO_KEY == 0,
                is_shown: true,
                pts_ticks: self.dts_ticks.saturating_add(entry.cts.unwrap_or(0)),
                duration_ticks,
            });
            offset = offset.checked_add(u64::from(size_bytes)).ok_or(DAMAGED)?;
            self.dts_ticks = self.dts_ticks.saturating_add(i64::from(duration_ticks));
        }
        Ok(offset)
    }

    /// All samples, in the order of decoding.
    #[must_use]
    pub fn into_samples(self) -> Vec<RawSample> {
        self.samples
    }
}
