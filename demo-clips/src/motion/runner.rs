//! The whole runner: places the hips so that the centre of mass keeps its path and the feet stay on the belt.

use super::centre::{self, Heights};
use super::schedule::Schedule;
use super::style::Style;
use super::swing::{LegState, Swing, SwingEnds};
use super::{stance, upper_body};
use crate::body::{
    LegAngles, Pair, Point, Pose, Proportions, Shoe, Side, Skeleton, centre_of_mass,
};

/// The motion of the runner in one clip.
#[derive(Clone, Debug)]
pub struct Motion {
    lengths: Proportions,
    shoe: Shoe,
    style: Style,
    schedule: Schedule,
    heights: Heights,
    swings: Vec<Swing>,
}

/// Chosen: iterations for swings and heights; each reduces the error to a third or less, so that 40 reach rounding.
const ROUNDS: usize = 40;
/// Chosen: time step of the one-sided differences at toe-off and contact, in which a leg turns by 0.005 rad at most.
const RATE_S: f64 = 5e-4;

impl Motion {
    /// The motion of a style.
    #[must_use]
    pub fn new(style: Style, lengths: Proportions, length_s: f64, seed: u64) -> Self {
        let schedule = Schedule::new(&style, length_s, seed);
        let count = schedule.steps().len();
        let start_m = 0.62 * lengths.thigh_m + 0.62 * lengths.shank_m + 0.5;
        let mut motion = Self {
            lengths,
            shoe: Shoe::fitting(&lengths),
            style,
            schedule,
            heights: Heights { contact_m: start_m, toe_off_m: start_m },
            swings: vec![Swing::default(); count],
        };
        for _ in 0..ROUNDS {
            motion.settle();
        }
        motion
    }

    /// Contacts and toe-offs.
    #[must_use]
    pub fn schedule(&self) -> &Schedule {
        &self.schedule
    }

    /// The style.
    #[must_use]
    pub fn style(&self) -> &Style {
        &self.style
    }

    /// The shoe.
    #[must_use]
    pub fn shoe(&self) -> &Shoe {
        &self.shoe
    }

    /// The lengths of the segments.
    #[must_use]
    pub fn lengths(&self) -> &Proportions {
        &self.lengths
    }

    /// The prescribed position of the centre of mass at a time.
    #[must_use]
    pub fn centre(&self, time_s: f64) -> Point {
        centre::path(&self.schedule, &self.style, self.heights, time_s)
    }

    /// The landmarks at a time.
    #[must_use]
    pub fn skeleton(&self, time_s: f64) -> Skeleton {
        Skeleton::of(&self.pose(time_s), &self.lengths, &self.shoe)
    }

    /// The posture at a time.
    ///
    /// The hips move by the error of the centre of mass until that is on its path. The leg in contact
    /// follows the hips, which carry most of the mass, so that this converges.
    #[must_use]
    pub fn pose(&self, time_s: f64) -> Pose {
        let strides = self.schedule.strides_passed(time_s);
        let target = self.centre(time_s);
        let mut pose = Pose {
            hip: Point::new(target.x_m - 0.03, target.y_m - 0.12),
            trunk_rad: upper_body::lean_rad(&self.style, strides),
            head_rad: upper_body::head_rad(&self.style, strides),
            arms: upper_body::arms(&self.style, strides),
            legs: Pair::default(),
        };
        for _ in 0..60 {
            pose.legs = Pair::each(|side| self.leg(side, time_s, pose.hip));
            let centre = centre_of_mass(&Skeleton::of(&pose, &self.lengths, &self.shoe));
            let off = Point::new(target.x_m - centre.x_m, target.y_m - centre.y_m);
            pose.hip = Point::new(pose.hip.x_m + off.x_m, pose.hip.y_m + off.y_m);
            if off.x_m.hypot(off.y_m) < 1e-12 {
                break;
            }
        }
        pose
    }

    fn leg(&self, side: Side, time_s: f64, hip: Point) -> LegAngles {
        let index = self.schedule.latest_of(side, time_s);
        let step = &self.schedule.steps()[index];
        if time_s > step.toe_off_s {
            return self.swings[index].angles(time_s);
        }
        let foot = stance::planted(step, &self.style, &self.shoe, time_s);
        stance::reach(hip, foot, &self.lengths)
    }

    /// One iteration: fits the swings between the contacts again, and moves the heights of the centre
    /// of mass towards those at which the knees have their flexion at contact and toe-off.
    fn settle(&mut self) {
        let count = self.schedule.steps().len();
        let mut off = Heights { contact_m: 0.0, toe_off_m: 0.0 };
        let inner = 2..count.saturating_sub(4);
        let share = 1.0 / inner.len().max(1) as f64;
        let mut swings = self.swings.clone();
        for index in inner {
            let step = self.schedule.steps()[index];
            let next_s = self.schedule.steps()[index + 2].contact_s;
            off.contact_m += share
                * self.height_off_m(step.side, step.contact_s, self.style.knee_at_contact_rad);
            off.toe_off_m += share
                * self.height_off_m(step.side, step.toe_off_s, self.style.knee_at_toe_off_rad);
            let toe_off = self.leg_state(step.side, step.toe_off_s, -RATE_S);
            let contact = self.leg_state(step.side, next_s, RATE_S).before_landing(&self.lengths);
            let ends = SwingEnds { toe_off, contact };
            swings[index] = Swing::between(&self.style, &step, next_s, ends);
        }
        self.swings = swings;
        self.heights.contact_m += 0.7 * off.contact_m;
        self.heights.toe_off_m += 0.7 * off.toe_off_m;
    }

    /// Angles and angular velocities by the difference over a signed time step.
    fn leg_state(&self, side: Side, time_s: f64, step_s: f64) -> LegState {
        let here = self.pose(time_s).legs.of(side);
        let near = self.pose(time_s + step_s).legs.of(side);
        let rate = |a: f64, b: f64| (b - a) / step_s;
        let rates = LegAngles {
            thigh_rad: rate(here.thigh_rad, near.thigh_rad),
            shank_rad: rate(here.shank_rad, near.shank_rad),
            foot_rad: rate(here.foot_rad, near.foot_rad),
        };
        LegState { angles: here, rates }
    }

    /// Height by which the hips are too low for a knee flexion of the leg in contact.
    fn height_off_m(&self, side: Side, time_s: f64, knee_rad: f64) -> f64 {
        let skeleton = self.skeleton(time_s);
        let (hip, ankle) = (skeleton.hip, skeleton.legs.of(side).ankle);
        let (thigh, shank) = (self.lengths.thigh_m, self.lengths.shank_m);
        let squared = thigh * thigh + shank * shank + 2.0 * thigh * shank * knee_rad.cos();
        let ahead = ankle.x_m - hip.x_m;
        let height = (squared - ahead * ahead).max(0.0).sqrt();
        ankle.y_m + height - hip.y_m
    }
}
