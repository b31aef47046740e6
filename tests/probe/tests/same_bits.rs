//! The tracker gives the same bits everywhere: in the golden file, on this machine, and as WASM under Node.
//!
//! After a wanted change of the tracker, `cargo run -p probe > tests/probe/followed.txt` writes the golden file.

use probe::drawn::{FRAMES, MARKERS, picture, yellow};
use probe::exact::{coloured, followed, pass, truth};
use site::build::{Workspace, build_for_node};
use std::process::Command;
use tracking::image::ImagePoint;
use tracking::track::State;

const KEPT: &str = include_str!("../followed.txt");

/// The first line in which two texts differ, in words.
fn difference(kept: &str, found: &str) -> Option<String> {
    let (mut a, mut b) = (kept.lines(), found.lines());
    for number in 1.. {
        match (a.next(), b.next()) {
            (None, None) => return None,
            (one, other) if one == other => {}
            (one, other) => {
                return Some(format!("line {number}: kept {one:?}, found {other:?}"));
            }
        }
    }
    None
}

#[test]
fn this_machine_finds_the_golden_bits() {
    let found = followed().unwrap();
    assert_eq!(difference(KEPT, &found), None);
}

#[test]
fn wasm_finds_the_golden_bits() {
    if !Command::new("node").arg("--version").output().is_ok_and(|o| o.status.success()) {
        println!("NOT RUN: there is no Node here");
        return;
    }
    let script = match build_for_node(&Workspace::find().unwrap(), "probe") {
        Ok(script) => script,
        Err(missing @ site::SiteError::NoWasmToolchain(_)) => {
            println!("NOT RUN: {missing}");
            return;
        }
        Err(other) => panic!("{other}"),
    };
    let program = "process.stdout.write(require(process.argv[1]).followed())";
    let done = Command::new("node").args(["-e", program]).arg(&script).output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    assert_eq!(difference(KEPT, &String::from_utf8(done.stdout).unwrap()), None);
}

#[test]
fn one_changed_bit_would_be_found() {
    let (head, last) = KEPT.trim_end().split_at(KEPT.trim_end().len() - 1);
    let other = if last == "0" { "1" } else { "0" };
    assert!(difference(KEPT, &format!("{head}{other}\n")).is_some());
    assert!(difference(KEPT, head.rsplit_once('\n').unwrap().0).is_some());
}

/// The golden file is worth comparing: in it markers are followed, hidden and found again.
#[test]
fn the_drawn_clip_exercises_every_state_of_a_marker() {
    let pictures: Vec<Vec<u8>> = (0..FRAMES).map(picture).collect();
    let order: Vec<usize> = (0..FRAMES).collect();
    let rows = pass(&pictures, &order).unwrap();
    let states: Vec<State> = rows.iter().flatten().map(|s| s.state).collect();
    assert!(states.contains(&State::Seen) && states.contains(&State::Coasting));
    // Six pixels: as far as a marker may be off before a user would move it.
    let off = |marker: usize, k: usize| rows[k][marker].at.distance_px(truth(marker, k)) > 6.0;
    let mut ends = (0..MARKERS).filter(|m| !off(*m, FRAMES - 1));
    // The bar moves with the cloth it hides, so that its edge may be taken for cloth: then there must be doubt.
    assert_eq!((ends.next(), ends.next(), ends.next()), (Some(0), Some(1), Some(2)));
    for (k, row) in rows.iter().enumerate() {
        for (marker, sample) in row.iter().enumerate() {
            assert!(!(off(marker, k) && sample.state == State::Seen), "{k} {marker} {sample:?}");
        }
    }
}

#[test]
fn the_yellow_disc_is_followed_by_its_colour_alone() {
    let pictures: Vec<Vec<u8>> = (0..FRAMES).map(picture).collect();
    for (k, sample) in (1..).zip(coloured(&pictures).unwrap()) {
        let (x, y) = yellow(k);
        let at = ImagePoint { x_px: x as f64 / 16.0, y_px: y as f64 / 16.0 };
        // Half the two pixels that values of colour are apart.
        assert!(sample.at.distance_px(at) < 1.0, "{k}: {sample:?} {at:?}");
    }
}
