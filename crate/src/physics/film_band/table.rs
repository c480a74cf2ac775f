//! The table: how far a band's film lags behind gravity's law, in capillary lengths of its front.
//!
//! Takes a place on the axes; gives the lag and its slopes. Quadratic B-splines along every axis (de Boor, A Practical Guide to Splines,
//! 1978): smooth to the first derivative, never beyond the coefficients around, three of them per axis.

/// One half of the table.
#[derive(Clone, Copy, Debug)]
pub struct Half {
    /// First coefficient.
    pub from: usize,
    /// First value, width of a cell, number of cells of each axis: ln run, share, root of the held area, ln precursor.
    pub axes: [(f64, f64, usize); 4],
}

/// Upright: lags.
pub const MAIN: Half = Half {
    from: 0,
    axes: [
        (super::FIRST_LN_RUN, 0.5, 11),
        (0.0, 1.0 / 12.0, 11),
        (0.1, 0.25, 11),
        (-6.5, 3.9, 1),
    ],
};

/// What gravity into the wall adds to them.
pub const INTO: Half = Half {
    from: MAIN.end(),
    axes: [
        (super::FIRST_LN_RUN, 1.1, 5),
        (0.0, 1.0 / 6.0, 5),
        (0.1, 0.7, 4),
        (-6.5, 3.9, 1),
    ],
};

/// Coefficients in all.
pub const COEFFICIENTS: usize = INTO.end();

/// Least and greatest coefficient.
pub const LAG_RANGE: (f64, f64) = (-1.0, 2.4);

static TABLE: &[u8] = include_bytes!("../../../../fixtures/film_band.bin");

impl Half {
    const fn end(&self) -> usize {
        let [r, s, h, p] = self.axes;
        self.from + (r.2 + 2) * (s.2 + 2) * (h.2 + 2) * (p.2 + 2)
    }
}

/// First coefficient of an axis at `at`, the three weights and their derivatives. Beyond an axis its last value holds.
#[cfg_attr(fast_by_function, optimize(speed))]
fn weights((first, width, cells): (f64, f64, usize), at: f64) -> (usize, [f64; 3], [f64; 3]) {
    let u = (at - first) / width;
    let inside = u.clamp(0.0, cells as f64);
    let cell = (inside as usize).min(cells - 1);
    let t = inside - cell as f64;
    let r = 1.0 - t;
    let per = if u == inside { 1.0 / width } else { 0.0 };
    (
        cell,
        [0.5 * r * r, 0.5 + t * r, 0.5 * t * t],
        [-r * per, (r - t) * per, t * per],
    )
}

/// Index and weight of the 81 coefficients that make the value at a place: for whoever makes the table.
pub fn weights_of(half: &Half, at: [f64; 4]) -> Vec<(usize, f64)> {
    let [r, s, h, p] = [0, 1, 2, 3].map(|i| weights(half.axes[i], at[i]));
    let mut out = Vec::with_capacity(81);
    for ip in 0..3 {
        for ir in 0..3 {
            for is in 0..3 {
                for ih in 0..3 {
                    let i = index(half, [r.0 + ir, s.0 + is, h.0 + ih, p.0 + ip]);
                    out.push((i, p.1[ip] * r.1[ir] * s.1[is] * h.1[ih]));
                }
            }
        }
    }
    out
}

/// The held area runs fastest, then the share, the run, the precursor.
#[inline]
fn index(half: &Half, at: [usize; 4]) -> usize {
    let [r, s, h, _] = &half.axes;
    half.from + ((at[3] * (r.2 + 2) + at[0]) * (s.2 + 2) + at[1]) * (h.2 + 2) + at[2]
}

/// Value and derivatives by the four coordinates.
#[cfg_attr(fast_by_function, optimize(speed))]
pub(super) fn looked_up(half: &Half, at: [f64; 4]) -> (f64, [f64; 4]) {
    // An array's `map` is not put in line for the page, where it cost a tenth of this.
    let (r0, rw, rd) = weights(half.axes[0], at[0]);
    let (s0, sw, sd) = weights(half.axes[1], at[1]);
    let (h0, hw, hd) = weights(half.axes[2], at[2]);
    let (p0, pw, pd) = weights(half.axes[3], at[3]);
    let mut out = (0.0, [0.0; 4]);
    for p in 0..3 {
        let mut of_p = [0.0; 4];
        for r in 0..3 {
            let mut of_r = [0.0; 3];
            for s in 0..3 {
                let i = index(half, [r0 + r, s0 + s, h0, p0 + p]);
                let Some(&[a, b, c]) = TABLE.get(i..i + 3).and_then(|x| x.first_chunk()) else {
                    continue;
                };
                let x = [f64::from(a), f64::from(b), f64::from(c)];
                let value = hw[0] * x[0] + hw[1] * x[1] + hw[2] * x[2];
                of_r[0] += sw[s] * value;
                of_r[1] += sd[s] * value;
                of_r[2] += sw[s] * (hd[0] * x[0] + hd[1] * x[1] + hd[2] * x[2]);
            }
            of_p[0] += rw[r] * of_r[0];
            of_p[1] += rd[r] * of_r[0];
            of_p[2] += rw[r] * of_r[1];
            of_p[3] += rw[r] * of_r[2];
        }
        out.0 += pw[p] * of_p[0];
        for i in 0..3 {
            out.1[i] += pw[p] * of_p[i + 1];
        }
        out.1[3] += pd[p] * of_p[0];
    }
    let (lo, hi) = LAG_RANGE;
    let step = (hi - lo) / 255.0;
    for slope in &mut out.1 {
        *slope *= step;
    }
    (lo + step * out.0, out.1)
}

/// The table's bytes from its coefficients, both halves one after the other: for whoever makes the table.
pub fn encoded(coefficients: &[f64]) -> Vec<u8> {
    let (lo, hi) = LAG_RANGE;
    let mut out = Vec::with_capacity(coefficients.len());
    for x in coefficients {
        out.push(((x - lo) / (hi - lo) * 255.0).round().clamp(0.0, 255.0) as u8);
    }
    out
}
