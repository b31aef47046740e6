//! Numbers as a person reads them: display units, the digits that the uncertainty allows, never a bare "not a number".

use mechanics::measures::Estimate;

/// Stands in for a number that is missing.
const NOTHING: &str = "—";

/// A unit on screen and in files, with its conversion from SI.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// J.
    Joule,
    /// W.
    Watt,
    /// W/kg.
    WattPerKilogram,
    /// J/(kg m).
    JoulePerKilogramMetre,
    /// Steps a minute, from Hz.
    StepsPerMinute,
    /// ms, from s.
    Millisecond,
    /// m.
    Metre,
    /// cm, from m.
    Centimetre,
    /// m/s.
    MetrePerSecond,
    /// Degrees, from rad.
    Angle,
    /// kg m2.
    KilogramSquareMetre,
    /// N m.
    NewtonMetre,
    /// Per cent, from a pure number.
    Percent,
}

impl Unit {
    /// The symbol of the unit, as printed after a number.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Unit::Joule => "J",
            Unit::Watt => "W",
            Unit::WattPerKilogram => "W/kg",
            Unit::JoulePerKilogramMetre => "J/kg/m",
            Unit::StepsPerMinute => "steps/min",
            Unit::Millisecond => "ms",
            Unit::Metre => "m",
            Unit::Centimetre => "cm",
            Unit::MetrePerSecond => "m/s",
            Unit::Angle => "°",
            Unit::KilogramSquareMetre => "kg m²",
            Unit::NewtonMetre => "N m",
            Unit::Percent => "%",
        }
    }

    /// The symbol of the unit in plain letters, for files.
    #[must_use]
    pub fn in_files(self) -> &'static str {
        match self {
            Unit::Angle => "deg",
            Unit::KilogramSquareMetre => "kg m2",
            other => other.symbol(),
        }
    }

    /// Number of this unit in one SI unit.
    #[must_use]
    pub fn per_si(self) -> f64 {
        match self {
            Unit::StepsPerMinute => 60.0,
            Unit::Millisecond => 1000.0,
            Unit::Centimetre | Unit::Percent => 100.0,
            Unit::Angle => 180.0 / std::f64::consts::PI,
            _ => 1.0,
        }
    }

    /// A value in SI, in this unit.
    #[must_use]
    pub fn shown(self, value_si: f64) -> f64 {
        value_si * self.per_si()
    }

    /// A number with this unit behind it: `12.3 J`, `91°`.
    #[must_use]
    pub fn behind(self, number: &str) -> String {
        match self {
            Unit::Angle => format!("{number}°"),
            _ => format!("{number} {}", self.symbol()),
        }
    }
}

/// Decimals that an uncertainty allows: down to its first digit, or its second if the first is a 1; never more than
/// `most`. Chosen: common practice.
#[must_use]
pub fn decimals_for(uncertainty: Option<f64>, most: usize) -> usize {
    let Some(size) = uncertainty.map(f64::abs).filter(|u| u.is_finite() && *u > 0.0) else {
        return most;
    };
    let exponent = size.log10().floor();
    let leading = size / 10_f64.powf(exponent);
    // 1.95 and more is printed with the 2 it rounds to.
    let wanted = if leading < 1.95 { 1.0 - exponent } else { -exponent };
    (0..=most).rev().find(|d| wanted >= *d as f64).unwrap_or(0)
}

/// A number with this many decimals and a true minus sign; a dash if it is not finite.
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NOTHING.to_owned();
    }
    let text = format!("{value:.decimals$}");
    let digits = text.trim_start_matches('-');
    let is_zero = digits.chars().all(|c| c == '0' || c == '.');
    if text.starts_with('-') && !is_zero { format!("−{digits}") } else { digits.to_owned() }
}

/// A number that shows its sign even if it is positive.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    let is_zero = text.chars().all(|c| c == '0' || c == '.');
    if value.is_finite() && value > 0.0 && !is_zero { format!("+{text}") } else { text }
}

/// An estimate as text, in its display unit.
#[derive(Clone, Debug, PartialEq)]
pub struct ShownValue {
    /// The mean, or a dash.
    pub value: String,
    /// The standard deviation over strides, without its sign.
    pub sd: Option<String>,
    /// Number of strides.
    pub n: usize,
    /// Both ends of the 95 % interval of the mean.
    pub interval_95: Option<(String, String)>,
    /// The unit.
    pub unit: Unit,
    /// Why there is no number; none if there is one.
    pub reason: Option<String>,
}

impl ShownValue {
    /// An estimate with this many decimals; see [`decimals_of`].
    #[must_use]
    pub fn of(estimate: &Estimate, unit: Unit, decimals: usize) -> Self {
        if !estimate.mean_si.is_finite() || estimate.n == 0 {
            return Self::none(unit, "it could not be computed from these positions");
        }
        let text = |value_si: f64| number(unit.shown(value_si), decimals);
        Self {
            value: text(estimate.mean_si),
            sd: estimate
                .sd_si
                .filter(|s| s.is_finite() && *s > 0.0)
                .map(|s| spread(unit.shown(s), decimals)),
            n: estimate.n,
            interval_95: finite_pair(estimate.interval_95_si)
                .map(|(low, high)| (text(low), text(high))),
            unit,
            reason: None,
        }
    }

