//! The motion of the runner, measured on the landmarks instead of the generator's own path.

use demo_clips::body::{Point, Proportions, Side, Skeleton, centre_of_mass};
use demo_clips::motion::{Motion, Step};
use demo_clips::output::{Clip, Options};

const SIDES: [Side; 2] = [Side::Near, Side::Far];

/// The committed clips and those of two other seeds.
fn motions() -> Vec<(String, Motion)> {
    let mut motions = Vec::new();
    for seed in [0, 4, 5] {
        let options = Options { seed, ..Options::default() };
        for clip in Clip::both(&options) {
            motions.push((format!("{} of seed {seed}", clip.name), clip.motion(&options)));
        }
    }
    motions
}

fn steps(motion: &Motion) -> Vec<Step> {
    let inside = |step: &&Step| (0.0..4.0).contains(&step.contact_s);
    motion.schedule().steps().iter().filter(inside).copied().collect()
}

/// The centre of the round toe: it moves with the belt while the foot is flat and stays one radius
/// above the belt while the toe rolls.
fn toe_centre(motion: &Motion, skeleton: &Skeleton, side: Side, time_s: f64) -> Point {
    let shoe = motion.shoe();
    let local = Point::new(shoe.ball_m, shoe.toe_radius_m - shoe.ankle_height_m);
    let foot_rad = motion.pose(time_s).legs.of(side).foot_rad;
    skeleton.legs.of(side).ankle.offset(local, foot_rad)
}

#[test]
fn the_planted_foot_moves_with_the_belt_and_neither_slips_nor_sinks() {
    for (name, motion) in motions() {
        let speed = motion.style().speed_m_s;
        for step in steps(&motion) {
            let first =
                toe_centre(&motion, &motion.skeleton(step.contact_s), step.side, step.contact_s);
            let first_foot_rad = motion.pose(step.contact_s).legs.of(step.side).foot_rad;
            for i in 0..=50 {
                let since_s = (step.toe_off_s - step.contact_s) * f64::from(i) / 50.0;
                let time_s = step.contact_s + since_s;
                let skeleton = motion.skeleton(time_s);
                let centre = toe_centre(&motion, &skeleton, step.side, time_s);
                let foot_rad = motion.pose(time_s).legs.of(step.side).foot_rad;
                // Rolling without slipping: forward by the radius times the angle.
                let rolled_m = motion.shoe().toe_radius_m * (first_foot_rad - foot_rad);
                let slipped_m = centre.x_m - (first.x_m + rolled_m - speed * since_s);
                assert!(slipped_m.abs() < 0.002, "{name}: slips {slipped_m} m at {time_s} s");
                let ankle = skeleton.legs.of(step.side).ankle;
                let low_m = motion.shoe().lowest_m(ankle, foot_rad);
                assert!(low_m.abs() < 0.002, "{name}: sole {low_m} m above belt at {time_s} s");
            }
        }
    }
}

#[test]
fn markers_of_the_flat_foot_move_at_the_speed_of_the_belt() {
    for (name, motion) in motions() {
        for step in steps(&motion) {
            // Between 25 and 40 % of the contact the whole foot is flat.
            let at = |u: f64| {
                let time_s = step.contact_s + u * (step.toe_off_s - step.contact_s);
                (time_s, motion.skeleton(time_s).legs.of(step.side))
            };
            let ((t0, a), (t1, b)) = (at(0.25), at(0.40));
            let moved_m = motion.style().speed_m_s * (t1 - t0);
            for (from, to) in [(a.ankle, b.ankle), (a.heel, b.heel), (a.toe, b.toe)] {
                let off = to.distance_m(Point::new(from.x_m - moved_m, from.y_m));
                assert!(off < 1e-6, "{name}: {off} m off the belt");
            }
        }
    }
}

#[test]
fn the_centre_of_mass_is_a_projectile_in_flight() {
    for (name, motion) in motions() {
        let steps = steps(&motion);
        for pair in steps.windows(2) {
            let (from_s, to_s) = (pair[0].toe_off_s, pair[1].contact_s);
            let h = (to_s - from_s) / 10.0;
            let centre = |i: i32| centre_of_mass(&motion.skeleton(from_s + h * f64::from(i)));
            for i in 2..9 {
                let (a, b, c) = (centre(i - 1), centre(i), centre(i + 1));
                let up = (a.y_m - 2.0 * b.y_m + c.y_m) / (h * h);
                let forward = (a.x_m - 2.0 * b.x_m + c.x_m) / (h * h);
                assert!((up + 9.81).abs() < 1e-4, "{name}: falls with {up} m/s2");
                assert!(forward.abs() < 1e-4, "{name}: pushed with {forward} m/s2");
            }
        }
    }
}

