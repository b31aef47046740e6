//! Published and closed-form worked examples, computed by the functions that trials use.

use mechanics::body::{BodyModel, End, Joint, Landmark, Lengths, Limb, MarkerSet, Segment, Table};
use mechanics::gait::Stride;
use mechanics::measures::energy::{positive_increments, stride_work};
use mechanics::measures::motion::{BodyState, SAMPLES, StrideMotion};
use mechanics::measures::swing::{free_leg_moments, leg_inertia_kg_m2};
use mechanics::signal::State;
use mechanics::space::Side;
use nalgebra::Vector2;
use std::collections::BTreeMap;

fn still(x_m: f64, y_m: f64) -> State {
    let zero = Vector2::zeros();
    State { position_m: Vector2::new(x_m, y_m), velocity_m_s: zero, acceleration_m_s2: zero }
}

/// The body state of a near leg (the far one coincides with it) for a model of the legs.
fn body_state(model: &BodyModel, near: &[(Landmark, State)]) -> BodyState {
    let mut landmarks: BTreeMap<Landmark, State> = near.iter().copied().collect();
    for (landmark, state) in near {
        landmarks.insert(Landmark::of(landmark.joint(), Side::Far), *state);
    }
    let end = |end: End| match end {
        End::Of(joint, side) => landmarks[&Landmark::of(joint, side)],
        End::Middle(joint) => landmarks[&Landmark::of(joint, Side::Near)],
    };
    let segments = model.segments.iter().map(|s| s.motion(end(s.from), end(s.to))).collect();
    let mid_hip = end(End::Middle(Joint::Hip));
    BodyState { landmarks: landmarks.into_iter().collect(), segments, centre: mid_hip, mid_hip }
}

fn lengths(states: &[(Landmark, State)]) -> Lengths {
    let at = |l: Landmark| states.iter().find(|s| s.0 == l).unwrap().1.position_m;
    let between = |a, b| (at(b) - at(a)).norm();
    Lengths {
        thigh_m: between(Landmark::NearHip, Landmark::NearKnee),
        shank_m: between(Landmark::NearKnee, Landmark::NearAnkle),
        foot_m: between(Landmark::NearAnkle, Landmark::NearToe),
        sole_m: between(Landmark::NearHeel, Landmark::NearToe),
        trunk_m: 0.5,
        upper_arm_m: 0.3,
        forearm_m: 0.25,
    }
}

fn leg_at_rest(
    toe: [f64; 2],
    ankle: [f64; 2],
    knee: [f64; 2],
    hip: [f64; 2],
) -> Vec<(Landmark, State)> {
    vec![
        (Landmark::NearHip, still(hip[0], hip[1])),
        (Landmark::NearKnee, still(knee[0], knee[1])),
        (Landmark::NearAnkle, still(ankle[0], ankle[1])),
        (Landmark::NearHeel, still(ankle[0] - 0.05, ankle[1] - 0.06)),
        (Landmark::NearToe, still(toe[0], toe[1])),
    ]
}

#[test]
fn centres_and_inertia_of_a_leg_are_those_of_the_textbook() {
    // Source: Winter 2009, Example 4.2 (coordinates in cm as in teaching notes), 100 kg: centres printed to
    // three decimals, more digits computed; inertia about the hip 3.316961 kg m2.
    let leg = leg_at_rest([1.011, 0.013], [0.849, 0.110], [0.864, 0.549], [0.721, 0.928]);
    let model = BodyModel::new(Table::WinterDempster, MarkerSet::Legs, 100.0, &lengths(&leg));
    let m = body_state(&model, &leg);
    let expected = [
        (0.782_919, 0.763_893, 0.171_193),
        (0.857_505, 0.358_913, 0.081_828),
        (0.930, 0.0615, 0.011_664),
    ];
    for ((segment, motion), (x_m, y_m, inertia_kg_m2)) in
        model.segments.iter().zip(&m.segments).zip(expected)
    {
        let centre = motion.centre.position_m;
        assert!((centre.x - x_m).abs() < 1e-6 && (centre.y - y_m).abs() < 1e-6, "{}", segment.name);
        assert!((segment.inertia_kg_m2 - inertia_kg_m2).abs() < 1e-6, "{}", segment.name);
    }
    assert!((leg_inertia_kg_m2(&model, &m) - 3.316_961).abs() < 1e-6);
    let near = || model.segments.iter().zip(&m.segments).filter(|(s, _)| s.limb == Limb::NearLeg);
    let mass: f64 = near().map(|(s, _)| s.mass_kg).sum();
    let limb: Vector2<f64> = near().map(|(s, m)| m.centre.position_m * s.mass_kg / mass).sum();
    assert!((limb.x - 0.817_707).abs() < 1e-6 && (limb.y - 0.583_668).abs() < 1e-6);
}