    /// A dash, with the reason for it.
    #[must_use]
    pub fn none(unit: Unit, reason: &str) -> Self {
        Self {
            value: NOTHING.to_owned(),
            sd: None,
            n: 0,
            interval_95: None,
            unit,
            reason: Some(reason.to_owned()),
        }
    }

    /// Value and SD without the unit: `60.9 ± 0.8`.
    #[must_use]
    pub fn pair(&self) -> String {
        match &self.sd {
            Some(sd) => format!("{} ± {sd}", self.value),
            None => self.value.clone(),
        }
    }

    /// All in one line: `60.9 ± 0.8 J (n 9)`, or a dash with its reason.
    #[must_use]
    pub fn sentence(&self) -> String {
        match &self.reason {
            Some(reason) => format!("{NOTHING} ({reason})"),
            None if self.sd.is_none() && self.n < 2 => {
                format!("{} (n {}, so no SD)", self.unit.behind(&self.value), self.n)
            }
            None => format!("{} (n {})", self.unit.behind(&self.pair()), self.n),
        }
    }
}

/// A spread above zero is never printed as zero: `0.8`, or `<0.1`.
fn spread(sd: f64, decimals: usize) -> String {
    let least = 10_f64.powi(-i32::try_from(decimals).unwrap_or(0));
    if sd < least / 2.0 { format!("<{}", number(least, decimals)) } else { number(sd, decimals) }
}

/// The decimals that the uncertainty of a mean allows in this unit, at most `most`.
#[must_use]
pub fn decimals_of(estimate: &Estimate, unit: Unit, most: usize) -> usize {
    decimals_for(uncertainty_si(estimate).map(|u| unit.shown(u)), most)
}

/// The standard uncertainty of a mean: a quarter of its 95 % interval, otherwise its SD over strides.
#[must_use]
fn uncertainty_si(estimate: &Estimate) -> Option<f64> {
    finite_pair(estimate.interval_95_si)
        .map(|(low, high)| (high - low).abs() / 4.0)
        .or(estimate.sd_si)
        .filter(|u| u.is_finite() && *u > 0.0)
}

/// Both ends, if both are finite.
#[must_use]
pub fn finite_pair(pair: Option<(f64, f64)>) -> Option<(f64, f64)> {
    pair.filter(|(low, high)| low.is_finite() && high.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_end_at_the_first_digit_of_the_uncertainty_or_the_second_after_a_one() {
        let cases = [(0.84, 1), (0.14, 2), (1.1, 1), (3.0, 0), (25.0, 0), (0.0021, 3), (0.0195, 2)];
        for (uncertainty, decimals) in cases {
            assert_eq!(decimals_for(Some(uncertainty), 3), decimals, "{uncertainty}");
        }
        assert_eq!(decimals_for(Some(1e-9), 2), 2);
        assert_eq!(decimals_for(None, 2), 2);
        assert_eq!(decimals_for(Some(f64::NAN), 2), 2);
    }

    #[test]
    fn a_number_is_never_printed_as_nan_infinite_or_minus_zero() {
        assert_eq!(number(f64::NAN, 1), "—");
        assert_eq!(number(f64::NEG_INFINITY, 1), "—");
        assert_eq!(number(-0.04, 1), "0.0");
        assert_eq!(number(-8.04, 1), "−8.0");
        assert_eq!(signed(1.24, 1), "+1.2");
        assert_eq!(signed(0.04, 1), "0.0");
        assert_eq!(signed(f64::INFINITY, 1), "—");
    }

    #[test]
    fn a_mean_is_shown_with_its_spread_its_count_and_its_unit() {
        let estimate = Estimate {
            values_si: vec![60.1, 61.7],
            mean_si: 60.92,
            sd_si: Some(0.84),
            n: 9,
            measured_sd_si: 0.2,
            interval_95_si: Some((59.9, 61.9)),
            notes: Vec::new(),
        };
        assert_eq!(decimals_of(&estimate, Unit::Joule, 2), 1);
        let shown = ShownValue::of(&estimate, Unit::Joule, 1);
        assert_eq!(shown.sentence(), "60.9 ± 0.8 J (n 9)");
        let entered = Estimate { sd_si: Some(0.0), ..estimate.clone() };
        assert_eq!(ShownValue::of(&entered, Unit::Joule, 1).sentence(), "60.9 J (n 9)");
        let steady = Estimate { sd_si: Some(0.004), ..estimate.clone() };
        assert_eq!(ShownValue::of(&steady, Unit::Joule, 1).sentence(), "60.9 ± <0.1 J (n 9)");
        let single = Estimate { sd_si: None, n: 1, ..estimate.clone() };
        assert_eq!(ShownValue::of(&single, Unit::Joule, 1).sentence(), "60.9 J (n 1, so no SD)");
        let lost = Estimate { mean_si: f64::NAN, ..estimate };
        assert!(ShownValue::of(&lost, Unit::Joule, 2).sentence().starts_with("— (it could not"));
    }

    #[test]
    fn a_right_angle_is_ninety_degrees() {
        let degrees = Unit::Angle.shown(std::f64::consts::FRAC_PI_2);
        assert!((degrees - 90.0).abs() < 1e-12);
        assert_eq!(Unit::Angle.behind("90"), "90°");
    }
}
