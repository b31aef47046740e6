//! Follows markers through a clip: `follow CLIP.y4m MARKERS.csv [--keyframes KEY.csv] [--correct TRUTH.csv] > tracks.csv`.
//!
//! The clip is raw YUV4MPEG2 (`ffmpeg -i clip.mp4 -pix_fmt yuv420p -f yuv4mpegpipe clip.y4m`). MARKERS holds
//! `frame,marker,x,y,mode` with one line a marker, `mode` being `sticker`, `skin` or `auto`; KEY holds
//! `frame,marker,x,y`, further places a person gave. TRUTH holds `frame,marker,x,y,visible`: with it a patient
//! person is played who places a marker anew once it is more than 6 px off or not seen for more than 3 visible
//! frames running. Out come `frame,marker,x,y,state,p_wrong`, and with
//! `--evidence` what told of being off.

use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::fs::File;
use std::io::{BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::time::{Duration, Instant};
use tracking::image::GreyFrame;
use tracking::track::{
    Features, ImagePoint, Limb, MarkerStart, Mode, Part, Sample, State, Tracker, blend,
    propose_mode,
};

type Outcome<T> = Result<T, Box<dyn Error>>;

/// A YUV4MPEG2 file.
struct Clip {
    file: BufReader<File>,
    width: usize,
    height: usize,
    start: u64,
    frame_bytes: u64,
    frames: usize,
}

const FRAME_LINE: u64 = 6;

impl Clip {
    fn open(path: &str) -> Outcome<Self> {
        let length = std::fs::metadata(path)?.len();
        let mut file = BufReader::new(File::open(path)?);
        let mut header = Vec::new();
        file.by_ref().take(4096).read_until(b'\n', &mut header)?;
        let text = std::str::from_utf8(&header)?;
        if !text.starts_with("YUV4MPEG2 ") {
            return Err(format!("{path} is not YUV4MPEG2: let ffmpeg write it").into());
        }
        let field =
            |letter: char| text.split_whitespace().skip(1).find_map(|w| w.strip_prefix(letter));
        if field('C').is_some_and(|c| !c.starts_with("420") || c.contains("p1")) {
            return Err("only 4:2:0 with eight bits is read: use -pix_fmt yuv420p".into());
        }
        let width: usize = field('W').ok_or("no width in the header")?.parse()?;
        let height: usize = field('H').ok_or("no height in the header")?.parse()?;
        let chroma = width.div_ceil(2) * height.div_ceil(2);
        let frame_bytes = FRAME_LINE + (width * height + 2 * chroma) as u64;
        let start = header.len() as u64;
        let frames = ((length - start) / frame_bytes) as usize;
        Ok(Self { file, width, height, start, frame_bytes, frames })
    }

    /// A frame's luma and then both planes of colour.
    fn bytes(&mut self, frame: usize) -> Outcome<Vec<u8>> {
        let place = self.start + frame as u64 * self.frame_bytes + FRAME_LINE;
        self.file.seek(SeekFrom::Start(place))?;
        let mut bytes = vec![0; (self.frame_bytes - FRAME_LINE) as usize];
        self.file.read_exact(&mut bytes)?;
        Ok(bytes)
    }

    fn picture<'b>(&self, bytes: &'b [u8]) -> Outcome<GreyFrame<'b>> {
        let (luma, colour) = bytes.split_at(self.width * self.height);
        let (blue, red) = colour.split_at(colour.len() / 2);
        let frame = GreyFrame::new(self.width, self.height, self.width, luma)?;
        Ok(frame.with_colour(blue, red)?)
    }
}

/// The markers, their first places and modes, and further places by frame.
struct Script {
    names: Vec<String>,
    modes: Vec<Option<Mode>>,
    /// By marker: frame to place.
    anchors: Vec<BTreeMap<usize, ImagePoint>>,
    /// By marker: frame to where it is, where it is visible.
    truth: Vec<BTreeMap<usize, ImagePoint>>,
}

fn read_rows(path: &str, columns: usize) -> Outcome<Vec<Vec<String>>> {
    let mut rows = Vec::new();
    for line in BufReader::new(File::open(path)?).lines().skip(1) {
        let row: Vec<String> = line?.split(',').map(|c| c.trim().to_owned()).collect();
        match row.len() {
            n if n >= columns => rows.push(row),
            1 => {}
            n => {
                return Err(format!("{path}: a line with {n} columns, {columns} are needed").into());
            }
        }
    }
    Ok(rows)
}

impl Script {
    fn read(markers: &str, keyframes: Option<&str>, truth: Option<&str>) -> Outcome<Self> {
        let mut script =
            Self { names: Vec::new(), modes: Vec::new(), anchors: Vec::new(), truth: Vec::new() };
        for row in read_rows(markers, 5)? {
            script.modes.push(match row[4].as_str() {
                "sticker" => Some(Mode::Sticker),
                "skin" => Some(Mode::Skin),
                "auto" => None,
                other => {
                    return Err(format!("the mode '{other}' is none of sticker, skin, auto").into());
                }
            });
            script.names.push(row[1].clone());
            script.anchors.push(BTreeMap::new());
            script.truth.push(BTreeMap::new());
            let (marker, frame, at) = script.place(&row)?;
            script.anchors[marker].insert(frame, at);
        }
        for row in keyframes.map(|path| read_rows(path, 4)).transpose()?.unwrap_or_default() {
            let (marker, frame, at) = script.place(&row)?;
            script.anchors[marker].insert(frame, at);
        }
        for row in truth.map(|path| read_rows(path, 5)).transpose()?.unwrap_or_default() {
            let (marker, frame, at) = script.place(&row)?;
            if row[4] == "1" {
                script.truth[marker].insert(frame, at);
            }
        }
        Ok(script)
    }

