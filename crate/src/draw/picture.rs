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

use super::colour::Colour;
use super::lettering::put_text;
pub(crate) use super::lettering::{fit_text, text_width};
pub(crate) use super::path::{
    Path, Pt, add, add_back, along, curve, pt, put_integer, put_number, text,
};
use super::path::{Say, bounded};

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
            bounded(self.width_px, 240.0, 1600.0)
        } else {
            720.0
        }
    }
}

/// Height of ordinary text in a picture, px.
pub(crate) const TEXT_PX: f64 = 13.0;
/// Height of small text in a picture, px; nothing is smaller.
pub(crate) const SMALL_PX: f64 = 12.0;

/// How a text is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ink {
    Quiet,
    Small,
    Plain,
    Label,
    SmallLabel,
    LargeLabel,
}

impl Ink {
    /// Classes and size.
    fn of(self) -> (&'static str, f64) {
        match self {
            Self::Quiet => ("gf-text-small gf-quiet", SMALL_PX),
            Self::Small => ("gf-text-small", SMALL_PX),
            Self::Plain => ("gf-text", TEXT_PX),
            Self::Label => ("gf-label", TEXT_PX),
            Self::SmallLabel => ("gf-label", SMALL_PX),
            Self::LargeLabel => ("gf-label", TEXT_PX + 1.0),
        }
    }

    pub fn size_px(self) -> f64 {
        self.of().1
    }
}

/// Where a text stands by its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// A stop of a gradient: share of the way, colour, opacity.
pub(crate) type Stop = (f64, Colour, f64);

/// SVG being written.
pub(crate) struct Svg {
    prefix: String,
    width: f64,
    defs: String,
    body: String,
    /// Whether what is written is a definition.
    defining: bool,
}

impl Svg {
    pub fn new(view: &View) -> Self {
        Self::wide(view, view.width())
    }

    /// A picture exactly as wide as its view, for small ones.
    pub fn exactly(view: &View) -> Self {
        Self::wide(view, bounded(view.width_px, 4.0, 1600.0))
    }

    #[inline(never)]
    fn wide(view: &View, width: f64) -> Self {
        let mut prefix = String::new();
        for byte in view.prefix.bytes() {
            let fits = byte.is_ascii_alphanumeric() || byte == b'-';
            if fits && prefix.len() < 40 {
                prefix.push(char::from(byte));
            }
        }
        if !prefix.starts_with(|c: char| c.is_ascii_alphabetic()) {
            prefix = text("gf");
        }
        Self {
            prefix,
            width,
            defs: String::new(),
            body: String::new(),
            defining: false,
        }
    }

    pub fn width(&self) -> f64 {
        self.width
    }

    /// Starts an element in the picture; its attributes follow, then [`Svg::done`] or [`Svg::open`].
    #[inline(never)]
    pub fn element(&mut self, tag: &'static str) -> &mut Self {
        self.start(false, tag)
    }

    /// Starts an element among the definitions.
    #[inline(never)]
    pub fn definition(&mut self, tag: &'static str) -> &mut Self {
        self.start(true, tag)
    }

    #[inline(never)]
    fn start(&mut self, defining: bool, tag: &'static str) -> &mut Self {
        self.defining = defining;
        self.put("<").put(tag)
    }

    /// Ends a definition that was left open.
    #[inline(never)]
    pub fn end_definition(&mut self, tag: &'static str) {
        self.defining = true;
        self.put("</").put(tag).put(">");
    }

    /// Ends an element that was left open.
    #[inline(never)]
    pub fn end(&mut self, tag: &'static str) {
        self.defining = false;
        self.put("</").put(tag).put(">");
    }

    fn out(&mut self) -> &mut String {
        if self.defining {
            &mut self.defs
        } else {
            &mut self.body
        }
    }

    /// Writes as it is.
    #[inline(never)]
    fn put(&mut self, text: &str) -> &mut Self {
        self.out().push_str(text);
        self
    }

