//! Every kind of clip whose frames are checked against the numbers in them.

use super::boxes::Matrix;

/// How the stamps of a clip are checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// Against those that ffprobe reads.
    Probed,
    /// Against the even grid of its rate, since the container rounds them.
    Even,
}

/// A change of the file after it was written.
#[derive(Clone, Debug, PartialEq)]
pub enum Surgery {
    /// Nothing.
    None,
    /// The matrix by which it is shown.
    Matrix(Matrix),
    /// The edit list: lengths in ticks of the movie, beginnings in ticks of the track.
    Edits(Vec<(u32, Option<i32>)>),
    /// Sizes and offsets of 64 bits.
    Wide,
}

/// A kind of clip.
#[derive(Clone, Debug, PartialEq)]
pub struct Kind {
    /// File name, unlike any other.
    pub name: &'static str,
    /// Frames drawn.
    pub frames: usize,
    /// Frames per second, as ffmpeg reads it.
    pub rate: &'static str,
    /// Size of the drawn frame.
    pub size_px: (usize, usize),
    /// Arguments of ffmpeg between the drawn frames and the name of the clip.
    pub arguments: Vec<&'static str>,
    /// What is changed afterwards.
    pub surgery: Surgery,
    /// Numbers of the frames to be shown, in order.
    pub shown: Vec<usize>,
    /// Width over height of a pixel.
    pub pixel_ratio: f64,
    /// How its stamps are checked.
    pub proof: Proof,
}

const FRAMES: usize = 40;
/// Ticks per frame at 30 frames/s, in both clocks of the clips with edits, so that edits are whole frames.
const TICKS: usize = 512;

const H264: &str = "-c:v libx264 -preset veryfast -pix_fmt yuv420p -g 12 -bf 2";

