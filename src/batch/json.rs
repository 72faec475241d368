//! A small JSON reader that remembers where every value stands, so that errors can point at it.

use std::ops::Range;

use crate::diagnostic::Problem;

/// Deepest nesting read.
const DEEPEST: usize = 64;

/// A value with its place in the text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Json {
    pub(super) span: Range<usize>,
    pub(super) value: Value,
}

/// What a value is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    Null,
    Bool(bool),
    Number(f64),
    Text(String),
    List(Vec<Json>),
    /// Keys with their places, in the order of the text.
    Table(Vec<(String, Range<usize>, Json)>),
}

impl Value {
    /// What it is, in words.
    pub(super) fn kind(&self) -> &'static str {
        match self {
            Self::Null => "null",
            Self::Bool(_) => "true or false",
            Self::Number(_) => "a number",
            Self::Text(_) => "a text",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
        }
    }
}

/// Reads a whole text as one value.
pub(super) fn parse(text: &str) -> Result<Json, Box<Problem>> {
    let mut reader = Reader { text, at: 0 };
    let value = reader.value(0)?;
    reader.skip_space();
    if reader.at < text.len() {
        return Err(reader.wrong("there is more after the end of the document"));
    }
    Ok(value)
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn skip_space(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
    }

    fn wrong(&self, what: &str) -> Box<Problem> {
        let end = self.text[self.at..].chars().next().map_or(self.at, |letter| self.at + letter.len_utf8());
        let start = if end == self.at { self.at.saturating_sub(1) } else { self.at };
        Box::new(
            Problem::new("json-syntax", format!("this is not JSON: {what}"))
                .at(start..end.max(start + 1))
                .with_hint("a bench problem is one JSON table with `pages`, `setup`, `pauses` and so on"),
        )
    }

    fn expect(&mut self, byte: u8) -> Result<(), Box<Problem>> {
        self.skip_space();
        if self.peek() == Some(byte) {
            self.at += 1;
            Ok(())
        } else {
            Err(self.wrong(&format!("`{}` is missing here", char::from(byte))))
        }
    }

    fn value(&mut self, depth: usize) -> Result<Json, Box<Problem>> {
        self.skip_space();
        if depth > DEEPEST {
            return Err(self.wrong("it is nested too deeply"));
        }
        let start = self.at;
        let value = match self.peek() {
            None => return Err(self.wrong("it ends too early")),
            Some(b'{') => self.table(depth)?,
            Some(b'[') => self.list(depth)?,
            Some(b'"') => Value::Text(self.string()?),
            Some(b'-' | b'0'..=b'9') => self.number()?,
            Some(_) => self.word()?,
        };
        Ok(Json { span: start..self.at, value })
    }

    fn table(&mut self, depth: usize) -> Result<Value, Box<Problem>> {
        self.at += 1;
        let mut entries: Vec<(String, Range<usize>, Json)> = Vec::new();
        self.skip_space();
        if self.peek() == Some(b'}') {
            self.at += 1;
            return Ok(Value::Table(entries));
        }
        loop {
            self.skip_space();
            let start = self.at;
            if self.peek() != Some(b'"') {
                return Err(self.wrong("a key in quotes is missing here"));
            }
            let key = self.string()?;
            let span = start..self.at;
            self.expect(b':')?;
            let value = self.value(depth + 1)?;
            entries.push((key, span, value));
            self.skip_space();
            match self.peek() {
                Some(b',') => self.at += 1,
                Some(b'}') => {
                    self.at += 1;
                    return Ok(Value::Table(entries));
                }
                _ => return Err(self.wrong("`,` or `}` is missing here")),
            }
        }
    }

    fn list(&mut self, depth: usize) -> Result<Value, Box<Problem>> {
        self.at += 1;
        let mut entries = Vec::new();
        self.skip_space();
        if self.peek() == Some(b']') {
            self.at += 1;
            return Ok(Value::List(entries));
        }
        loop {
            entries.push(self.value(depth + 1)?);
            self.skip_space();
            match self.peek() {
                Some(b',') => self.at += 1,
                Some(b']') => {
                    self.at += 1;
                    return Ok(Value::List(entries));
                }
                _ => return Err(self.wrong("`,` or `]` is missing here")),
            }
        }
    }

    fn string(&mut self) -> Result<String, Box<Problem>> {
        let start = self.at;
        self.at += 1;
        while let Some(byte) = self.peek() {
            match byte {
                b'"' => {
                    self.at += 1;
                    let quoted = &self.text[start..self.at];
                    return serde_json::from_str(quoted).map_err(|_| {
                        self.at = start;
                        self.wrong("this text holds something that must be escaped")
                    });
                }
                b'\\' => self.at += 2,
                _ => self.at += 1,
            }
            self.at = self.at.min(self.text.len());
        }
        self.at = start;
        Err(self.wrong("this text is not closed"))
    }

    fn number(&mut self) -> Result<Value, Box<Problem>> {
        let start = self.at;
        while matches!(self.peek(), Some(b'-' | b'+' | b'.' | b'e' | b'E' | b'0'..=b'9')) {
            self.at += 1;
        }
        let read = serde_json::from_str::<f64>(&self.text[start..self.at]);
        read.map(Value::Number).map_err(|_| {
            self.at = start;
            self.wrong("this is not a number")
        })
    }

    fn word(&mut self) -> Result<Value, Box<Problem>> {
        let rest = &self.text[self.at..];
        for (word, value) in [("null", Value::Null), ("true", Value::Bool(true)), ("false", Value::Bool(false))] {
            if rest.starts_with(word) {
                self.at += word.len();
                return Ok(value);
            }
        }
        Err(self.wrong("no value starts like this"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_keep_their_places() {
        let text = r#"{"a": [1, -2.5e1, null], "b\n": "x\"y"}"#;
        let read = parse(text).expect("it is JSON");
        let Value::Table(entries) = read.value else { panic!("a table") };
        assert_eq!(&text[entries[0].2.span.clone()], "[1, -2.5e1, null]");
        assert_eq!(entries[1].0, "b\n");
        assert_eq!(entries[1].2.value, Value::Text("x\"y".into()));
    }

    #[test]
    fn broken_texts_are_refused_with_a_place() {
        for text in ["", "{", "[1,", "{\"a\" 1}", "\"abc", "\"\\", "1.2.3", "nul", "[] []", "{\"ä\":é}", "\"\\\u{e9}"]
        {
            let problem = parse(text).expect_err(text);
            assert_eq!(problem.code, "json-syntax", "{text}");
            let span = problem.span.expect("a place");
            assert!(text.is_empty() || text.get(span.start..span.end.min(text.len())).is_some(), "{text}");
        }
        assert!(parse(&"[".repeat(100_000)).is_err());
    }
}
