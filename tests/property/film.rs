//! The film solver over random pieces, stacks and firings, and over a corner of hostile ones.

use glazefall::physics::{
    film::{self, Case, Layer, PairShift, Relief, Solution},
    piece::{self, Profile, Wall},
};
use proptest::prelude::*;
use std::f64::consts::FRAC_PI_2;

/// What is asked of a solve here: as predictions ask.
const QUICK: f64 = 1e-2;

/// Numbers spread evenly in their logs.
fn by_log(least: f64, most: f64) -> impl Strategy<Value = f64> {
    (least.ln()..most.ln()).prop_map(f64::exp)
}

fn wall(mm: f64) -> Wall {
    Wall {
        thickness_m: mm * 1e-3,
        rim_radius_m: None,
    }
}

/// Pieces of every family and through free points; measures that do not fit each other are left out.
fn profile() -> impl Strategy<Value = Profile> {
    let measures = (
        0usize..6,
        by_log(0.04, 0.35),
        0.5..2.0_f64,
        0.5..1.0_f64,
        0.4..0.95_f64,
        3.0..8.0_f64,
        prop::collection::vec(0.6..1.4_f64, 4),
    );
    measures.prop_filter_map(
        "measures that do not fit",
        |(kind, height, width, rim, foot, mm, bulge)| {
            let wide = (height * width).clamp(0.05, 0.4);
            let made = match kind {
                0 => piece::jar(height, wide * rim, wide, wide * foot, wall(mm)),
                1 => piece::bowl(0.5 * height, wide, wide * foot * 0.7, wall(mm)),
                2 => piece::mug(height, wide, wide * foot, wall(mm)),
                3 => piece::vase(
                    height,
                    0.6 * wide,
                    0.4 * wide * rim,
                    wide,
                    wide * foot * 0.8,
                    wall(mm),
                ),
                4 => piece::plate(0.15 * wide.max(0.1), wide, wide * foot * 0.8, wall(mm)),
                _ => {
                    let points: Vec<[f64; 2]> = (0..5)
                        .map(|i| {
                            let k = bulge.get(i).copied().unwrap_or(foot);
                            [0.25 * wide * (1.0 + k), height * (1.0 - i as f64 / 4.0)]
                        })
                        .collect();
                    piece::turned_from_points(&points, wall(mm))
                }
            };
            made.ok()
        },
    )
}

/// One layer in shares of the profile: millimetres, log10 of the fluidity, from, how far.
type Coat = (f64, f64, f64, f64);

fn stack() -> impl Strategy<Value = Vec<Coat>> {
    prop::collection::vec(
        (by_log(0.02, 0.9), -1.5..1.5_f64, 0.0..0.7_f64, 0.1..1.0_f64),
        1..5,
    )
}

fn layers(profile: &Profile, stack: &[Coat]) -> Vec<Layer> {
    let length = profile.foot_s_m();
    stack
        .iter()
        .map(|&(mm, log10_fluidity, from, far)| Layer {
            thickness_m: mm * 1e-3,
            log10_fluidity,
            from_s_m: from * length,
            to_s_m: (from + far).min(1.0) * length,
        })
        .collect()
}

/// What holds for every solve, whatever was asked.
fn sound(solved: &Solution, profile: &Profile) -> Result<(), TestCaseError> {
    prop_assert!(
        solved.volume_error.abs() < 1e-10,
        "volume off by {}",
        solved.volume_error
    );
    for (k, at) in solved.stops.iter().enumerate() {
        for (h, zeta) in at.h_m.iter().zip(&at.zeta_m) {
            prop_assert!(h.is_finite() && *h > 0.0 && *zeta > 0.0, "{h} {zeta}");
        }
        prop_assert!(at.faces_m.windows(2).all(|w| w[1] > w[0]));
        let told = [
            solved.front_s_m(k, 0.1),
            solved.visible_edge_s_m(k),
            solved.run_m(k),
            solved.ridge(k).map(|r| r.0),
            solved.rim_minimum_m(k),
            solved.centre_m(k),
            solved.past_foot_m3(k),
        ];
        for x in told.into_iter().flatten() {
            prop_assert!(x.is_finite() && x > -1e-9, "{told:?}");
        }
        for share in solved.shares(k).iter().flatten() {
            prop_assert!((-1e-12..=1.0 + 1e-12).contains(share), "share {share}");
        }
        for edge in solved.colour_edges(k) {
            prop_assert!(edge.now_s_m.is_finite() && edge.roll_m.is_finite());
            prop_assert!((0.0..=profile.length_m()).contains(&edge.now_s_m));
        }
    }
    Ok(())
}

