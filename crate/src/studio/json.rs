//! JSON as it comes from outside: strict, bounded, and told where it breaks.
//!
//! Takes text; [`checked`] goes once through all of it and gives a [`Value`] whose parts can then be looked up
//! without copying. Small on purpose: derived readers of the whole document would weigh more than the physics.

use std::borrow::Cow;

use super::decimal;

/// Deepest nesting that is read. The document itself needs eight levels.
pub const MAX_DEPTH: usize = 32;

/// Why a text is not JSON.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The text ends before the value does.
    EndsEarly,
    /// Something stands where the grammar allows nothing of its kind.
    Unexpected(char),
    /// `NaN`, `Infinity` and the like.
    NotFinite,
    /// Nested deeper than [`MAX_DEPTH`].
    TooDeep,
    /// A line break or another control character inside a text.
    RawControl,
    /// A backslash with something that it cannot escape.
    BadEscape,
    /// Half of a surrogate pair.
    LoneSurrogate,
    /// A number too large for any computer's usual kind.
    TooLarge,
    /// Something after the end of the value.
    Trailing,
}

/// A value within text that has passed [`checked`].
#[derive(Clone, Copy, Debug)]
pub struct Value<'a>(&'a str);

/// What kind a value is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the six kinds of JSON")]
pub enum Kind {
    Null,
    Flag,
    Number,
    Text,
    List,
    Object,
}

/// Goes through the whole text; the value, or what is wrong and at which byte.
pub fn checked(text: &str) -> Result<Value<'_>, (usize, Fault)> {
    let bytes = text.as_bytes();
    let start = skip_space(bytes, if text.starts_with('\u{feff}') { 3 } else { 0 });
    let mut scan = Scan { text, at: start };
    scan.value(0)
        .map_err(|fault| (scan.at.min(text.len()), fault))?;
    let end = scan.at;
    let after = skip_space(bytes, end);
    if after < bytes.len() {
        return Err((after, Fault::Trailing));
    }
    Ok(Value(&text[start..end]))
}

fn skip_space(bytes: &[u8], mut at: usize) -> usize {
    while matches!(bytes.get(at), Some(b' ' | b'\t' | b'\n' | b'\r')) {
        at += 1;
    }
    at
}

struct Scan<'a> {
    text: &'a str,
    at: usize,
}

