//! The rooms from slurry to tile, over the whole of their bounds.

use glazefall::physics::composition::{self, Oxides};
use glazefall::physics::firing::*;
use glazefall::physics::laydown::{self, DipParams};
use glazefall::physics::tile::{self, Band};
use glazefall::physics::{melt, slurry};
use proptest::prelude::*;

/// Numbers spread evenly in their logs.
fn by_log(least: f64, most: f64) -> impl Strategy<Value = f64> {
    (least.ln()..most.ln()).prop_map(f64::exp)
}

fn band() -> impl Strategy<Value = Band> {
    (by_log(1e-5, 5e-3), by_log(2e-3, 0.5), by_log(0.02, 1.0)).prop_map(
        |(h0_m, length_m, sin_slope)| Band {
            h0_m,
            length_m,
            sin_slope,
        },
    )
}

fn phi() -> impl Strategy<Value = f64> {
    by_log(1e-5, 1e5)
}

fn retention() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 9 => by_log(1e-8, 3e-5)]
}

/// A stack: thicknesses, logs of fluidity, one shift per pair, mixing.
fn stack() -> impl Strategy<Value = (Vec<f64>, Vec<f64>, Vec<f64>, f64)> {
    (1usize..7).prop_flat_map(|n| {
        (
            prop::collection::vec(by_log(1e-6, 2e-3), n),
            prop::collection::vec(-4.0..4.0, n),
            prop::collection::vec(-1.0..1.0, n * n),
            0.0..=1.0,
        )
    })
}

fn schedule() -> impl Strategy<Value = Schedule> {
    let segment = (by_log(1.0, 900.0), 20.0..1400.0, 0.0..300.0).prop_map(
        |(c_per_h, target_c, hold_min): (f64, f64, f64)| Segment {
            rate_k_per_s: c_per_h / 3600.0,
            target_k: target_c + 273.15,
            hold_s: hold_min * 60.0,
        },
    );
    (
        by_log(10.0, 400.0),
        950.0..1350.0,
        prop::collection::vec(segment, 0..5),
    )
        .prop_map(|(c_per_h, peak_c, rest)| {
            // The first ramp seals the glaze over; what follows goes up and down at will.
            let first = Segment {
                rate_k_per_s: c_per_h / 3600.0,
                target_k: peak_c + 273.15,
                hold_s: 0.0,
            };
            Schedule::from_room(std::iter::once(first).chain(rest).collect()).unwrap()
        })
}

fn dip() -> impl Strategy<Value = DipParams> {
    (
        1u32..6,
        by_log(0.05, 600.0),
        1.01..1.7,
        1e-3..0.03,
        0.0..0.4,
        1.0..=2.0,
        0.0..=1.0,
    )
        .prop_map(
            |(dips, seconds, sg, wall_m, absorption, glazed_sides, dry_gap)| DipParams {
                dips,
                wall_m,
                absorption,
                glazed_sides,
                dry_gap,
                ..DipParams::usual(seconds, sg)
            },
        )
}

/// `d f/d x` by a central difference of step `step`.
fn difference(f: impl Fn(f64) -> f64, step: f64) -> f64 {
    (f(step) - f(-step)) / (2.0 * step)
}

