//! Makes fixtures/film_band.bin, the table of how far a band's film lags behind gravity's law: `cargo run --release --example
//! film_band_table`. Some 2,900 solves at accuracy 3e-4, two minutes.

use glazefall::physics::{
    constants::{GAMMA, GRAVITY, RHO},
    film::{self, Case, Layer, PRECURSOR_M},
    film_band::{
        self, Groups, HELD_AXIS, INTO_WALL, LAG_RANGE, PRECURSOR_AXIS, RUN_AXIS, SHARE_AXIS,
    },
    piece::{self, Part},
};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut lags = Vec::new();
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for into_wall in INTO_WALL {
        for precursor in 0..PRECURSOR_AXIS.2 {
            let share = (PRECURSOR_AXIS.0 + PRECURSOR_AXIS.1 * precursor as f64).exp();
            let h0 = PRECURSOR_M / share;
            // Only the groups matter: the slope is the one that gives this gravity into the wall.
            let slope = slope_for(into_wall, h0);
            let weight = RHO * GRAVITY * slope.sin();
            let length = (GAMMA * h0 / weight).cbrt();
            let k = weight / 3.0;
            for run in 0..RUN_AXIS.2 {
                for part in 0..SHARE_AXIS.2 {
                    let (reach, band) = film_band::node(run, part);
                    let front = film_band::front_of(reach, band);
                    let phi = reach * length / (k * h0 * h0);
                    let groups = |held: f64| Groups {
                        length_m: length,
                        reach,
                        band,
                        held,
                        precursor: share,
                    };
                    let law = |held: f64| film_band::law(&groups(held)).map_or(0.0, |l| l.run);
                    // Room above for the upper edge to spread, below for the front.
                    let above = 8.0 * length;
                    let edge = above + band * length;
                    let length_m = edge + (law(0.0).max(0.0) + 8.0) * length;
                    let tile = piece::from_parts(
                        0.0,
                        &[Part::Line {
                            length_m,
                            psi_rad: -slope,
                        }],
                        false,
                        None,
                    )?;
                    let layer = Layer {
                        thickness_m: h0,
                        log10_fluidity: 0.0,
                        from_s_m: above,
                        to_s_m: edge,
                    };
                    let solved = film::solve(&Case::new(&tile, vec![layer]), &[phi], 3e-4)?;
                    for held in 0..HELD_AXIS.2 {
                        // A band that holds nearly less than its edge has the lag of one that holds a little more.
                        let area =
                            film_band::held_of_node(held, front).min(0.97 * (1.0 - share) * band);
                        let place = solved.place_above(0, area * h0 * length).unwrap_or(edge);
                        let lag = (law(area) - (place - edge) / length) / front;
                        (least, most) = (least.min(lag), most.max(lag));
                        lags.push(lag);
                    }
                }
            }
            eprintln!(
                "thickness {:.3} mm, slope {:.0}°: lags {least:.3} to {most:.3}",
                h0 * 1e3,
                slope.to_degrees()
            );
        }
    }
    if least < LAG_RANGE.0 || most > LAG_RANGE.1 {
        eprintln!(
            "lags from {least} to {most} do not fit into {LAG_RANGE:?}: they are cut off there."
        );
    }
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../fixtures/film_band.bin");
    if let Some(raw) = std::env::args().nth(1) {
        let bytes: Vec<u8> = lags.iter().flat_map(|x| x.to_le_bytes()).collect();
        std::fs::write(raw, bytes)?;
    }
    let bytes = film_band::encoded(&lags);
    std::fs::write(path, &bytes)?;
    eprintln!("{path}: {} bytes", bytes.len());
    Ok(())
}

/// Slope, rad, at which a film of `h0` feels that much gravity into the wall: `(h0/ℓc) cotθ`, by bisection.
fn slope_for(into_wall: f64, h0: f64) -> f64 {
    let (mut flat, mut upright) = (1e-3, std::f64::consts::FRAC_PI_2);
    if into_wall == 0.0 {
        return upright;
    }
    for _ in 0..60 {
        let slope = 0.5 * (flat + upright);
        let length = (GAMMA * h0 / (RHO * GRAVITY * slope.sin())).cbrt();
        if h0 / length / slope.tan() > into_wall {
            flat = slope
        } else {
            upright = slope
        }
    }
    0.5 * (flat + upright)
}
