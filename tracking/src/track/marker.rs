//! One marker: how it moves, where it may be in the next frame, and its look.

use super::follower::Mode;
use super::look::{Band, Candidate, LookScratch, MOST_HALF_PX, Skin, Sticker, standing_out};
use crate::image::{GreyFrame, Mix, Pixel, Region};
use crate::point::{Scratch, flow};

/// Half the side of the piece of picture kept, before the search is added.
const REGION_HALF_PX: usize = 32;
/// The same for skin, whose patch is larger: all of it is smoothed in every frame.
const SKIN_REGION_HALF_PX: usize = 20;
/// The furthest that is ever searched about the prediction.
const FURTHEST_PX: f64 = 48.0;
/// Lucas-Kanade there and back again may miss its start by so much.
const CLOSING_PX: f64 = 1.5;

/// Chosen: how much of its motion a marker that is not seen keeps from frame to frame.
const FADING: f64 = 0.9;
/// Chosen: variance of a place that was seen.
const SEEN_PX2: f64 = 2.0;

/// What is known of a marker between two frames.
#[derive(Clone, Debug)]
pub(super) struct Marker {
    /// The middle of what is followed.
    pub at: Pixel,
    /// From there to where the person pointed.
    offset_px: (f64, f64),
    pub velocity_px: (f64, f64),
    /// Frames since it was last seen.
    pub unseen: u32,
    region: Region,
    /// What of grey and colour it is followed in.
    mix: Mix,
    pub look: Look,
    /// How long the marker has been followed, to tell a first guess of its velocity from a known one.
    age: u32,
    /// A person placed it in this very frame.
    is_placed: bool,
    pub memory: Memory,
    /// Variance of where it is, since it was last seen.
    pub spread_px2: f64,
    /// The limbs that lie in front in the frame at hand.
    pub bands: Vec<Band>,
}

/// Chosen: what is left from frame to frame of not knowing how a marker moves.
const UNKNOWN_LEFT: f64 = 0.7;

/// What is remembered of how well a marker was followed since a person placed it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Memory {
    /// How long it went unseen, fading: one for ten frames just now.
    pub gap_ratio: f64,
    /// How little is known of its motion since a person placed it: one where it was not followed before.
    pub unknown_ratio: f64,
}

impl Memory {
    /// It was found after so many frames unseen.
    ///
    /// Chosen: a gap fades over twenty frames, for what is found again may be another thing that looks alike.
    fn found_after(&mut self, unseen: u32) {
        self.gap_ratio = 0.95 * self.gap_ratio + 0.1 * f64::from(unseen.min(10));
        self.unknown_ratio *= UNKNOWN_LEFT;
    }
}

/// What a marker looks like.
#[derive(Clone, Debug)]
pub(super) enum Look {
    Sticker(Box<Sticker>),
    Skin(Box<Skin>),
}

/// A marker in the frame before.
pub(super) struct Before<'a> {
    pub region: &'a Region,
    pub at: Pixel,
    pub unseen: u32,
    /// The limbs that lie in front.
    pub bands: &'a [Band],
}

/// What a marker expects of a frame.
pub(super) struct Expected {
    pub at: Pixel,
    /// Standard deviation of the expectation.
    pub sigma_px: f64,
    pub region: Region,
}

/// How a marker moves from frame to frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Motion {
    pub velocity_px: (f64, f64),
    pub spin_rad: f64,
}

impl Marker {
    /// A marker as placed; `None` where there is nothing to hold on to.
    pub fn place(
        frame: GreyFrame<'_>,
        placed: Pixel,
        mode: Mode,
        bands: Vec<Band>,
    ) -> Option<Self> {
        let half = REGION_HALF_PX + MOST_HALF_PX;
        let (mix, region, look, at) = match mode {
            Mode::Skin => {
                let region = Region::smoothed(frame, placed, half);
                let skin = Skin::place(&region, placed, &bands)?;
                (Mix::GREY, region, Look::Skin(Box::new(skin)), placed)
            }
            Mode::Sticker => {
                let standing = standing_out(frame, placed, half);
                let (sticker, at) = Sticker::place(frame, &standing, placed)?;
                (standing.mix, standing.region, Look::Sticker(Box::new(sticker)), at)
            }
        };
        let (velocity_px, offset_px) = ((0.0, 0.0), placed.from(at));
        Some(Self {
            at,
            offset_px,
            velocity_px,
            unseen: 0,
            region,
            mix,
            look,
            age: 0,
            is_placed: true,
            memory: Memory::default(),
            spread_px2: SEEN_PX2,
            bands,
        })
    }

    /// What a person would point at when the marker's middle is here.
    pub fn shown(&self, at: Pixel) -> Pixel {
        at.moved(self.offset_px.0, self.offset_px.1)
    }

