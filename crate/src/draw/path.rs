//! Points, numbers and paths, written short.
//!
//! Takes coordinates in px; gives path data in hundredths of a px, as steps. Whatever is not finite is written as 0.

/// A place in a picture, px, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pt {
    pub x: f64,
    pub y: f64,
}

pub(crate) fn pt(x: f64, y: f64) -> Pt {
    Pt { x, y }
}

/// `n + 1` points of a curve, given by its share 0–1. As with [`Say`], one function serves every curve.
#[inline(never)]
pub(crate) fn curve(n: usize, at: &mut dyn FnMut(f64) -> Pt) -> Vec<Pt> {
    let mut points = Vec::with_capacity(n + 1);
    for k in 0..=n {
        points.push(at(k as f64 / n as f64));
    }
    points
}

/// The points of a line at given stations.
#[inline(never)]
pub(crate) fn along(stations: &[f64], at: &mut dyn FnMut(f64) -> Pt) -> Vec<Pt> {
    let mut points = Vec::with_capacity(stations.len());
    for &s in stations {
        points.push(at(s));
    }
    points
}

/// Adds points from the last to the first, for an outline that comes back.
#[inline(never)]
pub(crate) fn add_back(points: &mut Vec<Pt>, back: &[Pt]) {
    let mut k = back.len();
    while k > 0 {
        k -= 1;
        points.push(back[k]);
    }
}

/// Adds a point.
#[inline(never)]
pub(crate) fn add(points: &mut Vec<Pt>, p: Pt) {
    points.push(p);
}

/// A text of its own. Written out at each place, the room for a short text and its bytes take a hundred bytes in the browser.
#[inline(never)]
pub(crate) fn text(text: &str) -> String {
    let mut out = String::new();
    out.push_str(text);
    out
}

/// Text that grows piece by piece. One function for all of it keeps the pictures small in the browser, where a string's own
/// growing would be written out at each of some hundreds of places.
pub(crate) trait Say {
    /// Adds a piece.
    fn say(&mut self, text: &str);
}

impl Say for String {
    #[inline(never)]
    fn say(&mut self, text: &str) {
        self.push_str(text);
    }
}

/// `value` within bounds; the lower one where it is not a number.
#[inline(never)]
pub(crate) fn bounded(value: f64, least: f64, most: f64) -> f64 {
    if value.is_finite() {
        value.max(least).min(most.max(least))
    } else {
        least
    }
}

/// A number in hundredths. Anything that is not finite is 0: a drawing never carries a NaN.
#[inline(never)]
fn hundredths(value: f64) -> i64 {
    if value.is_finite() {
        (value.clamp(-1e7, 1e7) * 100.0).round() as i64
    } else {
        0
    }
}

/// Adds one character of plain text.
#[inline(never)]
fn put(out: &mut String, byte: u8) {
    out.push(char::from(byte & 127));
}

/// Writes a number with at most two decimals, without trailing zeros.
#[inline(never)]
pub(crate) fn put_number(out: &mut String, value: f64) {
    put_hundredths(out, hundredths(value), true);
}

#[inline(never)]
fn put_hundredths(out: &mut String, hundredths: i64, leading_zero: bool) {
    if hundredths < 0 {
        put(out, b'-');
    }
    let size = hundredths.unsigned_abs();
    let rest = (size % 100) as u8;
    if size >= 100 || leading_zero || rest == 0 {
        put_integer(out, size / 100);
    }
    if rest > 0 {
        put(out, b'.');
        put(out, b'0' + rest / 10);
        if !rest.is_multiple_of(10) {
            put(out, b'0' + rest % 10);
        }
    }
}

/// Writes a whole number.
#[inline(never)]
pub(crate) fn put_integer(out: &mut String, value: u64) {
    if value >= 10 {
        put_integer(out, value / 10);
    }
    put(out, b'0' + (value % 10) as u8);
}

/// A path's data. Coordinates are hundredths of a px; all but the first of a piece are written as steps, which are short.
#[derive(Clone, Debug, Default)]
pub(crate) struct Path {
    data: String,
    last: (i64, i64),
    command: u8,
}

