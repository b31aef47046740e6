//! Writes the clips with their ground truth.

use super::clip::Clip;
use super::example::Example;
use super::options::Options;
use super::truth::Truth;
use crate::Error;
use std::fs;

/// Writes the clips and their ground truth; for the two of the demonstration also the entries of a coach.
///
/// # Errors
/// If a file cannot be written, or the encoder is missing or fails.
pub fn generate(options: &Options) -> Result<Vec<Truth>, Error> {
    fs::create_dir_all(&options.out).map_err(Error::file("making the folder"))?;
    let clips = match options.varied {
        Some(variety) => vec![Clip::varied(options, variety)],
        None => Clip::both(options).to_vec(),
    };
    let mut truths = Vec::new();
    for clip in clips {
        let motion = clip.motion(options);
        let truth = Truth::of(&clip, &motion, options);
        let path = options.out.join(format!("{}.truth.json", clip.name));
        fs::write(&path, serde_json::to_string(&truth)? + "\n")
            .map_err(Error::file("writing the ground truth"))?;
        if !options.truth_only {
            clip.film(&motion, options)?;
        }
        truths.push(truth);
    }
    if options.varied.is_some() {
        return Ok(truths);
    }
    let example = Example::from(&truths);
    fs::write(options.out.join("example.json"), serde_json::to_string_pretty(&example)? + "\n")
        .map_err(Error::file("writing the example"))?;
    Ok(truths)
}
