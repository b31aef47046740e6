//! Small worked examples: one segment, a sum of masses, a shank in swing, a rod.

use mechanics::body::winter::WINTER_SHANK;
use mechanics::body::{BodyModel, End, Joint, Landmark, Limb, Segment};
use mechanics::measures::motion::BodyState;
use mechanics::measures::swing::{free_leg_loads, leg_inertia_kg_m2};
use mechanics::signal::{Biquad, State};
use mechanics::space::Side;
use nalgebra::Vector2;

fn still(x_m: f64, y_m: f64) -> State {
    let zero = Vector2::zeros();
    State { position_m: Vector2::new(x_m, y_m), velocity_m_s: zero, acceleration_m_s2: zero }
}

fn segment(
    from: Joint,
    to: Joint,
    mass_kg: f64,
    centre_fraction: f64,
    inertia_kg_m2: f64,
) -> Segment {
    let of = |joint| End::Of(joint, Side::Near);
    let (name, limb) = ("segment", Limb::NearLeg);
    Segment { name, limb, from: of(from), to: of(to), mass_kg, centre_fraction, inertia_kg_m2 }
}

/// A body state of these segments; the first landmark stands for the mid-hip.
fn body_state(segments: &[Segment], landmarks: &[(Landmark, State)]) -> BodyState {
    let at = |end: End| match end {
        End::Of(joint, side) => {
            landmarks.iter().find(|l| l.0 == Landmark::of(joint, side)).unwrap().1
        }
        End::Middle(_) => landmarks[0].1,
    };
    BodyState {
        landmarks: landmarks.iter().copied().collect(),
        segments: segments.iter().map(|s| s.motion(at(s.from), at(s.to))).collect(),
        centre: landmarks[0].1,
        mid_hip: landmarks[0].1,
    }
}

/// Inertia about the hip of one segment that hangs from it.
fn about_its_end_kg_m2(mass_kg: f64, length_m: f64, centre: f64, inertia_kg_m2: f64) -> f64 {
    let segments = vec![segment(Joint::Hip, Joint::Knee, mass_kg, centre, inertia_kg_m2)];
    let landmarks =
        [(Landmark::NearHip, still(0.0, 1.0)), (Landmark::NearKnee, still(0.0, 1.0 - length_m))];
    let state = body_state(&segments, &landmarks);
    leg_inertia_kg_m2(&BodyModel { segments, whole_body: false }, &state)
}

#[test]
fn a_segments_inertia_about_its_end_is_that_of_the_textbook() {
    // Source: Winter 2009, Examples 4.3 and 4.4 (figures from memory, arithmetic checked): 3 kg, 0.20 m from the
    // knee, radius 0.141 m: 0.0596 about the centre, 0.1796 kg m2 about the knee. 80 kg, leg 0.435 m, about its
    // distal end: 0.2910 kg m2.
    let own = 3.0 * 0.141_f64.powi(2);
    assert!((own - 0.0596).abs() < 5e-5);
    assert!((about_its_end_kg_m2(3.0, 0.4, 0.5, own) - 0.1796).abs() < 5e-5);
    let mass_kg = 80.0 * WINTER_SHANK.mass_fraction;
    let own = mass_kg * (0.435 * WINTER_SHANK.radius_fraction.unwrap()).powi(2);
    let distal = about_its_end_kg_m2(mass_kg, 0.435, 1.0 - WINTER_SHANK.centre_fraction, own);
    // The printed end radius 0.643 is rounded; centre and radius together give 0.6424.
    assert!((distal - 0.2910).abs() < 0.2910 * 2.0 * 0.0007 / 0.643, "{distal}");
}

#[test]
fn a_uniform_rod_has_a_third_of_its_mass_times_length_squared_about_its_end() {
    // Exact: 1 kg, 1 m: I = 1/12 about the middle, 1/3 about the end, radius 0.57735.
    let end = about_its_end_kg_m2(1.0, 1.0, 0.5, 1.0 / 12.0);
    assert!((end - 1.0 / 3.0).abs() < 1e-15 && (end.sqrt() - 0.57735).abs() < 1e-5);
}

