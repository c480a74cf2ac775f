//! Pictures of the film for the README: `cargo run --release --example film_gallery` writes fixtures/readme/film-*.svg.

use glazefall::physics::{
    film::{self, Case, Layer, Solution},
    piece::{self, Profile, Wall},
};
use std::fmt::Write as _;

/// One panel: a stretch of a piece with its film at one Φ.
struct Panel<'a> {
    words: &'a str,
    profile: &'a Profile,
    layers: Vec<Layer>,
    phi: f64,
    from_s_m: f64,
    to_s_m: f64,
}

/// The glaze drawn so many times as thick as it is.
const TIMES: f64 = 6.0;
const WIDTH: f64 = 330.0;
const HEIGHT: f64 = 330.0;
const COLOURS: [&str; 3] = ["#7fb6b0", "#c9803d", "#6b5b95"];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let wall = |mm: f64| Wall {
        thickness_m: mm * 1e-3,
        rim_radius_m: None,
    };
    let layer = |mm: f64, phi: f64, from_s_m: f64, to_s_m: f64| Layer {
        thickness_m: mm * 1e-3,
        log10_fluidity: phi.log10(),
        from_s_m,
        to_s_m,
    };

    let jar = piece::jar(0.15, 0.09, 0.125, 0.07, wall(5.0))?;
    let (rim, foot) = (jar.rim_s_m(), jar.foot_s_m());
    let stack = vec![
        layer(0.35, 0.4, rim - 0.04, foot - 0.02),
        layer(0.35, 12.0, rim - 0.02, rim + 0.04),
    ];
    let part = |words, phi| Panel {
        words,
        profile: &jar,
        layers: stack.clone(),
        phi,
        from_s_m: rim - 0.05,
        to_s_m: rim + 0.09,
    };
    write("jar", &[part("as laid down", 0.0), part("fired", 3.0)])?;

    let bowl = piece::bowl(0.075, 0.16, 0.065, wall(5.0))?;
    let (rim, foot) = (bowl.rim_s_m(), bowl.foot_s_m());
    let stack = vec![
        layer(0.4, 1.0, 0.0, foot - 0.015),
        layer(0.3, 4.0, rim - 0.03, rim + 0.03),
    ];
    let part = |words, phi| Panel {
        words,
        profile: &bowl,
        layers: stack.clone(),
        phi,
        from_s_m: 0.0,
        to_s_m: bowl.length_m(),
    };
    write("bowl", &[part("as laid down", 0.0), part("fired", 6.0)])?;

    let plate = piece::plate(0.028, 0.26, 0.15, wall(6.0))?;
    let (rim, foot) = (plate.rim_s_m(), plate.foot_s_m());
    let stack = vec![
        layer(0.4, 1.0, 0.0, foot - 0.012),
        layer(0.4, 8.0, rim - 0.03, rim + 0.02),
    ];
    let part = |words, phi| Panel {
        words,
        profile: &plate,
        layers: stack.clone(),
        phi,
        from_s_m: rim - 0.07,
        to_s_m: plate.length_m(),
    };
    write(
        "plate",
        &[
            part("as laid down", 0.0),
            part("fired hot: it has reached the foot", 20.0),
        ],
    )
}

/// Draws panels side by side and writes them.
fn write(name: &str, panels: &[Panel]) -> Result<(), Box<dyn std::error::Error>> {
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" font-family=\"sans-serif\" font-size=\"13\">\n<rect width=\"100%\" height=\"100%\" fill=\"#fbf8f3\"/>\n",
        WIDTH * panels.len() as f64,
        HEIGHT + 30.0
    );
    for (i, panel) in panels.iter().enumerate() {
        let _ = writeln!(
            svg,
            "<svg x=\"{}\" width=\"{WIDTH}\" height=\"{HEIGHT}\">",
            WIDTH * i as f64
        );
        drawn(&mut svg, panel)?;
        let _ = writeln!(
            svg,
            "</svg>\n<text x=\"{}\" y=\"{}\" text-anchor=\"middle\">{}</text>",
            (i as f64 + 0.5) * WIDTH,
            HEIGHT + 16.0,
            panel.words
        );
    }
    svg += "</svg>\n";
    let path = format!(
        "{}/../fixtures/readme/film-{name}.svg",
        env!("CARGO_MANIFEST_DIR")
    );
    std::fs::write(&path, &svg)?;
    println!("{path}: {} bytes", svg.len());
    Ok(())
}

