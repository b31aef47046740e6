//! The segment table of de Leva 1996 for both sexes, with alternative end points.

use crate::source::Source;

/// A row for one sex: the sample's mean length, and fractions of body mass or segment length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeLevaRow {
    /// Segment.
    pub segment: &'static str,
    /// End points; the centre is measured from the first.
    pub end_points: &'static str,
    /// Mean length in the sample.
    pub length_m: f64,
    /// Mass as a fraction of body mass.
    pub mass_fraction: f64,
    /// Centre of mass from the first end point.
    pub centre_fraction: f64,
    /// Radius of gyration about the anteroposterior axis (printed as sagittal).
    pub anteroposterior_fraction: f64,
    /// Radius of gyration about the mediolateral axis (printed as transverse): the one that a side view needs.
    pub mediolateral_fraction: f64,
    /// Radius of gyration about the long axis.
    pub longitudinal_fraction: f64,
    /// Where it was published.
    pub source: Source,
}

const TABLE_4: Source =
    Source { work: "de Leva 1996, J Biomech 29:1223-1230 (after Zatsiorsky)", locus: "Table 4" };

/// A row in the printed units: length in mm, then mass, centre and radii (sagittal, transverse, longitudinal) in %.
const fn row(segment: &'static str, end_points: &'static str, printed: [f64; 6]) -> DeLevaRow {
    let [length, mass, centre, sagittal, transverse, longitudinal] = printed;
    DeLevaRow {
        segment,
        end_points,
        length_m: length / 1000.0,
        mass_fraction: mass / 100.0,
        centre_fraction: centre / 100.0,
        anteroposterior_fraction: sagittal / 100.0,
        mediolateral_fraction: transverse / 100.0,
        longitudinal_fraction: longitudinal / 100.0,
        source: TABLE_4,
    }
}

/// One segment between one pair of end points, for both sexes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeLevaPair {
    /// Women.
    pub female: DeLevaRow,
    /// Men.
    pub male: DeLevaRow,
}