    /// ` name="`.
    #[inline(never)]
    fn name(&mut self, name: &str) -> &mut Self {
        self.put(" ").put(name).put("=\"")
    }

    #[inline(never)]
    pub fn attr(&mut self, name: &str, value: &str) -> &mut Self {
        put_text(self.name(name).out(), value);
        self.put("\"")
    }

    /// A colour, written out.
    #[inline(never)]
    pub fn paint(&mut self, name: &str, colour: Colour) -> &mut Self {
        colour.put(self.name(name).out());
        self.put("\"")
    }

    #[inline(never)]
    pub fn class(&mut self, class: &str) -> &mut Self {
        self.attr("class", class)
    }

    #[inline(never)]
    pub fn num(&mut self, name: &str, value: f64) -> &mut Self {
        put_number(self.name(name).out(), value);
        self.put("\"")
    }

    /// A place as two numbers.
    #[inline(never)]
    pub fn place(&mut self, x: &str, y: &str, at: Pt) -> &mut Self {
        self.num(x, at.x).num(y, at.y)
    }

    #[inline(never)]
    pub fn data(&mut self, path: &Path) -> &mut Self {
        self.name("d").put(path.data()).put("\"")
    }

    /// The id that a name and a number make in this picture, after `before` and with `after` behind it.
    #[inline(never)]
    fn put_id(&mut self, before: &str, name: &str, n: usize, after: &str) -> &mut Self {
        let out = if self.defining {
            &mut self.defs
        } else {
            &mut self.body
        };
        out.say(before);
        out.say(&self.prefix);
        out.say("-");
        out.say(name);
        put_integer(out, n as u64);
        out.say(after);
        self
    }

    /// `id="…"`.
    #[inline(never)]
    pub fn id(&mut self, name: &str, n: usize) -> &mut Self {
        self.put_id(" id=\"", name, n, "\"")
    }

    /// `href="#…"`.
    #[inline(never)]
    pub fn href(&mut self, name: &str, n: usize) -> &mut Self {
        self.put_id(" href=\"#", name, n, "\"")
    }

    /// `attribute="url(#…)"`.
    #[inline(never)]
    pub fn url(&mut self, attribute: &str, name: &str, n: usize) -> &mut Self {
        self.name(attribute).put_id("url(#", name, n, ")\"")
    }

    /// `transform`: stretched across and down, then moved.
    #[inline(never)]
    pub fn matrix(&mut self, across: f64, down: f64, by: Pt) -> &mut Self {
        let mut matrix = text("matrix(");
        put_number(&mut matrix, across);
        matrix.say(" 0 0 ");
        put_number(&mut matrix, down);
        matrix.say(" ");
        put_number(&mut matrix, by.x);
        matrix.say(" ");
        put_number(&mut matrix, by.y);
        matrix.say(")");
        self.attr("transform", &matrix)
    }

    /// Ends the element here.
    #[inline(never)]
    pub fn done(&mut self) {
        self.put("/>");
    }

    /// Leaves the element open for what goes into it.
    #[inline(never)]
    pub fn open(&mut self) {
        self.put(">");
    }

    #[inline(never)]
    pub fn path(&mut self, class: &str, path: &Path) {
        if !path.is_empty() {
            self.element("path").class(class).data(path).done();
        }
    }

    /// A closed outline.
    #[inline(never)]
    pub fn area(&mut self, class: &str, points: &[Pt]) {
        let mut path = Path::new();
        path.through(points).close();
        self.path(class, &path);
    }

    /// An open line.
    #[inline(never)]
    pub fn polyline(&mut self, class: &str, points: &[Pt]) {
        let mut path = Path::new();
        path.through(points);
        self.path(class, &path);
    }

    #[inline(never)]
    pub fn line(&mut self, class: &str, a: Pt, b: Pt) {
        self.element("line")
            .class(class)
            .place("x1", "y1", a)
            .place("x2", "y2", b)
            .done();
    }

    #[inline(never)]
    pub fn rect(&mut self, class: &str, corner: Pt, width: f64, height: f64) {
        let element = self.element("rect").class(class).place("x", "y", corner);
        element
            .num("width", width.max(0.0))
            .num("height", height.max(0.0))
            .done();
    }

