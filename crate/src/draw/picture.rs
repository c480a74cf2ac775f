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

use super::lettering::put_text;
pub(crate) use super::lettering::{fit_text, text_width};
use super::path::Say;
pub(crate) use super::path::{Path, Pt, add_back, along, curve, pt, put_integer, put_number};

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
    #[inline(never)]
    pub fn id(&self, name: &str) -> String {
        let mut id = self.prefix.clone();
        id.say("-");
        id.say(name);
        id
    }

    /// An id of this picture with a number at its end.
    #[inline(never)]
    pub fn id_n(&self, name: &str, n: usize) -> String {
        let mut id = self.id(name);
        put_integer(&mut id, n as u64);
        id
    }

    /// An element in the picture.
    #[inline(never)]
    pub fn element(&mut self, tag: &'static str) -> Element<'_> {
        Element::start(&mut self.body, tag)
    }

    /// An element among the definitions.
    #[inline(never)]
    pub fn definition(&mut self, tag: &'static str) -> Element<'_> {
        Element::start(&mut self.defs, tag)
    }

    /// Ends a definition that was left open.
    #[inline(never)]
    pub fn end_definition(&mut self, tag: &'static str) {
        end_tag(&mut self.defs, tag);
    }

    /// Ends an element that was left open.
    #[inline(never)]
    pub fn end(&mut self, tag: &'static str) {
        end_tag(&mut self.body, tag);
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
            .num("x1", a.x)
            .num("y1", a.y)
            .num("x2", b.x)
            .num("y2", b.y)
            .done();
    }

    #[inline(never)]
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

    #[inline(never)]
    pub fn circle(&mut self, class: &str, centre: Pt, radius: f64) {
        self.element("circle")
            .class(class)
            .num("cx", centre.x)
            .num("cy", centre.y)
            .num("r", radius.max(0.0))
            .done();
    }

    /// Text; `anchor` is `start`, `middle` or `end`.
    #[inline(never)]
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
    #[inline(never)]
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
    #[inline(never)]
    pub fn finish(self, height: f64, words: String) -> Picture {
        let mut svg = String::with_capacity(self.defs.len() + self.body.len() + words.len() + 300);
        let mut box_ = String::from("0 0 ");
        put_number(&mut box_, self.width);
        box_.say(" ");
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
            svg.say("<defs>");
            svg.say(&self.defs);
            svg.say("</defs>");
        }
        svg.say(&self.body);
        svg.say("</svg>");
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
        out.say("<");
        out.say(tag);
        Self { out }
    }

    #[inline(never)]
    pub fn attr(self, name: &str, value: &str) -> Self {
        self.out.say(" ");
        self.out.say(name);
        self.out.say("=\"");
        put_text(self.out, value);
        self.out.say("\"");
        self
    }

    #[inline(never)]
    pub fn class(self, class: &str) -> Self {
        if class.is_empty() {
            self
        } else {
            self.attr("class", class)
        }
    }

    #[inline(never)]
    pub fn num(self, name: &str, value: f64) -> Self {
        self.out.say(" ");
        self.out.say(name);
        self.out.say("=\"");
        put_number(self.out, value);
        self.out.say("\"");
        self
    }

    #[inline(never)]
    pub fn data(self, path: &Path) -> Self {
        self.out.say(" d=\"");
        self.out.say(path.data());
        self.out.say("\"");
        self
    }

    /// `href="#id"`.
    #[inline(never)]
    pub fn href(self, id: &str) -> Self {
        self.out.say(" href=\"#");
        self.out.say(id);
        self.out.say("\"");
        self
    }

    /// `name="url(#id)"`.
    #[inline(never)]
    pub fn url(self, name: &str, id: &str) -> Self {
        self.out.say(" ");
        self.out.say(name);
        self.out.say("=\"url(#");
        self.out.say(id);
        self.out.say(")\"");
        self
    }

    /// Ends the element here.
    #[inline(never)]
    pub fn done(self) {
        self.out.say("/>");
    }

    /// Leaves the element open for what goes into it.
    #[inline(never)]
    pub fn open(self) {
        self.out.say(">");
    }
}

fn end_tag(out: &mut String, tag: &'static str) {
    out.say("</");
    out.say(tag);
    out.say(">");
}

#[cfg(test)]
mod tests {
    use super::*;

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
