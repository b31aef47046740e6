//! Over 200 measurements of one movement, the bands of moments and powers contain the true curve.

use crate::common::analysed;
use crate::common::random::Normal;
use crate::common::runner::{Runner, fixed, measured};
use mechanics::analysis::{Analysis, Curve, Quantity, Trial};
use mechanics::body::MarkerSet;

const MEASUREMENTS: u64 = 200;
const JOINT_QUANTITIES: [Quantity; 6] = [
    Quantity::HipMoment,
    Quantity::KneeMoment,
    Quantity::AnkleMoment,
    Quantity::HipPower,
    Quantity::KneePower,
    Quantity::AnklePower,
];

fn curve(analysis: &Analysis, quantity: Quantity) -> &Curve {
    analysis.curves.iter().find(|c| c.quantity == quantity).unwrap()
}

/// The trial with an error of its vertical, drawn at random.
fn rotated(mut trial: Trial, seed: u64) -> Trial {
    let by_rad = trial.vertical_sd_rad * Normal::seeded(seed).draw();
    let (sine, cosine) = by_rad.sin_cos();
    for point in trial.points.values_mut().flatten().flatten() {
        let (x_m, y_m) = (point.x_m, point.y_m);
        (point.x_m, point.y_m) = (cosine * x_m - sine * y_m, sine * x_m + cosine * y_m);
    }
    trial
}

#[test]
fn bands_of_moments_and_powers_contain_the_true_curve_at_90_to_98_percent_of_points() {
    // All strides are equal, so that the band is of the measurement alone: 3 mm a marker, 0.5 % of scale, 0.01 rad of
    // the vertical. The band is one SD: the truth is within 1.96 SD in 95 % of measurements.
    let exact = fixed(Runner::TYPICAL.even().filmed(8, MarkerSet::NearSide, 3), 8.0);
    let truth = analysed(&exact);
    let uncertain =
        Trial { marker_sd_m: 0.003, scale_sd_ratio: 0.005, vertical_sd_rad: 0.01, ..exact };
    let (mut within, mut points) = ([0_u64; 6], 0_u64);
    for seed in 0..MEASUREMENTS {
        let got = analysed(&rotated(measured(uncertain.clone(), 0.0, seed), 9000 + seed));
        // After toe-off, which may itself shift by a few of the hundred points.
        for i in 50..100 {
            points += 1;
            for (within, quantity) in within.iter_mut().zip(JOINT_QUANTITIES) {
                let got = curve(&got, quantity);
                let true_si = curve(&truth, quantity).mean_si[i].expect("in swing");
                let off_si = got.mean_si[i].expect("in swing") - true_si;
                *within += u64::from(off_si.abs() <= 1.96 * got.sd_si[i]);
            }
        }
    }
    let parts = within.map(|count| count as f64 / points as f64);
    for (part, quantity) in parts.iter().zip(JOINT_QUANTITIES) {
        println!("{quantity:?}: {:.1} % of {points}", 100.0 * part);
    }
    assert!(parts.iter().all(|p| (0.90..=0.98).contains(p)), "{parts:?}");
}