/// Head between VERT and MIDG.
pub const HEAD_VERT_MIDG: DeLevaPair = DeLevaPair {
    female: row("head", "VERT / MIDG", [200.2, 6.68, 58.94, 33.0, 35.9, 31.8]),
    male: row("head", "VERT / MIDG", [203.3, 6.94, 59.76, 36.2, 37.6, 31.2]),
};
/// Trunk between SUPR and MIDH.
pub const TRUNK_SUPR_MIDH: DeLevaPair = DeLevaPair {
    female: row("trunk", "SUPR / MIDH", [529.3, 42.57, 41.51, 35.7, 33.9, 17.1]),
    male: row("trunk", "SUPR / MIDH", [531.9, 43.46, 44.86, 37.2, 34.7, 19.1]),
};
/// Upper trunk between SUPR and XYPH.
const UPPER_TRUNK_SUPR_XYPH: DeLevaPair = DeLevaPair {
    female: row("upper trunk", "SUPR / XYPH", [142.5, 15.45, 20.77, 74.6, 50.2, 71.8]),
    male: row("upper trunk", "SUPR / XYPH", [170.7, 15.96, 29.99, 71.6, 45.4, 65.9]),
};
/// Middle trunk between XYPH and OMPH.
const MIDDLE_TRUNK_XYPH_OMPH: DeLevaPair = DeLevaPair {
    female: row("middle trunk", "XYPH / OMPH", [205.3, 14.65, 45.12, 43.3, 35.4, 41.5]),
    male: row("middle trunk", "XYPH / OMPH", [215.5, 16.33, 45.02, 48.2, 38.3, 46.8]),
};
/// Lower trunk between OMPH and MIDH.
const LOWER_TRUNK_OMPH_MIDH: DeLevaPair = DeLevaPair {
    female: row("lower trunk", "OMPH / MIDH", [181.5, 12.47, 49.2, 43.3, 40.2, 44.4]),
    male: row("lower trunk", "OMPH / MIDH", [145.7, 11.17, 61.15, 61.5, 55.1, 58.7]),
};
/// Upper arm between SJC and EJC.
pub const UPPER_ARM_SJC_EJC: DeLevaPair = DeLevaPair {
    female: row("upper arm", "SJC / EJC", [275.1, 2.55, 57.54, 27.8, 26.0, 14.8]),
    male: row("upper arm", "SJC / EJC", [281.7, 2.71, 57.72, 28.5, 26.9, 15.8]),
};
/// Forearm between EJC and WJC.
pub const FOREARM_EJC_WJC: DeLevaPair = DeLevaPair {
    female: row("forearm", "EJC / WJC", [264.3, 1.38, 45.59, 26.1, 25.7, 9.4]),
    male: row("forearm", "EJC / WJC", [268.9, 1.62, 45.74, 27.6, 26.5, 12.1]),
};
/// Hand between WJC and MET3.
pub const HAND_WJC_MET3: DeLevaPair = DeLevaPair {
    female: row("hand", "WJC / MET3", [78.0, 0.56, 74.74, 53.1, 45.4, 33.5]),
    male: row("hand", "WJC / MET3", [86.2, 0.61, 79.0, 62.8, 51.3, 40.1]),
};
/// Thigh between HJC and KJC.
pub const THIGH_HJC_KJC: DeLevaPair = DeLevaPair {
    female: row("thigh", "HJC / KJC", [368.5, 14.78, 36.12, 36.9, 36.4, 16.2]),
    male: row("thigh", "HJC / KJC", [422.2, 14.16, 40.95, 32.9, 32.9, 14.9]),
};
/// Shank between KJC and LMAL.
pub const SHANK_KJC_LMAL: DeLevaPair = DeLevaPair {
    female: row("shank", "KJC / LMAL", [432.3, 4.81, 44.16, 27.1, 26.7, 9.3]),
    male: row("shank", "KJC / LMAL", [434.0, 4.33, 44.59, 25.5, 24.9, 10.3]),
};
/// Foot between HEEL and TTIP.
pub const FOOT_HEEL_TTIP: DeLevaPair = DeLevaPair {
    female: row("foot", "HEEL / TTIP", [228.3, 1.29, 40.14, 29.9, 27.9, 13.9]),
    male: row("foot", "HEEL / TTIP", [258.1, 1.37, 44.15, 25.7, 24.5, 12.4]),
};
/// Head between VERT and CERV (alternative end points).
const HEAD_VERT_CERV: DeLevaPair = DeLevaPair {
    female: row("head", "VERT / CERV", [243.7, 6.68, 48.41, 27.1, 29.5, 26.1]),
    male: row("head", "VERT / CERV", [242.9, 6.94, 50.02, 30.3, 31.5, 26.1]),
};
/// Trunk between CERV and MIDH (alternative end points).
const TRUNK_CERV_MIDH: DeLevaPair = DeLevaPair {
    female: row("trunk", "CERV / MIDH", [614.8, 42.57, 49.64, 30.7, 29.2, 14.7]),
    male: row("trunk", "CERV / MIDH", [603.3, 43.46, 51.38, 32.8, 30.6, 16.9]),
};
/// Trunk between MIDS and MIDH (alternative end points).
pub const TRUNK_MIDS_MIDH: DeLevaPair = DeLevaPair {
    female: row("trunk", "MIDS / MIDH", [497.9, 42.57, 37.82, 37.9, 36.1, 18.2]),
    male: row("trunk", "MIDS / MIDH", [515.5, 43.46, 43.1, 38.4, 35.8, 19.7]),
};
/// Upper trunk between CERV and XYPH (alternative end points).
const UPPER_TRUNK_CERV_XYPH: DeLevaPair = DeLevaPair {
    female: row("upper trunk", "CERV / XYPH", [228.0, 15.45, 50.5, 46.6, 31.4, 44.9]),
    male: row("upper trunk", "CERV / XYPH", [242.1, 15.96, 50.66, 50.5, 32.0, 46.5]),
};
/// Forearm between EJC and STYL (alternative end points).
pub const FOREARM_EJC_STYL: DeLevaPair = DeLevaPair {
    female: row("forearm", "EJC / STYL", [262.4, 1.38, 45.92, 26.3, 25.9, 9.5]),
    male: row("forearm", "EJC / STYL", [266.9, 1.62, 46.08, 27.8, 26.7, 12.2]),
};
/// Hand between WJC and DAC3 (alternative end points).
const HAND_WJC_DAC3: DeLevaPair = DeLevaPair {
    female: row("hand", "WJC / DAC3", [170.1, 0.56, 34.27, 24.4, 20.8, 15.4]),
    male: row("hand", "WJC / DAC3", [187.9, 0.61, 36.24, 28.8, 23.5, 18.4]),
};
/// Hand between STYL and DAC3 (alternative end points).
const HAND_STYL_DAC3: DeLevaPair = DeLevaPair {
    female: row("hand", "STYL / DAC3", [172.0, 0.56, 35.02, 24.1, 20.6, 15.2]),
    male: row("hand", "STYL / DAC3", [189.9, 0.61, 36.91, 28.5, 23.3, 18.2]),
};
/// Hand between STYL and MET3 (alternative end points).
pub const HAND_STYL_MET3: DeLevaPair = DeLevaPair {
    female: row("hand", "STYL / MET3", [79.9, 0.56, 75.34, 51.9, 44.3, 32.7]),
    male: row("hand", "STYL / MET3", [88.2, 0.61, 79.48, 61.4, 50.2, 39.2]),
};
/// Shank between KJC and AJC (alternative end points).
pub const SHANK_KJC_AJC: DeLevaPair = DeLevaPair {
    female: row("shank", "KJC / AJC", [438.6, 4.81, 43.52, 26.7, 26.3, 9.2]),
    male: row("shank", "KJC / AJC", [440.3, 4.33, 43.95, 25.1, 24.6, 10.2]),
};
/// Shank between KJC and SPHY (alternative end points).
pub const SHANK_KJC_SPHY: DeLevaPair = DeLevaPair {
    female: row("shank", "KJC / SPHY", [426.0, 4.81, 44.81, 27.5, 27.1, 9.4]),
    male: row("shank", "KJC / SPHY", [427.7, 4.33, 45.24, 25.8, 25.3, 10.5]),
};

/// Every row.
pub const DE_LEVA_ROWS: [DeLevaPair; 21] = [
    HEAD_VERT_MIDG,
    TRUNK_SUPR_MIDH,
    UPPER_TRUNK_SUPR_XYPH,
    MIDDLE_TRUNK_XYPH_OMPH,
    LOWER_TRUNK_OMPH_MIDH,
    UPPER_ARM_SJC_EJC,
    FOREARM_EJC_WJC,
    HAND_WJC_MET3,
    THIGH_HJC_KJC,
    SHANK_KJC_LMAL,
    FOOT_HEEL_TTIP,
    HEAD_VERT_CERV,
    TRUNK_CERV_MIDH,
    TRUNK_MIDS_MIDH,
    UPPER_TRUNK_CERV_XYPH,
    FOREARM_EJC_STYL,
    HAND_WJC_DAC3,
    HAND_STYL_DAC3,
    HAND_STYL_MET3,
    SHANK_KJC_AJC,
    SHANK_KJC_SPHY,
];
