//! Changing bytes and tokens.

use crate::support::Numbers;

/// Pieces worth trying anywhere.
const PIECES: [&str; 84] = [
    "0",
    "-1",
    "1e308",
    "1e-308",
    "1e400",
    "nan",
    "inf",
    "-inf",
    "9223372036854775808",
    "18446744073709551616",
    "0.1",
    "1.5",
    ".5",
    "5.",
    "1,5",
    "½",
    "٣",
    "+",
    "-",
    "–",
    " to ",
    " x ",
    "×",
    " by ",
    "%",
    "°",
    "°C",
    "℃",
    "µm",
    "μm",
    "cm",
    "mm",
    "m",
    "in",
    "\"",
    "'",
    "″",
    "′",
    "ft",
    "m3",
    "m³",
    "m^3",
    "g/m2",
    "g/m²",
    "gsm",
    "oz",
    "F",
    "K",
    "bar",
    "psi",
    "min",
    "M",
    "h",
    "d",
    "days",
    "weeks",
    "years",
    "ns",
    "months",
    " ago",
    "in ",
    "an ",
    "now",
    "yesterday",
    " am",
    "pm",
    ":",
    "T",
    "Z",
    "+25:00",
    "[UTC]",
    "\n",
    "\r\n",
    "\0",
    "\u{1b}[31m",
    "\u{202E}",
    "\u{FEFF}",
    "\u{A0}",
    "e\u{301}",
    "\u{1F58C}",
    "[[layer]]\n",
    " = ",
    "{}",
    "[]",
];

/// An input from the pool, changed in one to four places.
pub(super) fn mutate(pool: &[Vec<u8>], largest: usize, draw: &mut Numbers) -> Vec<u8> {
    let mut input = pool[draw.below(pool.len())].clone();
    for _ in 0..=draw.below(4) {
        change(&mut input, pool, draw);
    }
    input.truncate(largest);
    input
}

fn change(input: &mut Vec<u8>, pool: &[Vec<u8>], draw: &mut Numbers) {
    let at = draw.below(input.len() + 1);
    let to = (at + draw.below(16) + 1).min(input.len());
    match draw.below(11) {
        0 if at < input.len() => input[at] ^= 1 << draw.below(8),
        1 => input.insert(at, draw.next() as u8),
        2 => drop(input.drain(at..to)),
        3 => {
            let piece = input[at..to].to_vec();
            let times = if draw.chance(90) { 1 } else { draw.below(200) };
            input.splice(at..at, piece.repeat(times));
        }
        4 | 5 => drop(input.splice(at..at, draw.one_of(&PIECES).bytes())),
        6 => drop(input.splice(at..to, draw.one_of(&PIECES).bytes())),
        7 => {
            // The head of this one, the tail of another.
            let other = &pool[draw.below(pool.len())];
            let from = draw.below(other.len() + 1);
            input.truncate(at);
            input.extend_from_slice(&other[from..]);
        }
        8 => {
            // A piece of another one.
            let other = &pool[draw.below(pool.len())];
            let from = draw.below(other.len() + 1);
            let end = (from + draw.below(40)).min(other.len());
            input.splice(at..at, other[from..end].iter().copied());
        }
        9 => {
            // One of its numbers by another.
            let digits: Vec<usize> = (0..input.len()).filter(|at| input[*at].is_ascii_digit()).collect();
            if !digits.is_empty() {
                let from = digits[draw.below(digits.len())];
                let end = input[from..].iter().take_while(|byte| byte.is_ascii_digit()).count() + from;
                let number = if draw.chance(50) { draw.from(-2, 300) } else { draw.next().cast_signed() };
                input.splice(from..end, number.to_string().into_bytes());
            }
        }
        _ => {
            // A line, or a word, twice or elsewhere.
            let gap = if draw.chance(50) { b'\n' } else { b' ' };
            let mut parts: Vec<Vec<u8>> = input.split(|byte| *byte == gap).map(<[u8]>::to_vec).collect();
            let (one, other) = (draw.below(parts.len()), draw.below(parts.len()));
            match draw.below(3) {
                0 => parts.swap(one, other),
                1 => parts.insert(other, parts[one].clone()),
                _ => drop(parts.remove(one)),
            }
            *input = parts.join(&gap);
        }
    }
}
