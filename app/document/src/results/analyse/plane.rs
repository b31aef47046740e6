//! The plane of motion as the image shows it: pixels to metres.

use crate::session::{CameraPath, ClipCalibration, Scale, Track, Trial, VerticalKind};
use mechanics::body::Landmark;
use mechanics::calibration::{Calibration, ScaleBar, Upright};
use mechanics::space::{Pixel, Point};
use std::collections::BTreeMap;

/// Standard deviation with which the end of a line is placed. Chosen: a pixel, as under the loupe.
const LINE_END_SD_PX: f64 = 1.0;

/// Standard deviation of the tilt of a camera on a tripod that nobody aligned to a line. Chosen: 17 mm in a metre, as
/// bubble levels on tripod heads are read.
const TRIPOD_SD_RAD: f64 = 0.017;

/// The plane of motion as the image shows it.
pub(super) struct Plane<'a> {
    calibration: Calibration,
    camera: Option<&'a CameraPath>,
    /// Standard deviation of the scale, as a part of it.
    pub(super) scale_sd_ratio: f64,
    /// Standard deviation of the vertical.
    pub(super) vertical_sd_rad: f64,
}

impl<'a> Plane<'a> {
    /// The plane of a calibration; none while scale or direction are missing.
    pub(super) fn of(
        calibration: &ClipCalibration,
        camera: Option<&'a CameraPath>,
    ) -> Option<Result<Self, mechanics::Error>> {
        let drawn = calibration.seen_in(0, camera);
        let scale = drawn.scale?;
        let direction = calibration.direction?;
        let upright = match drawn.vertical {
            None => Upright::Picture,
            Some(v) if v.kind == VerticalKind::Plumb => Upright::Plumb(v.from, v.to),
            Some(v) => Upright::Ground(v.from, v.to),
        };
        let ends_sd_px = LINE_END_SD_PX * 2.0_f64.sqrt();
        let scale_sd_ratio = ends_sd_px / scale.length_px();
        let vertical_sd_rad =
            drawn.vertical.map_or(TRIPOD_SD_RAD, |v| ends_sd_px / v.length_px().max(1.0));
        let Scale { from, to, length_m, .. } = scale;
        let calibration = Calibration::new(ScaleBar { from, to, length_m }, upright, direction);
        Some(calibration.map(|calibration| Self {
            calibration,
            camera,
            scale_sd_ratio,
            vertical_sd_rad,
        }))
    }

    /// The position in the plane of motion of a pixel of a frame, through the ground's frame if the camera moved.
    pub(super) fn to_point(&self, frame: u32, at: Pixel) -> Point {
        let on_ground = self.camera.map_or(at, |c| c.pose(frame).to_ground(at));
        self.calibration.to_point(on_ground)
    }

    /// Size of a pixel in the plane of motion.
    pub(super) fn metres_per_pixel(&self) -> f64 {
        self.calibration.metres_per_pixel()
    }
}

/// Every position of the trial in metres, doubtful ones too; none while scale or direction are missing.
#[must_use]
pub fn metres(trial: &Trial) -> Option<BTreeMap<Landmark, Vec<Option<Point>>>> {
    let plane = Plane::of(&trial.calibration, trial.camera.as_deref())?.ok()?;
    let points = |track: &Track| -> Vec<Option<Point>> {
        let samples = (0..).zip(&track.samples);
        samples.map(|(frame, s)| s.map(|s| plane.to_point(frame, s.at))).collect()
    };
    Some(trial.tracks.iter().map(|(landmark, track)| (*landmark, points(track))).collect())
}

/// Size of a pixel in the plane of motion; none while scale or direction are missing.
#[must_use]
pub fn metres_per_pixel(trial: &Trial) -> Option<f64> {
    let plane = Plane::of(&trial.calibration, trial.camera.as_deref())?.ok()?;
    Some(plane.metres_per_pixel())
}
