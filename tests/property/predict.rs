//! Whatever plan a studio document takes, its prediction is whole: finite numbers, chances that are chances, bands in order.

use glazefall::learn::{self, Options};
use glazefall::predict::advice::{Amount, frequency};
use glazefall::predict::outcome::{AnsweredBy, PlanOutcome, Verdict};
use glazefall::predict::{self, CoatChart};
use glazefall::studio::check;
use glazefall::studio::document::Studio;
use glazefall::studio::document::{Entry, How};
use glazefall::studio::file;
use proptest::prelude::*;

/// A form of any family, with or without a texture, as JSON.
fn form() -> impl Strategy<Value = String> {
    let shape = (0..6_usize, 20.0..600.0_f64, 20.0..500.0_f64, 0.3..1.0_f64, 0.3..1.0_f64, 5.0..90.0_f64).prop_map(
        |(family, height, across, rim, foot, slope)| {
            let (rim, foot) = (across * rim, across * foot);
            let neck = 0.8 * rim;
            match family {
                0 => format!(
                    r#"{{"family":"jar","height_mm":{height},"rim_diameter_mm":{rim},"belly_diameter_mm":{across},"foot_diameter_mm":{foot}}}"#
                ),
                1 => format!(
                    r#"{{"family":"bowl","height_mm":{height},"rim_diameter_mm":{across},"foot_diameter_mm":{foot}}}"#
                ),
                2 => format!(
                    r#"{{"family":"mug","height_mm":{height},"rim_diameter_mm":{across},"foot_diameter_mm":{across}}}"#
                ),
                3 => format!(
                    r#"{{"family":"vase","height_mm":{height},"rim_diameter_mm":{rim},"neck_diameter_mm":{neck},"belly_diameter_mm":{across},"foot_diameter_mm":{foot}}}"#
                ),
                4 => format!(
                    r#"{{"family":"plate","height_mm":30,"rim_diameter_mm":{across},"foot_diameter_mm":{foot}}}"#
                ),
                _ => format!(
                    r#"{{"family":"tile","width_mm":{across},"length_mm":{height},"slope_deg":{slope}}}"#
                ),
            }
        },
    );
    let texture = prop::option::of((0..3_usize, 0.05..5.0_f64, 2.0..12.0_f64)).prop_map(|texture| {
        texture.map_or(String::new(), |(kind, depth, times)| {
            let kind = ["rings", "upright_flutes", "pressed"][kind];
            let repeat = depth * times;
            format!(
                r#","texture":{{"kind":"{kind}","depth_mm":{depth},"repeat_mm":{repeat},"from_mm":5,"to_mm":18}}"#
            )
        })
    });
    (shape, texture).prop_map(|(shape, texture)| {
        format!(r#"{{"id":"form","name":"Form","wall_mm":5,"shape":{shape}{texture}}}"#)
    })
}

fn layer() -> impl Strategy<Value = String> {
    let how = prop_oneof![
        (1..=20_u32).prop_map(|n| format!(r#"{{"method":"brush","coats":{n}}}"#)),
        (1..=10_u32, 0.2..120.0_f64)
            .prop_map(|(n, s)| format!(r#"{{"method":"dip","dips":{n},"seconds":{s}}}"#)),
        (1..=60_u32).prop_map(|n| format!(r#"{{"method":"spray","passes":{n}}}"#)),
    ];
    let sg = prop::option::of(1.02..1.9_f64);
    let zone = (0.0..8.0_f64, 10.0..40.0_f64, any::<bool>());
    (0..3_usize, how, sg, zone, any::<bool>()).prop_map(|(glaze, how, sg, (from, to, over), hand)| {
        let from = if over { 0.0 } else { from };
        let sg = sg.map_or(String::new(), |sg| format!(r#","sg":{sg}"#));
        let hand = if hand { r#","hand":"ada""# } else { "" };
        format!(
            r#"{{"glaze":"g{glaze}","zone":{{"from_mm":{from},"to_mm":{to},"over_rim":{over}}},"how":{how}{sg}{hand}}}"#
        )
    })
}

/// A studio with one plan; not all of them pass the checks, and those that do not are not predicted.
fn studio() -> impl Strategy<Value = Studio> {
    let glaze = (
        0..4_usize,
        1.02..1.9_f64,
        2.0..4.5_f64,
        prop::option::of(0.0..0.4_f64),
    );
    let glazes = prop::collection::vec(glaze, 3);
    let settings = (0.0..0.5_f64, 0.5..1.0_f64, 0.0..0.9_f64);
    let firing = prop::option::of((980.0..1400.0_f64, 1.0..600.0_f64, 0.0..600.0_f64));
    let bare = prop::option::of(0.0..200.0_f64);
    (form(), prop::collection::vec(layer(), 1..5), glazes, settings, firing, bare).prop_map(
        |(form, layers, glazes, (holds, off, recess), firing, bare)| {
            let glazes: Vec<String> = glazes
                .iter()
                .enumerate()
                .map(|(i, (kind, sg, dry, loi))| {
                    let kind = ["stiff", "medium", "fluid", "not_known"][*kind];
                    let loi = loi.map_or(String::new(), |loi| format!(r#","loss_on_ignition":{loi}"#));
                    format!(
                        r#"{{"id":"g{i}","name":"Glaze {i}","kind":"{kind}","usual_sg":{sg},"dry_density":{dry}{loi}}}"#
                    )
                })
                .collect();
            let schedule = firing.map_or(String::new(), |(target, rate, hold)| {
                format!(
                    r#","schedule":{{"by":"segments","segments":[{{"rate_c_per_h":{rate},"target_c":{target},"hold_min":{hold}}}]}}"#
                )
            });
            let bare = bare.map_or(String::new(), |bare| format!(r#","bare_below_mm":{bare}"#));
            let text = format!(
                r#"{{"format":"glazefall-studio","version":1,"id":"s","name":"S",
                "settings":{{"holds_up_to":{holds},"runs_off_from":{off},"recess_share":{recess}}},
                "glazes":[{}],"hands":[{{"id":"ada","name":"Ada","role":"student"}}],
                "firings":[{{"id":"f","kiln":"Big","state":"planned"{schedule}}}],"forms":[{form}],
                "entries":[{{"id":"p","code":"P","name":"","form":"form","firing":"f","shelf":2,"layers":[{}]{bare}}}]}}"#,
                glazes.join(","),
                layers.join(","),
            );
            file::read_unchecked(&text).expect("the text follows the document's shape")
        },
    )
}

fn rising(values: &[f64]) {
    assert!(
        values.iter().all(|v| v.is_finite() && *v >= 0.0),
        "{values:?}"
    );
    assert!(
        values.windows(2).all(|pair| pair[0] <= pair[1]),
        "{values:?}"
    );
}

fn chance(p: f64) {
    assert!((0.0..=1.0).contains(&p), "{p} is no chance");
}

fn whole(outcome: &PlanOutcome) {
    let run = outcome.run_mm;
    rising(&[run.p05, run.p10, run.p50, run.p90, run.p95]);
    rising(&outcome.twenty_runs_mm);
    assert_eq!(outcome.twenty_runs_mm.len(), 20);
    let bands = outcome.layers.iter().flat_map(|l| [l.raw_um, l.fired_um]);
    let film = [
        outcome.melt_lost_g,
        outcome.rim_thinnest_um,
        outcome.roll_um,
    ];
    let bands = bands.chain(film.into_iter().flatten());
    for band in bands.chain([outcome.fired_total_um, outcome.pool_mm]) {
        rising(&[band.p05, band.p50, band.p95]);
    }
    for p in [outcome.p_moves, outcome.p_reaches_foot, outcome.p_on_shelf] {
        chance(p);
    }
    assert!(outcome.p_on_shelf <= outcome.p_reaches_foot);
    assert!(outcome.rim_thinnest_um.is_none() || outcome.answered_by == AnsweredBy::Film);
    if let Some(kept) = outcome.relief_kept {
        rising(&[kept.p10, kept.p50, kept.p90]);
        assert!(kept.p90 <= 1.0);
    }
    outcome.p_relief_over_half.into_iter().for_each(chance);
    if let Some(look) = outcome.look {
        assert!((look.too_little + look.right + look.too_much - 1.0).abs() < 1e-9);
    }
    assert!(outcome.bare_foot_mm.is_finite() && outcome.bare_foot_mm >= 0.0);
    assert!(
        outcome
            .cookie_mm
            .is_none_or(|mm| mm.is_finite() && mm > 20.0)
    );
    outcome.hangs_on.iter().for_each(|h| chance(h.share));
    assert!(outcome.hangs_on.iter().map(|h| h.share).sum::<f64>() <= 1.0 + 1e-9);
    assert!(
        outcome.advice.ends_with('.') && !outcome.advice.contains("NaN"),
        "{}",
        outcome.advice
    );
    // One more mm of bare wall than is asked for never holds worse than the verdict says.
    if outcome.verdict == Verdict::Holds {
        assert!(outcome.bare_foot_mm <= outcome.bare_below_mm.ceil() + 1e-9);
    }
}

proptest! {
    #![proptest_config(crate::fixed(40, 18))]

    #[test]
    fn any_plan_within_bounds_is_answered_whole(studio in studio()) {
        prop_assume!(check::check(&studio).is_ok());
        let known = learn::prior(&studio, &Options { draws: 64, seed: 1 });
        let plan = &studio.entries[0];
        match predict::predict(&studio, &known, plan, 64, 1) {
            Ok(outcome) => {
                whole(&outcome);
                let story = predict::story(&studio, &known, plan, outcome.run_mm.p50).unwrap();
                for moment in story.fired.iter().chain([&story.raw]) {
                    prop_assert!(moment.temperature_c.is_finite());
                    prop_assert!(moment.layers_m.iter().flatten().all(|h| h.is_finite() && *h >= 0.0));
                }
                let chart = CoatChart::new(&studio, &known, plan, 32, 1).unwrap();
                let cell = chart.cell(&studio, &known, 2, 3);
                chance(cell.p_holds);
                prop_assert!(cell.run_p50_mm.is_finite());
            }
            // A slurry too thick to dip and the like: said in words.
            Err(refusal) => prop_assert!(!refusal.message().problem.is_empty()),
        }
    }
}

/// The plan with another amount of its last layer.
fn with_last(plan: &Entry, count: u32) -> Entry {
    let mut other = plan.clone();
    if let Some(last) = other.layers.last_mut() {
        last.how = match last.how {
            How::Brush { .. } => How::Brush { coats: count },
            How::Dip { seconds, .. } => How::Dip {
                dips: count,
                seconds,
            },
            How::Spray { .. } => How::Spray { passes: count },
        };
    }
    other
}

/// What is said follows from what was found.
fn true_to_itself(studio: &Studio, plan: &Entry, found: &PlanOutcome) {
    let (holds, off) = (studio.settings.holds_up_to, studio.settings.runs_off_from);
    let p = found.p_reaches_foot;
    let verdict = if p <= holds {
        Verdict::Holds
    } else if p >= off {
        Verdict::WillRunOff
    } else {
        Verdict::MayReachTheFoot
    };
    assert_eq!(found.verdict, verdict);
    let said = &found.advice;
    let (on_tile, planned) = (
        said.contains("such tiles"),
        Amount::of(&plan.layers.last().unwrap().how),
    );
    if verdict == Verdict::Holds {
        assert!(said.contains("hold"), "{said}");
    } else {
        assert!(said.contains(": as planned "), "{said}");
        assert!(
            said.contains(if on_tile {
                "run off the end"
            } else {
                "reach the foot"
            }),
            "{said}"
        );
        assert!(said.contains(&frequency(p)), "{said}");
        // Only what holds is told to be stopped at.
        assert_eq!(
            said.starts_with("Stop at "),
            found.most_safe_coats.is_some_and(|n| n < planned.count),
            "{said}"
        );
    }
    if let Some(n) = found.most_safe_coats {
        assert!(n >= 1 && n <= planned.most());
        assert!(n < planned.count || verdict == Verdict::Holds, "{n}");
    }
    // Of 128 draws at most the share `holds` comes as far as the bare foot asked for: the percentile that leaves that share lies above it.
    let run = found.run_mm;
    for (left, percentile) in [(0.5, run.p50), (0.1, run.p90), (0.05, run.p95)] {
        assert!(holds > left || found.bare_foot_mm >= percentile - 1e-9);
        assert!(
            holds < left + 0.01 || found.bare_foot_mm <= percentile + 1.0,
            "{found:?}"
        );
    }
    // A cookie where more than that share stands in its melt; 10 mm all round at least.
    assert_eq!(found.cookie_mm.is_some(), found.p_on_shelf > holds);
    for hangs in &found.hangs_on {
        assert!(
            hangs.share >= 0.01 && hangs.what.split(' ').count() >= 3,
            "{hangs:?}"
        );
        assert!(
            hangs.what.starts_with("how ")
                || hangs.what.starts_with("what ")
                || hangs.what.starts_with("the ")
        );
    }
    assert!(
        found
            .hangs_on
            .windows(2)
            .all(|pair| pair[0].share >= pair[1].share)
    );
}

proptest! {
    #![proptest_config(crate::fixed(200, 19))]

    /// The most coats that hold are the most: asked for by itself, that amount holds, and one more does not. On a tile exactly, as the draws are the same; on a pot the
    /// one solve is another's, which moves the chance of the foot by up to a tenth (0.087 seen) between half and twice the planned amount, and is not asked for beyond.
    #[test]
    fn what_is_said_is_true_to_what_was_found(studio in studio()) {
        prop_assume!(check::check(&studio).is_ok());
        let known = learn::prior(&studio, &Options { draws: 64, seed: 1 });
        let plan = &studio.entries[0];
        let Ok(found) = predict::quick(&studio, &known, plan, 1) else {
            return Ok(());
        };
        true_to_itself(&studio, plan, &found);
        let holds = studio.settings.holds_up_to;
        let by = if found.answered_by == AnsweredBy::Film { 0.1 } else { 1e-9 };
        let p = |count: u32| predict::quick(&studio, &known, &with_last(plan, count), 1).map(|o| o.p_reaches_foot);
        let planned = Amount::of(&plan.layers.last().unwrap().how);
        let most = found.most_safe_coats.unwrap_or(0);
        let near = |n: u32| found.answered_by == AnsweredBy::BandTable || (n <= 2 * planned.count && 2 * n >= planned.count);
        if most > 0 && near(most) && let Ok(p) = p(most) {
            prop_assert!(p <= holds + by, "{} of {}: {p} for {holds}", most, planned.count);
        }
        let tried = planned.most().min((2 * planned.count).max(12));
        if most < tried && near(most + 1) && let Ok(p) = p(most + 1) {
            prop_assert!(p > holds - by, "{} of {}: {p} for {holds}", most + 1, planned.count);
        }
    }
}
