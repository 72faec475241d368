//! Ways a file gets broken.

use coatbell::input::LARGEST_FILE;

use super::samples::Sample;
use crate::support::Numbers;

/// A piece of a text: `from..to`.
#[derive(Debug, Clone, Copy)]
struct Token {
    from: usize,
    to: usize,
    kind: TokenKind,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum TokenKind {
    Quoted,
    Number,
    Word,
    Sign,
}

/// Words, numbers, quoted texts and signs; the same for TOML, JSON and CSV.
fn tokens(bytes: &[u8]) -> Vec<Token> {
    let mut all = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let from = at;
        let run = |wanted: &dyn Fn(u8) -> bool| bytes[from..].iter().position(|byte| !wanted(*byte));
        let to_end = |length: Option<usize>| length.map_or(bytes.len(), |length| from + length);
        let (kind, to) = match bytes[at] {
            b'"' => {
                let end = bytes[from + 1..].iter().position(|byte| *byte == b'"' || *byte == b'\n');
                (TokenKind::Quoted, end.map_or(bytes.len(), |length| from + length + 2))
            }
            byte if byte.is_ascii_digit() => {
                (TokenKind::Number, to_end(run(&|byte| byte.is_ascii_digit() || byte == b'.')))
            }
            byte if byte.is_ascii_alphabetic() => {
                (TokenKind::Word, to_end(run(&|byte| byte.is_ascii_alphanumeric() || b"_-".contains(&byte))))
            }
            byte if byte.is_ascii_whitespace() => {
                at += 1;
                continue;
            }
            _ => (TokenKind::Sign, from + 1),
        };
        all.push(Token { from, to, kind });
        at = to;
    }
    all
}

/// Over what is read at all.
const LARGEST: usize = LARGEST_FILE as usize + 100_000;

type Wound = fn(&mut Vec<u8>, &[Sample], &mut Numbers);

/// The ways, each with its name.
const WOUNDS: [(&str, Wound); 22] = [
    ("key-misspelt", |text, _, draw| on_token(text, TokenKind::Word, draw, misspell)),
    ("key-other", |text, _, draw| on_token(text, TokenKind::Word, draw, |_, draw| word(draw).as_bytes().to_vec())),
    ("key-odd", |text, _, draw| {
        on_token(text, TokenKind::Word, draw, |old, draw| odd_text(draw, old).into_bytes());
    }),
    ("type", |text, _, draw| on_token(text, TokenKind::Quoted, draw, |_, draw| literal(draw).as_bytes().to_vec())),
    ("type-of-number", |text, _, draw| {
        on_token(text, TokenKind::Number, draw, |_, draw| literal(draw).as_bytes().to_vec());
    }),
    ("unit", |text, _, draw| on_token(text, TokenKind::Quoted, draw, other_unit)),
    ("unit-gone", |text, _, draw| {
        on_token(text, TokenKind::Quoted, draw, |old, _| {
            old.iter().copied().filter(|byte| !byte.is_ascii_alphabetic() && *byte != b'%').collect()
        });
    }),
    ("range", |text, _, draw| {
        // In the numbers between quotes as well.
        let digits: Vec<usize> = (0..text.len()).filter(|at| text[*at].is_ascii_digit()).collect();
        if !digits.is_empty() {
            let from = digits[draw.below(digits.len())];
            let length = text[from..].iter().take_while(|byte| byte.is_ascii_digit() || **byte == b'.').count();
            let number = number(draw);
            text.splice(from..from + length, number.into_bytes());
        }
    }),
    ("text-odd", |text, _, draw| {
        on_token(text, TokenKind::Quoted, draw, |old, draw| odd_text(draw, old).into_bytes());
    }),
    ("sign-gone", |text, _, draw| on_token(text, TokenKind::Sign, draw, |_, _| Vec::new())),
    ("sign-other", |text, _, draw| {
        on_token(text, TokenKind::Sign, draw, |_, draw| vec![b"[]{}=,:.\"'#\\|;\n"[draw.below(15)]]);
    }),
    ("line-gone", |text, _, draw| on_lines(text, draw, |lines, at, _| drop(lines.remove(at)))),
    ("line-twice", |text, _, draw| {
        on_lines(text, draw, |lines, at, _| lines.insert(at, lines[at].clone()));
    }),
    ("lines-swapped", |text, _, draw| {
        on_lines(text, draw, |lines, at, draw| {
            let other = draw.below(lines.len());
            lines.swap(at, other);
        });
    }),
    ("torn", |text, _, draw| {
        let end = draw.below(text.len() + 1);
        text.truncate(end);
    }),
    ("bytes", |text, _, draw| {
        for _ in 0..=draw.below(8) {
            let at = draw.below(text.len() + 1);
            text.insert(at, draw.next() as u8);
        }
    }),
    ("encoding", encoding),
    ("other-file", |text, samples, draw| {
        let other = &samples[draw.below(samples.len())].bytes;
        let at = draw.below(text.len() + 1);
        text.splice(at.., other[draw.below(other.len())..].to_vec());
    }),
    ("depth", depth),
    ("size-of-text", |text, _, draw| {
        on_token(text, TokenKind::Quoted, draw, |_, draw| {
            let length = 10_usize.pow(draw.from(2, 6) as u32);
            format!("\"{}\"", draw.one_of(&["a", "9", "é", "\u{1F58C}", " ", "1 h ", "\\u001b"]).repeat(length))
                .into_bytes()
        });
    }),
    ("size-of-list", |text, _, draw| {
        // A section, or some lines, many times over.
        on_lines(text, draw, |lines, at, draw| {
            let some: Vec<Vec<u8>> = lines[at..(at + 4).min(lines.len())].to_vec();
            let times = 10_usize.pow(draw.from(1, 4) as u32).min(LARGEST / some.concat().len().max(1));
            let many = (0..times).flat_map(|_| some.iter().cloned());
            lines.splice(at..at, many);
        });
    }),
    ("keys-many", |text, _, draw| {
        let times = 10_usize.pow(draw.from(2, 4) as u32);
        let lines: Vec<String> = (0..times).map(|number| format!("key{number} = {number}\n")).collect();
        text.splice(0..0, lines.concat().into_bytes());
    }),
];