proptest! {
    #![proptest_config(crate::fixed(2000, 6))]

    /// More fluidity, more glaze, a longer band, a steeper slope never run less; an edge that holds more never runs further. Nothing is ever not a number.
    #[test]
    fn runs_only_ever_rise(b in band(), phi in phi(), held in retention(), more in 1.0..3.0_f64) {
        let of = |b: &Band, phi, held| tile::run_m(b, phi, held, tile::RHO);
        let run = of(&b, phi, held);
        prop_assert!(run.is_finite() && run >= 0.0);
        let slack = 1e-12 * (run + b.length_m);
        prop_assert!(of(&b, phi * more, held) >= run - slack);
        let holds = of(&Band { h0_m: b.h0_m * more, ..b }, phi, held) >= run - slack;
        prop_assert!(holds);
        let holds = of(&Band { length_m: b.length_m * more, ..b }, phi, held) >= run - slack * more;
        prop_assert!(holds);
        let holds = of(&Band { sin_slope: (b.sin_slope * more).min(1.0), ..b }, phi, held) >= run - slack;
        prop_assert!(holds);
        prop_assert!(of(&b, phi, held * more) <= run + slack);
        prop_assert!(b.length_m + run <= tile::front_m(&b, phi, tile::RHO) + slack);
    }

    /// Runs are unchanged by h → λ h, A → λ A, Phi → Phi/λ²: why only weigh-ins fix the scale.
    #[test]
    fn the_scale_is_free(b in band(), phi in phi(), held in retention(), scale in 0.2..5.0_f64) {
        let run = tile::run_m(&b, phi, held, tile::RHO);
        let other = tile::run_m(&Band { h0_m: b.h0_m * scale, ..b }, phi / (scale * scale), held * scale, tile::RHO);
        prop_assert!((run - other).abs() <= 1e-9 * (run + b.length_m));
    }

    /// From a run to the fluidity and back.
    #[test]
    fn the_law_inverts(b in band(), run in 0.0..0.3_f64, held in retention()) {
        match tile::phi_for_run(&b, run, held, tile::RHO) {
            Some(phi) => {
                prop_assert!(phi.is_finite() && phi >= 0.0);
                let back = tile::run_m(&b, phi, held, tile::RHO);
                // Where the edge holds nearly all the melt there is, the small difference h0 ℓ − A loses digits.
                let left = 1.0 - b.retained_m2(held) / b.volume_m2();
                prop_assert!((back - run).abs() <= 1e-12 / left * (run + b.length_m), "{} {}", back, run);
            }
            None => prop_assert!(b.volume_m2() <= b.retained_m2(held)),
        }
    }

    /// An interval of runs and the interval of fluidities that it stands for.
    #[test]
    fn intervals(b in band(), least in 0.0..0.05_f64, wide in 0.0..0.1_f64, held in retention()) {
        if let Some((low, high)) = tile::phi_interval(&b, Some(least), Some(least + wide), held, tile::RHO) {
            let (low, high) = (low.unwrap(), high.unwrap());
            prop_assert!(low <= high);
            let runs = tile::run_interval_m(&b, (low, high), held, tile::RHO);
            prop_assert!(runs.0 <= runs.1);
            prop_assert_eq!(tile::phi_interval(&b, None, None, held, tile::RHO), Some((None, None)));
        }
    }

    /// The slopes of the run and of its inverse against differences; away from the joint of the law's two pieces, where the second derivative jumps.
    #[test]
    fn slopes_of_the_run(b in band(), phi in phi(), share in by_log(1e-4, 0.99)) {
        let held = share * b.volume_m2() * b.sin_slope;
        let slopes = tile::run_slopes(&b, phi, held, tile::RHO);
        let signed = |b: &Band, phi, held| tile::signed_run_m(b, phi, held, tile::RHO);
        prop_assert_eq!(slopes.signed_run_m, signed(&b, phi, held));
        let early = b.k(tile::RHO) * phi * b.h0_m.powi(2);
        let left = b.volume_m2() - b.retained_m2(held);
        let step = 1e-5;
        prop_assume!((left / (2.0 * b.h0_m * early) - 1.0).abs() > 1e-3);
        let near = |got: f64, want: f64| (got - want).abs() <= 1e-6 * (got.abs() + b.length_m + slopes.signed_run_m.abs());
        prop_assert!(near(slopes.per_ln_phi, difference(|d: f64| signed(&b, phi * d.exp(), held), step)));
        prop_assert!(near(slopes.per_ln_retention, difference(|d: f64| signed(&b, phi, held * d.exp()), step)));
        let holds = near(slopes.per_ln_h, difference(|d: f64| signed(&Band { h0_m: b.h0_m * d.exp(), ..b }, phi, held), step));
        prop_assert!(holds);
        if slopes.signed_run_m > 0.0 {
            let back = tile::phi_slopes(&b, slopes.signed_run_m, held, tile::RHO).unwrap();
            // The inverse's slopes are the law's own, turned round.
            prop_assert!((back.ln_per_run_m * slopes.per_ln_phi - 1.0).abs() < 1e-6);
            prop_assert!((back.ln_per_ln_h * slopes.per_ln_phi + slopes.per_ln_h).abs() < 1e-6 * slopes.per_ln_h.abs());
            prop_assert!((back.ln_per_ln_retention * slopes.per_ln_phi + slopes.per_ln_retention).abs() <= 1e-6 * slopes.per_ln_retention.abs());
        }
    }

    /// The film behind the front is never thicker than it was laid, thins towards the upper edge, and ends at the front.
    #[test]
    fn behind_the_front(b in band(), phi in phi(), along in 0.0..1.0_f64) {
        let front = tile::front_m(&b, phi, tile::RHO);
        let at = |x: f64| tile::thickness_behind_front_m(&b, x, phi, tile::RHO);
        let h = at(along * front);
        prop_assert!(h.is_finite() && h >= 0.0 && h <= b.h0_m);
        prop_assert!(at(0.5 * along * front) <= h);
        prop_assert!(at(1.001 * front) == 0.0);
        let drips = tile::drip_count(b.length_m, b.h0_m, b.sin_slope);
        prop_assert!(drips.is_finite() && drips >= 1.0);
    }

    /// A stack is finite, no more fluid than its most fluid layer (shifts aside), and never less fluid for a more fluid layer.
    #[test]
    fn stacks((h, m, d, mixing) in stack(), which in 0usize..7, more in 0.0..2.0_f64) {
        let n = h.len();
        let pair = |lower: usize, upper: usize| d[lower * n + upper];
        let of = |m: &[f64]| melt::stack_log10_phi(&h, m, &pair, mixing);
        let base = of(&m);
        prop_assert!(base.is_finite());
        let mut raised = m.clone();
        raised[which % n] += more;
        prop_assert!(of(&raised) >= base - 1e-12);
        let plain = melt::stack_log10_phi(&h, &m, &|_, _| 0.0, mixing);
        let least = m.iter().copied().fold(f64::INFINITY, f64::min);
        let most = m.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        prop_assert!(plain >= least - 1e-9 && plain <= most + 1e-9);
    }

    /// Equal layers, however many, are one film.
    #[test]
    fn equal_layers_are_one_film(n in 1usize..12, h in by_log(1e-5, 1e-3), m in -4.0..4.0_f64, mixing in 0.0..=1.0_f64) {
        let got = melt::stack_log10_phi(&vec![h; n], &vec![m; n], &|_, _| 0.0, mixing);
        prop_assert!((got - m).abs() < 1e-12);
    }

    /// The slopes of a stack against differences.
    #[test]
    fn slopes_of_a_stack((h, m, d, mixing) in stack()) {
        let n = h.len();
        let pair = |lower: usize, upper: usize| d[lower * n + upper];
        let (mut per_m, mut per_h) = (vec![0.0; n], vec![0.0; n]);
        let phi: Vec<f64> = m.iter().map(|m| 10_f64.powf(*m)).collect();
        let got = melt::stack_slopes(&h, [&m, &phi], pair, mixing, &mut per_m, &mut per_h);
        prop_assert!((got.log10_phi - melt::stack_log10_phi(&h, &m, &pair, mixing)).abs() < 1e-12);
        let step = 1e-5;
        for i in 0..n {
            let by_m = difference(|e| {
                let mut m = m.clone();
                m[i] += e;
                melt::stack_log10_phi(&h, &m, &pair, mixing)
            }, step);
            let by_h = difference(|e| {
                let mut h = h.clone();
                h[i] *= e.exp();
                melt::stack_log10_phi(&h, &m, &pair, mixing)
            }, step);
            prop_assert!((per_m[i] - by_m).abs() < 1e-8, "{} {}", per_m[i], by_m);
            prop_assert!((per_h[i] - by_h).abs() < 1e-8, "{} {}", per_h[i], by_h);
            for j in i + 1..n {
                let by_d = melt::stack_log10_phi(&h, &m, &|a, b| pair(a, b) + f64::from(u8::from((a, b) == (i, j))), mixing) - got.log10_phi;
                prop_assert!((by_d - mixing * melt::pair_weight(&h, i, j)).abs() < 1e-9);
            }
        }
        // All layers thicker alike change nothing; the shares of one decade add up to one.
        prop_assert!(per_h.iter().sum::<f64>().abs() < 1e-9);
        prop_assert!((per_m.iter().sum::<f64>() - 1.0).abs() < 1e-9);
    }

    /// The clock of a firing: shares rise with time, and share, time and temperature find one another.
    #[test]
    fn clocks(schedule in schedule(), slope in 0.3..1.5_f64, share in 0.0..1.0_f64) {
        let clock = FiringClock::new(&schedule, SEAL_K, slope).unwrap();
        let whole = equivalent_seconds(&schedule, SEAL_K, slope);
        prop_assert!((clock.equivalent_seconds() - whole).abs() <= 1e-12 * whole);
        let at = clock.at_share(share);
        prop_assert!(at.time_s.is_finite() && at.temperature_k.is_finite());
        prop_assert!((at.share - share).abs() < 1e-9);
        let again = clock.at_time(at.time_s);
        prop_assert!((again.share - share).abs() < 1e-9);
        prop_assert!((again.temperature_k - at.temperature_k).abs() < 1e-6);
        prop_assert!(clock.at_time(at.time_s + 60.0).share >= at.share);
        prop_assert!(clock.at_share((share + 0.1).min(1.0)).time_s >= at.time_s);
        prop_assert!(at.time_s >= clock.sealed_s() && at.time_s <= clock.end_s());
    }

    /// A longer hold never does less, nor does a peak that is hotter; the shift is finite.
    #[test]
    fn more_firing_never_does_less(c_per_h in by_log(10.0, 400.0), peak_c in 950.0..1350.0_f64, hold in 0.0..600.0_f64, slope in 0.3..1.5_f64) {
        let of = |peak_c: f64, hold_min: f64| {
            let segment = Segment { rate_k_per_s: c_per_h / 3600.0, target_k: peak_c + 273.15, hold_s: 60.0 * hold_min };
            phi_shift_decades(&Schedule::from_room(vec![segment]).unwrap(), SEAL_K, slope).unwrap()
        };
        let base = of(peak_c, hold);
        prop_assert!(base.is_finite());
        prop_assert!(of(peak_c, hold + 10.0) >= base);
        prop_assert!(of(peak_c + 10.0, hold) >= base);
    }

    /// Between a cone's columns the end point lies between them; faster is hotter.
    #[test]
    fn cones(i in 0usize..8, c_per_h in 10.0..240.0_f64) {
        let of = |c: f64| cone_k(CONES[i].0, c / 3600.0).unwrap();
        prop_assert!(of(c_per_h + 5.0) > of(c_per_h));
        prop_assert!((of(c_per_h) - 273.15 - CONES[i].1[1]).abs() < 60.0);
    }

    /// A dip is finite, never thinner for more time, more dips or a thicker bucket, and the slope with the bucket is the difference's.
    #[test]
    fn dips(dip in dip()) {
        let of = |d: &DipParams| laydown::dip_kg_per_m2(d).unwrap();
        let m = of(&dip);
        prop_assert!(m.is_finite() && m >= 0.0);
        let holds = of(&DipParams { seconds: (dip.seconds * 1.5).min(600.0), ..dip }) >= m * (1.0 - 1e-12);
        prop_assert!(holds);
        let holds = of(&DipParams { dips: dip.dips + 1, ..dip }) >= m * (1.0 - 1e-12);
        prop_assert!(holds);
        let holds = of(&DipParams { sg: dip.sg + 0.02, ..dip }) >= m * (1.0 - 1e-12);
        prop_assert!(holds);
        // Away from a dip that just fills the body.
        let (low, high) = (DipParams { sg: dip.sg - 1e-6, ..dip }, DipParams { sg: dip.sg + 1e-6, ..dip });
        if m > 0.0 {
            let slopes = [&low, &dip, &high].map(|d| laydown::dip_layer(d, 0).unwrap().ln_per_sg);
            prop_assume!((slopes[0] - slopes[2]).abs() < 1e-2 * slopes[1]);
            let by = (of(&high) / of(&low)).ln() / 2e-6;
            prop_assert!((slopes[1] - by).abs() < 1e-4 * slopes[1].abs() + 1e-6, "{} {}", slopes[1], by);
        }
        prop_assert!(laydown::brush_ln_per_sg(dip.sg) > 0.0);
    }

    /// Readings go out and come back.
    #[test]
    fn readings(sg in 1.0..2.2_f64) {
        let near = |got: f64| (got - sg).abs() < 1e-12;
        prop_assert!(near(slurry::sg_from_twaddell(slurry::twaddell(sg)).unwrap()));
        prop_assert!(near(slurry::sg_from_baume(slurry::baume(sg, slurry::BAUME_60_F), slurry::BAUME_60_F).unwrap()));
        for pint in [slurry::PintKind::Imperial, slurry::PintKind::Us] {
            prop_assert!(near(slurry::sg_from_pint_weight(slurry::pint_weight_oz(sg, pint), pint).unwrap()));
        }
    }

    /// Whatever numbers come, a checked function answers with a finite number or an error.
    #[test]
    fn nothing_but_numbers(a in any::<f64>(), b in any::<f64>(), c in any::<f64>()) {
        let fine = |r: Result<f64, glazefall::physics::PhysicsError>| r.is_err() || r.is_ok_and(f64::is_finite);
        prop_assert!(fine(slurry::sg_from_weighed_volume(a, b)));
        prop_assert!(fine(slurry::sg_from_pint_weight(a, slurry::PintKind::Us)));
        prop_assert!(fine(slurry::sg_from_twaddell(a)));
        prop_assert!(fine(slurry::sg_from_baume(a, b)));
        prop_assert!(fine(slurry::thinning_water(a, b, c)));
        prop_assert!(fine(laydown::weigh_in_kg_per_m2(a, b)));
        prop_assert!(fine(laydown::cake_k_m2_per_s(1e-7, a, b, c)));
        let holds = fine(laydown::dip_kg_per_m2(&DipParams { wall_m: b, ..DipParams::usual(a, c) }));
        prop_assert!(holds);
        prop_assert!(fine(cone_k("6", a)));
        let holds = fine(composition::log10_eta_pa_s(&Oxides { sio2: 60.0, cao: a, na2o: b, ..Oxides::default() }, c));
        prop_assert!(holds);
        let segment = Segment { rate_k_per_s: a, target_k: b, hold_s: c };
        if let Ok(schedule) = Schedule::from_room(vec![segment]) {
            prop_assert!(equivalent_seconds(&schedule, SEAL_K, 0.75).is_finite());
        }
        if let Ok(law) = Viscosity::through(&[(1200.0, a), (1300.0, b), (1400.0, c)]) {
            prop_assert!(law.log10_eta_pa_s(1500.0).is_finite());
        }
    }

    /// Any mixture of the oxides that the model knows has a finite viscosity at a melt's temperature, or an error.
    #[test]
    fn compositions(w in prop::collection::vec(0.0..100.0_f64, 11), c in 700.0..1700.0_f64) {
        let oxides = Oxides {
            sio2: w[0] * 4.0 % 100.0, tio2: w[1] / 10.0, al2o3: w[2] / 4.0, fe2o3: w[3] / 8.0, feo: w[4] / 8.0, mno: w[5] / 20.0,
            mgo: w[6] / 8.0, cao: w[7] / 4.0, na2o: w[8] / 8.0, k2o: w[9] / 8.0, p2o5: w[10] / 20.0, f2o: w[5] / 50.0,
            ..Oxides::default()
        };
        if let Ok(log10_eta) = composition::log10_eta_pa_s(&oxides, c + 273.15) {
            prop_assert!(log10_eta.is_finite());
        }
    }
}
