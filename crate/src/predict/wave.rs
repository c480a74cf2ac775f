//! Glaze running down a wall under gravity alone, layer by layer: what the drawing shows while no film was solved.
//!
//! Takes the wall in cells, the layers' melt thickness in m and how fluid a stack is; gives the layers' thickness at every
//! fluidity time asked for. The kinematic wave of the band law, `h_t + (k f h³)_s = 0`, on any wall.

/// A wall in equal cells along its arc length.
#[derive(Clone, Debug)]
pub struct Wall {
    /// Cell size, m.
    pub step_m: f64,
    /// Distance from the axis at the cells, m; all 1 on a tile.
    pub r_m: Vec<f64>,
    /// `rho g_s/3` at the cells, Pa/m, positive where gravity pulls towards rising s.
    pub pull: Vec<f64>,
}

/// Layers on a wall: `layers_m[layer][cell]`, the wall first, melt m.
pub type Layers = Vec<Vec<f64>>;

/// Share of a cell that the fastest wave may cross in a step: first-order upwind is stable up to 1.
const COURANT: f64 = 0.8;
/// Steps between two looks at how fluid the stacks are, which change slowly.
const STEPS_PER_LOOK: usize = 4;
/// Most steps between two moments. A wall that needs more has long run empty where it matters.
const MOST_STEPS: usize = 4000;

/// Lets the layers run to each of the rising fluidity times `phi_per_pa`, 1/Pa, and keeps them there.
///
/// `fluidity(stack)` is how fluid a stack is relative to the clock's unit, from the layers' thickness at one place, m.
/// First order in the cell size; conserves every layer but for what runs off the wall's ends.
pub fn run_down(
    wall: &Wall,
    start: &Layers,
    phi_per_pa: &[f64],
    fluidity: &dyn Fn(&[f64]) -> f64,
) -> Vec<Layers> {
    let mut kept = Vec::with_capacity(phi_per_pa.len());
    run_through(wall, start, phi_per_pa, fluidity, &mut |layers| {
        kept.push(layers.clone());
        true
    });
    kept
}

/// The same, showing the layers at each time in turn to `look`, until it says false.
pub fn run_through(
    wall: &Wall,
    start: &Layers,
    phi_per_pa: &[f64],
    fluidity: &dyn Fn(&[f64]) -> f64,
    look: &mut dyn FnMut(&Layers) -> bool,
) {
    let cells = wall.r_m.len();
    let mut layers = start.clone();
    let mut now = 0.0;
    let mut steps = 0;
    let mut fluid = vec![0.0; cells];
    let mut stack = vec![0.0; layers.len()];
    let mut flux = vec![0.0; cells + 1];
    for &until in phi_per_pa {
        let last = steps + MOST_STEPS;
        while now < until && steps < last {
            let total: Vec<f64> = (0..cells)
                .map(|c| layers.iter().map(|l| l[c]).sum())
                .collect();
            if steps.is_multiple_of(STEPS_PER_LOOK) {
                for c in 0..cells {
                    for (of, layer) in stack.iter_mut().zip(&layers) {
                        *of = layer[c];
                    }
                    fluid[c] = if total[c] > 0.0 {
                        fluidity(&stack)
                    } else {
                        0.0
                    };
                }
            }
            let fastest =
                (0..cells).map(|c| 3.0 * wall.pull[c].abs() * fluid[c] * total[c] * total[c]);
            let fastest = fastest.fold(0.0, f64::max);
            if fastest <= 0.0 || !fastest.is_finite() {
                break;
            }
            let dt = (COURANT * wall.step_m / fastest).min(until - now);
            face_fluxes(wall, &total, &fluid, &mut flux);
            for layer in &mut layers {
                move_layer(wall, layer, &total, &flux, dt);
            }
            now += dt;
            steps += 1;
        }
        now = until;
        if !look(&layers) {
            return;
        }
    }
}

/// Volume per fluidity time and per radian (per width on a tile) through every face, positive towards rising s; the
/// thickness is that of the cell it comes from.
fn face_fluxes(wall: &Wall, total: &[f64], fluid: &[f64], flux: &mut [f64]) {
    let cells = total.len();
    let carried = |c: usize| fluid[c] * total[c].powi(3);
    flux[0] = 0.0;
    for (below, through) in flux.iter_mut().enumerate().take(cells).skip(1) {
        let above = below - 1;
        let pull = 0.5 * (wall.pull[above] + wall.pull[below]);
        let width = 0.5 * (wall.r_m[above] + wall.r_m[below]);
        *through = width * pull * carried(if pull >= 0.0 { above } else { below });
    }
    if let Some(last) = cells.checked_sub(1) {
        flux[cells] = wall.r_m[last] * wall.pull[last].max(0.0) * carried(last);
    }
}