    #[inline(never)]
    pub fn circle(&mut self, class: &str, centre: Pt, radius: f64) {
        self.element("circle")
            .class(class)
            .place("cx", "cy", centre)
            .num("r", radius.max(0.0))
            .done();
    }

    #[inline(never)]
    pub fn text(&mut self, ink: Ink, at: Pt, anchor: Anchor, text: &str) {
        let (class, size_px) = ink.of();
        self.start_text(class, at, size_px, anchor);
        put_text(&mut self.body, text);
        self.end("text");
    }

    #[inline(never)]
    fn start_text(&mut self, class: &str, at: Pt, size_px: f64, anchor: Anchor) {
        self.element("text")
            .class(class)
            .place("x", "y", at)
            .num("font-size", size_px);
        match anchor {
            Anchor::Start => {}
            Anchor::Middle => {
                self.attr("text-anchor", "middle");
            }
            Anchor::End => {
                self.attr("text-anchor", "end");
            }
        }
        self.open();
    }

    /// Text that goes on quietly: the answer first, the number behind it.
    #[inline(never)]
    pub fn text_with(&mut self, class: &str, at: Pt, size_px: f64, text: &str, quiet: &str) {
        self.start_text(class, at, size_px, Anchor::Start);
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

    /// Defines a gradient between two places by its stops: share of the way, colour, opacity.
    #[inline(never)]
    pub fn gradient(&mut self, name: &str, n: usize, from: Pt, to: Pt, stops: &[Stop]) {
        self.definition("linearGradient")
            .id(name, n)
            .attr("gradientUnits", "userSpaceOnUse")
            .place("x1", "y1", from)
            .place("x2", "y2", to)
            .open();
        for &(share, colour, opacity) in stops {
            let mut offset = String::new();
            put_number(&mut offset, bounded(share, 0.0, 1.0) * 100.0);
            offset.say("%");
            self.definition("stop")
                .attr("offset", &offset)
                .paint("stop-color", colour);
            if opacity < 1.0 {
                self.num("stop-opacity", opacity);
            }
            self.done();
        }
        self.end_definition("linearGradient");
    }

    /// Opens a shape by which others are clipped.
    #[inline(never)]
    pub fn clip(&mut self, name: &str) {
        self.definition("clipPath").id(name, 0).open();
    }

    /// Ends the clipping shape, and opens a group that it clips.
    #[inline(never)]
    pub fn clipped(&mut self, name: &str) {
        self.end_definition("clipPath");
        self.element("g").url("clip-path", name, 0).open();
    }

    /// The picture, `height` px high.
    #[inline(never)]
    pub fn finish(&mut self, height: f64, words: String) -> Picture {
        let (width, height) = (self.width, height.max(1.0));
        let body = std::mem::take(&mut self.body);
        let mut box_ = text("0 0 ");
        put_number(&mut box_, width);
        box_.say(" ");
        put_number(&mut box_, height);
        self.element("svg")
            .attr("xmlns", "http://www.w3.org/2000/svg")
            .class("gf")
            .num("width", width)
            .num("height", height)
            .attr("viewBox", &box_)
            .attr("role", "img")
            .attr("aria-label", &words)
            .open();
        let mut svg = std::mem::take(&mut self.body);
        if !self.defs.is_empty() {
            svg.say("<defs>");
            svg.say(&self.defs);
            svg.say("</defs>");
        }
        svg.say(&body);
        svg.say("</svg>");
        Picture { svg, words }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_prefix_cannot_break_out_of_an_id() {
        for (prefix, id) in [("\"><script>", "script-p12"), ("9", "gf-p12")] {
            let mut svg = Svg::new(&View {
                width_px: 300.0,
                height_px: 300.0,
                prefix,
            });
            svg.element("path").id("p", 12).done();
            assert_eq!(svg.body, ["<path id=\"", id, "\"/>"].concat());
        }
    }
}