/// Breaks a file in one way; its name.
pub(super) fn wound(text: &mut Vec<u8>, samples: &[Sample], draw: &mut Numbers) -> &'static str {
    let (name, inflict) = WOUNDS[draw.below(WOUNDS.len())];
    inflict(text, samples, draw);
    // Several wounds of size on one another are only one.
    text.truncate(LARGEST);
    name
}

fn on_token(text: &mut Vec<u8>, kind: TokenKind, draw: &mut Numbers, change: impl Fn(&[u8], &mut Numbers) -> Vec<u8>) {
    let all: Vec<Token> = tokens(text).into_iter().filter(|token| token.kind == kind).collect();
    if !all.is_empty() {
        let token = all[draw.below(all.len())];
        let to = token.to.min(text.len());
        let new = change(&text[token.from..to], draw);
        text.splice(token.from..to, new);
    }
}

fn on_lines(text: &mut Vec<u8>, draw: &mut Numbers, change: impl Fn(&mut Vec<Vec<u8>>, usize, &mut Numbers)) {
    let mut lines: Vec<Vec<u8>> = text.split(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect();
    let at = draw.below(lines.len());
    change(&mut lines, at, draw);
    *text = lines.join(&b'\n');
}

fn misspell(old: &[u8], draw: &mut Numbers) -> Vec<u8> {
    let mut new = old.to_vec();
    let at = draw.below(new.len());
    match draw.below(3) {
        0 => drop(new.remove(at)),
        1 => new.insert(at, b'e'),
        _ => {
            let last = new.len() - 1;
            new.swap(at, (at + 1).min(last));
        }
    }
    new
}

fn word(draw: &mut Numbers) -> &'static str {
    draw.one_of(&[
        "medium",
        "cover",
        "finished",
        "size",
        "paper",
        "extends",
        "label",
        "can",
        "basis",
        "ignition",
        "areas",
        "pages",
        "coats",
        "air",
        "inf",
        "nan",
        "true",
        "null",
        "name",
        "layer",
        "__proto__",
        "M",
        "\"\"",
        "a.b.c",
    ])
}

fn literal(draw: &mut Numbers) -> &'static str {
    draw.one_of(&[
        "true",
        "0",
        "-1",
        "1.5",
        "nan",
        "inf",
        "-inf",
        "1e400",
        "0x10",
        "1979-05-27",
        "1979-05-27T07:32:00Z",
        "[]",
        "[1, \"a\", true]",
        "{}",
        "{ a = 1 }",
        "[[[]]]",
        "''",
        "\"\"",
        "null",
        "\"\\u0000\"",
        "'''x'''",
        "9223372036854775807",
        "-9223372036854775808",
        "99999999999999999999999",
        "\"\"\"\n\"\"\"",
    ])
}

