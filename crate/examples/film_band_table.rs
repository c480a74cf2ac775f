//! Makes fixtures/film_band.bin, the table of how far a band's film lags behind gravity's law: `cargo run --release --example
//! film_band_table`. Some 250 solves at accuracy 3e-4, each read at 60 values of Φ and 20 held areas; the coefficients by least squares.

use glazefall::physics::{
    constants::{GAMMA, GRAVITY, RHO},
    film::{self, Case, Layer, PRECURSOR_M},
    film_band::{self, COEFFICIENTS, Groups, INTO, LAG_RANGE, MAIN},
    piece::{self, Part},
};

/// A lag that a solve gave.
struct Reading {
    at: [f64; 4],
    /// How far gravity into the wall has come into its own.
    way: f64,
    lag: f64,
    /// One over the error that is allowed there, in capillary lengths of the front.
    weight: f64,
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut readings = Vec::new();
    for into_wall in [0.0, 0.2, 0.4, 0.65] {
        for precursor in 0..7 {
            let share = (-6.5 + 0.65 * f64::from(precursor)).exp();
            let h0 = PRECURSOR_M / share;
            // Only the groups matter: the slope is the one that gives this gravity into the wall.
            let slope = slope_for(into_wall, h0);
            let length = (GAMMA * h0 / (RHO * GRAVITY * slope.sin())).cbrt();
            let upright = (GAMMA * h0 / (RHO * GRAVITY)).cbrt();
            if into_wall > 0.0 && slope < 40_f64.to_radians() {
                continue;
            }
            let bands: u32 = if into_wall > 0.0 { 6 } else { 14 };
            for i in 0..bands {
                // 8 to 220 mm long, between 2.6 and 250 capillary lengths.
                let (least, most) = ((8e-3 / upright).max(2.6), (0.22 / upright).min(250.0));
                let band = least * (most / least).powf(f64::from(i) / f64::from(bands - 1));
                read(&mut readings, band, h0, slope, length, into_wall)?;
            }
        }
        eprintln!(
            "gravity into the wall {into_wall}: {} readings",
            readings.len()
        );
    }
    let mut coefficients = vec![0.0; COEFFICIENTS];
    fit(&readings, &mut coefficients);
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../fixtures/film_band.bin");
    let bytes = film_band::encoded(&coefficients);
    std::fs::write(path, &bytes)?;
    eprintln!("{path}: {} bytes", bytes.len());
    Ok(())
}

