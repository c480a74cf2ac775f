//! Cells of a table: separators, quotes, line ends, and cells that a spreadsheet would run as formulas.
//!
//! Takes text; gives rows of cells with their line, and back. What is written reads back letter by letter.

use crate::digits;
use crate::studio::bounds;
use crate::studio::error::{Cause, Refusal};

/// What separates cells.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Separator {
    /// `,`
    #[default]
    Comma,
    /// `;`
    Semicolon,
    /// A tabulator.
    Tab,
}

impl Separator {
    /// Its letter.
    pub fn letter(self) -> char {
        match self {
            Self::Comma => ',',
            Self::Semicolon => ';',
            Self::Tab => '\t',
        }
    }
}

/// How a table is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Style {
    /// What separates cells.
    pub separator: Separator,
    /// Whether numbers have a decimal comma.
    pub decimal_comma: bool,
}

/// One row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cells {
    /// Line of the text on which it starts, from 1.
    pub line: usize,
    /// Its cells, made as they were before they were made harmless.
    pub cells: Vec<String>,
}

/// Most cells of a row: more than a log entry of twelve layers needs.
const MOST_CELLS: usize = 200;

/// Whether a spreadsheet could run a cell as a formula, spaces before it or not; or would take its first letter,
/// an apostrophe, for the mark that says that it must not.
fn runs(text: &str) -> bool {
    let first = text.chars().next();
    let visible = text.trim_start().chars().next();
    matches!(first, Some('\t' | '\r' | '\n' | '\''))
        || matches!(
            visible,
            Some('=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠')
        )
}

/// Writes a table.
pub struct Out {
    style: Style,
    text: String,
    first: bool,
}

impl Out {
    /// An empty table.
    pub fn new(style: Style) -> Self {
        // With the mark by which spreadsheets know the encoding.
        Self {
            style,
            text: "\u{feff}".into(),
            first: true,
        }
    }

    /// A cell of text.
    pub fn text(&mut self, text: &str) {
        if !self.first {
            self.text.push(self.style.separator.letter());
        }
        self.first = false;
        let harmful = runs(text);
        let bare = if harmful {
            text.trim_end()
        } else {
            text.trim()
        };
        let mut quoted = bare.len() != text.len();
        for letter in text.chars() {
            quoted |= matches!(letter, ',' | ';' | '\t' | '"' | '\n' | '\r');
        }
        if quoted {
            self.text.push('"');
        }
        if harmful {
            self.text.push('\'');
        }
        for letter in text.chars() {
            if letter == '"' {
                self.text.push('"');
            }
            self.text.push(letter);
        }
        if quoted {
            self.text.push('"');
        }
    }

    /// A cell with a number, or empty.
    pub fn number(&mut self, value: Option<f64>) {
        let mut text = String::new();
        if let Some(value) = value {
            digits::put(&mut text, value);
        }
        if self.style.decimal_comma {
            text = text.replace('.', ",");
        }
        self.text(&text);
    }

    /// The end of a row.
    pub fn end_row(&mut self) {
        self.text.push_str("\r\n");
        self.first = true;
    }

    /// The whole table.
    pub fn finish(self) -> String {
        self.text
    }
}

/// Reads all rows, the header first, up to `most` rows below it. Rows with nothing in them are left out.
///
/// # Errors
/// Nothing there, a quote that is never closed, too many rows or cells.
pub fn read(text: &str, most: usize) -> Result<(Separator, Vec<Cells>), Refusal> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (told, text, first_line) = told_separator(text);
    let separator = told.unwrap_or_else(|| guess_separator(text));
    let mut rows = Vec::new();
    let mut reading = Reading {
        letters: text.chars().peekable(),
        separator: separator.letter(),
        line: first_line,
    };
    while let Some(row) = reading.row()? {
        if !row.cells.iter().all(String::is_empty) {
            rows.push(row);
        }
        if rows.len() > most + 1 {
            return Err(Refusal::new(
                format!("line {}", reading.line),
                Cause::TooMany {
                    count: most + 1,
                    limit: most,
                },
            ));
        }
    }
    if rows.is_empty() {
        return Err(Refusal::new("", Cause::EmptyTable));
    }
    Ok((separator, rows))
}