    fn place(&self, row: &[String]) -> Outcome<(usize, usize, ImagePoint)> {
        let marker = self.names.iter().position(|n| *n == row[1]);
        let marker = marker.ok_or_else(|| format!("'{}' is not among the markers", row[1]))?;
        let at = ImagePoint { x_px: row[2].parse()?, y_px: row[3].parse()? };
        Ok((marker, row[0].parse()?, at))
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

/// What is told beside the tracks.
#[derive(Default)]
struct Told {
    spent: Duration,
    /// Frame and marker of every correction; its sample stays as it was followed.
    corrections: BTreeSet<(usize, usize)>,
    /// By frame and marker, what told of being off.
    signs: BTreeMap<(usize, usize), Features>,
}

/// Where the markers begin in a frame: one that is not placed in it, or outside of the picture, is lost until it is.
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
    told: &mut Told,
) -> Outcome<Vec<Vec<Sample>>> {
    let Some((first, rest)) = frames.split_first() else { return Ok(Vec::new()) };
    let bytes = clip.bytes(*first)?;
    let frame = clip.picture(&bytes)?;
    let begin = Instant::now();
    let starts = starts(frame, *first, script);
    let mut tracker = Tracker::new(frame, &starts, &script.limbs())?;
    let placed = |at| Sample { at, state: State::Placed, p_wrong: 0.0 };
    let mut rows = vec![starts.iter().map(|s| placed(s.at)).collect::<Vec<_>>()];
    let mut unseen = vec![0; starts.len()];
    told.spent += begin.elapsed();
    for number in rest {
        let bytes = clip.bytes(*number)?;
        let frame = clip.picture(&bytes)?;
        let begin = Instant::now();
        let mut row = tracker.step(frame)?;
        let signs = (0..row.len()).filter_map(|m| Some(((*number, m), tracker.features(m)?)));
        told.signs.extend(signs);
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
                    told.corrections.insert((*number, marker));
                } else {
                    row[marker] = placed(*at);
                }
            }
        }
        told.spent += begin.elapsed();
        rows.push(row);
    }
    Ok(rows)
}

/// Whether a patient person would place a visible marker anew.
fn needs_correction(sample: Sample, truth: ImagePoint, unseen: &mut u32) -> bool {
    match sample.state {
        State::Placed | State::Seen | State::Doubtful => *unseen = 0,
        State::Coasting | State::Lost => *unseen += 1,
    }
    *unseen > 3 || (*unseen == 0 && sample.at.distance_px(truth) > 6.0)
}

fn main() -> Outcome<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let option = |name: &str| {
        let place = arguments.iter().position(|a| a == name)?;
        arguments.get(place + 1).map(String::as_str)
    };
    let (keyframes, truth) = (option("--keyframes"), option("--correct"));
    let (Some(clip), Some(markers)) = (arguments.first(), arguments.get(1)) else {
        return Err("usage: follow CLIP.y4m MARKERS.csv [--keyframes KEY.csv] > tracks.csv".into());
    };
    let mut clip = Clip::open(clip)?;
    let script = Script::read(markers, keyframes, truth)?;
    let first = script.anchors.iter().filter_map(|a| a.keys().next()).min().copied();
    let frames: Vec<usize> = (first.ok_or("no markers")?..clip.frames).collect();
    let mut told = Told::default();
    let mut rows = pass(&mut clip, &script, &frames, &mut told)?;
    if keyframes.is_some() {
        two_sided(&mut clip, &script, &frames, &mut rows, &mut told)?;
    }
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    let evidence = arguments.iter().any(|a| a == "--evidence");
    let heading = if truth.is_some() { ",corrected" } else { "" };
    let more = if evidence { ",evidence" } else { "" };
    writeln!(out, "frame,marker,x,y,state,p_wrong{heading}{more}")?;
    for (frame, row) in frames.iter().zip(&rows) {
        for (marker, (name, s)) in script.names.iter().zip(row).enumerate() {
            let state = format!("{:?}", s.state).to_lowercase();
            let (x, y, p) = (s.at.x_px, s.at.y_px, s.p_wrong);
            write!(out, "{frame},{name},{x:.3},{y:.3},{state},{p:.3}")?;
            if truth.is_some() {
                write!(out, ",{}", u8::from(told.corrections.contains(&(*frame, marker))))?;
            }
            if evidence {
                let signs = told.signs.get(&(*frame, marker));
                let numbers = signs.map(Features::numbers).unwrap_or_default();
                write!(out, ",{}", numbers.map(|n| format!("{n:.5}")).join(" "))?;
            }
            writeln!(out)?;
        }
    }
    eprintln!("{:.3} ms a frame", told.spent.as_secs_f64() * 1e3 / frames.len().max(1) as f64);
    Ok(())
}

/// Follows every stretch between two anchors of all markers from its far end too, and blends.
fn two_sided(
    clip: &mut Clip,
    script: &Script,
    frames: &[usize],
    rows: &mut [Vec<Sample>],
    told: &mut Told,
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
        let mut back = pass(clip, script, &stretch, told)?;
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
