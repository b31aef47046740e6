//! The sentences of a comparison, case by case.

use crate::fixture::{example, input, trial_mut};
use document::results::{ResultCache, TrialPair, report};
use mechanics::body::MarkerSet;
use mechanics::comparison::{Difference, Fairness, Split};
use mechanics::measures::{Estimate, Measure};

fn of(difference: f64, interval: Option<(f64, f64)>) -> Difference {
    Difference {
        difference_si: difference,
        interval_95_si: interval,
        seen: interval.is_some_and(|(low, high)| low > 0.0 || high < 0.0),
        smallest_worthwhile_si: None,
    }
}

/// The example's pair with another difference in internal work, against 60.9 J.
fn pair(difference: Difference, split: Option<Split>) -> TrialPair {
    let mut pair = ResultCache::new().pair(&example()).unwrap().as_ref().clone();
    let first: &mut Estimate =
        pair.first.analysis.measures.get_mut(&Measure::InternalWork).unwrap();
    first.mean_si = 60.9;
    pair.comparison.differences.insert(Measure::InternalWork, difference);
    pair.comparison.split = split;
    pair
}

const SPLIT: Split = Split {
    cadence_j: 1.24,
    speed_j: 0.0,
    shape_j: -8.04,
    cadence_95_j: None,
    speed_95_j: None,
    shape_95_j: None,
};

#[test]
fn a_seen_difference_is_stated_with_its_interval_and_its_parts() {
    let pair = pair(of(-6.8, Some((-8.7, -4.9))), Some(SPLIT));
    assert_eq!(
        report::side_by_side_sentence(&pair),
        "The second way costs 6.8 J (11 %) less a stride, 95 % between 4.9 and 8.7. \
         Cadence accounts for +1.2, the shape of the movement for −8.0."
    );
}

#[test]
fn a_higher_cost_is_stated_as_more_and_another_speed_has_its_own_part() {
    let split = Split { cadence_j: 1.0, speed_j: 4.0, shape_j: 1.8, ..SPLIT };
    let pair = pair(of(6.8, Some((4.9, 8.7))), Some(split));
    assert_eq!(
        report::side_by_side_sentence(&pair),
        "The second way costs 6.8 J (11 %) more a stride, 95 % between 4.9 and 8.7. \
         Cadence accounts for +1.0, the other speed for +4.0, the shape of the movement for +1.8."
    );
}

#[test]
fn the_printed_parts_add_up_to_the_printed_difference() {
    let split = Split { cadence_j: 1.26, speed_j: 0.26, shape_j: -8.26, ..SPLIT };
    let pair = pair(of(-6.74, Some((-8.7, -4.9))), Some(split));
    let sentence = report::split_sentence(&pair).unwrap();
    assert_eq!(
        sentence,
        "Cadence accounts for +1.3, the other speed for +0.3, the shape of the movement for −8.3."
    );
}

#[test]
fn a_difference_that_is_not_seen_is_stated_too_and_not_explained() {
    let pair = pair(of(-0.8, Some((-3.1, 1.5))), Some(SPLIT));
    assert_eq!(
        report::side_by_side_sentence(&pair),
        "No difference that this measurement can see: second less first is −0.8 J a stride, 95 % between −3.1 and +1.5."
    );
}

#[test]
fn too_few_strides_and_missing_numbers_are_reported() {
    let few = report::side_by_side_sentence(&pair(of(-0.8, None), Some(SPLIT)));
    assert!(few.contains("too few strides"), "{few}");
    let nothing = report::side_by_side_sentence(&pair(of(f64::NAN, None), None));
    assert!(nothing.contains("cannot be compared"), "{nothing}");
    let mut without = pair(of(-0.8, None), None);
    without.comparison.differences.clear();
    assert!(report::side_by_side_sentence(&without).contains("cannot be compared"));
    assert!(report::difference_lines(&without).is_empty());
}

#[test]
fn a_difference_too_small_to_matter_is_marked_so() {
    let small = Difference { smallest_worthwhile_si: Some(6.09), ..of(-2.0, Some((-2.9, -1.1))) };
    let sentence = report::side_by_side_sentence(&pair(small, None));
    assert!(
        sentence.contains("less than 6.1 J, the smallest difference that matters"),
        "{sentence}"
    );
}

#[test]
fn an_unfair_comparison_states_why_and_what_to_do() {
    let mut pair = pair(of(-6.8, Some((-8.7, -4.9))), None);
    pair.comparison.fairness = vec![
        Fairness {
            key: "strides".into(),
            holds: true,
            found: "9 and 9.".into(),
            what_to_do: String::new(),
        },
        Fairness {
            key: "speed".into(),
            holds: false,
            found: "2.50 and 3.00 m/s.".into(),
            what_to_do: "Film both at one speed.".into(),
        },
    ];
    let fair = report::fairness_summary(&pair.comparison);
    assert!(!fair.is_fair);
    assert_eq!(
        fair.sentence,
        "Not like with like. Speed: 2.50 and 3.00 m/s. Film both at one speed."
    );
    assert_eq!(fair.lines[0].key, "speed");
    assert!(report::side_by_side_sentence(&pair).ends_with("Not like with like: speed."));
    pair.comparison.fairness.remove(1);
    assert_eq!(report::fairness_summary(&pair.comparison).sentence, "Like with like: strides.");
    pair.comparison.fairness.clear();
    assert!(report::fairness_summary(&pair.comparison).sentence.contains("was not checked"));
}

#[test]
fn limbs_that_are_not_marked_are_a_dash_with_a_reason() {
    let mut session = example();
    trial_mut(&mut session, 0).marker_set = MarkerSet::Legs;
    let result = ResultCache::new().trial(input(&session, 0));
    let analysed = result.as_ref().as_ref().unwrap();
    let ledger = report::ledger(&[analysed]);
    assert_eq!(ledger.lines[2].shown[0].sentence(), "— (arms are not marked)");
    assert!(report::headline(analysed).starts_with("A stride of the legs alone costs "));
    assert!(ledger.signs.contains("not marked"));
}

#[test]
fn two_entries_of_a_line_have_the_same_decimals() {
    let pair = ResultCache::new().pair(&example()).unwrap();
    let decimals = |text: &str| text.split_once('.').map_or(0, |(_, d)| d.len());
    for line in report::difference_lines(&pair) {
        assert_eq!(decimals(&line.first.value), decimals(&line.second.value), "{line:?}");
    }
}

#[test]
fn no_sentence_praises_alarms_blames_or_promises() {
    let pair = ResultCache::new().pair(&example()).unwrap();
    let mut all = vec![report::NOT_THIS.to_owned(), report::side_by_side_sentence(&pair)];
    all.extend(report::CAUTIONS.iter().map(|c| (*c).to_owned()));
    all.extend(report::footnotes(&[&pair.first, &pair.second]));
    all.push(report::headline(&pair.first));
    for measure in document::results::measure::all() {
        let row = document::results::measure::row(measure);
        all.extend([row.meaning, row.method].map(str::to_owned));
    }
    for sentence in all {
        let lower = sentence.to_lowercase();
        for word in [
            "improve",
            "better",
            "worse",
            "great",
            "danger",
            "wasted",
            "savings",
            "!",
            "elite",
            "efficient",
        ] {
            assert!(
                !lower.split(' ').any(|w| w.trim_end_matches(['.', ',', ':']) == word),
                "{word}: {sentence}"
            );
        }
    }
}
