//! Where every landmark truly is in clips of known truth.

use crate::browser::Result;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::collections::BTreeMap;
use std::path::Path;

/// Places in pixels, one a frame, and whether each can be seen.
#[derive(Clone, Debug, Default)]
pub struct Truth {
    /// By landmark.
    pub places: BTreeMap<Landmark, Vec<Pixel>>,
    /// By landmark; those not listed are always seen.
    pub visible: BTreeMap<Landmark, Vec<bool>>,
}

/// Columns of the files beside the project, for a runner whose right side is near.
const COLUMNS: [(&str, Landmark); 9] = [
    ("R_hip", Landmark::NearHip),
    ("R_knee", Landmark::NearKnee),
    ("R_ankle", Landmark::NearAnkle),
    ("R_heel", Landmark::NearHeel),
    ("R_mt5", Landmark::NearToe),
    ("R_shoulder", Landmark::NearShoulder),
    ("R_elbow", Landmark::NearElbow),
    ("R_wrist", Landmark::NearWrist),
    ("head", Landmark::Head),
];

impl Truth {
    /// Of a file with columns `R_hip_x, R_hip_y, …` in pixels.
    ///
    /// # Errors
    /// When the file is not there or not of this form.
    pub fn of_csv(path: &Path) -> Result<Self> {
        let text = std::fs::read_to_string(path)?;
        let mut lines = text.lines();
        let head: Vec<&str> = lines.next().ok_or("an empty file")?.split(',').collect();
        let rows: Vec<Vec<f64>> = lines
            .map(|l| l.split(',').map(str::parse).collect::<std::result::Result<_, _>>())
            .collect::<std::result::Result<_, _>>()?;
        let mut truth = Self::default();
        for (name, landmark) in COLUMNS {
            let column = |axis: &str| {
                head.iter()
                    .position(|h| *h == format!("{name}_{axis}"))
                    .ok_or(format!("no column {name}_{axis}"))
            };
            let (x, y) = (column("x")?, column("y")?);
            let place = |row: &Vec<f64>| Some(Pixel { x_px: *row.get(x)?, y_px: *row.get(y)? });
            truth.places.insert(landmark, rows.iter().filter_map(place).collect());
        }
        Ok(truth)
    }

    /// Of the generator's file beside a clip of the example.
    ///
    /// # Errors
    /// When the file is not there or not of this form.
    pub fn of_json(path: &Path) -> Result<Self> {
        let all: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(path)?)?;
        let mut truth = Self::default();
        let landmarks = all.get("landmarks").and_then(|l| l.as_object()).ok_or("no landmarks")?;
        for (name, columns) in landmarks {
            let landmark: Landmark = serde_json::from_value(name.clone().into())?;
            let numbers = |column: &str| -> Vec<f64> {
                columns
                    .get(column)
                    .and_then(|c| c.as_array())
                    .into_iter()
                    .flatten()
                    .filter_map(serde_json::Value::as_f64)
                    .collect()
            };
            let places = numbers("x_px").into_iter().zip(numbers("y_px"));
            truth
                .places
                .insert(landmark, places.map(|(x_px, y_px)| Pixel { x_px, y_px }).collect());
            truth
                .visible
                .insert(landmark, numbers("visible").into_iter().map(|v| v > 0.5).collect());
        }
        Ok(truth)
    }

    /// Whether a landmark can be seen in a frame.
    #[must_use]
    pub fn is_visible(&self, landmark: Landmark, frame: usize) -> bool {
        self.visible.get(&landmark).and_then(|v| v.get(frame)).copied().unwrap_or(true)
    }
}