fn words(line: &'static str) -> impl Iterator<Item = &'static str> {
    line.split_ascii_whitespace()
}

fn kind(name: &'static str, arguments: &'static str) -> Kind {
    Kind {
        name,
        frames: FRAMES,
        rate: "30",
        size_px: (320, 240),
        arguments: words(arguments).collect(),
        surgery: Surgery::None,
        shown: (0..FRAMES).collect(),
        pixel_ratio: 1.0,
        proof: Proof::Probed,
    }
}

/// H.264 with more arguments.
fn h264(name: &'static str, more: &'static str) -> Kind {
    let mut kind = kind(name, H264);
    kind.arguments.extend(words(more));
    kind
}

fn rotated(name: &'static str, [a, b, c, d]: [i32; 4]) -> Kind {
    Kind { surgery: Surgery::Matrix(Matrix { a, b, c, d }), ..h264(name, "") }
}

/// Edits in frames: how many, from which one.
fn edited(name: &'static str, edits: &[(usize, Option<usize>)]) -> Kind {
    let ticks = |(count, from): &(usize, Option<usize>)| {
        let whole = |frames: usize| i32::try_from(frames * TICKS).unwrap_or(0);
        (whole(*count).unsigned_abs(), from.map(whole))
    };
    let shown = edits.iter().filter_map(|(count, from)| from.map(|f| f..f + count));
    Kind {
        surgery: Surgery::Edits(edits.iter().map(ticks).collect()),
        shown: shown.flatten().collect(),
        ..h264(name, "-video_track_timescale 15360 -movie_timescale 15360")
    }
}

fn structures() -> Vec<Kind> {
    let long = Kind {
        frames: 70,
        shown: (0..70).collect(),
        ..kind(
            "gop60.mp4",
            "-c:v libx264 -pix_fmt yuv420p -g 60 -keyint_min 60 -sc_threshold 0 -bf 3",
        )
    };
    vec![
        long,
        h264(
            "open_gop.mp4",
            "-x264-params open-gop=1:keyint=12:bframes=3:b-pyramid=normal:scenecut=0",
        ),
        h264("intra.mp4", "-g 1"),
        h264("no_b.mp4", "-bf 0"),
        h264("negative_offsets.mp4", "-movflags negative_cts_offsets"),
        h264("front.mov", "-movflags faststart"),
        h264("fragments.mp4", "-movflags frag_keyframe+empty_moov+default_base_moof"),
        h264("fragments_each.mp4", "-movflags frag_every_frame+empty_moov"),
        h264("fragments_first.mp4", "-movflags frag_keyframe"),
        Kind { surgery: Surgery::Wide, ..h264("wide.mp4", "") },
        Kind { size_px: (330, 246), ..h264("cropped.mp4", "") },
        Kind { pixel_ratio: 4.0 / 3.0, ..h264("oblong.mp4", "-vf setsar=4/3") },
        Kind { rate: "24000/1001", ..h264("film.mp4", "") },
        h264(
            "variable.mp4",
            "-vf setpts='(N+0.4*mod(N,3))/30/TB' -vsync passthrough -video_track_timescale 90000",
        ),
    ]
}

fn edits() -> Vec<Kind> {
    vec![
        edited("delayed.mp4", &[(15, None), (FRAMES, Some(0))]),
        edited("trimmed_at_key.mp4", &[(20, Some(12))]),
        edited("trimmed_mid_gop.mp4", &[(20, Some(17))]),
        edited("two_edits.mp4", &[(10, Some(5)), (10, Some(21))]),
        edited("edits_swapped.mp4", &[(10, Some(21)), (10, Some(5))]),
    ]
}

fn orientations() -> Vec<Kind> {
    vec![
        rotated("rotated_90.mp4", [0, 1, -1, 0]),
        rotated("rotated_180.mp4", [-1, 0, 0, -1]),
        rotated("rotated_270.mp4", [0, -1, 1, 0]),
        rotated("mirrored.mp4", [-1, 0, 0, 1]),
        rotated("mirrored_90.mp4", [0, -1, -1, 0]),
        rotated("mirrored_180.mp4", [1, 0, 0, -1]),
        rotated("mirrored_270.mp4", [0, 1, 1, 0]),
    ]
}

fn tracks() -> Vec<Kind> {
    const AUDIO: &str = "-f lavfi -i sine=duration=1.3 -map 1:a -map 0:v -c:a aac";
    let mut audio = kind("audio.mov", AUDIO);
    audio.arguments.extend(words(H264));
    let mut several = kind(
        "several.mov",
        "-f lavfi -i sine=duration=1.3 -f lavfi -i testsrc=size=64x48:rate=10:duration=1 -map 1:a -map 0:v -map 2:v -c:a pcm_s16le",
    );
    several.arguments.extend(words(H264).chain(words("-disposition:v:1 0 -timecode 01:00:00:00")));
    vec![audio, several]
}

fn codecs() -> Vec<Kind> {
    let fast = |rate| Kind {
        rate,
        proof: Proof::Even,
        ..kind("vp8_240.webm", "-c:v libvpx -deadline realtime -cpu-used 8 -g 30")
    };
    vec![
        kind("vp8.webm", "-c:v libvpx -auto-alt-ref 1 -lag-in-frames 12 -g 20"),
        fast("240"),
        kind(
            "vp9.webm",
            "-c:v libvpx-vp9 -cpu-used 8 -auto-alt-ref 1 -lag-in-frames 12 -g 20 -pix_fmt yuv420p",
        ),
        kind("vp9.mp4", "-c:v libvpx-vp9 -cpu-used 8 -g 20 -pix_fmt yuv420p"),
        kind("vp9_10_bits.webm", "-c:v libvpx-vp9 -cpu-used 8 -g 20 -pix_fmt yuv420p10le"),
        kind("av1.mp4", "-c:v libsvtav1 -preset 12 -g 20 -pix_fmt yuv420p"),
        kind("av1.webm", "-c:v libsvtav1 -preset 12 -g 20 -pix_fmt yuv420p"),
        kind("av1_10_bits.mp4", "-c:v libsvtav1 -preset 12 -g 20 -pix_fmt yuv420p10le"),
        h264(
            "full_range.mp4",
            "-vf scale=in_range=full:out_range=full -color_range pc -pix_fmt yuvj420p",
        ),
        kind(
            "full_range.webm",
            "-vf scale=in_range=full:out_range=full -color_range pc -c:v libvpx-vp9 -cpu-used 8 -g 20 -pix_fmt yuv420p",
        ),
        kind(
            "full_range_vp9.mp4",
            "-vf scale=in_range=full:out_range=full -color_range pc -c:v libvpx-vp9 -cpu-used 8 -g 20 -pix_fmt yuv420p",
        ),
        kind(
            "full_range_av1.mp4",
            "-vf scale=in_range=full:out_range=full -color_range pc -color_primaries bt709 -color_trc bt709 -colorspace bt709 -c:v libsvtav1 -preset 12 -g 20 -pix_fmt yuv420p",
        ),
        kind(
            "full_range_av1.webm",
            "-vf scale=in_range=full:out_range=full -color_range pc -color_primaries bt709 -color_trc bt709 -colorspace bt709 -c:v libsvtav1 -preset 12 -g 20 -pix_fmt yuv420p",
        ),
        kind("h264_10_bits.mp4", "-c:v libx264 -preset veryfast -pix_fmt yuv420p10le -g 12 -bf 2"),
        kind(
            "hevc.mp4",
            "-c:v libx265 -preset ultrafast -tag:v hvc1 -pix_fmt yuv420p -x265-params log-level=none:keyint=12:bframes=3",
        ),
        kind(
            "hevc_10_bits.mov",
            "-c:v libx265 -preset ultrafast -tag:v hvc1 -pix_fmt yuv420p10le -x265-params log-level=none:keyint=12:open-gop=1",
        ),
    ]
}

/// All kinds.
#[must_use]
pub fn kinds() -> Vec<Kind> {
    [structures(), edits(), orientations(), tracks(), codecs()].concat()
}

impl Kind {
    /// Width over height of the frame as it must be shown.
    #[must_use]
    pub fn shape(&self) -> f64 {
        let shape = self.size_px.0 as f64 * self.pixel_ratio / self.size_px.1 as f64;
        match self.surgery {
            Surgery::Matrix(Matrix { a: 0, .. }) => 1.0 / shape,
            _ => shape,
        }
    }
}
