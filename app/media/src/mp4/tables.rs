//! The sample table of an index in one piece.
//!
//! Source: ISO/IEC 14496-12:2022, 8.6 (times, key frames) and 8.7 (sizes, chunks, offsets).

use super::boxes::{atom, child};
use crate::error::{Limit, MediaError, Part};
use crate::track::RawSample;
use mp4_atom::{Co64, Ctts, Stco, Stsc, StscEntry, Stss, Stsz, StszSamples, Stts};

const DAMAGED: Part = Part::SampleTable;

/// Reads at most `limit` samples, in decoding order; none when the index leaves them to fragments.
///
/// # Errors
/// When the tables are missing, contradict each other or name more than `limit` samples.
pub fn read(stbl: &[u8], limit: usize) -> Result<Vec<RawSample>, MediaError> {
    let Some(sizes) = child(stbl, b"stsz")? else { return Ok(Vec::new()) };
    let sizes = Sizes(atom::<Stsz>(sizes, Part::SampleSizes)?.samples);
    if sizes.count() == 0 {
        return Ok(Vec::new());
    }
    if sizes.count() > limit {
        return Err(Limit::Frames.into());
    }
    let mut samples = locate(&sizes, &chunk_offsets(stbl)?, &chunk_runs(stbl)?)?;
    set_times(stbl, &mut samples)?;
    set_keys(stbl, &mut samples)?;
    Ok(samples)
}

struct Sizes(StszSamples);

impl Sizes {
    fn count(&self) -> usize {
        match &self.0 {
            StszSamples::Identical { count, .. } => usize::try_from(*count).unwrap_or(usize::MAX),
            StszSamples::Different { sizes } => sizes.len(),
        }
    }

    fn get(&self, sample: usize) -> Option<u32> {
        match &self.0 {
            StszSamples::Identical { size, .. } => (sample < self.count()).then_some(*size),
            StszSamples::Different { sizes } => sizes.get(sample).copied(),
        }
    }
}

fn chunk_offsets(stbl: &[u8]) -> Result<Vec<u64>, MediaError> {
    if let Some(body) = child(stbl, b"co64")? {
        return Ok(atom::<Co64>(body, Part::ChunkOffsets)?.entries);
    }
    let body = child(stbl, b"stco")?.ok_or(DAMAGED)?;
    Ok(atom::<Stco>(body, Part::ChunkOffsets)?.entries.into_iter().map(u64::from).collect())
}

fn chunk_runs(stbl: &[u8]) -> Result<Vec<StscEntry>, MediaError> {
    Ok(atom::<Stsc>(child(stbl, b"stsc")?.ok_or(DAMAGED)?, Part::SamplesPerChunk)?.entries)
}

/// Gives each sample its offset: chunk after chunk, sample after sample.
fn locate(
    sizes: &Sizes,
    offsets: &[u64],
    runs: &[StscEntry],
) -> Result<Vec<RawSample>, MediaError> {
    let mut samples = Vec::with_capacity(sizes.count());
    let mut runs = runs.iter().peekable();
    let mut per_chunk = 0;
    for (chunk, chunk_start) in (1_u32..).zip(offsets) {
        while let Some(run) = runs.next_if(|run| run.first_chunk <= chunk) {
            per_chunk = run.samples_per_chunk;
        }
        let mut offset = *chunk_start;
        for _ in 0..per_chunk {
            let Some(size_bytes) = sizes.get(samples.len()) else { break };
            samples.push(RawSample {
                offset,
                size_bytes,
                is_key: false,
                is_displayed: true,
                pts_ticks: 0,
                duration_ticks: 0,
            });
            offset = offset.checked_add(u64::from(size_bytes)).ok_or(DAMAGED)?;
        }
    }
    if samples.len() == sizes.count() { Ok(samples) } else { Err(DAMAGED.into()) }
}

fn set_times(stbl: &[u8], samples: &mut [RawSample]) -> Result<(), MediaError> {
    let durations =
        atom::<Stts>(child(stbl, b"stts")?.ok_or(DAMAGED)?, Part::DecodingTimes)?.entries;
    let offsets = child(stbl, b"ctts")?
        .map(|body| atom::<Ctts>(body, Part::CompositionOffsets))
        .transpose()?
        .map(|table| table.entries)
        .unwrap_or_default();
    let mut durations = durations.iter().flat_map(|e| repeat(e.sample_delta, e.sample_count));
    let mut offsets = offsets.iter().flat_map(|e| repeat(e.sample_offset, e.sample_count));
    let (mut dts_ticks, mut duration_ticks) = (0_i64, 0);
    for sample in samples {
        duration_ticks = durations.next().unwrap_or(duration_ticks);
        let offset_ticks = offsets.next().unwrap_or(0);
        sample.pts_ticks = dts_ticks.saturating_add(offset_ticks);
        sample.duration_ticks = duration_ticks;
        dts_ticks = dts_ticks.saturating_add(i64::from(duration_ticks));
    }
    Ok(())
}

fn repeat<T: Copy>(value: T, count: u32) -> impl Iterator<Item = T> {
    std::iter::repeat_n(value, usize::try_from(count).unwrap_or(usize::MAX))
}

/// Marks the key frames; without a table every sample is one.
fn set_keys(stbl: &[u8], samples: &mut [RawSample]) -> Result<(), MediaError> {
    let Some(body) = child(stbl, b"stss")? else {
        samples.iter_mut().for_each(|s| s.is_key = true);
        return Ok(());
    };
    for number in atom::<Stss>(body, Part::KeyFrames)?.entries {
        let at = usize::try_from(number).ok().and_then(|n| n.checked_sub(1));
        if let Some(sample) = at.and_then(|at| samples.get_mut(at)) {
            sample.is_key = true;
        }
    }
    Ok(())
}
