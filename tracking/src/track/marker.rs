//! One marker: how it moves, where it may be in the next frame, and its appearance.

use super::appearance::{AppearanceScratch, Skin, Sticker, discriminate};
use super::candidate::Candidate;
use super::mode::Mode;
use super::occluder::Occluder;
use super::prediction::{Prediction, Previous, search_radius_px};
use crate::image::{GreyFrame, ImagePoint, Mix, Region};
use crate::scales::{
    COASTING_MOTION_KEPT, GAP_FRAMES, GAP_KEPT, GAP_PER_FRAME, LARGEST_PATCH_HALF_PX,
    PREDICTION_PX, PREDICTION_PX_PER_UNSEEN_FRAME, SKIN_REGION_HALF_PX, STICKER_REGION_HALF_PX,
    UNKNOWN_MOTION_KEPT, UNKNOWN_VELOCITY_PX,
};

/// Share of the speed in the standard deviation of the predicted place.
///
/// Chosen: by trial on the worked clips, no record.
const SIGMA_PER_SPEED: f64 = 0.25;
/// Variance of a place that was seen, in squared pixels.
///
/// Chosen: by trial on the worked clips, no record.
const SEEN_PX2: f64 = 2.0;
/// Share of the way over a gap that is added to the velocity before it.
///
/// Chosen: by trial on the worked clips, no record; the path over the gap is not known, only its two ends.
const GAP_VELOCITY_RATIO: f64 = 0.3;

/// What is known of a marker between two frames.
#[derive(Clone, Debug)]
pub(super) struct Marker {
    /// The centre of what is followed.
    pub at: ImagePoint,
    /// From there to where the user pointed.
    offset_px: (f64, f64),
    pub velocity_px: (f64, f64),
    /// Frames since it was last seen.
    pub unseen: u32,
    region: Region,
    /// The mix of grey and colour in which it is followed.
    mix: Mix,
    appearance: Appearance,
    /// Frames since its velocity was a guess.
    age: u32,
    /// The user placed it in this very frame.
    is_placed: bool,
    pub memory: Memory,
    /// Variance of its place, since it was last seen.
    pub spread_px2: f64,
    /// The limbs that lie in front in the current frame.
    pub in_front: Vec<Occluder>,
}

/// What is remembered of how well a marker was followed since the user placed it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Memory {
    /// How long it went unseen, fading: one for a gap of ten frames just now.
    pub gap_ratio: f64,
    /// How little is known of its motion since the user placed it: one if it was not followed before.
    pub unknown_ratio: f64,
}

impl Memory {
    /// It was found after so many frames unseen.
    fn found_after(&mut self, unseen: u32) {
        let gap = GAP_PER_FRAME * f64::from(unseen.min(GAP_FRAMES));
        self.gap_ratio = GAP_KEPT * self.gap_ratio + gap;
        self.unknown_ratio *= UNKNOWN_MOTION_KEPT;
    }
}

/// What a marker looks like.
#[derive(Clone, Debug)]
enum Appearance {
    Sticker(Box<Sticker>),
    Skin(Box<Skin>),
}

/// How a marker moves from frame to frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Motion {
    pub velocity_px: (f64, f64),
    pub spin_rad: f64,
}

impl Marker {
    /// A marker as placed; `None` if its picture determines no place.
    pub fn place(
        frame: GreyFrame<'_>,
        placed: ImagePoint,
        mode: Mode,
        in_front: Vec<Occluder>,
    ) -> Option<Self> {
        let half = STICKER_REGION_HALF_PX + LARGEST_PATCH_HALF_PX;
        let (mix, region, appearance, at) = match mode {
            Mode::Skin => {
                let region = Region::smoothed(frame, placed, half);
                let skin = Skin::place(&region, placed, &in_front)?;
                (Mix::GREY, region, Appearance::Skin(Box::new(skin)), placed)
            }
            Mode::Sticker => {
                let found = discriminate(frame, placed, half);
                let (sticker, at) = Sticker::place(frame, &found, placed)?;
                (found.mix, found.region, Appearance::Sticker(Box::new(sticker)), at)
            }
        };
        Some(Self {
            at,
            offset_px: placed.minus(at),
            velocity_px: (0.0, 0.0),
            unseen: 0,
            region,
            mix,
            appearance,
            age: 0,
            is_placed: true,
            memory: Memory::default(),
            spread_px2: SEEN_PX2,
            in_front,
        })
    }