impl Scan<'_> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn space(&mut self) {
        self.at = skip_space(self.text.as_bytes(), self.at);
    }

    fn unexpected(&self) -> Fault {
        match self
            .text
            .get(self.at..)
            .and_then(|rest| rest.chars().next())
        {
            Some(found) => Fault::Unexpected(found),
            None => Fault::EndsEarly,
        }
    }

    fn take(&mut self, byte: u8) -> Result<(), Fault> {
        if self.peek() == Some(byte) {
            self.at += 1;
            Ok(())
        } else {
            Err(self.unexpected())
        }
    }

    fn value(&mut self, depth: usize) -> Result<(), Fault> {
        match self.peek() {
            Some(b'{') => self.members(depth, b'}', true),
            Some(b'[') => self.members(depth, b']', false),
            Some(b'"') => self.text(),
            Some(b'-' | b'0'..=b'9') => self.number(),
            _ => {
                let rest = &self.text[self.at..];
                for &word in &["true", "false", "null"] {
                    if rest.starts_with(word) {
                        self.at += word.len();
                        return Ok(());
                    }
                }
                for &word in &["NaN", "nan", "Inf", "inf"] {
                    if rest.starts_with(word) {
                        return Err(Fault::NotFinite);
                    }
                }
                Err(self.unexpected())
            }
        }
    }

    fn members(&mut self, depth: usize, close: u8, keyed: bool) -> Result<(), Fault> {
        if depth >= MAX_DEPTH {
            return Err(Fault::TooDeep);
        }
        self.at += 1;
        self.space();
        if self.peek() == Some(close) {
            self.at += 1;
            return Ok(());
        }
        loop {
            if keyed {
                self.text()?;
                self.space();
                self.take(b':')?;
                self.space();
            }
            self.value(depth + 1)?;
            self.space();
            if self.peek() == Some(close) {
                self.at += 1;
                return Ok(());
            }
            self.take(b',')?;
            self.space();
        }
    }

    fn text(&mut self) -> Result<(), Fault> {
        self.take(b'"')?;
        loop {
            match self.peek() {
                None => return Err(Fault::EndsEarly),
                Some(b'"') => {
                    self.at += 1;
                    return Ok(());
                }
                Some(b'\\') => self.escape()?,
                Some(byte) if byte < 0x20 => return Err(Fault::RawControl),
                Some(_) => self.at += 1,
            }
        }
    }

    fn escape(&mut self) -> Result<(), Fault> {
        let rest = &self.text.as_bytes()[self.at..];
        match rest.get(1) {
            None => Err(Fault::EndsEarly),
            Some(b'"' | b'\\' | b'/' | b'b' | b'f' | b'n' | b'r' | b't') => {
                self.at += 2;
                Ok(())
            }
            Some(b'u') => match hex4(rest, 2).ok_or(Fault::BadEscape)? {
                0xd800..=0xdbff => match (rest.get(6), rest.get(7), hex4(rest, 8)) {
                    (Some(b'\\'), Some(b'u'), Some(0xdc00..=0xdfff)) => {
                        self.at += 12;
                        Ok(())
                    }
                    _ => Err(Fault::LoneSurrogate),
                },
                0xdc00..=0xdfff => Err(Fault::LoneSurrogate),
                _ => {
                    self.at += 6;
                    Ok(())
                }
            },
            Some(_) => Err(Fault::BadEscape),
        }
    }

    fn digits(&mut self) -> Result<(), Fault> {
        let from = self.at;
        while matches!(self.peek(), Some(b'0'..=b'9')) {
            self.at += 1;
        }
        if self.at == from {
            Err(self.unexpected())
        } else {
            Ok(())
        }
    }

    fn number(&mut self) -> Result<(), Fault> {
        let from = self.at;
        if self.peek() == Some(b'-') {
            self.at += 1;
            if self.text[self.at..].starts_with("Inf") {
                return Err(Fault::NotFinite);
            }
        }
        if self.peek() == Some(b'0') {
            self.at += 1;
        } else {
            self.digits()?;
        }
        if self.peek() == Some(b'.') {
            self.at += 1;
            self.digits()?;
        }
        if matches!(self.peek(), Some(b'e' | b'E')) {
            self.at += 1;
            if matches!(self.peek(), Some(b'+' | b'-')) {
                self.at += 1;
            }
            self.digits()?;
        }
        match decimal::parse(&self.text[from..self.at]) {
            Some(value) if value.is_finite() => Ok(()),
            _ => {
                self.at = from;
                Err(Fault::TooLarge)
            }
        }
    }
}

fn hex4(bytes: &[u8], at: usize) -> Option<u32> {
    let mut code = 0;
    for byte in bytes.get(at..at + 4)? {
        code = code * 16 + (*byte as char).to_digit(16)?;
    }
    Some(code)
}

/// Where the value that starts at `at` ends; the text has been checked.
fn value_end(bytes: &[u8], mut at: usize) -> usize {
    let mut open = 0usize;
    loop {
        match bytes.get(at) {
            None => return bytes.len(),
            Some(b'"') => at = text_end(bytes, at),
            Some(b'{' | b'[') => {
                open += 1;
                at += 1;
                continue;
            }
            Some(b'}' | b']') => {
                open = open.saturating_sub(1);
                at += 1;
            }
            Some(b',' | b':' | b' ' | b'\n' | b'\r' | b'\t') => {
                at += 1;
                continue;
            }
            Some(_) => {
                while !matches!(
                    bytes.get(at),
                    None | Some(b',' | b':' | b']' | b'}' | b' ' | b'\n' | b'\r' | b'\t')
                ) {
                    at += 1;
                }
            }
        }
        if open == 0 {
            return at;
        }
    }
}

fn text_end(bytes: &[u8], mut at: usize) -> usize {
    at += 1;
    loop {
        match bytes.get(at) {
            None => return bytes.len(),
            Some(b'"') => return at + 1,
            Some(b'\\') => at += 2,
            Some(_) => at += 1,
        }
    }
}

