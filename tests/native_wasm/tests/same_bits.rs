//! The follower gives the same bits everywhere: what is kept, what this machine finds, what WASM finds under Node.
//!
//! `cargo run -p native_wasm > tests/native_wasm/followed.txt` keeps what a wanted change of the follower finds.

use native_wasm::drawn::{FRAMES, MARKERS, picture, yellow};
use native_wasm::exact::{coloured, followed, pass, truth};
use site::build::{Place, build_for_node};
use std::process::Command;
use tracking::track::{Pixel, State};

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
fn this_machine_finds_the_bits_that_are_kept() {
    let found = followed().unwrap();
    assert_eq!(difference(KEPT, &found), None);
}

#[test]
fn wasm_finds_the_bits_that_are_kept() {
    if !Command::new("node").arg("--version").output().is_ok_and(|o| o.status.success()) {
        println!("NOT RUN: there is no Node here");
        return;
    }
    let script = match build_for_node(&Place::find().unwrap(), "native_wasm") {
        Ok(script) => script,
        Err(missing @ site::SiteError::NoWebRust(_)) => {
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

/// What is kept is worth keeping: markers are followed, hidden and found again in it.
#[test]
fn the_drawn_clip_is_followed_through_all_that_a_follower_does() {
    let pictures: Vec<Vec<u8>> = (0..FRAMES).map(picture).collect();
    let order: Vec<usize> = (0..FRAMES).collect();
    let rows = pass(&pictures, &order).unwrap();
    let states: Vec<State> = rows.iter().flatten().map(|s| s.state).collect();
    assert!(states.contains(&State::Seen) && states.contains(&State::Coasting));
    // Six pixels: as far as a marker may be off before a person would move it.
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
fn the_yellow_disc_is_followed_where_only_its_colour_tells_it() {
    let pictures: Vec<Vec<u8>> = (0..FRAMES).map(picture).collect();
    for (k, sample) in (1..).zip(coloured(&pictures).unwrap()) {
        let (x, y) = yellow(k);
        let at = Pixel { x_px: x as f64 / 16.0, y_px: y as f64 / 16.0 };
        // Half the two pixels that values of colour are apart.
        assert!(sample.at.distance_px(at) < 1.0, "{k}: {sample:?} {at:?}");
    }
}
