//! The speed of the browser's decoder alone: every frame of a clip decoded and closed.

use crate::browser::{Browser, Result};
use media::ClipIndex;
use serde_json::{Value, json};
use std::path::Path;

/// Decodes the samples `[bytes, is key, stamp]` and answers the time in milliseconds.
const DECODED: &str = "const [config, samples, done] = arguments;
    if (config.description) config.description = new Uint8Array(config.description);
    const chunks = samples.map(([bytes, key, timestamp]) =>
        new EncodedVideoChunk({ type: key ? 'key' : 'delta', timestamp, data: new Uint8Array(bytes) }));
    let frames = 0;
    const decoder = new VideoDecoder({ output: (f) => { frames += 1; f.close(); }, error: (e) => done(e.message) });
    decoder.configure(config);
    const began = performance.now();
    (async () => {
        for (const chunk of chunks) {
            while (decoder.decodeQueueSize >= 8) await new Promise((next) => { decoder.ondequeue = next; });
            decoder.decode(chunk);
        }
        await decoder.flush();
        done(frames === chunks.length ? performance.now() - began : `${frames} of ${chunks.length} frames`);
    })();";

/// Decoded frames per second, of a clip small enough to be sent to the page whole.
///
/// # Errors
/// When the clip cannot be read or this browser does not decode it.
pub async fn decoder_rate_hz(browser: &Browser, clip: &Path) -> Result<f64> {
    let bytes = std::fs::read(clip)?;
    let index = ClipIndex::read(&mut std::io::Cursor::new(&bytes))?;
    let codec = &index.codec;
    let config = json!({ "codec": codec.string, "description": codec.description,
        "codedWidth": index.width_px, "codedHeight": index.height_px });
    let mut samples = Vec::new();
    for sample in index.samples() {
        let from = usize::try_from(sample.offset)?;
        let bytes = bytes.get(from..from + sample.size_bytes as usize).ok_or("it is cut off")?;
        samples.push(json!([bytes, sample.is_key, sample.stamp_us]));
    }
    let count = samples.len() as f64;
    let took = browser.client.execute_async(DECODED, vec![config, Value::Array(samples)]).await?;
    let took_ms = took.as_f64().ok_or_else(|| format!("not decoded: {took}"))?;
    Ok(1000.0 * count / took_ms)
}
