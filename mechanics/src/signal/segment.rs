//! Unbroken segments of a landmark's track on the even grid, with short gaps filled.

use super::grid::Grid;
use super::spline::Spline;
use crate::space::Point;

/// Longest gap that is filled. Chosen: a stride takes about 0.7 s and its fastest part, the swing, half of that; a
/// spline over 0.1 s still follows it to about a centimetre, a longer one does not.
const LONGEST_FILLED_GAP_S: f64 = 0.1;

/// A part of a landmark's track without a gap: its position at sample `first + i` of the grid is `(x_m[i], y_m[i])`.
#[derive(Clone, Debug, PartialEq)]
pub struct TrackSegment {
    /// Grid index of the first sample.
    pub first: usize,
    /// Forward positions.
    pub x_m: Vec<f64>,
    /// Heights.
    pub y_m: Vec<f64>,
}

impl TrackSegment {
    /// Number of samples.
    #[must_use]
    pub fn len(&self) -> usize {
        self.x_m.len()
    }

    /// Whether there is no sample.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.x_m.is_empty()
    }
}

/// The segments of a landmark's track on the grid.
///
/// A cubic spline through the known positions fills gaps up to 0.1 s and resamples frames that lie
/// off the grid; longer gaps separate segments. Segments with fewer than four known positions are dropped.
#[must_use]
pub fn track_segments(times_s: &[f64], points: &[Option<Point>], grid: &Grid) -> Vec<TrackSegment> {
    let longest_step_s = LONGEST_FILLED_GAP_S + 1.001 / grid.rate_hz;
    let mut known: Vec<Vec<(f64, Point)>> = Vec::new();
    for (time_s, point) in times_s.iter().zip(points) {
        let Some(point) = point else { continue };
        let continues = known
            .last()
            .and_then(|s| s.last())
            .is_some_and(|(last_s, _)| time_s - last_s <= longest_step_s);
        match known.last_mut() {
            Some(segment) if continues => segment.push((*time_s, *point)),
            _ => known.push(vec![(*time_s, *point)]),
        }
    }
    known.iter().filter(|s| s.len() >= 4).filter_map(|s| on_grid(s, grid)).collect()
}

/// The segment of these known positions on the grid.
fn on_grid(known: &[(f64, Point)], grid: &Grid) -> Option<TrackSegment> {
    let exact: Option<Vec<usize>> = known.iter().map(|(t, _)| grid.exact_index(*t)).collect();
    if let Some(indices) = exact {
        let first = *indices.first()?;
        let complete = indices.iter().enumerate().all(|(i, index)| *index == first + i);
        let knots: Vec<f64> = indices.iter().map(|i| *i as f64).collect();
        return if complete { Some(as_known(known, first)) } else { splined(known, &knots, grid) };
    }
    let knots: Vec<f64> = known.iter().map(|(t, _)| grid.index(*t)).collect();
    splined(known, &knots, grid)
}

fn as_known(known: &[(f64, Point)], first: usize) -> TrackSegment {
    let (x_m, y_m) = known.iter().map(|(_, p)| (p.x_m, p.y_m)).unzip();
    TrackSegment { first, x_m, y_m }
}

fn splined(known: &[(f64, Point)], knots: &[f64], grid: &Grid) -> Option<TrackSegment> {
    let (x_m, y_m): (Vec<f64>, Vec<f64>) = known.iter().map(|(_, p)| (p.x_m, p.y_m)).unzip();
    let (x, y) = (Spline::through(knots, &x_m)?, Spline::through(knots, &y_m)?);
    let first = (knots.first()? - 1e-6).ceil().max(0.0) as usize;
    let last = ((knots.last()? + 1e-6).floor() as usize).min(grid.count.saturating_sub(1));
    let sample = |spline: &Spline| -> Option<Vec<f64>> {
        (first..=last).map(|i| spline.at(i as f64)).collect()
    };
    Some(TrackSegment { first, x_m: sample(&x)?, y_m: sample(&y)? })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn swing(t: f64) -> Point {
        Point { x_m: 0.5 * (8.0 * t).sin(), y_m: 1.0 + 0.3 * (8.0 * t).cos() }
    }

    #[test]
    fn a_short_gap_is_filled_and_a_long_gap_separates_segments() {
        let times: Vec<f64> = (0..120).map(|i| f64::from(i) / 60.0).collect();
        let mut points: Vec<Option<Point>> = times.iter().map(|t| Some(swing(*t))).collect();
        points[20..26].fill(None);
        points[60..68].fill(None);
        let grid = Grid::covering(&times).unwrap();
        let segments = track_segments(&times, &points, &grid);
        assert_eq!(
            segments.iter().map(|s| (s.first, s.len())).collect::<Vec<_>>(),
            [(0, 60), (68, 52)]
        );
        let true_x = swing(23.0 / 60.0).x_m;
        assert!((segments[0].x_m[23] - true_x).abs() < 1e-3);
        assert_eq!(segments[0].x_m[10], swing(10.0 / 60.0).x_m);
    }

    #[test]
    fn uneven_time_stamps_are_resampled_to_the_even_grid() {
        let times: Vec<f64> =
            (0..200).map(|i| f64::from(i) / 100.0 + 0.003 * (f64::from(i) * 1.7).sin()).collect();
        let points: Vec<Option<Point>> = times.iter().map(|t| Some(swing(*t))).collect();
        let grid = Grid::covering(&times).unwrap();
        let segments = track_segments(&times, &points, &grid);
        assert_eq!(segments.len(), 1);
        for (i, (x, y)) in segments[0].x_m.iter().zip(&segments[0].y_m).enumerate() {
            let truth = swing(grid.time_s((segments[0].first + i) as f64));
            assert!((x - truth.x_m).abs() < 1e-5 && (y - truth.y_m).abs() < 1e-5);
        }
    }
}
