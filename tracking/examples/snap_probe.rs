//! temporary
use std::io::{BufRead, Read};
use tracking::image::{GreyFrame, Pixel, Region};
use tracking::point::ring_near;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let mut f = std::io::BufReader::new(std::fs::File::open(&a[1]).unwrap());
    let mut h = Vec::new();
    f.read_until(b'\n', &mut h).unwrap();
    let mut b = vec![0u8; 6 + 1280 * 720];
    f.read_exact(&mut b).unwrap();
    let fr = GreyFrame::new(1280, 720, 1280, &b[6..]).unwrap();
    for l in std::io::BufReader::new(std::fs::File::open(&a[2]).unwrap()).lines().skip(1) {
        let l = l.unwrap();
        let v: Vec<&str> = l.split(',').collect();
        let (x, y): (f64, f64) = (v[2].parse().unwrap(), v[3].parse().unwrap());
        if v[0] != "0" {
            continue;
        }
        for (dx, dy) in [(0., 0.), (2., 1.), (-2., 2.), (1., -3.)] {
            let at = Pixel { x_px: x.round() + dx, y_px: y.round() + dy };
            let r = ring_near(&Region::around(fr, at, 25), at, 5);
            match r {
                Some(r) => println!(
                    "{} vis{} err {:.2} {:.2} r{} step{:.0} spread{:.0}",
                    v[1],
                    v[4],
                    r.middle.x_px - x,
                    r.middle.y_px - y,
                    r.radius_px,
                    r.step,
                    r.spread
                ),
                None => println!("{} vis{} none", v[1], v[4]),
            }
        }
    }
}
