//! The segment tables: consistency within each table, and known misprints of copies.

use mechanics::body::de_leva::{
    DE_LEVA_ROWS, DeLevaPair, DeLevaRow, FOOT_HEEL_TTIP, FOREARM_EJC_STYL, FOREARM_EJC_WJC,
    HAND_STYL_MET3, HAND_WJC_MET3, HEAD_VERT_MIDG, SHANK_KJC_AJC, SHANK_KJC_LMAL, SHANK_KJC_SPHY,
    THIGH_HJC_KJC, TRUNK_SUPR_MIDH, UPPER_ARM_SJC_EJC,
};
use mechanics::body::winter::{
    WINTER_FOOT, WINTER_HAT, WINTER_HAT_RIB, WINTER_HEAD_NECK, WINTER_ROWS, WINTER_SHANK,
    WINTER_THIGH, WINTER_TOTAL_ARM, WINTER_TOTAL_LEG, WINTER_TRUNK_HEAD_NECK,
};

#[test]
fn winters_masses_sum_to_the_body() {
    // Source: Winter 2009, Table 4.1: parts and wholes of the same table.
    let (leg, arm) = (WINTER_TOTAL_LEG.mass_fraction, WINTER_TOTAL_ARM.mass_fraction);
    assert!((WINTER_HAT.mass_fraction + 2.0 * leg - 1.0).abs() < 1e-12);
    assert!((WINTER_TRUNK_HEAD_NECK.mass_fraction + 2.0 * arm + 2.0 * leg - 1.0).abs() < 1e-12);
    let parts = WINTER_FOOT.mass_fraction + WINTER_SHANK.mass_fraction + WINTER_THIGH.mass_fraction;
    assert!((parts - leg).abs() < 1e-12);
    let trunk: f64 = WINTER_ROWS
        .iter()
        .filter(|r| ["head and neck", "thorax", "abdomen", "pelvis"].contains(&r.segment))
        .map(|r| r.mass_fraction)
        .sum();
    assert!((trunk - WINTER_TRUNK_HEAD_NECK.mass_fraction).abs() < 1e-12);
}

#[test]
fn winters_radii_obey_the_parallel_axis_theorem_except_for_the_known_misprint() {
    // Exact: r_proximal^2 = r_centre^2 + centre^2. The whole leg's printed end radii do not obey it.
    for row in WINTER_ROWS {
        let (Some(centre_radius), Some(proximal)) =
            (row.radius_fraction, row.end_radii.proximal_fraction)
        else {
            continue;
        };
        let expected = centre_radius.hypot(row.centre_fraction);
        let off = (proximal - expected).abs();
        if row == WINTER_TOTAL_LEG {
            assert!((0.005..0.008).contains(&off), "{off}");
        } else {
            assert!(off < 0.0035, "{}: {proximal} is not {expected}", row.segment);
        }
    }
    assert_eq!(WINTER_HEAD_NECK.end_radii.proximal_fraction, Some(1.116));
    assert_eq!(WINTER_HAT_RIB.end_radii.proximal_fraction, Some(1.456));
}

fn whole_body_mass_fraction(pick: fn(DeLevaPair) -> DeLevaRow) -> f64 {
    let of_both_sides = [
        UPPER_ARM_SJC_EJC,
        FOREARM_EJC_WJC,
        HAND_WJC_MET3,
        THIGH_HJC_KJC,
        SHANK_KJC_LMAL,
        FOOT_HEEL_TTIP,
    ];
    let paired: f64 = of_both_sides.into_iter().map(|p| 2.0 * pick(p).mass_fraction).sum();
    paired + pick(HEAD_VERT_MIDG).mass_fraction + pick(TRUNK_SUPR_MIDH).mass_fraction
}

#[test]
fn de_levas_masses_sum_to_the_body() {
    // Source: de Leva 1996, Table 4: men 100.00 %, women 99.99 %.
    assert!((whole_body_mass_fraction(|p| p.male) - 1.0).abs() < 1e-9);
    assert!((whole_body_mass_fraction(|p| p.female) - 0.9999).abs() < 1e-9);
}

#[test]
fn de_levas_alternative_end_points_give_the_same_centre_and_radius() {
    // Exact: from the same first end point the centre lies at the same distance and the radius is the same length.
    for (a, b) in [
        (SHANK_KJC_LMAL, SHANK_KJC_AJC),
        (SHANK_KJC_LMAL, SHANK_KJC_SPHY),
        (FOREARM_EJC_WJC, FOREARM_EJC_STYL),
    ] {
        for (a, b) in [(a.female, b.female), (a.male, b.male)] {
            let centre_m = |r: DeLevaRow| r.length_m * r.centre_fraction;
            assert!((centre_m(a) - centre_m(b)).abs() < 0.0002, "{} {}", a.segment, b.end_points);
            let radius_m = |r: DeLevaRow| r.length_m * r.mediolateral_fraction;
            assert!((radius_m(a) - radius_m(b)).abs() < 0.0005, "{} {}", a.segment, b.end_points);
        }
    }
}

#[test]
fn known_misprints_of_de_levas_table_are_corrected() {
    // Source: consistency of the table's own alternative rows: 0.531 of 78.0 mm is 41.4 mm, as 0.519 of
    // 79.9 mm is; 44.16 % of 432.3 mm is 190.9 mm, as 43.52 % of 438.6 mm is.
    let (hand, other) = (HAND_WJC_MET3.female, HAND_STYL_MET3.female);
    let apart_m = hand.anteroposterior_fraction * hand.length_m
        - other.anteroposterior_fraction * other.length_m;
    assert!(apart_m.abs() < 0.0003, "{apart_m}");
    assert!((SHANK_KJC_LMAL.female.length_m - 0.4323).abs() < 1e-12);
    assert!((HEAD_VERT_MIDG.male.mass_fraction - 0.0694).abs() < 1e-12);
}

#[test]
fn every_row_names_its_source() {
    for row in WINTER_ROWS {
        assert!(row.source.work.contains("Winter") && row.source.locus.contains("4.1"));
    }
    for pair in DE_LEVA_ROWS {
        for row in [pair.female, pair.male] {
            assert!(row.source.work.contains("de Leva 1996") && row.source.locus == "Table 4");
        }
    }
}
