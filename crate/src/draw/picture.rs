//! A picture: SVG and the words that say the same.
//!
//! Takes shapes in picture pixels (y down); gives SVG text without scripts and without inline styles, so that it
//! may stand in a page under a strict content security policy.
//!
//! `gf-shade`, `gf-light`, `gf-relief`, `gf-edge` and `gf-glaze` carry their colour as attributes and need no rule on a screen.
//!
//! Colour by class, so that light, dark and print are the page's choice; glazes alone carry their colour as an
//! attribute. The classes and their rules stand in `draw.css`, which a page includes as it is and steers with the
//! custom properties at its top; a test holds the two together.

/// A picture with its words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// A whole `<svg>` element, `role="img"`, labelled with [`Picture::words`].
    pub svg: String,
    /// What is there and what it shows now, for a screen reader.
    pub words: String,
}

/// How a picture will be looked at.
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    /// Width at which the page shows it, CSS px. Texts keep their size, so ask again when the width changes much.
    pub width_px: f64,
    /// The most height it may take, CSS px; it is only as high as it needs.
    pub height_px: f64,
    /// Put before every `id`, so that several pictures can stand in one page: a letter, then `a–z 0–9 -`.
    pub prefix: &'a str,
}

impl View<'_> {
    /// The width within the bounds that the pictures are laid out for, px.
    pub(crate) fn width(&self) -> f64 {
        if self.width_px.is_finite() {
            self.width_px.clamp(240.0, 1600.0)
        } else {
            720.0
        }
    }
}

/// Height of ordinary text in a picture, px.
pub(crate) const TEXT_PX: f64 = 13.0;
/// Height of small text in a picture, px; nothing is smaller.
pub(crate) const SMALL_PX: f64 = 12.0;

/// A place in a picture, px, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pt {
    pub x: f64,
    pub y: f64,
}

pub(crate) fn pt(x: f64, y: f64) -> Pt {
    Pt { x, y }
}

/// A number in hundredths. Anything that is not finite is 0: a drawing never carries a NaN.
fn hundredths(value: f64) -> i64 {
    if value.is_finite() {
        (value.clamp(-1e7, 1e7) * 100.0).round() as i64
    } else {
        0
    }
}

/// Writes a number with at most two decimals, without trailing zeros.
pub(crate) fn put_number(out: &mut String, value: f64) {
    put_hundredths(out, hundredths(value), true);
}

fn put_hundredths(out: &mut String, hundredths: i64, leading_zero: bool) {
    if hundredths < 0 {
        out.push('-');
    }
    let size = hundredths.unsigned_abs();
    let rest = (size % 100) as u8;
    if size >= 100 || leading_zero || rest == 0 {
        put_integer(out, size / 100);
    }
    if rest > 0 {
        out.push('.');
        out.push(char::from(b'0' + rest / 10));
        if !rest.is_multiple_of(10) {
            out.push(char::from(b'0' + rest % 10));
        }
    }
}

/// Writes a whole number.
pub(crate) fn put_integer(out: &mut String, value: u64) {
    if value >= 10 {
        put_integer(out, value / 10);
    }
    out.push(char::from(b'0' + (value % 10) as u8));
}

/// Writes text so that it is text in SVG; what XML cannot carry, and marks that turn the reading direction, are left
/// out.
pub(crate) fn put_text(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{feff}' => {}
            '\u{fffe}' | '\u{ffff}' => {}
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
}

/// Estimated width of a text, px: system typefaces average a little over half their height.
pub(crate) fn text_width(text: &str, size_px: f64) -> f64 {
    let ems: f64 = text
        .chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | 't' | 'f' | 'r' | 'I' | '.' | ',' | ':' | '\'' | ' ' | '|' => 0.36,
            'm' | 'w' | 'M' | 'W' | '–' => 0.86,
            c if c.is_ascii() => 0.61,
            c if (c as u32) < 0x1100 => 0.62,
            _ => 1.0,
        })
        .sum();
    ems * size_px
}

/// The text, cut with an ellipsis where it is wider than `width_px`.
pub(crate) fn fit_text(text: &str, size_px: f64, width_px: f64) -> String {
    if text_width(text, size_px) <= width_px {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if text_width(&kept, size_px) > width_px - size_px * 0.9 {
            kept.pop();
            break;
        }
    }
    let mut cut = kept.trim_end().to_owned();
    cut.push('…');
    cut
}

/// A path's data. Coordinates are hundredths of a px; all but the first of a piece are written as steps, which are short.
#[derive(Clone, Debug, Default)]
pub(crate) struct Path {
    data: String,
    last: (i64, i64),
    command: char,
}

impl Path {
    pub fn new() -> Self {
        Self::default()
    }

    fn command(&mut self, command: char) {
        // A repeated step needs no letter, but something must keep its number from the one before.
        if self.command == command && command != 'M' {
            return;
        }
        self.command = command;
        self.data.push(command);
    }