#[test]
fn folding_the_knee_reduces_the_legs_inertia_as_in_the_model_table() {
    // Source: model of a man of 70 kg and 1.75 m, thigh 0.245 H, shank 0.246 H, foot 0.12 m at right angles
    // to the shank; Winter's table; kg m2 at knee flexions in degrees.
    let expected = [
        (0.0, 2.419),
        (30.0, 2.325),
        (60.0, 2.016),
        (75.0, 1.806),
        (90.0, 1.576),
        (100.0, 1.420),
        (110.0, 1.267),
        (120.0, 1.121),
        (130.0, 0.988),
    ];
    let (thigh_m, shank_m) = (0.245 * 1.75, 0.246 * 1.75);
    for (degrees, inertia_kg_m2) in expected {
        let flexion = f64::to_radians(degrees);
        let knee = [0.0, 1.0 - thigh_m];
        let down = [-flexion.sin(), -flexion.cos()];
        let ankle = [knee[0] + shank_m * down[0], knee[1] + shank_m * down[1]];
        let toe = [ankle[0] - 0.12 * down[1], ankle[1] + 0.12 * down[0]];
        let leg = leg_at_rest(toe, ankle, knee, [0.0, 1.0]);
        let model = BodyModel::new(Table::WinterDempster, MarkerSet::Legs, 70.0, &lengths(&leg));
        let got = leg_inertia_kg_m2(&model, &body_state(&model, &leg));
        assert!((got - inertia_kg_m2).abs() < 6e-4, "{degrees}: {got}");
    }
}

#[test]
fn folding_the_knee_reduces_the_inertia_with_the_other_table_too() {
    // Source: the same model by de Leva's table for men. The source does not say how its foot of 0.12 m lies between
    // heel and toe tip; here the heel is 0.05 m behind the ankle, which makes up to 1 % of the leg's inertia. The
    // reduction in per cent must agree within one per cent.
    let expected = [
        (0.0, 2.410, 0.0),
        (30.0, 2.317, 3.9),
        (60.0, 2.023, 16.1),
        (75.0, 1.823, 24.4),
        (90.0, 1.605, 33.4),
        (100.0, 1.458, 39.5),
        (110.0, 1.314, 45.5),
        (120.0, 1.177, 51.2),
        (130.0, 1.052, 56.3),
    ];
    let (thigh_m, shank_m) = (0.245 * 1.75, 0.246 * 1.75);
    let mut straight = None;
    for (degrees, inertia_kg_m2, reduction) in expected {
        let flexion = f64::to_radians(degrees);
        let (knee, down) = ([0.0, 1.0 - thigh_m], [-flexion.sin(), -flexion.cos()]);
        let ankle = [knee[0] + shank_m * down[0], knee[1] + shank_m * down[1]];
        let along = |m: f64| [ankle[0] - m * down[1], ankle[1] + m * down[0]];
        let mut leg = leg_at_rest(along(0.12), ankle, knee, [0.0, 1.0]);
        let heel = along(-0.05);
        leg.retain(|(l, _)| *l != Landmark::NearHeel);
        leg.push((Landmark::NearHeel, still(heel[0], heel[1])));
        let model = BodyModel::new(Table::DeLevaMale, MarkerSet::Legs, 70.0, &lengths(&leg));
        let got = leg_inertia_kg_m2(&model, &body_state(&model, &leg));
        let got_reduction = 100.0 * (1.0 - got / *straight.get_or_insert(got));
        println!("{degrees}: {got:.4} kg m2, {got_reduction:.1} % less");
        assert!((got / inertia_kg_m2 - 1.0).abs() < 0.01, "{degrees}: {got}");
        assert!((got_reduction - reduction).abs() < 1.0, "{degrees}: {got_reduction}");
    }
}

fn rod(from: End, to: End, mass_kg: f64, centre_fraction: f64, inertia_kg_m2: f64) -> Segment {
    Segment { name: "rod", limb: Limb::NearLeg, from, to, mass_kg, centre_fraction, inertia_kg_m2 }
}