/// Runs of a solve's stops never fall: by more than what accuracy [`QUICK`] may be off.
fn rising(solved: &Solution) -> Result<(), TestCaseError> {
    let mut before = 0.0;
    for k in 0..solved.stops.len() {
        if let Some(run) = solved.run_m(k) {
            prop_assert!(
                run >= before - 0.1e-3 - 0.01 * before,
                "run {run} after {before} at phi {}",
                solved.stops[k].phi_per_pa
            );
            before = f64::max(before, run);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(crate::fixed(160, 15))]

    /// Any stack on any piece, through a firing of any strength, has an answer: whole, positive, and never running back.
    #[test]
    fn every_stack_on_every_piece_has_an_answer(
        profile in profile(), stack in stack(), phi in by_log(0.02, 30.0), mixing in 0.0..=1.0_f64, shift in -0.5..0.5_f64,
    ) {
        // The wall goes on past the foot, as predictions have it.
        let longer = profile.continued(0.03);
        let mut case = Case::new(&longer, layers(&profile, &stack));
        case.mixing = mixing;
        if stack.len() > 1 {
            case.pair_shifts = vec![PairShift { under: 0, over: 1, decades: shift }];
        }
        let phis: Vec<f64> = [0.0, 0.01, 0.1, 0.4, 1.0].iter().map(|share| share * phi).collect();
        let solved = film::solve(&case, &phis, QUICK);
        prop_assert!(solved.is_ok(), "{:?} {stack:?} phi {phi}", solved.err());
        if let Ok(solved) = solved {
            sound(&solved, &longer)?;
            // Where a pot's wall overhangs, or turns level, melt may gather above the edge again: runs only rise on a wall that falls.
            let lowest = case.lowest_s_m();
            let falls = profile.sample_between(lowest - 0.01, longer.length_m(), 1e-3).iter().all(|(_, p)| p.psi_rad < -0.5);
            if falls {
                rising(&solved)?;
            }
        }
    }

    /// A relief may begin and end anywhere in a wave: every window has an answer, both as asked quickly and as usual.
    #[test]
    fn every_stretch_of_relief_has_an_answer(
        stack in stack(), phi in by_log(0.05, 30.0), slope in 0.2..1.0_f64, amplitude_m in by_log(2e-5, 6e-4),
        wavelength_m in by_log(3e-3, 12e-3), from in 0.005..0.04_f64, far in 0.002..0.06_f64, crest in 0.0..1.0_f64, stokes in any::<bool>(),
    ) {
        let tile = piece::tile(0.1, FRAC_PI_2 * slope, 6e-3);
        prop_assert!(tile.is_ok());
        let Ok(tile) = tile else { return Ok(()) };
        let mut case = Case::new(&tile, layers(&tile, &stack));
        case.relief = Some(Relief {
            amplitude_m,
            wavelength_m,
            crest_at_s_m: from + crest * wavelength_m,
            from_s_m: from,
            to_s_m: from + far,
            stokes_correction: stokes,
        });
        for accuracy in [QUICK, film::ACCURACY] {
            let solved = film::solve(&case, &[0.1 * phi, phi], accuracy);
            prop_assert!(solved.is_ok(), "{:?} {stack:?} {:?} phi {phi}", solved.err(), case.relief);
            if let Ok(solved) = solved {
                sound(&solved, &tile)?;
            }
        }
    }

    /// On a tile more Φ never runs less, and a thicker film never runs less.
    #[test]
    fn more_of_either_never_runs_less_on_a_tile(
        mm in by_log(0.05, 1.2), band in by_log(0.01, 0.1), slope in 0.3..1.0_f64, phi in by_log(0.05, 60.0), more in 1.02..2.0_f64,
    ) {
        let tile = piece::tile(0.02 + band + 0.12, FRAC_PI_2 * slope, 6e-3);
        prop_assert!(tile.is_ok());
        let Ok(tile) = tile else { return Ok(()) };
        let run = |mm: f64| {
            let layer = Layer { thickness_m: mm * 1e-3, log10_fluidity: 0.0, from_s_m: 0.02, to_s_m: 0.02 + band };
            film::solve(&Case::new(&tile, vec![layer]), &[0.1 * phi, 0.3 * phi, phi], QUICK)
        };
        let (thin, thick) = (run(mm), run(mm * more));
        prop_assert!(thin.is_ok() && thick.is_ok(), "{:?} {:?}", thin.err(), thick.err());
        if let (Ok(thin), Ok(thick)) = (thin, thick) {
            for solved in [&thin, &thick] {
                sound(solved, &tile)?;
                rising(solved)?;
            }
            for k in 0..3 {
                let (a, b) = (thin.run_m(k).unwrap_or(0.0), thick.run_m(k).unwrap_or(0.0));
                prop_assert!(b >= a - 0.1e-3 - 0.01 * a, "{a} at {mm} mm, {b} at {more} times that");
            }
        }
    }
}

/// A pot as small and a plate as wide as the studio takes, one thin coat, ten layers, and fluidities over twelve decades: an answer, or an
/// error that says what was too much.
#[test]
fn the_hostile_corner_holds() {
    let pieces = [
        piece::mug(0.03, 0.035, 0.025, wall(2.0)),
        piece::plate(0.03, 0.6, 0.35, wall(8.0)),
        piece::bowl(0.25, 0.5, 0.12, wall(10.0)),
        piece::tile(0.05, 1.0_f64.to_radians(), 5e-3),
        piece::tile(0.6, FRAC_PI_2, 12e-3),
    ];
    let ten: Vec<Coat> = (0..10)
        .map(|i| {
            let x = f64::from(i);
            (0.12, 0.3 * (x - 5.0), 0.05 * x, 0.9 - 0.07 * x)
        })
        .collect();
    let stacks: [Vec<Coat>; 4] = [
        vec![(0.004, 0.0, 0.2, 0.5)],
        vec![(2.0, 0.0, 0.3, 0.4)],
        vec![(0.3, -3.0, 0.1, 0.8), (0.3, 3.0, 0.4, 0.3)],
        ten,
    ];
    for profile in pieces {
        let profile = profile.unwrap();
        for stack in &stacks {
            let case = Case::new(&profile, layers(&profile, stack));
            let phis: Vec<f64> = (-6..=6).map(|i| 10f64.powi(i)).collect();
            let solved = film::solve(&case, &phis, QUICK).unwrap_or_else(|e| {
                panic!("{:.3} m, {stack:?}: {e:?}", profile.length_m());
            });
            if let Err(e) = sound(&solved, &profile) {
                panic!("{:.3} m, {stack:?}: {e}", profile.length_m());
            }
        }
    }
}

/// Work of the ten fixed cases, so that a slower method shows without a clock. A count within a tenth of the one kept (or three, where it
/// is small) is written as that one: sine and power differ in the last digit from one machine to the next, and a step may fall otherwise.
#[test]
fn the_work_of_ten_cases_stays_as_it_was() {
    let kept = include_str!("snapshots/property__film__the_work_of_ten_cases_stays_as_it_was.snap");
    let mut text = String::from("case | cells | steps | rejected | factorisations | meshes\n");
    for fixed in cases::ten().unwrap() {
        let solved = film::solve(&fixed.case(), &fixed.phis, film::ACCURACY).unwrap();
        let work = solved.work;
        let counts = [
            work.most_cells,
            work.steps,
            work.rejected,
            work.factorisations,
            work.meshes,
        ];
        let before: Vec<usize> = kept
            .lines()
            .find_map(|line| line.strip_prefix(fixed.name)?.strip_prefix(" | "))
            .map(|rest| rest.split(" | ").filter_map(|x| x.parse().ok()).collect())
            .unwrap_or_default();
        text += fixed.name;
        for (i, &count) in counts.iter().enumerate() {
            let same = before
                .get(i)
                .copied()
                .filter(|&b| b.abs_diff(count) <= (b / 10).max(3));
            text += &format!(" | {}", same.unwrap_or(count));
        }
        text.push('\n');
    }
    insta::assert_snapshot!(text);
}

#[path = "../../crate/benches/film/cases.rs"]
mod cases;