#[test]
fn the_belt_always_pushes_the_runner_upward() {
    for (name, motion) in motions() {
        let h = 0.002;
        for i in 0..1000 {
            let time_s = 0.5 + 0.004 * f64::from(i);
            let centre = |t: f64| motion.centre(t).y_m;
            let up = (centre(time_s - h) - 2.0 * centre(time_s) + centre(time_s + h)) / (h * h);
            // Running at this speed takes less than three body weights.
            assert!((-9.82..2.0 * 9.81).contains(&up), "{name}: {up} m/s2 at {time_s} s");
        }
    }
}

#[test]
fn segments_keep_their_lengths() {
    let lengths = Proportions::of_height(1.74);
    for (name, motion) in motions() {
        for i in 0..500 {
            let s = motion.skeleton(0.01 * f64::from(i));
            let mut pairs = vec![(s.hip, s.shoulder, lengths.trunk_m)];
            for side in SIDES {
                let (leg, arm) = (s.legs.of(side), s.arms.of(side));
                pairs.push((s.hip, leg.knee, lengths.thigh_m));
                pairs.push((leg.knee, leg.ankle, lengths.shank_m));
                pairs.push((s.shoulder, arm.elbow, lengths.upper_arm_m));
                pairs.push((arm.elbow, arm.wrist, lengths.forearm_m));
            }
            for (from, to, length_m) in pairs {
                assert!((from.distance_m(to) - length_m).abs() < 1e-9, "{name}");
            }
        }
    }
}

#[test]
fn the_far_leg_repeats_the_near_leg_half_a_stride_later() {
    for (name, motion) in motions() {
        // The means of thigh and knee over whole strides agree between the legs at each of 40 phases.
        let mut off_rad: f64 = 0.0;
        for phase in 0..40 {
            let mean = |side: Side| {
                let own: Vec<_> = motion
                    .schedule()
                    .steps()
                    .iter()
                    .filter(|step| step.side == side && (-1.0..5.5).contains(&step.contact_s))
                    .copied()
                    .collect();
                let angles: Vec<f64> = own
                    .windows(2)
                    .map(|pair| {
                        let u = f64::from(phase) / 40.0;
                        let time_s = pair[0].contact_s * (1.0 - u) + pair[1].contact_s * u;
                        let leg = motion.pose(time_s).legs.of(side);
                        leg.thigh_rad + (leg.thigh_rad - leg.shank_rad)
                    })
                    .collect();
                angles.iter().sum::<f64>() / angles.len() as f64
            };
            off_rad = off_rad.max((mean(Side::Near) - mean(Side::Far)).abs());
        }
        // A degree: less than a third of the variation from stride to stride.
        assert!(off_rad < 0.0175, "{name}: legs differ by {off_rad} rad");
    }
}

#[test]
fn the_swinging_foot_clears_the_belt() {
    for (name, motion) in motions() {
        for step in steps(&motion) {
            let next = motion.schedule().steps().iter();
            let next = next.filter(|s| s.side == step.side && s.contact_s > step.contact_s);
            let next_s = next.map(|s| s.contact_s).next().unwrap();
            for i in 0..=40 {
                let u = f64::from(i) / 40.0;
                let time_s = step.toe_off_s * (1.0 - u) + next_s * u;
                let ankle = motion.skeleton(time_s).legs.of(step.side).ankle;
                let foot_rad = motion.pose(time_s).legs.of(step.side).foot_rad;
                let low_m = motion.shoe().lowest_m(ankle, foot_rad);
                assert!(low_m > -0.001, "{name}: sole {low_m} m above belt at {time_s} s");
            }
        }
    }
}

#[test]
fn the_legs_are_never_straight_nor_out_of_reach() {
    for (name, motion) in motions() {
        for i in 0..1000 {
            let legs = motion.pose(0.005 * f64::from(i)).legs;
            for leg in SIDES.map(|side| legs.of(side)) {
                let knee_rad = leg.thigh_rad - leg.shank_rad;
                assert!((0.2..2.1).contains(&knee_rad), "{name}: knee {knee_rad} rad");
            }
        }
    }
}