    /// Writes one number after another; a minus sign or a letter before it keeps it apart.
    fn value(&mut self, hundredths: i64) {
        let apart = self.data.ends_with(|c: char| c.is_ascii_alphabetic()) || hundredths < 0;
        if !apart && !self.data.is_empty() {
            self.data.push(' ');
        }
        put_hundredths(&mut self.data, hundredths, false);
    }

    fn step_to(&mut self, p: Pt) {
        let (x, y) = (hundredths(p.x), hundredths(p.y));
        let (from_x, from_y) = self.last;
        self.value(x - from_x);
        self.value(y - from_y);
    }

    pub fn move_to(&mut self, p: Pt) -> &mut Self {
        self.command('M');
        self.last = (hundredths(p.x), hundredths(p.y));
        let (x, y) = self.last;
        self.value(x);
        self.value(y);
        self
    }

    pub fn line_to(&mut self, p: Pt) -> &mut Self {
        self.command('l');
        self.step_to(p);
        self.last = (hundredths(p.x), hundredths(p.y));
        self
    }

    pub fn curve_to(&mut self, a: Pt, b: Pt, p: Pt) -> &mut Self {
        self.command('c');
        self.step_to(a);
        self.step_to(b);
        self.step_to(p);
        self.last = (hundredths(p.x), hundredths(p.y));
        self
    }

    /// Closes the piece; another one starts with a move.
    pub fn close(&mut self) -> &mut Self {
        self.command('z');
        self
    }

    /// Straight pieces through the points, after a move to the first.
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

/// SVG being written.
pub(crate) struct Svg {
    prefix: String,
    width: f64,
    defs: String,
    body: String,
}

impl Svg {
    pub fn new(view: &View) -> Self {
        let prefix: String = view
            .prefix
            .chars()
            .filter(|c| c.is_ascii_alphanumeric() || *c == '-')
            .take(40)
            .collect();
        let prefix = if prefix.starts_with(|c: char| c.is_ascii_alphabetic()) {
            prefix
        } else {
            "gf".to_owned()
        };
        Self {
            prefix,
            width: view.width(),
            defs: String::new(),
            body: String::new(),
        }
    }

    /// A picture exactly as wide as its view, for small ones.
    pub fn exactly(view: &View) -> Self {
        let width = if view.width_px.is_finite() {
            view.width_px.clamp(4.0, 1600.0)
        } else {
            100.0
        };
        Self {
            width,
            ..Self::new(view)
        }
    }

    pub fn width(&self) -> f64 {
        self.width
    }

    /// An id of this picture.
    pub fn id(&self, name: &str) -> String {
        let mut id = self.prefix.clone();
        id.push('-');
        id.push_str(name);
        id
    }

    /// An id of this picture with a number at its end.
    pub fn id_n(&self, name: &str, n: usize) -> String {
        let mut id = self.id(name);
        put_integer(&mut id, n as u64);
        id
    }