/// One solve through 60 values of Φ, each read for 20 held areas.
fn read(
    readings: &mut Vec<Reading>,
    band: f64,
    h0: f64,
    slope: f64,
    length: f64,
    into_wall: f64,
) -> Result<(), Box<dyn std::error::Error>> {
    let share = PRECURSOR_M / h0;
    let k = RHO * GRAVITY * slope.sin() / 3.0;
    let groups = |reach: f64, held: f64| Groups {
        length_m: length,
        reach,
        band,
        held,
        precursor: share,
    };
    // Runs from 0.03 capillary lengths to 0.27 m, evenly in their logs.
    let (least, most) = (0.03_f64, 0.27 / length);
    let run = |reach: f64| film_band::law(&groups(reach, 0.0)).map_or(0.0, |l| l.run);
    let mut reaches = Vec::new();
    for i in 0..60 {
        let r = least * (most / least).powf(f64::from(i) / 59.0);
        let reach = if r <= 0.5 * band {
            r
        } else {
            (r + band).powi(3) / (6.75 * band * band)
        };
        // What the front takes up of the precursor lets it run further than the law without one.
        if run(reach) <= most {
            reaches.push(reach);
        }
    }
    let unit = length / (k * h0 * h0);
    let phis: Vec<f64> = reaches.iter().map(|x| x * unit).collect();
    // Room above for the upper edge to spread, below for the front.
    let edge = (8.0 + band) * length;
    let law_end = reaches.last().map_or(0.0, |&reach| run(reach));
    let line = Part::Line {
        length_m: edge + (law_end.max(0.0) + 8.0) * length,
        psi_rad: -slope,
    };
    let tile = piece::from_parts(0.0, &[line], false, None)?;
    let layer = Layer {
        thickness_m: h0,
        log10_fluidity: 0.0,
        from_s_m: 8.0 * length,
        to_s_m: edge,
    };
    let solved = film::solve(&Case::new(&tile, vec![layer]), &phis, 3e-4)?;
    for (stop, &reach) in reaches.iter().enumerate() {
        let front = film_band::place_of(&groups(reach, 1.0)).front;
        for step in 0..20 {
            let held = (0.1 + 0.15 * f64::from(step)).powi(2) * front.powi(4);
            let g = groups(reach, held);
            // Areas so small that the precursor's own creep fills them say nothing of an edge, nor do those that hold nearly all.
            let held_m2 = held * h0 * length;
            let law = film_band::law(&g)
                .filter(|_| held_m2 > 0.1e-6 && held < 0.9 * (1.0 - share) * band);
            let Some(law) = law else { continue };
            let place = solved.place_above(stop, held_m2).unwrap_or(edge);
            let run = (place - edge) / length;
            let lag = (law.run - run) / front;
            // The visible run is not below 0, so what lies below counts little.
            let allowed = (0.1e-3 / length + 0.01 * run.max(0.0)) / front;
            readings.push(Reading {
                at: film_band::place_of(&g).at,
                way: film_band::way_into_wall(into_wall).0,
                lag,
                weight: if run > 0.0 { 1.0 } else { 0.3 } / allowed,
            });
        }
    }
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

/// Weighted least squares, held smooth where there are no readings: conjugate gradients on the normal equations.
fn fit(readings: &[Reading], x: &mut [f64]) {
    let mut rows: Vec<(Vec<(usize, f64)>, f64)> = Vec::with_capacity(readings.len());
    for r in readings {
        let mut row = film_band::weights_of(&MAIN, r.at);
        if r.way > 0.0 {
            row.extend(
                film_band::weights_of(&INTO, r.at)
                    .into_iter()
                    .map(|(i, w)| (i, w * r.way)),
            );
        }
        row.iter_mut().for_each(|(_, w)| *w *= r.weight);
        rows.push((row, r.lag * r.weight));
    }
    for half in [MAIN, INTO] {
        let counts = half.axes.map(|a| a.2 + 2);
        let [nr, ns, nh, np] = counts;
        let strides = [ns * nh, nh, 1, nr * ns * nh];
        for i in 0..nr * ns * nh * np {
            let at = [
                i / strides[0] % nr,
                i / strides[1] % ns,
                i % nh,
                i / strides[3],
            ];
            for axis in 0..4 {
                if at[axis] > 0 && at[axis] + 1 < counts[axis] {
                    let (here, step) = (half.from + i, strides[axis]);
                    let soft = 0.3;
                    rows.push((
                        vec![
                            (here - step, soft),
                            (here, -2.0 * soft),
                            (here + step, soft),
                        ],
                        0.0,
                    ));
                }
            }
        }
    }
    let product = |x: &[f64], out: &mut Vec<f64>| {
        out.clear();
        out.extend(
            rows.iter()
                .map(|(row, _)| row.iter().map(|(i, w)| w * x[*i]).sum::<f64>()),
        );
    };
    let transposed = |y: &[f64], out: &mut Vec<f64>| {
        out.clear();
        out.resize(COEFFICIENTS, 0.0);
        for ((row, _), y) in rows.iter().zip(y) {
            for (i, w) in row {
                out[*i] += w * y;
            }
        }
    };
    let mut left: Vec<f64> = rows.iter().map(|(_, b)| *b).collect();
    let (mut gradient, mut image) = (Vec::new(), Vec::new());
    transposed(&left, &mut gradient);
    let mut along = gradient.clone();
    let mut size: f64 = gradient.iter().map(|g| g * g).sum();
    let first = size;
    for _ in 0..500 {
        product(&along, &mut image);
        let step = size / image.iter().map(|q| q * q).sum::<f64>();
        x.iter_mut().zip(&along).for_each(|(x, p)| *x += step * p);
        left.iter_mut()
            .zip(&image)
            .for_each(|(r, q)| *r -= step * q);
        transposed(&left, &mut gradient);
        let next: f64 = gradient.iter().map(|g| g * g).sum();
        let turn = next / size;
        size = next;
        if size < 1e-14 * first {
            break;
        }
        along
            .iter_mut()
            .zip(&gradient)
            .for_each(|(p, g)| *p = g + turn * *p);
    }
    let (least, most) = x
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), &x| {
            (a.min(x), b.max(x))
        });
    eprintln!("coefficients from {least:.3} to {most:.3}, held to {LAG_RANGE:?}");
    let mut off: Vec<(f64, usize)> = left[..readings.len()]
        .iter()
        .map(|x| x.abs())
        .zip(0..)
        .collect();
    off.sort_by(|a, b| a.0.total_cmp(&b.0));
    let share = |q: f64| off[((off.len() - 1) as f64 * q) as usize].0;
    eprintln!(
        "misfit over what is allowed: median {:.3}, 99 % {:.3}, worst {:.3}",
        share(0.5),
        share(0.99),
        share(1.0)
    );
    for &(misfit, i) in off.iter().rev().step_by(40).take(12) {
        let r = &readings[i];
        eprintln!(
            "  {misfit:.2} at {:.2?}, way {:.2}, lag {:.3}",
            r.at, r.way, r.lag
        );
    }
}
