//! Follows markers through a clip: `follow CLIP.y4m MARKERS.csv [--keyframes KEY.csv] [--correct TRUTH.csv] > tracks.csv`.
//!
//! The clip is raw YUV4MPEG2 (`ffmpeg -i clip.mp4 -pix_fmt yuv420p -f yuv4mpegpipe clip.y4m`). MARKERS holds
//! `frame,marker,x,y,mode` with one line a marker, `mode` being `sticker`, `skin` or `auto`; KEY holds `frame,marker,x,y`,
//! further places that a user gave. TRUTH holds `frame,marker,x,y,visible`: with it a patient user is simulated who places a
//! marker again once it is more than 6 px off or not seen for more than 3 visible frames running. Prints
//! `frame,marker,x,y,state,p_wrong`, and with `--evidence` the features of the error model.

mod input;

use input::{Outcome, Row, rows, y4m::Clip};
use lexopt::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::time::{Duration, Instant};
use tracking::image::{GreyFrame, ImagePoint};
use tracking::track::{
    Features, Limb, MarkerStart, Mode, Part, Sample, State, Tracker, blend, propose_mode,
};

/// Distance from the truth at which the simulated user places a marker again.
const WRONG_PX: f64 = 6.0;
/// Visible frames unseen after which that user does.
const MOST_UNSEEN: u32 = 3;

/// The command line.
#[derive(Default)]
struct Arguments {
    files: Vec<String>,
    keyframes: Option<String>,
    truth: Option<String>,
    evidence: bool,
}

impl Arguments {
    fn read() -> Outcome<Self> {
        let mut found = Self::default();
        let mut parser = lexopt::Parser::from_env();
        while let Some(argument) = parser.next()? {
            match argument {
                Long("keyframes") => found.keyframes = Some(parser.value()?.string()?),
                Long("correct") => found.truth = Some(parser.value()?.string()?),
                Long("evidence") => found.evidence = true,
                Value(file) => found.files.push(file.string()?),
                other => return Err(other.unexpected().into()),
            }
        }
        Ok(found)
    }
}

/// The markers, their first places and modes, and further places by frame.
struct Script {
    names: Vec<String>,
    modes: Vec<Option<Mode>>,
    /// By marker: frame to place.
    anchors: Vec<BTreeMap<usize, ImagePoint>>,
    /// By marker: frame to where it is, if it is visible.
    truth: Vec<BTreeMap<usize, ImagePoint>>,
}

impl Script {
    fn read(markers: &str, keyframes: Option<&str>, truth: Option<&str>) -> Outcome<Self> {
        let mut script =
            Self { names: Vec::new(), modes: Vec::new(), anchors: Vec::new(), truth: Vec::new() };
        for row in rows(markers, 5)? {
            script.modes.push(match row.rest[0].as_str() {
                "sticker" => Some(Mode::Sticker),
                "skin" => Some(Mode::Skin),
                "auto" => None,
                other => {
                    return Err(format!("the mode '{other}' is none of sticker, skin, auto").into());
                }
            });
            script.names.push(row.marker);
            script.anchors.push(BTreeMap::from([(row.frame, row.at)]));
            script.truth.push(BTreeMap::new());
        }
        for row in keyframes.map(|path| rows(path, 4)).transpose()?.unwrap_or_default() {
            let marker = script.marker(&row)?;
            script.anchors[marker].insert(row.frame, row.at);
        }
        for row in truth.map(|path| rows(path, 5)).transpose()?.unwrap_or_default() {
            let marker = script.marker(&row)?;
            if row.rest[0] == "1" {
                script.truth[marker].insert(row.frame, row.at);
            }
        }
        Ok(script)
    }

    /// The index of a row's marker.
    fn marker(&self, row: &Row) -> Outcome<usize> {
        let found = self.names.iter().position(|n| *n == row.marker);
        found.ok_or_else(|| format!("'{}' is not among the markers", row.marker).into())
    }

