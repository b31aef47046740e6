//! Clips for measuring: every seed gives a possible motion and a ground truth that a tracker can be measured against.

use demo_clips::film::Handling;
use demo_clips::output::{Clip, Options, Truth, Variety, View};

fn options(seed: u64, variety: Variety) -> Options {
    let length_s = variety.length_s();
    Options { seed, rate_hz: 60.0, length_s, varied: Some(variety), ..Options::default() }
}

fn varieties() -> Vec<Variety> {
    let handlings = [Handling::Still, Handling::Panned, Handling::HandHeld];
    let both = |handling| [false, true].map(|crossing| Variety { handling, crossing });
    handlings.into_iter().flat_map(both).collect()
}

fn truth(seed: u64, variety: Variety) -> Truth {
    let options = options(seed, variety);
    let clip = Clip::varied(&options, variety);
    Truth::of(&clip, &clip.motion(&options), &options)
}

#[test]
fn every_near_landmark_can_be_placed_in_the_first_frame_of_every_seed() {
    for seed in 1..=12 {
        for variety in varieties() {
            let truth = truth(seed, variety);
            for (name, column) in &truth.landmarks {
                if name.starts_with("near") || name == "head" {
                    assert_eq!(column.visible[0], 1, "{name} of {}", truth.clip);
                }
            }
        }
    }
}

#[test]
fn legs_keep_their_lengths_and_stay_on_the_ground() {
    for seed in 1..=12 {
        let truth = truth(seed, varieties()[0]);
        let position = |name: &str, i: usize| {
            let column = &truth.landmarks[name];
            (column.x_m[i], column.y_m[i])
        };
        let length_m = |from: &str, to: &str, i: usize| {
            let (a, b) = (position(from, i), position(to, i));
            (b.0 - a.0).hypot(b.1 - a.1)
        };
        for i in 0..truth.frames {
            for side in ["near", "far"] {
                let names = ["hip", "knee", "ankle"].map(|joint| format!("{side}_{joint}"));
                for pair in names.windows(2) {
                    let change_m =
                        length_m(&pair[0], &pair[1], i) - length_m(&pair[0], &pair[1], 0);
                    // A leg out of reach would not end at the ankle; the ground truth is rounded to 0.01 mm.
                    assert!(change_m.abs() < 5e-5, "{}: {pair:?} in frame {i}", truth.clip);
                }
                // The marker is 42 mm above the underside of the flat shoe and never below it.
                assert!(position(&format!("{side}_toe"), i).1 > 0.0, "{} in frame {i}", truth.clip);
            }
        }
    }
}

#[test]
fn the_planted_foot_of_a_runner_who_crosses_the_hall_does_not_move() {
    for seed in 1..=6 {
        let truth = truth(seed, varieties()[1]);
        let contact = truth.events.iter().find(|e| e.kind == "contact").unwrap();
        let name = format!("{}_ankle", contact.side);
        // From 25 to 40 % of the contact the foot is flat; contacts last 0.2 s and more.
        let at = |since_s: f64| ((contact.time_s + since_s) * truth.rate_hz).ceil() as usize;
        let x_m = &truth.landmarks[&name].x_m;
        let moved_m = x_m[at(0.085)] - x_m[at(0.056)];
        assert!(moved_m.abs() < 2e-3, "{}: {moved_m} m", truth.clip);
    }
}

#[test]
fn a_moving_camera_has_a_path_and_a_still_one_none() {
    for variety in varieties() {
        let truth = truth(3, variety);
        let length = truth.camera_path.len();
        let expected = if variety.handling == Handling::Still { 0 } else { truth.frames };
        assert_eq!(length, expected, "{}", truth.clip);
        if let Some(first) = truth.camera_path.first() {
            let still = View { x_px: 0.0, y_px: 0.0, turn_rad: 0.0, scale_ratio: 1.0 };
            assert_eq!(*first, still);
        }
    }
}

#[test]
fn two_seeds_differ_in_body_gait_light_and_clothes() {
    let clip = |seed| Clip::varied(&options(seed, varieties()[0]), varieties()[0]);
    let (a, b) = (clip(1), clip(2));
    assert!(a.lengths != b.lengths && a.style != b.style && a.light != b.light);
    assert!(a.wardrobe != b.wardrobe && a.scenery != b.scenery && a.path != b.path);
    assert_eq!(clip(1), a);
}