#[test]
fn the_free_foot_needs_the_moment_of_the_textbook() {
    // Source: Winter 2009, Example 5.2 (figures from memory, arithmetic checked: foot 1.16 kg,
    // a 9.07 and -6.62 m/s2, alpha 21.69, I 0.01, arms 0.0985 and 0.1195 m give 10.52 N, 3.69 N and 1.70 N m;
    // g is 9.8 there and 9.81 here, which shifts the moment by 0.001).
    let of = |joint| End::Of(joint, Side::Near);
    let foot = rod(of(Joint::Ankle), of(Joint::Toe), 1.16, 0.5, 0.01);
    let model = BodyModel { segments: vec![foot], whole_body: false };
    let centre = Vector2::new(0.1195, -0.0985);
    // A rigid foot at rest, with angular acceleration alpha about its accelerated centre.
    let alpha = 21.69;
    let accelerated = |position_m: Vector2<f64>| {
        let r = position_m - centre;
        State {
            position_m,
            velocity_m_s: Vector2::zeros(),
            acceleration_m_s2: Vector2::new(9.07, -6.62) + Vector2::new(-r.y, r.x) * alpha,
        }
    };
    let ankle = Vector2::zeros();
    let landmarks = vec![
        (Landmark::NearHip, still(0.0, 0.8)),
        (Landmark::NearKnee, still(0.0, 0.4)),
        (Landmark::NearAnkle, accelerated(ankle)),
        (Landmark::NearToe, accelerated(2.0 * centre - ankle)),
    ];
    let m = body_state(&model, &landmarks);
    assert!((m.segments[0].angular_acceleration_rad_s2 - alpha).abs() < 1e-9);
    let moments = free_leg_moments(&model, &m).unwrap();
    let (fx, fy): (f64, f64) = (1.16 * 9.07, 1.16 * (9.81 - 6.62));
    assert!((fx - 10.52).abs() < 0.005 && (fy - 3.70).abs() < 0.005);
    // With both arms on the side on which the force rotates the foot in the same direction: 1.695 N m.
    assert!((moments.ankle_n_m - 1.695).abs() < 0.005, "{}", moments.ankle_n_m);
}

/// One period of a leg that is one rod and swings about a fixed hip, as a stride.
fn swinging_rod(
    inertia_about_hip: f64,
    amplitude_rad: f64,
    rate_hz: f64,
) -> (BodyModel, StrideMotion) {
    let of = |joint| End::Of(joint, Side::Near);
    // A point mass at the rod's end has its whole inertia about the hip.
    let model = BodyModel {
        segments: vec![rod(of(Joint::Hip), of(Joint::Knee), inertia_about_hip, 1.0, 0.0)],
        whole_body: false,
    };
    let stride =
        Stride { side: Side::Near, start_s: 0.0, toe_off_s: 0.4 / rate_hz, end_s: 1.0 / rate_hz };
    let at = |i: usize| {
        let w = std::f64::consts::TAU * rate_hz;
        let t = i as f64 / (SAMPLES - 1) as f64 / rate_hz;
        let (angle, rate) = (amplitude_rad * (w * t).sin(), amplitude_rad * w * (w * t).cos());
        let (s, c) = (angle.sin(), angle.cos());
        let knee = State {
            position_m: Vector2::new(s, -c),
            velocity_m_s: Vector2::new(c, s) * rate,
            acceleration_m_s2: Vector2::zeros(),
        };
        body_state(&model, &[(Landmark::NearHip, still(0.0, 0.0)), (Landmark::NearKnee, knee)])
    };
    let samples = (0..SAMPLES).map(at).collect();
    (model, StrideMotion { stride, samples })
}

#[test]
fn a_leg_that_swings_sinusoidally_takes_the_work_of_the_closed_form() {
    // Exact: theta = A sin(2 pi f t) about a fixed hip takes I (2 pi f A)^2 a period: 46.786 J for
    // I = 2.4186 kg m2, A = 0.5 rad, f = 1.4 Hz.
    let (model, stride) = swinging_rod(2.4186, 0.5, 1.4);
    let work = stride_work(&model, &stride);
    assert!((work.internal_j - 46.786).abs() < 0.001, "{}", work.internal_j);
    assert!((work.forward_swing_j + work.backward_swing_j - work.internal_j).abs() < 1e-9);
    assert!((work.forward_swing_j - work.backward_swing_j).abs() < 1e-6);
    assert!((work.translational_j + work.rotational_j - work.internal_j).abs() < 1e-9);
}

#[test]
fn work_is_proportional_to_the_square_of_the_stride_rate() {
    let work = |rate_hz| {
        let (model, stride) = swinging_rod(2.0, 0.4, rate_hz);
        stride_work(&model, &stride).internal_j
    };
    assert!((work(2.8) / work(1.4) - 4.0).abs() < 1e-9);
}

#[test]
fn negative_increments_do_not_count() {
    assert_eq!(positive_increments(&[1.0, 3.0, 2.0, 2.5, 0.0]), 2.5);
}
