//! Random changes of an input: bits, numbers at the limits of types, pieces moved, cut and joined.

use crate::common::Dice;

/// Numbers at the limits of types.
const EDGES: [u32; 12] = [
    0,
    1,
    2,
    7,
    0x7fff,
    0xffff,
    1_000_000,
    0x00ff_ffff,
    0x7fff_ffff,
    0x8000_0000,
    0xffff_fff0,
    0xffff_ffff,
];

/// Changes an input a few times, in the ranges `within` or everywhere; inserts one of the `words` now and then.
pub fn mutate(
    input: &[u8],
    other: &[u8],
    within: &[(usize, usize)],
    words: &[&str],
    dice: &mut Dice,
) -> Vec<u8> {
    let mut bytes = input.to_vec();
    for _ in 0..=dice.below(5) {
        if bytes.is_empty() {
            bytes.push(0);
        }
        let (from, to) = match within.len() {
            0 => (0, bytes.len()),
            count => within[dice.below(count)],
        };
        // In named ranges nothing may move, and numbers begin at multiples of four bytes.
        let (kinds, step) = if within.is_empty() { (10, 1) } else { (4, 4) };
        let at = from + dice.below(to.saturating_sub(from) / step) * step;
        let at = at.min(bytes.len() - 1);
        change(&mut bytes, at, dice.below(kinds), (other, words), dice);
    }
    bytes.truncate(4 << 20);
    bytes
}

fn change(
    bytes: &mut Vec<u8>,
    at: usize,
    kind: usize,
    (other, words): (&[u8], &[&str]),
    dice: &mut Dice,
) {
    let run = (at + 1 + dice.below(64)).min(bytes.len());
    match kind {
        0 => bytes[at] ^= 1 << dice.below(8),
        1 => bytes[at] = dice.bits() as u8,
        2 | 3 => {
            let edge = EDGES[dice.below(EDGES.len())].to_be_bytes();
            bytes.iter_mut().skip(at).zip(edge).for_each(|(old, new)| *old = new);
        }
        4 => bytes.truncate(at.max(1)),
        5 => drop(bytes.drain(at..run)),
        6 => {
            let piece = bytes[at..run].to_vec();
            let times = 1 + dice.below(40);
            let _ = bytes.splice(at..at, piece.repeat(times)).count();
        }
        7 if !other.is_empty() => {
            let from = dice.below(other.len());
            let piece = &other[from..(from + 1 + dice.below(256)).min(other.len())];
            let _ = bytes.splice(at..run, piece.iter().copied()).count();
        }
        _ if !words.is_empty() => {
            let word = words[dice.below(words.len())];
            let _ = bytes.splice(at..run, word.bytes()).count();
        }
        _ => bytes[at..run].fill(0xff),
    }
}
