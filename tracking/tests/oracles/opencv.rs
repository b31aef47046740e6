//! OpenCV on the same pictures; `tracking/tests/opencv/fixtures.py` names the version and computes the numbers.

use super::picture::{moved, places, region};
use tracking::image::ImagePoint;
use tracking::point::{FlowScratch, Template, flow};

/// Columns of the lines that begin with a word.
fn lines(word: &str) -> Vec<Vec<f64>> {
    let text = include_str!("../opencv/expected.csv");
    let own = text.lines().filter_map(|line| line.strip_prefix(word));
    own.map(|line| line.split(',').skip(1).map(|n| n.parse().unwrap()).collect()).collect()
}

#[test]
fn both_make_the_same_pictures() {
    for line in lines("picture") {
        let [right, down, first, sum, weighted] = line[..] else { panic!("{line:?}") };
        let bytes = moved(right as i64, down as i64);
        assert_eq!(f64::from(bytes[0]), first);
        assert_eq!(bytes.iter().map(|b| f64::from(*b)).sum::<f64>(), sum);
        let places = bytes.iter().enumerate().map(|(i, b)| (i % 1009) as f64 * f64::from(*b));
        assert_eq!(places.sum::<f64>(), weighted);
    }
}

#[test]
fn flow_agrees_with_opencv() {
    let from = moved(0, 0);
    let (mut apart, places) = (Vec::new(), places());
    for line in lines("flow") {
        let [right, down, index, x_px, y_px] = line[..] else { panic!("{line:?}") };
        let to = moved(right as i64, down as i64);
        let at = places[index as usize];
        let (a, b) = (region(&from, at), region(&to, at));
        let found = flow(a.point(at), b.point(at), 10, &mut FlowScratch::default()).unwrap();
        apart.push(found.distance_px(ImagePoint { x_px, y_px }));
    }
    assert_eq!(apart.len(), 75);
    apart.sort_by(f64::total_cmp);
    // OpenCV takes other weights for its gradients and counts in whole numbers of 1/32 grey level.
    assert!(apart[37] < 0.01, "median {}", apart[37]);
    assert!(apart[74] < 0.05, "most {}", apart[74]);
}

#[test]
fn correlation_agrees_with_opencv() {
    let (from, to) = (moved(0, 0), moved(13, -9));
    let places = places();
    let found = lines("zncc");
    assert_eq!(found.len(), 3 * 49);
    for line in found {
        let [index, dx, dy, correlation] = line[..] else { panic!("{line:?}") };
        let at = places[index as usize];
        let at = ImagePoint { x_px: at.x_px.floor(), ..at };
        let (a, b) = (region(&from, at), region(&to, at));
        let template = Template::take(&a, at, 10).unwrap();
        let (x, y) = b.local(at, 0);
        let scores = template.search(b.level(0), x as usize, y as usize, 8).unwrap();
        let own = f64::from(scores.at(dx as i64, dy as i64).unwrap());
        // Both in single precision.
        assert!((own - correlation).abs() < 5e-4, "{line:?}: {own}");
    }
}