fn drawn(svg: &mut String, panel: &Panel) -> Result<(), Box<dyn std::error::Error>> {
    let case = Case::new(panel.profile, panel.layers.clone());
    let solved = film::solve(&case, &[panel.phi], film::ACCURACY)?;
    // Places along the stretch: the clay there and the way outward.
    let steps = ((panel.to_s_m - panel.from_s_m) / 0.8e-3).ceil() as usize;
    let places: Vec<(f64, [f64; 2], [f64; 2])> = (0..=steps)
        .map(|i| {
            let s = panel.from_s_m + (panel.to_s_m - panel.from_s_m) * i as f64 / steps as f64;
            let p = panel.profile.at(s);
            let out = [-p.psi_rad.sin(), p.psi_rad.cos()];
            (s, [p.r_m, p.z_m], out)
        })
        .collect();
    let face: Vec<[f64; 2]> = places.iter().map(|p| p.1).collect();
    let clay: Vec<[f64; 2]> = panel.profile.section(0.8e-3).outline().collect();
    let room = 1.5e-3 * TIMES;
    let bound = |axis: usize, sign: f64| {
        face.iter()
            .map(|p| sign * p[axis])
            .fold(f64::NEG_INFINITY, f64::max)
            * sign
    };
    let (left, right) = (bound(0, -1.0) - room, bound(0, 1.0) + room);
    let (low, high) = (bound(1, -1.0) - room, bound(1, 1.0) + room);
    let scale = (WIDTH / (right - left)).min(HEIGHT / (high - low));
    let at = |p: [f64; 2]| {
        [
            0.5 * WIDTH + scale * (p[0] - 0.5 * (left + right)),
            0.5 * HEIGHT - scale * (p[1] - 0.5 * (low + high)),
        ]
    };
    let path = |points: &[[f64; 2]]| {
        let mut d = String::new();
        for (i, &p) in points.iter().enumerate() {
            let [x, y] = at(p);
            let _ = write!(d, "{}{x:.1} {y:.1}", if i == 0 { 'M' } else { 'L' });
        }
        d
    };
    let _ = writeln!(svg, "<path d=\"{}Z\" fill=\"#d8c3a5\"/>", path(&clay));
    layers(svg, &solved, &places, &path);
    Ok(())
}

/// The melt, layer by layer from the clay outward.
fn layers(
    svg: &mut String,
    solved: &Solution,
    places: &[(f64, [f64; 2], [f64; 2])],
    path: &dyn Fn(&[[f64; 2]]) -> String,
) {
    let moment = &solved.stops[0];
    let shares = solved.shares(0);
    let mut below: Vec<[f64; 2]> = places.iter().map(|p| p.1).collect();
    for (i, share) in shares.iter().enumerate() {
        let mut above = below.clone();
        for (point, &(s, _, out)) in above.iter_mut().zip(places) {
            let cell = moment
                .faces_m
                .partition_point(|&f| f <= s)
                .clamp(1, share.len())
                - 1;
            let h = (moment.thickness_m(s) - film::PRECURSOR_M).max(0.0) * share[cell] * TIMES;
            *point = [point[0] + h * out[0], point[1] + h * out[1]];
        }
        let mut ring = below.clone();
        ring.extend(above.iter().rev());
        let _ = writeln!(
            svg,
            "<path d=\"{}Z\" fill=\"{}\"/>",
            path(&ring),
            COLOURS[i % 3]
        );
        below = above;
    }
    let _ = writeln!(
        svg,
        "<path d=\"{}\" fill=\"none\" stroke=\"#333\" stroke-width=\"0.8\"/>",
        path(&below)
    );
}