fn move_layer(wall: &Wall, layer: &mut [f64], total: &[f64], flux: &[f64], dt: f64) {
    let cells = layer.len();
    let mut coming = 0.0;
    for c in 0..cells {
        let from = if flux[c + 1] >= 0.0 { c } else { c + 1 };
        // The cells from c on still hold what they held at the step's start.
        let share = if from < cells && total[from] > 0.0 {
            layer[from] / total[from]
        } else {
            0.0
        };
        let going = flux[c + 1] * share;
        layer[c] = (layer[c] + dt * (coming - going) / (wall.r_m[c] * wall.step_m)).max(0.0);
        coming = going;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PULL: f64 = 7300.0;

    fn tile(cells: usize, step_m: f64) -> Wall {
        Wall {
            step_m,
            r_m: vec![1.0; cells],
            pull: vec![PULL; cells],
        }
    }

    fn band(cells: usize, step_m: f64, from_m: f64, to_m: f64, h: f64) -> Vec<f64> {
        let on = |c: usize| (c as f64 + 0.5) * step_m > from_m && (c as f64 + 0.5) * step_m < to_m;
        (0..cells).map(|c| if on(c) { h } else { 0.0 }).collect()
    }

    /// Behind the front `h = sqrt(x/(3 k Phi))`, the front at `(27/4 A² k Phi)^(1/3)` (Jeffreys 1930; Huppert 1982): 2 % in the
    /// thickness of the middle and two cells in the front, the smear of a first-order scheme.
    #[test]
    fn thins_behind_the_front_as_the_law_says() {
        let (cells, step, phi) = (500, 0.25e-3, 20.0);
        let wall = tile(cells, step);
        let start = vec![band(cells, step, 0.0, 0.04, 4e-4)];
        let end = &run_down(&wall, &start, &[phi], &|_| 1.0)[0][0];
        let c = 120;
        let law = ((c as f64 + 0.5) * step / (3.0 * PULL * phi)).sqrt();
        assert!((end[c] / law - 1.0).abs() < 0.02, "{} {law}", end[c]);
        let front = (6.75 * (0.04f64 * 4e-4).powi(2) * PULL * phi).cbrt();
        let height = 0.5 * (front / (3.0 * PULL * phi)).sqrt();
        let found = end.iter().rposition(|h| *h > height).unwrap() as f64 * step;
        assert!((found - front).abs() < 2.0 * step, "{found} {front}");
    }

    #[test]
    fn keeps_every_layer_and_stops_where_nothing_moves() {
        let (cells, step) = (300, 0.5e-3);
        let wall = tile(cells, step);
        let start = vec![
            band(cells, step, 0.0, 0.06, 2e-4),
            band(cells, step, 0.0, 0.03, 2e-4),
        ];
        let fluid = |stack: &[f64]| if stack[1] > 0.0 { 1.3 } else { 1.0 };
        let moments = run_down(&wall, &start, &[0.0, 1.0, 5.0], &fluid);
        assert_eq!(moments[0], start);
        for moment in &moments {
            for (layer, first) in moment.iter().zip(&start) {
                let (now, then): (f64, f64) = (layer.iter().sum(), first.iter().sum());
                assert!((now / then - 1.0).abs() < 1e-12 && layer.iter().all(|h| *h >= 0.0));
            }
        }
        let still = Wall {
            pull: vec![0.0; cells],
            ..wall
        };
        assert_eq!(run_down(&still, &start, &[9.0], &fluid)[0], start);
    }

    /// A wall that leans both ways from a crest sheds to both sides alike.
    #[test]
    fn a_crest_sheds_both_ways() {
        let (cells, step) = (100, 0.5e-3);
        let pull = (0..cells)
            .map(|c| if c < 50 { -PULL } else { PULL })
            .collect();
        let wall = Wall {
            step_m: step,
            r_m: vec![1.0; cells],
            pull,
        };
        let end = &run_down(
            &wall,
            &vec![band(cells, step, 0.015, 0.035, 3e-4)],
            &[10.0],
            &|_| 1.0,
        )[0][0];
        for c in 0..50 {
            assert!((end[c] - end[99 - c]).abs() < 1e-12 * (1.0 + end[c]), "{c}");
        }
        assert!(end[49] < 1e-4);
    }
}