    /// An element in the picture.
    pub fn element(&mut self, tag: &'static str) -> Element<'_> {
        Element::start(&mut self.body, tag)
    }

    /// An element among the definitions.
    pub fn definition(&mut self, tag: &'static str) -> Element<'_> {
        Element::start(&mut self.defs, tag)
    }

    /// Ends a definition that was left open.
    pub fn end_definition(&mut self, tag: &'static str) {
        end_tag(&mut self.defs, tag);
    }

    /// Ends an element that was left open.
    pub fn end(&mut self, tag: &'static str) {
        end_tag(&mut self.body, tag);
    }

    pub fn path(&mut self, class: &str, path: &Path) {
        if !path.is_empty() {
            self.element("path").class(class).data(path).done();
        }
    }

    pub fn line(&mut self, class: &str, a: Pt, b: Pt) {
        self.element("line")
            .class(class)
            .num("x1", a.x)
            .num("y1", a.y)
            .num("x2", b.x)
            .num("y2", b.y)
            .done();
    }

    pub fn rect(&mut self, class: &str, corner: Pt, width: f64, height: f64) {
        let element = self
            .element("rect")
            .class(class)
            .num("x", corner.x)
            .num("y", corner.y);
        element
            .num("width", width.max(0.0))
            .num("height", height.max(0.0))
            .done();
    }

    pub fn circle(&mut self, class: &str, centre: Pt, radius: f64) {
        self.element("circle")
            .class(class)
            .num("cx", centre.x)
            .num("cy", centre.y)
            .num("r", radius.max(0.0))
            .done();
    }

    /// Text; `anchor` is `start`, `middle` or `end`.
    pub fn text(&mut self, class: &str, at: Pt, anchor: &str, size_px: f64, text: &str) {
        let element = self
            .element("text")
            .class(class)
            .num("x", at.x)
            .num("y", at.y)
            .num("font-size", size_px);
        let element = if anchor == "start" {
            element
        } else {
            element.attr("text-anchor", anchor)
        };
        element.open();
        put_text(&mut self.body, text);
        self.end("text");
    }

    /// Text that goes on quietly: the answer first, the number behind it.
    pub fn text_with(&mut self, class: &str, at: Pt, size_px: f64, text: &str, quiet: &str) {
        self.element("text")
            .class(class)
            .num("x", at.x)
            .num("y", at.y)
            .num("font-size", size_px)
            .open();
        put_text(&mut self.body, text);
        if !quiet.is_empty() {
            self.element("tspan")
                .class("gf-quiet")
                .num("dx", 8.0)
                .num("font-size", SMALL_PX)
                .open();
            put_text(&mut self.body, quiet);
            self.end("tspan");
        }
        self.end("text");
    }

    /// The picture, `height` px high.
    pub fn finish(self, height: f64, words: String) -> Picture {
        let mut svg = String::with_capacity(self.defs.len() + self.body.len() + words.len() + 300);
        let mut box_ = String::from("0 0 ");
        put_number(&mut box_, self.width);
        box_.push(' ');
        put_number(&mut box_, height.max(1.0));
        let root = Element::start(&mut svg, "svg")
            .attr("xmlns", "http://www.w3.org/2000/svg")
            .class("gf");
        let root = root
            .num("width", self.width)
            .num("height", height.max(1.0))
            .attr("viewBox", &box_);
        root.attr("role", "img").attr("aria-label", &words).open();
        if !self.defs.is_empty() {
            svg.push_str("<defs>");
            svg.push_str(&self.defs);
            svg.push_str("</defs>");
        }
        svg.push_str(&self.body);
        svg.push_str("</svg>");
        Picture { svg, words }
    }
}

/// An element whose attributes are being written.
#[must_use]
pub(crate) struct Element<'a> {
    out: &'a mut String,
}

impl<'a> Element<'a> {
    fn start(out: &'a mut String, tag: &'static str) -> Self {
        out.push('<');
        out.push_str(tag);
        Self { out }
    }

    pub fn attr(self, name: &str, value: &str) -> Self {
        self.out.push(' ');
        self.out.push_str(name);
        self.out.push_str("=\"");
        put_text(self.out, value);
        self.out.push('"');
        self
    }

    pub fn class(self, class: &str) -> Self {
        if class.is_empty() {
            self
        } else {
            self.attr("class", class)
        }
    }

    pub fn num(self, name: &str, value: f64) -> Self {
        self.out.push(' ');
        self.out.push_str(name);
        self.out.push_str("=\"");
        put_number(self.out, value);
        self.out.push('"');
        self
    }

    pub fn data(self, path: &Path) -> Self {
        self.out.push_str(" d=\"");
        self.out.push_str(&path.data);
        self.out.push('"');
        self
    }

    /// `href="#id"`.
    pub fn href(self, id: &str) -> Self {
        self.out.push_str(" href=\"#");
        self.out.push_str(id);
        self.out.push('"');
        self
    }

    /// `name="url(#id)"`.
    pub fn url(self, name: &str, id: &str) -> Self {
        self.out.push(' ');
        self.out.push_str(name);
        self.out.push_str("=\"url(#");
        self.out.push_str(id);
        self.out.push_str(")\"");
        self
    }

    /// Ends the element here.
    pub fn done(self) {
        self.out.push_str("/>");
    }

    /// Leaves the element open for what goes into it.
    pub fn open(self) {
        self.out.push('>');
    }
}

fn end_tag(out: &mut String, tag: &'static str) {
    out.push_str("</");
    out.push_str(tag);
    out.push('>');
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
    }

    #[test]
    fn text_cannot_become_markup() {
        let mut out = String::new();
        put_text(&mut out, "a<b>&\"\u{0}\u{202e}c\u{200b}");
        assert_eq!(out, "a&lt;b&gt;&amp;&quot; c");
    }

    #[test]
    fn long_names_are_cut_to_their_room() {
        let cut = fit_text(
            "A very long name of a glaze that nobody would write on a bucket",
            13.0,
            100.0,
        );
        assert!(
            cut.ends_with('…') && text_width(&cut, 13.0) <= 100.0,
            "{cut}"
        );
        assert_eq!(fit_text("Tenmoku", 13.0, 100.0), "Tenmoku");
    }

    #[test]
    fn a_prefix_cannot_break_out_of_an_id() {
        let svg = Svg::new(&View {
            width_px: 300.0,
            height_px: 300.0,
            prefix: "\"><script>",
        });
        assert_eq!(svg.id("p"), "script-p");
        assert_eq!(
            Svg::new(&View {
                width_px: 300.0,
                height_px: 300.0,
                prefix: "9"
            })
            .id_n("p", 12),
            "gf-p12"
        );
    }
}