fn other_unit(old: &[u8], draw: &mut Numbers) -> Vec<u8> {
    let unit = draw.one_of(&[
        "M", "cm", "CM", "in", "ft", "m3", "m³", "%", "g/m2", "K", "C", "°F", "℃", "min", "months", "years", "h",
        "bar", "psi", "ns", "parsec", "x", "to", "㎝", "µm", "days ago", "in 2 h",
    ]);
    let digits: Vec<u8> = old.iter().copied().filter(|byte| byte.is_ascii_digit() || b". ".contains(byte)).collect();
    [b"\"", digits.as_slice(), unit.as_bytes(), b"\""].concat()
}

fn number(draw: &mut Numbers) -> String {
    match draw.below(4) {
        0 => draw.from(-3, 200).to_string(),
        1 => "9".repeat(draw.below(400) + 1),
        2 => format!("0.{}1", "0".repeat(draw.below(330))),
        _ => draw
            .one_of(&[
                "0",
                "-0",
                "-1",
                "1e308",
                "1e-308",
                "1e309",
                "nan",
                "inf",
                "2147483648",
                "4294967296",
                "9223372036854775807",
                "9223372036854775808",
                "18446744073709551615",
                "1.7976931348623157e308",
                "0x7f",
                "1_000",
                "1,5",
                "½",
                "٣",
                "1/0",
                "0.1.2",
                "--5",
                "+5",
            ])
            .to_owned(),
    }
}

/// A text of characters that show badly, in quotes.
fn odd_text(draw: &mut Numbers, old: &[u8]) -> String {
    let inside = String::from_utf8_lossy(old).trim_matches('"').to_owned();
    let odd = draw.one_of(&[
        "\\u001b[2J",
        "\u{202E}",
        "\u{200B}",
        "\u{FEFF}",
        "\u{1F58C}\u{FE0F}",
        "e\u{301}",
        "ﷺ",
        "\\n\\n",
        "\\t",
        "\\\\",
        "\\\"",
        "\u{AD}",
        "\u{2028}",
        "ＡＢＣ",
        "İ",
        "ß",
        "\u{E0041}",
        "\u{7F}",
        "\\u0007",
    ]);
    if draw.chance(50) { format!("\"{odd}{inside}\"") } else { format!("\"{inside}{odd}\"") }
}

fn encoding(text: &mut Vec<u8>, _: &[Sample], draw: &mut Numbers) {
    match draw.below(9) {
        0 => drop(text.splice(0..0, *b"\xEF\xBB\xBF")),
        1 => {
            let wide = String::from_utf8_lossy(text).encode_utf16().flat_map(u16::to_le_bytes).collect::<Vec<u8>>();
            *text = [&b"\xFF\xFE"[..], &wide].concat();
        }
        2 => *text = String::from_utf8_lossy(text).replace('\n', "\r\n").into_bytes(),
        3 => *text = String::from_utf8_lossy(text).replace('\n', "\r").into_bytes(),
        4 => *text = String::from_utf8_lossy(text).replace('"', "\u{201D}").into_bytes(),
        5 => {
            let at = draw.below(text.len() + 1);
            let bad: &[u8] = [&b"\xC0\xAF"[..], b"\xED\xA0\x80", b"\xE9", b"\xF5\x80\x80\x80", b"\0"][draw.below(5)];
            text.splice(at..at, bad.to_vec());
        }
        6 => {
            let full = |letter: char| char::from_u32(letter as u32 + 0xFEE0).filter(|_| letter.is_ascii_digit());
            *text =
                String::from_utf8_lossy(text).chars().map(|c| full(c).unwrap_or(c)).collect::<String>().into_bytes();
        }
        7 => text.clear(),
        _ => *text = text.to_ascii_uppercase(),
    }
}

fn depth(text: &mut Vec<u8>, _: &[Sample], draw: &mut Numbers) {
    let levels = 10_usize.pow(draw.from(1, 5) as u32);
    let nest = match draw.below(5) {
        0 => format!("\ndeep = {}{}\n", "[".repeat(levels), "]".repeat(levels)),
        1 => format!("\ndeep = {}1{}\n", "{a=".repeat(levels), "}".repeat(levels)),
        2 => format!("\n{}a = 1\n", "a.".repeat(levels)),
        3 => format!("\n[{}a]\n", "a.".repeat(levels)),
        _ => "[".repeat(levels),
    };
    let at = if draw.chance(50) { draw.below(text.len() + 1) } else { text.len() };
    text.splice(at..at, nest.into_bytes());
}