/// Some programs say their separator on a line of its own: `sep=;`.
fn told_separator(text: &str) -> (Option<Separator>, &str, usize) {
    for &separator in &[Separator::Comma, Separator::Semicolon, Separator::Tab] {
        let rest = text.strip_prefix("sep=");
        if let Some(rest) = rest.and_then(|rest| rest.strip_prefix(separator.letter())) {
            let rest = rest.strip_prefix('\r').unwrap_or(rest);
            return (Some(separator), rest.strip_prefix('\n').unwrap_or(rest), 2);
        }
    }
    (None, text, 1)
}

/// The one that stands most often in the first line, outside of quotes.
fn guess_separator(text: &str) -> Separator {
    let mut counts = [0usize; 3];
    let mut quoted = false;
    for letter in text.chars() {
        match letter {
            '"' => quoted = !quoted,
            '\n' | '\r' if !quoted => break,
            ',' if !quoted => counts[0] += 1,
            ';' if !quoted => counts[1] += 1,
            '\t' if !quoted => counts[2] += 1,
            _ => {}
        }
    }
    if counts[1] > counts[0] && counts[1] >= counts[2] {
        Separator::Semicolon
    } else if counts[2] > counts[0] {
        Separator::Tab
    } else {
        Separator::Comma
    }
}

struct Reading<'a> {
    letters: std::iter::Peekable<std::str::Chars<'a>>,
    separator: char,
    line: usize,
}

impl Reading<'_> {
    /// The next row; none at the end.
    fn row(&mut self) -> Result<Option<Cells>, Refusal> {
        if self.letters.peek().is_none() {
            return Ok(None);
        }
        let line = self.line;
        let mut cells = Vec::new();
        loop {
            let (cell, more) = self.cell(line)?;
            if cells.len() >= MOST_CELLS {
                let cause = Cause::TooMany {
                    count: MOST_CELLS + 1,
                    limit: MOST_CELLS,
                };
                return Err(Refusal::new(format!("line {line}"), cause));
            }
            cells.push(cell);
            if !more {
                return Ok(Some(Cells { line, cells }));
            }
        }
    }

    /// The next cell, and whether another follows on its row.
    fn cell(&mut self, row_line: usize) -> Result<(String, bool), Refusal> {
        let mut cell = String::new();
        let mut quoted = false;
        let mut open = false;
        loop {
            let Some(letter) = self.letters.next() else {
                if open {
                    return Err(Refusal::new(format!("line {row_line}"), Cause::OpenQuote));
                }
                return Ok((harmful(cell, quoted), false));
            };
            let line_end = letter == '\r' || letter == '\n';
            // A carriage return and a line feed end one line, not two; in quotes both are kept.
            let both = letter == '\r' && self.letters.peek() == Some(&'\n');
            self.line += usize::from(line_end && !(open && both));
            if both && !open {
                self.letters.next();
            }
            match letter {
                '"' if open && self.letters.peek() == Some(&'"') => {
                    self.letters.next();
                    cell.push('"');
                }
                '"' if open => open = false,
                // A quote opens a cell only at its start; further in it is a letter like others (5" tile).
                '"' if !quoted && cell.trim().is_empty() => {
                    cell.clear();
                    (quoted, open) = (true, true);
                }
                _ if open => cell.push(letter),
                _ if line_end => return Ok((harmful(cell, quoted), false)),
                _ if letter == self.separator => return Ok((harmful(cell, quoted), true)),
                // Spaces after a closing quote are nobody's.
                _ if quoted && letter.is_whitespace() => {}
                _ => cell.push(letter),
            }
            if cell.len() > bounds::NOTE_LETTERS * 8 {
                let cause = Cause::TextTooLong {
                    letters: cell.chars().count(),
                    limit: bounds::NOTE_LETTERS,
                };
                return Err(Refusal::new(format!("line {row_line}"), cause));
            }
        }
    }
}

/// The cell as it was before it was made harmless; spaces around it only count in quotes.
fn harmful(cell: String, quoted: bool) -> String {
    let cell = if quoted { cell } else { cell.trim().to_owned() };
    match cell.strip_prefix('\'') {
        Some(rest) if runs(rest) => rest.to_owned(),
        _ => cell,
    }
}