    /// The segments of the body among the markers, by the ends of their names; a prefix names the side.
    fn limbs(&self) -> Vec<Limb> {
        const SEGMENTS: [(&str, &str, Part); 16] = [
            ("hip", "knee", Part::Leg),
            ("knee", "ankle", Part::Leg),
            ("ankle", "heel", Part::Leg),
            ("ankle", "toe", Part::Leg),
            ("ankle", "mt5", Part::Leg),
            ("heel", "toe", Part::Leg),
            ("heel", "mt5", Part::Leg),
            ("shoulder", "elbow", Part::Arm),
            ("elbow", "wrist", Part::Arm),
            ("shoulder", "hip", Part::Trunk),
            ("shoulder", "rib", Part::Trunk),
            ("rib", "hip", Part::Trunk),
            ("hip", "mid_thigh", Part::Leg),
            ("mid_thigh", "knee", Part::Leg),
            ("knee", "mid_shank", Part::Leg),
            ("mid_shank", "ankle", Part::Leg),
        ];
        let mut limbs = Vec::new();
        for (from, name) in self.names.iter().enumerate() {
            for (upper, lower, part) in SEGMENTS {
                let other = name.strip_suffix(upper).map(|side| format!("{side}{lower}"));
                let to = other.and_then(|other| self.names.iter().position(|n| *n == other));
                let far = name.starts_with("far");
                limbs.extend(to.map(|to| Limb::of(from, to, part, far)));
            }
        }
        limbs
    }
}

/// What is recorded beside the tracks.
#[derive(Default)]
struct Record {
    spent: Duration,
    /// Frame and marker of every correction; its sample stays as it was followed.
    corrections: BTreeSet<(usize, usize)>,
    /// By frame and marker, the features of the error model.
    features: BTreeMap<(usize, usize), Features>,
}

/// Where the markers begin in a frame: one that is not placed in it, or outside the picture, is lost until it is.
fn starts(frame: GreyFrame<'_>, first: usize, script: &Script) -> Vec<MarkerStart> {
    let nowhere = ImagePoint { x_px: f64::NAN, y_px: f64::NAN };
    let inside = |at: &ImagePoint| {
        let within = |v: f64, size: usize| v > -0.5 && v < size as f64 - 0.5;
        within(at.x_px, frame.width_px()) && within(at.y_px, frame.height_px())
    };
    let start = |(anchors, mode): (&BTreeMap<usize, ImagePoint>, &Option<Mode>)| {
        let at = anchors.get(&first).copied().filter(inside).unwrap_or(nowhere);
        MarkerStart { at, mode: mode.unwrap_or_else(|| propose_mode(frame, at)) }
    };
    script.anchors.iter().zip(&script.modes).map(start).collect()
}

/// One pass over `frames` in the order given, anchors included; one row of samples a frame.
fn pass(
    clip: &mut Clip,
    script: &Script,
    frames: &[usize],
    record: &mut Record,
) -> Outcome<Vec<Vec<Sample>>> {
    let Some((first, rest)) = frames.split_first() else { return Ok(Vec::new()) };
    let bytes = clip.bytes(*first)?;
    let frame = clip.coloured(&bytes)?;
    let begin = Instant::now();
    let starts = starts(frame, *first, script);
    let mut tracker = Tracker::new(frame, &starts, &script.limbs())?;
    let placed = |at| Sample { at, state: State::Placed, p_wrong: 0.0 };
    let mut rows = vec![starts.iter().map(|s| placed(s.at)).collect::<Vec<_>>()];
    let mut unseen = vec![0; starts.len()];
    record.spent += begin.elapsed();
    for number in rest {
        let bytes = clip.bytes(*number)?;
        let frame = clip.coloured(&bytes)?;
        let begin = Instant::now();
        let mut row = tracker.step(frame)?;
        let features = (0..row.len()).filter_map(|m| Some(((*number, m), tracker.features(m)?)));
        record.features.extend(features);
        for (marker, anchors) in script.anchors.iter().enumerate() {
            let begun = anchors.keys().next().is_some_and(|f| f < number);
            let truth = script.truth[marker].get(number).filter(|_| begun);
            let corrected =
                truth.filter(|t| needs_correction(row[marker], **t, &mut unseen[marker]));
            if truth.is_none() {
                unseen[marker] = 0;
            }
            if let Some(at) = anchors.get(number).or(corrected) {
                tracker.anchor(frame, marker, *at);
                unseen[marker] = 0;
                if corrected.is_some() {
                    record.corrections.insert((*number, marker));
                } else {
                    row[marker] = placed(*at);
                }
            }
        }
        record.spent += begin.elapsed();
        rows.push(row);
    }
    Ok(rows)
}

