//! Error against time as a picture.
//!
//! Takes points; gives an SVG with both axes in powers of ten.

use super::Point;
use std::fmt::Write as _;

const COLOURS: [&str; 6] = [
    "#0b6e4f", "#2a9d8f", "#b5651d", "#7a3b9a", "#c0392b", "#555555",
];

/// The plot.
pub fn svg(points: &[Point], allowed_mm: f64) -> String {
    let x = |ms: f64| 70.0 + 135.0 * (ms.clamp(0.3, 3e4).log10() + 0.5);
    let y = |mm: f64| 40.0 + 80.0 * (1.0 - mm.abs().clamp(1e-3, 10.0).log10());
    let mut out = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 860 430\" font-family=\"sans-serif\" font-size=\"13\">\n<title>Error of the run against time, jar, Phi 12</title>\n<rect width=\"860\" height=\"430\" fill=\"#fff\"/>\n",
    );
    for p in 0..5 {
        let (ms, at) = (10_f64.powi(p), x(10_f64.powi(p)));
        let _ = writeln!(
            out,
            "<path d=\"M{at:.0} 40V360\" stroke=\"#ddd\"/><text x=\"{at:.0}\" y=\"380\" text-anchor=\"middle\">{ms} ms</text>"
        );
    }
    for p in -3..=1 {
        let (mm, at) = (10_f64.powi(p), y(10_f64.powi(p)));
        let _ = writeln!(
            out,
            "<path d=\"M70 {at:.0}H640\" stroke=\"#ddd\"/><text x=\"64\" y=\"{:.0}\" text-anchor=\"end\">{mm} mm</text>",
            at + 4.0
        );
    }
    let line = y(allowed_mm);
    let _ = writeln!(
        out,
        "<path d=\"M70 {line:.1}H640\" stroke=\"#333\" stroke-dasharray=\"6 4\"/><text x=\"75\" y=\"{:.1}\">allowed: 0.1 mm + 1 %</text>",
        line - 5.0
    );
    let mut names: Vec<&str> = Vec::new();
    for p in points {
        let i = names.iter().position(|n| *n == p.rival).unwrap_or_else(|| {
            names.push(&p.rival);
            names.len() - 1
        });
        let _ = writeln!(
            out,
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"5\" fill=\"{}\"><title>{}, {}: {:.2} ms, {:+.3} mm</title></circle>",
            x(p.ms),
            y(p.off_mm),
            COLOURS[i % 6],
            p.rival,
            p.how,
            p.ms,
            p.off_mm
        );
    }
    for (i, name) in names.iter().enumerate() {
        let at = 60 + 24 * i;
        let _ = writeln!(
            out,
            "<circle cx=\"660\" cy=\"{at}\" r=\"5\" fill=\"{}\"/><text x=\"672\" y=\"{}\">{name}</text>",
            COLOURS[i % 6],
            at + 4
        );
    }
    out + "<text x=\"355\" y=\"410\" text-anchor=\"middle\">time of one solve</text>\n</svg>\n"
}