    /// Where the marker should be in the next frame, and the picture about it.
    pub fn expectation(&self, frame: GreyFrame<'_>) -> Expected {
        let (vx, vy) = self.velocity_px;
        let at = self.at.moved(vx, vy);
        let speed = (vx * vx + vy * vy).sqrt();
        let first = if self.age == 0 { 6.0 } else { 0.0 };
        let sigma_px = 2.5 + 0.25 * speed + first + 1.5 * f64::from(self.unseen);
        let half = match &self.look {
            Look::Sticker(sticker) => REGION_HALF_PX + sticker.half_px(),
            Look::Skin(_) => SKIN_REGION_HALF_PX + MOST_HALF_PX,
        };
        let half = half + radius(sigma_px);
        // What tells skin is wider than noise is; a sticker's edge is not.
        let region = match &self.look {
            Look::Skin(_) => Region::smoothed(frame, at, half),
            Look::Sticker(_) => Region::mixed(frame, at, half, self.mix),
        };
        Expected { at, sigma_px, region }
    }

    /// The places where the marker may be, best first.
    pub fn candidates(
        &self,
        frame: GreyFrame<'_>,
        expected: &Expected,
        scratch: &mut LookScratch,
    ) -> Vec<Candidate> {
        let before =
            Before { region: &self.region, at: self.at, unseen: self.unseen, bands: &self.bands };
        match &self.look {
            Look::Sticker(sticker) => sticker.candidates(frame, (&before, expected), scratch),
            Look::Skin(skin) => skin.candidates(&before, expected, scratch),
        }
    }

    /// Takes a seen place as where the marker is now.
    pub fn take(&mut self, candidate: &Candidate, region: Region, scratch: &mut LookScratch) {
        let at = candidate.at;
        match &mut self.look {
            Look::Sticker(sticker) => sticker.take(at, &region),
            Look::Skin(skin) => skin.take(candidate, (&region, &self.bands), scratch),
        }
        self.memory.found_after(self.unseen);
        if self.unseen == 0 {
            self.velocity_px = at.from(self.at);
        } else {
            // The path since it was last seen is not known, only its two ends.
            let (dx, dy) = at.from(self.at);
            self.velocity_px = (self.velocity_px.0 + 0.3 * dx, self.velocity_px.1 + 0.3 * dy);
        }
        self.at = at;
        self.region = region;
        self.unseen = 0;
        self.spread_px2 = SEEN_PX2;
        self.is_placed = false;
        self.age += 1;
    }

    /// Whether colour says anything of it.
    pub fn needs_colour(&self) -> bool {
        matches!(&self.look, Look::Sticker(sticker) if sticker.has_colour())
    }

    /// Whether it has been followed since a person placed it.
    pub fn is_followed(&self) -> bool {
        !self.is_placed
    }

    /// Its motion from frame to frame.
    pub fn motion(&self) -> Motion {
        let spin_rad = match &self.look {
            Look::Sticker(_) => 0.0,
            Look::Skin(skin) => skin.spin_rad,
        };
        Motion { velocity_px: self.velocity_px, spin_rad }
    }

    /// Goes on as it moved before it was placed again.
    pub fn goes_on(&mut self, motion: Motion, known: bool) {
        self.memory.unknown_ratio = f64::from(u32::from(!known));
        self.velocity_px = motion.velocity_px;
        self.age = u32::from(known);
        if let Look::Skin(skin) = &mut self.look {
            skin.spin_rad = motion.spin_rad;
        }
    }

    /// Goes on unseen to a place of such a variance.
    pub fn coast(&mut self, at: Pixel, spread_px2: f64) {
        self.spread_px2 = spread_px2;
        if let Look::Skin(skin) = &mut self.look {
            skin.coast();
        }
        // A motion that no picture confirms dies away.
        let (dx, dy) = at.from(self.at);
        self.velocity_px = (FADING * dx, FADING * dy);
        self.at = at;
        self.unseen += 1;
        self.is_placed = false;
        self.age += 1;
    }
}

/// How far about the prediction is searched.
pub(super) fn radius(sigma_px: f64) -> usize {
    (3.5 * sigma_px).clamp(8.0, FURTHEST_PX) as usize
}

/// Where Lucas-Kanade has a marker that was seen in the frame before, if it finds its way back as well.
pub(super) fn flow_both_ways(
    before: &Before<'_>,
    expected: &Expected,
    half_px: usize,
    scratch: &mut Scratch,
) -> Option<Pixel> {
    if before.unseen > 0 {
        return None;
    }
    let (here, there) = ((before.region, before.at), &expected.region);
    let at = flow(here, (there, expected.at), half_px, scratch)?;
    let back = flow((there, at), here, half_px, scratch)?;
    (back.distance_px(before.at) < CLOSING_PX).then_some(at)
}

/// Correlation less what a strange contrast and a far place cost.
pub(super) fn merit(correlation: f32, gain_ratio: f32, at: Pixel, expected: &Expected) -> f32 {
    let away = at.distance_px(expected.at) / expected.sigma_px;
    let far = 0.04 * (away * away).min(20.0);
    let odd = (0.5 - gain_ratio).max(0.0) + 0.3 * (gain_ratio - 1.8).max(0.0);
    correlation - far as f32 - odd
}
