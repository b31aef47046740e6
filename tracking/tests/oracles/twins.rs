//! Each fast routine against its slow twin in double precision.

use super::picture::{moved, places, region};
use super::plain::value;
use tracking::image::{ImagePoint, Plane, Region};
use tracking::point::{Fitter, FlowScratch, Template, flow};

/// Offsets inside a disc of radius `half + 0.5`.
fn disc(half: i64) -> Vec<(f64, f64)> {
    let square = (-half..=half).flat_map(|j| (-half..=half).map(move |i| (i, j)));
    square
        .filter(|(i, j)| i * i + j * j <= half * half + half)
        .map(|(i, j)| (i as f64, j as f64))
        .collect()
}

/// Zero-mean normalised cross-correlation by its definition.
fn zncc(a: &[f64], b: &[f64]) -> f64 {
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    let (ma, mb) = (mean(a), mean(b));
    let sum =
        |f: &dyn Fn(f64, f64) -> f64| a.iter().zip(b).map(|(x, y)| f(x - ma, y - mb)).sum::<f64>();
    sum(&|x, y| x * y) / (sum(&|x, _| x * x) * sum(&|_, y| y * y)).sqrt()
}

fn read(plane: &Plane, at: (f64, f64), offsets: &[(f64, f64)]) -> Vec<f64> {
    offsets.iter().map(|(i, j)| value(plane, at.0 + i, at.1 + j)).collect()
}

#[test]
fn the_search_gives_the_plain_correlation_at_every_pixel() {
    let (from, to) = (moved(0, 0), moved(13, -9));
    for at in places().into_iter().step_by(4) {
        let at = ImagePoint { x_px: at.x_px.floor(), ..at };
        // Lines of places shorter than a block of sums, one longer than a block, and several blocks long.
        for (half, radius) in [(6_i64, 8_i64), (10, 8), (5, 3), (6, 16)] {
            let (a, b) = (region(&from, at), region(&to, at));
            let template = Template::take(&a, at, half as usize).unwrap();
            let (x, y) = b.local(at, 0);
            let scores =
                template.search(b.level(0), x as usize, y as usize, radius as usize).unwrap();
            let offsets = disc(half);
            let own = read(a.level(0), (f64::from(x), f64::from(y)), &offsets);
            for (dx, dy) in (-radius..=radius).flat_map(|j| (-radius..=radius).map(move |i| (i, j)))
            {
                let there = (f64::from(x) + dx as f64, f64::from(y) + dy as f64);
                let plain = zncc(&own, &read(b.level(0), there, &offsets));
                let fast = f64::from(scores.at(dx, dy).unwrap());
                // Sums of some hundred products in single precision.
                assert!((fast - plain).abs() < 2e-4, "{at:?} {dx} {dy}: {fast} {plain}");
            }
        }
    }
}

#[test]
fn templates_searched_together_are_found_as_each_alone() {
    let (from, to) = (moved(0, 0), moved(13, -9));
    for at in places().into_iter().step_by(4) {
        let (a, b) = (region(&from, at), region(&to, at));
        let take = |region: &Region, half| Template::take(region, at, half).unwrap();
        let (one, other, larger) = (take(&a, 8), take(&b, 8), take(&a, 10));
        let (x, y) = b.local(at, 0);
        let (x, y) = (x as usize, y as usize);
        let found = Template::search_each(&[&one, &larger, &other], b.level(0), (x, y), 9).unwrap();
        let alone = [&one, &other].map(|t| t.search(b.level(0), x, y, 9).unwrap());
        assert_eq!(found, alone, "{at:?}");
    }
}

/// Lucas-Kanade at the finest scale by its definition, from a guess until it no longer moves.
fn plain_flow(
    from: &Region,
    to: &Region,
    at: ImagePoint,
    guess: ImagePoint,
    half: i64,
) -> ImagePoint {
    let (a, b) = (from.level(0), to.level(0));
    let local = |region: &Region, p: ImagePoint| {
        let zero = region.global(0.0, 0.0);
        (p.x_px - zero.x_px, p.y_px - zero.y_px)
    };
    let (p, mut q) = (local(from, at), local(to, guess));
    let square: Vec<(f64, f64)> =
        (-half..=half).flat_map(|j| (-half..=half).map(move |i| (i as f64, j as f64))).collect();
    for _ in 0..60 {
        let mut g = [0.0; 5];
        for (i, j) in &square {
            let (x, y) = (p.0 + i, p.1 + j);
            let gx = 0.5 * (value(a, x + 1.0, y) - value(a, x - 1.0, y));
            let gy = 0.5 * (value(a, x, y + 1.0) - value(a, x, y - 1.0));
            let miss = value(a, x, y) - value(b, q.0 + i, q.1 + j);
            for (sum, term) in g.iter_mut().zip([gx * gx, gx * gy, gy * gy, miss * gx, miss * gy]) {
                *sum += term;
            }
        }
        let [xx, xy, yy, bx, by] = g;
        let determinant = xx * yy - xy * xy;
        q = (q.0 + (yy * bx - xy * by) / determinant, q.1 + (xx * by - xy * bx) / determinant);
    }
    let zero = to.global(0.0, 0.0);
    ImagePoint { x_px: zero.x_px + q.0, y_px: zero.y_px + q.1 }
}

#[test]
fn flow_ends_where_the_plain_sums_end() {
    let (from, to) = (moved(0, 0), moved(11, -6));
    for at in places() {
        let (a, b) = (region(&from, at), region(&to, at));
        let fast = flow(a.point(at), b.point(at), 10, &mut FlowScratch::default()).unwrap();
        let plain = plain_flow(&a, &b, at, at.moved(2.75, -1.5), 10);
        // The fast one stops once a step is under 0.001 px.
        assert!(fast.distance_px(plain) < 3e-3, "{at:?}: {fast:?} {plain:?}");
    }
}

#[test]
fn the_fit_ends_where_the_plain_correlation_is_highest() {
    let (from, to) = (moved(0, 0), moved(3, 5));
    for at in places().into_iter().step_by(3) {
        let (a, b) = (region(&from, at), region(&to, at));
        let fitter = Fitter::new(Template::take(&a, at, 10).unwrap()).unwrap();
        let fit = fitter.settle(&b, at.moved(1.0, 1.0), 3.0, &mut Vec::new()).unwrap();
        let offsets = disc(10);
        let (zero, start) = (a.global(0.0, 0.0), b.global(0.0, 0.0));
        let own = read(a.level(0), (at.x_px - zero.x_px, at.y_px - zero.y_px), &offsets);
        let score = |dx: f64, dy: f64| {
            let place = (fit.at.x_px + dx - start.x_px, fit.at.y_px + dy - start.y_px);
            zncc(&own, &read(b.level(0), place, &offsets))
        };
        let here = score(0.0, 0.0);
        assert!((here - f64::from(fit.correlation)).abs() < 1e-4);
        // A twentieth of a pixel away on any side it is lower.
        for (dx, dy) in [(0.05, 0.0), (-0.05, 0.0), (0.0, 0.05), (0.0, -0.05)] {
            assert!(score(dx, dy) < here, "{at:?} {dx} {dy}");
        }
    }
}