    /// What the user would point at if the marker's centre is here.
    pub fn shown(&self, at: ImagePoint) -> ImagePoint {
        at.moved(self.offset_px.0, self.offset_px.1)
    }

    /// Where the marker should be in the next frame, and the picture about it.
    pub fn predict(&self, frame: GreyFrame<'_>) -> Prediction {
        let (vx, vy) = self.velocity_px;
        let at = self.at.moved(vx, vy);
        let speed = (vx * vx + vy * vy).sqrt();
        let first = if self.age == 0 { UNKNOWN_VELOCITY_PX } else { 0.0 };
        let sigma_px = PREDICTION_PX
            + SIGMA_PER_SPEED * speed
            + first
            + PREDICTION_PX_PER_UNSEEN_FRAME * f64::from(self.unseen);
        let half = match &self.appearance {
            Appearance::Sticker(sticker) => STICKER_REGION_HALF_PX + sticker.half_px(),
            Appearance::Skin(_) => SKIN_REGION_HALF_PX + LARGEST_PATCH_HALF_PX,
        };
        let half = half + search_radius_px(sigma_px);
        // The structure of skin is wider than noise; a sticker's edge is not.
        let region = match &self.appearance {
            Appearance::Skin(_) => Region::smoothed(frame, at, half),
            Appearance::Sticker(_) => Region::mixed(frame, at, half, self.mix),
        };
        Prediction { at, sigma_px, region }
    }

    /// The places where the marker may be, best first.
    pub fn candidates(
        &self,
        frame: GreyFrame<'_>,
        prediction: &Prediction,
        scratch: &mut AppearanceScratch,
    ) -> Vec<Candidate> {
        let previous = Previous {
            region: &self.region,
            at: self.at,
            unseen: self.unseen,
            in_front: &self.in_front,
        };
        match &self.appearance {
            Appearance::Sticker(sticker) => {
                sticker.candidates(frame, &previous, prediction, scratch)
            }
            Appearance::Skin(skin) => skin.candidates(&previous, prediction, scratch),
        }
    }

    /// Takes a seen place as where the marker is now.
    pub fn take(&mut self, candidate: &Candidate, region: Region, scratch: &mut AppearanceScratch) {
        let at = candidate.at;
        match &mut self.appearance {
            Appearance::Sticker(sticker) => sticker.take(at, &region),
            Appearance::Skin(skin) => skin.take(candidate, &region, &self.in_front, scratch),
        }
        self.memory.found_after(self.unseen);
        let (dx, dy) = at.minus(self.at);
        self.velocity_px = if self.unseen == 0 {
            (dx, dy)
        } else {
            let (vx, vy) = self.velocity_px;
            (vx + GAP_VELOCITY_RATIO * dx, vy + GAP_VELOCITY_RATIO * dy)
        };
        self.at = at;
        self.region = region;
        self.unseen = 0;
        self.spread_px2 = SEEN_PX2;
        self.is_placed = false;
        self.age += 1;
    }

    /// Whether a picture with colour says more of it.
    pub fn needs_colour(&self) -> bool {
        matches!(&self.appearance, Appearance::Sticker(sticker) if sticker.has_colour())
    }

    /// Whether it has been followed since the user placed it.
    pub fn is_followed(&self) -> bool {
        !self.is_placed
    }

    /// Its motion from frame to frame.
    pub fn motion(&self) -> Motion {
        let spin_rad = match &self.appearance {
            Appearance::Sticker(_) => 0.0,
            Appearance::Skin(skin) => skin.spin_rad(),
        };
        Motion { velocity_px: self.velocity_px, spin_rad }
    }

    /// Goes on with a motion, whether that is known or a guess.
    pub fn resume(&mut self, motion: Motion, is_known: bool) {
        self.memory.unknown_ratio = f64::from(u32::from(!is_known));
        self.velocity_px = motion.velocity_px;
        self.age = u32::from(is_known);
        if let Appearance::Skin(skin) = &mut self.appearance {
            skin.set_spin_rad(motion.spin_rad);
        }
    }

    /// Goes on unseen to a place of such a variance.
    pub fn coast(&mut self, at: ImagePoint, spread_px2: f64) {
        self.spread_px2 = spread_px2;
        if let Appearance::Skin(skin) = &mut self.appearance {
            skin.coast();
        }
        let (dx, dy) = at.minus(self.at);
        self.velocity_px = (COASTING_MOTION_KEPT * dx, COASTING_MOTION_KEPT * dy);
        self.at = at;
        self.unseen += 1;
        self.is_placed = false;
        self.age += 1;
    }
}