impl<'a> Value<'a> {
    /// The value as it is written.
    pub fn raw(self) -> &'a str {
        self.0
    }

    /// What kind it is.
    pub fn kind(self) -> Kind {
        match self.0.as_bytes().first() {
            Some(b'{') => Kind::Object,
            Some(b'[') => Kind::List,
            Some(b'"') => Kind::Text,
            Some(b't' | b'f') => Kind::Flag,
            Some(b'n') | None => Kind::Null,
            Some(_) => Kind::Number,
        }
    }

    /// The number, where it is one.
    pub fn number(self) -> Option<f64> {
        match self.kind() {
            Kind::Number => decimal::parse(self.0),
            _ => None,
        }
    }

    /// The text, where it is one.
    pub fn text(self) -> Option<Cow<'a, str>> {
        if self.kind() != Kind::Text {
            return None;
        }
        let inner = self.0.get(1..self.0.len().saturating_sub(1)).unwrap_or("");
        if !inner.contains(['\\']) {
            return Some(Cow::Borrowed(inner));
        }
        let mut text = String::with_capacity(inner.len());
        let mut rest = inner;
        while let Some(at) = rest.find('\\') {
            text.push_str(&rest[..at]);
            let bytes = &rest.as_bytes()[at..];
            let mut used = 2;
            text.push(match bytes.get(1) {
                Some(b'b') => '\u{8}',
                Some(b'f') => '\u{c}',
                Some(b'n') => '\n',
                Some(b'r') => '\r',
                Some(b't') => '\t',
                Some(b'u') => {
                    used = 6;
                    let mut code = hex4(bytes, 2)?;
                    if let (0xd800..=0xdbff, Some(low)) = (code, hex4(bytes, 8)) {
                        used = 12;
                        code = 0x10000 + ((code - 0xd800) << 10) + low.checked_sub(0xdc00)?;
                    }
                    char::from_u32(code)?
                }
                Some(other) => *other as char,
                None => return None,
            });
            rest = rest.get(at + used..)?;
        }
        text.push_str(rest);
        Some(Cow::Owned(text))
    }

    /// The items of a list, `most` and one more at most; empty where it is none.
    pub fn items(self, most: usize) -> Vec<Value<'a>> {
        let mut items = Vec::new();
        if self.kind() == Kind::List {
            self.split(most, &mut |part| items.push(part));
        }
        items
    }

    /// The members of an object in order, `most` and one more at most; empty where it is none.
    pub fn members(self, most: usize) -> Vec<(Cow<'a, str>, Value<'a>)> {
        let mut members = Vec::new();
        if self.kind() == Kind::Object {
            let mut key = None;
            self.split(2 * most + 1, &mut |part| match key.take() {
                None => key = part.text(),
                Some(name) => members.push((name, part)),
            });
        }
        members
    }

    /// Calls for each part of a list, or each key and each value of an object in turn.
    fn split(self, most: usize, each: &mut dyn FnMut(Value<'a>)) {
        let bytes = self.0.as_bytes();
        let mut at = 1;
        let mut count = 0;
        while count <= most {
            while matches!(
                bytes.get(at),
                Some(b',' | b':' | b' ' | b'\n' | b'\r' | b'\t')
            ) {
                at += 1;
            }
            if matches!(bytes.get(at), None | Some(b']' | b'}')) {
                return;
            }
            let end = value_end(bytes, at);
            each(Value(&self.0[at..end]));
            at = end;
            count += 1;
        }
    }
}

/// Writes a text with its quotes and escapes.
pub fn write_text(out: &mut String, text: &str) {
    out.push('"');
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            // `<` never starts a tag, even where someone pastes the document into a page.
            '<' | '\u{2028}' | '\u{2029}' | '\0'..='\u{1f}' | '\u{7f}' => {
                let code = letter as u32;
                out.push_str("\\u");
                for &shift in &[12, 8, 4, 0] {
                    out.push(char::from_digit((code >> shift) & 15, 16).unwrap_or('0'));
                }
            }
            _ => out.push(letter),
        }
    }
    out.push('"');
}