#[test]
fn the_shank_in_swing_needs_the_forces_and_the_moment_of_the_textbook() {
    // Source: Winter 2009, Examples 5.2 and 5.3 (figures from memory, arithmetic checked): foot 1.16 kg,
    // a 9.07 and -6.62 m/s2, alpha 21.69, I 0.01; shank 3.72 kg, a -0.03 and -4.21 m/s2, alpha 36.9, I 0.064,
    // arms 0.185 and 0.169 m to the ankle, 0.142 and 0.129 to the knee: 10.41 N, 24.48 N and 11.34 N m at the
    // knee. g is 9.8 there and 9.81 here: 0.05 N and, with those arms, 0.01 N m.
    let rotating = |at: [f64; 2], centre: [f64; 2], a: [f64; 2], alpha: f64| {
        let r = Vector2::from(at) - Vector2::from(centre);
        let acceleration_m_s2 = Vector2::from(a) + Vector2::new(-r.y, r.x) * alpha;
        State { position_m: at.into(), velocity_m_s: Vector2::zeros(), acceleration_m_s2 }
    };
    let foot = segment(Joint::Ankle, Joint::Toe, 1.16, 0.5, 0.01);
    let shank = segment(Joint::Knee, Joint::Ankle, 3.72, 0.5, 0.064);
    let (ankle, foot_at) = ([0.0, 0.0], [0.1195, -0.0985]);
    let shank_at = [-0.185, 0.169];
    let knee = [shank_at[0] - 0.142, shank_at[1] + 0.129];
    let mut m = body_state(
        &[foot],
        &[
            (Landmark::NearAnkle, rotating(ankle, foot_at, [9.07, -6.62], 21.69)),
            (Landmark::NearToe, rotating([0.239, -0.197], foot_at, [9.07, -6.62], 21.69)),
            (Landmark::NearKnee, still(knee[0], knee[1])),
            (Landmark::NearHip, still(0.0, 1.0)),
        ],
    );
    // The shank's centre need not lie on the line between its ends here, so that its motion is set as given.
    let mut of_shank = m.segments[0];
    of_shank.centre = rotating(shank_at, shank_at, [-0.03, -4.21], 36.9);
    of_shank.angular_acceleration_rad_s2 = 36.9;
    m.segments = vec![of_shank, m.segments[0]];
    let model = BodyModel { segments: vec![shank, foot], whole_body: false };
    let [_, knee, _] = free_leg_loads(&model, &m).unwrap();
    println!("{knee:?}");
    assert!((knee.force_n.x - 10.41).abs() < 0.005, "{knee:?}");
    assert!((knee.force_n.y - 24.48 - 0.01 * (1.16 + 3.72)).abs() < 0.01, "{knee:?}");
    assert!((knee.moment_n_m - 11.34).abs() < 0.03, "{knee:?}");
}

#[test]
fn padding_with_the_end_value_gives_the_output_of_a_general_signal_library() {
    // Source: SciPy 1.17 filtfilt, padtype constant, padlen 9; 6 Hz by the inexact 0.802 at 60 frames/s.
    let mut padded = vec![0.0; 14];
    padded.extend([1.0; 16]);
    Biquad::single_pass(6.0 / 0.802_243_262_9, 60.0).filter_both_ways(&mut padded);
    let expected =
        [-0.0376963177, -0.0344491416, 0.0153217509, 0.1463813811, 0.3681962720, 0.6318036866];
    for (got, expected) in padded[9..].iter().zip(expected) {
        assert!((got - expected).abs() < 1e-10, "{got} {expected}");
    }
}

#[test]
fn derivatives_amplify_noise_by_the_closed_form() {
    // Exact: white noise s: velocity s / (sqrt(2) dt), acceleration sqrt(6) s / dt^2; 2 mm at 60 frames/s give
    // 0.0849 m/s and 17.6 m/s2. Computed from the weight of each sample (root sum of squares).
    let weights = |f: &dyn Fn(&[f64]) -> Vec<f64>| -> f64 {
        let of = |i: usize| {
            let mut one = [0.0; 3];
            one[i] = 0.002;
            f(&one)[0].powi(2)
        };
        (0..3).map(of).sum::<f64>().sqrt()
    };
    let velocity = weights(&|x| mechanics::signal::central_difference(x, 60.0));
    let acceleration = weights(&|x| mechanics::signal::second_difference(x, 60.0));
    assert!((velocity - 0.0849).abs() < 5e-5, "{velocity}");
    assert!((acceleration - 17.6).abs() < 0.05, "{acceleration}");
}