/// Whether a patient user would place a visible marker again.
fn needs_correction(sample: Sample, truth: ImagePoint, unseen: &mut u32) -> bool {
    match sample.state {
        State::Placed | State::Seen | State::Doubtful => *unseen = 0,
        State::Coasting | State::Lost => *unseen += 1,
    }
    *unseen > MOST_UNSEEN || (*unseen == 0 && sample.at.distance_px(truth) > WRONG_PX)
}

fn main() -> Outcome<()> {
    let arguments = Arguments::read()?;
    let (keyframes, truth) = (arguments.keyframes.as_deref(), arguments.truth.as_deref());
    let [clip, markers] = &arguments.files[..] else {
        return Err("usage: follow CLIP.y4m MARKERS.csv [--keyframes KEY.csv] > tracks.csv".into());
    };
    let mut clip = Clip::open(clip)?;
    let script = Script::read(markers, keyframes, truth)?;
    let first = script.anchors.iter().filter_map(|a| a.keys().next()).min().copied();
    let frames: Vec<usize> = (first.ok_or("no markers")?..clip.frames).collect();
    let mut record = Record::default();
    let mut rows = pass(&mut clip, &script, &frames, &mut record)?;
    if keyframes.is_some() {
        two_sided(&mut clip, &script, &frames, &mut rows, &mut record)?;
    }
    let tracks = Tracks { names: &script.names, frames: &frames, rows: &rows };
    write(&tracks, &record, &arguments)?;
    let ms = record.spent.as_secs_f64() * 1e3 / frames.len().max(1) as f64;
    eprintln!("{ms:.3} ms a frame");
    Ok(())
}

/// What was followed.
struct Tracks<'a> {
    names: &'a [String],
    frames: &'a [usize],
    rows: &'a [Vec<Sample>],
}

/// Prints the tracks.
fn write(tracks: &Tracks<'_>, record: &Record, arguments: &Arguments) -> Outcome<()> {
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    let corrected = arguments.truth.is_some();
    let heading = if corrected { ",corrected" } else { "" };
    let more = if arguments.evidence { ",evidence" } else { "" };
    writeln!(out, "frame,marker,x,y,state,p_wrong{heading}{more}")?;
    for (frame, row) in tracks.frames.iter().zip(tracks.rows) {
        for (marker, (name, s)) in tracks.names.iter().zip(row).enumerate() {
            let state = format!("{:?}", s.state).to_lowercase();
            let (x, y, p) = (s.at.x_px, s.at.y_px, s.p_wrong);
            write!(out, "{frame},{name},{x:.3},{y:.3},{state},{p:.3}")?;
            if corrected {
                write!(out, ",{}", u8::from(record.corrections.contains(&(*frame, marker))))?;
            }
            if arguments.evidence {
                let features = record.features.get(&(*frame, marker));
                let numbers = features.map(Features::numbers).unwrap_or_default();
                write!(out, ",{}", numbers.map(|n| format!("{n:.5}")).join(" "))?;
            }
            writeln!(out)?;
        }
    }
    Ok(())
}

/// Follows every stretch between two anchors of all markers from its far end too, and blends both passes.
fn two_sided(
    clip: &mut Clip,
    script: &Script,
    frames: &[usize],
    rows: &mut [Vec<Sample>],
    record: &mut Record,
) -> Outcome<()> {
    let common: Vec<usize> = frames
        .iter()
        .enumerate()
        .filter(|(_, f)| script.anchors.iter().all(|a| a.contains_key(f)))
        .map(|(i, _)| i)
        .collect();
    for ends in common.windows(2) {
        let [a, b] = *ends else { continue };
        let stretch: Vec<usize> = frames[a..=b].iter().rev().copied().collect();
        let mut back = pass(clip, script, &stretch, record)?;
        back.reverse();
        for marker in 0..script.names.len() {
            let forward: Vec<Sample> = rows[a..=b].iter().map(|r| r[marker]).collect();
            let backward: Vec<Sample> = back.iter().map(|r| r[marker]).collect();
            for (row, sample) in rows[a..=b].iter_mut().zip(blend(&forward, &backward)) {
                row[marker] = sample;
            }
        }
    }
    Ok(())
}