impl Path {
    #[inline(never)]
    pub fn new() -> Self {
        Self::default()
    }

    /// The data so far.
    pub fn data(&self) -> &str {
        &self.data
    }

    #[inline(never)]
    fn command(&mut self, command: u8) {
        // A repeated step needs no letter, but something must keep its number from the one before.
        if self.command == command && command != b'M' {
            return;
        }
        self.command = command;
        put(&mut self.data, command);
    }

    /// Writes one number after another; a minus sign or a letter before it keeps it apart.
    #[inline(never)]
    fn value(&mut self, hundredths: i64) {
        let after_letter = self
            .data
            .as_bytes()
            .last()
            .is_none_or(u8::is_ascii_alphabetic);
        if !after_letter && hundredths >= 0 {
            put(&mut self.data, b' ');
        }
        put_hundredths(&mut self.data, hundredths, false);
    }

    #[inline(never)]
    fn step_to(&mut self, p: Pt) {
        let (x, y) = (hundredths(p.x), hundredths(p.y));
        let (from_x, from_y) = self.last;
        self.value(x - from_x);
        self.value(y - from_y);
    }

    #[inline(never)]
    pub fn move_to(&mut self, p: Pt) -> &mut Self {
        self.command(b'M');
        self.last = (hundredths(p.x), hundredths(p.y));
        let (x, y) = self.last;
        self.value(x);
        self.value(y);
        self
    }

    #[inline(never)]
    pub fn line_to(&mut self, p: Pt) -> &mut Self {
        self.command(b'l');
        self.step_to(p);
        self.last = (hundredths(p.x), hundredths(p.y));
        self
    }

    #[inline(never)]
    pub fn curve_to(&mut self, a: Pt, b: Pt, p: Pt) -> &mut Self {
        self.command(b'c');
        self.step_to(a);
        self.step_to(b);
        self.step_to(p);
        self.last = (hundredths(p.x), hundredths(p.y));
        self
    }

    /// Goes on with steps that are written already; only a move may follow.
    pub fn raw(&mut self, steps: &str) {
        self.data.say(steps);
    }

    /// Closes the piece; another one starts with a move.
    #[inline(never)]
    pub fn close(&mut self) -> &mut Self {
        // What a window has cut away altogether leaves nothing to close.
        if !self.data.is_empty() {
            self.command(b'z');
        }
        self
    }

    /// Straight pieces through the points, after a move to the first.
    #[inline(never)]
    pub fn through(&mut self, points: &[Pt]) -> &mut Self {
        for (i, &p) in points.iter().enumerate() {
            if i == 0 {
                self.move_to(p);
            } else {
                self.line_to(p);
            }
        }
        self
    }

    pub fn is_empty(&self) -> bool {
        self.data.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(value: f64) -> String {
        let mut out = String::new();
        put_number(&mut out, value);
        out
    }

    #[test]
    fn numbers_are_short_and_always_numbers() {
        for (value, text) in [
            (0.0, "0"),
            (-0.001, "0"),
            (1.0, "1"),
            (1.5, "1.5"),
            (1.25, "1.25"),
            (1.05, "1.05"),
            (-12.345, "-12.35"),
            (f64::NAN, "0"),
            (f64::INFINITY, "0"),
            (1e300, "10000000"),
        ] {
            assert_eq!(written(value), text, "{value}");
        }
    }

    #[test]
    fn a_path_is_written_in_steps() {
        let mut path = Path::new();
        path.through(&[pt(10.0, 20.0), pt(10.25, 19.0), pt(11.25, 19.5)])
            .close();
        path.move_to(pt(1.0, 1.0))
            .curve_to(pt(2.0, 1.0), pt(3.0, 2.0), pt(f64::NAN, 4.0));
        assert_eq!(path.data, "M10 20l.25-1 1 .5zM1 1c1 0 2 1-1 3");
        assert!(Path::new().through(&[]).close().is_empty());
    }
}
