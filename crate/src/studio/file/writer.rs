//! Writes a record as JSON: one order, one way to write each value, nothing that is not needed.
//!
//! Takes a record through its walk; gives text in which a record of a list stands on one line, so that files can be
//! compared line by line.

use crate::digits;
use crate::studio::bounds::Bounds;
use crate::studio::json::write_text;
use crate::studio::walk::{Fields, Need, Record, TextRule};

/// Writes `record`; `spread`: its keys on lines of their own, and the items of its lists likewise.
pub fn write_record(record: &mut dyn Record, spread: bool) -> String {
    let mut writer = Writer {
        out: String::new(),
        open: Vec::new(),
        spread,
    };
    writer.enter('{', '}', spread);
    record.walk(&mut writer);
    writer.close();
    writer.out
}

/// Something that has been opened.
struct Frame {
    /// What closes it; none where nothing was written.
    close: Option<char>,
    /// Nothing in it yet.
    first: bool,
    /// What it holds stands on lines of its own.
    lines: bool,
}

struct Writer {
    out: String,
    open: Vec<Frame>,
    spread: bool,
}

impl Writer {
    fn line(&mut self, depth: usize) {
        self.out.push('\n');
        for _ in 0..depth {
            self.out.push_str("  ");
        }
    }

    fn next(&mut self) {
        let depth = self.open.len();
        let Some(frame) = self.open.last_mut() else {
            return;
        };
        let (first, lines) = (frame.first, frame.lines);
        frame.first = false;
        if !first {
            self.out.push(',');
        }
        if lines {
            self.line(depth);
        } else if !first {
            self.out.push(' ');
        }
    }

    fn enter(&mut self, open: char, close: char, lines: bool) {
        self.out.push(open);
        self.open.push(Frame {
            close: Some(close),
            first: true,
            lines,
        });
    }

    fn key(&mut self, key: &str) {
        self.next();
        self.out.push('"');
        self.out.push_str(key);
        self.out.push_str("\": ");
    }

    fn put_number(&mut self, key: &str, value: f64) {
        self.key(key);
        // Shortest digits that read back to the same number.
        digits::put(&mut self.out, value);
    }

    fn put_text(&mut self, key: &str, value: &str) {
        self.key(key);
        write_text(&mut self.out, value);
    }
}

impl Fields for Writer {
    fn text(&mut self, key: &'static str, value: &mut String, need: Need, _: TextRule) {
        if need == Need::Must || !value.is_empty() {
            self.put_text(key, value);
        }
    }

    fn maybe_text(&mut self, key: &'static str, value: &mut Option<String>, _: TextRule) {
        if let Some(value) = value {
            self.put_text(key, value);
        }
    }

    fn number(&mut self, key: &'static str, value: &mut f64, need: Need, _: &'static Bounds) {
        if need != Need::Or(*value) {
            self.put_number(key, *value);
        }
    }

    fn maybe_number(&mut self, key: &'static str, value: &mut Option<f64>, _: &'static Bounds) {
        if let Some(value) = value {
            self.put_number(key, *value);
        }
    }

    fn whole(&mut self, key: &'static str, value: &mut u64, need: Need, _: &'static Bounds) {
        self.number(
            key,
            &mut (*value as f64),
            need,
            &crate::studio::bounds::MOMENT,
        );
    }

    fn maybe_whole(&mut self, key: &'static str, value: &mut Option<u64>, _: &'static Bounds) {
        if let Some(value) = value {
            self.put_number(key, *value as f64);
        }
    }

    fn flag(&mut self, key: &'static str, value: &mut bool) {
        if *value {
            self.key(key);
            self.out.push_str("true");
        }
    }

    fn word(
        &mut self,
        key: &'static str,
        value: &mut usize,
        or: Option<usize>,
        words: &'static [&'static str],
    ) {
        if or != Some(*value)
            && let Some(word) = words.get(*value)
        {
            self.put_text(key, word);
        }
    }

    fn maybe_word(
        &mut self,
        key: &'static str,
        value: &mut Option<usize>,
        words: &'static [&'static str],
    ) {
        if let Some(word) = value.and_then(|place| words.get(place)) {
            self.put_text(key, word);
        }
    }

    fn open(&mut self, key: &'static str, present: bool, _: bool) -> bool {
        if present {
            self.key(key);
            self.enter('{', '}', false);
        }
        present
    }

    fn open_list(
        &mut self,
        key: &'static str,
        length: usize,
        _: usize,
        _: usize,
        must: bool,
    ) -> usize {
        if length > 0 || must {
            self.key(key);
            let lines = self.spread && self.open.len() == 1;
            self.enter('[', ']', lines);
        } else {
            self.open.push(Frame {
                close: None,
                first: true,
                lines: false,
            });
        }
        length
    }

    fn open_item(&mut self, _: usize) -> bool {
        self.next();
        self.enter('{', '}', false);
        true
    }

    fn close(&mut self) {
        let Some(frame) = self.open.pop() else { return };
        if frame.lines && !frame.first {
            self.line(self.open.len());
        }
        self.out.extend(frame.close);
    }
}
