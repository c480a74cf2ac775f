//! What a prediction says at the priors, against the figures that the model is meant to give.

use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::{self, Options};
use glazefall::predict::film_runs::FilmRuns;
use glazefall::predict::on_film;
use glazefall::predict::plan::Plan;
use glazefall::predict::simulate::{Writing, simulate};
use glazefall::predict::story::story_of;
use glazefall::predict::{self, PlanOutcome};
use glazefall::studio::case::Case;
use glazefall::studio::document::{Edge, Entry, Run, RunWord, Studio};
use glazefall::studio::file;
use rand::SeedableRng;

/// A studio with one glaze of each kind, a jar 100 mm across at its glaze line and a standing tile, and nothing logged.
fn studio() -> Studio {
    let glaze = |kind: &str, name: &str| {
        format!(r#"{{"id":"{kind}","name":"{name}","kind":"{kind}","usual_sg":1.45}}"#)
    };
    let text = format!(
        r#"{{"format":"glazefall-studio","version":1,"id":"s","name":"A studio","glazes":[{},{},{}],
        "forms":[
            {{"id":"jar","name":"Jar","shape":{{"family":"mug","height_mm":300,"rim_diameter_mm":100,"foot_diameter_mm":100}}}},
            {{"id":"tile","name":"Tile","shape":{{"family":"tile","width_mm":50,"length_mm":200,"slope_deg":90}}}}]}}"#,
        glaze("stiff", "Slate Hush"),
        glaze("medium", "Iron Moss"),
        glaze("fluid", "Honey Drift"),
    );
    file::read(&text).unwrap()
}

fn plan(form: &str, layers: &[(&str, u32)], sg: f64, to_mm: f64) -> Entry {
    let layer = |(glaze, coats): &(&str, u32)| {
        format!(
            r#"{{"glaze":"{glaze}","zone":{{"from_mm":0,"to_mm":{to_mm}}},"how":{{"method":"brush","coats":{coats}}},"sg":{sg}}}"#
        )
    };
    let layers: Vec<String> = layers.iter().map(layer).collect();
    file::read_record(&format!(
        r#"{{"id":"plan","code":"P","name":"","form":"{form}","layers":[{}]}}"#,
        layers.join(",")
    ))
    .unwrap()
}

/// Everything at the priors but that coats do not thin, which the model's figures leave out.
fn outcome(form: &str, layers: &[(&str, u32)]) -> PlanOutcome {
    let studio = studio();
    let options = Options {
        draws: 1024,
        seed: 7,
    };
    let mut known = learn::prior(&studio, &options);
    for params in &mut known.params {
        params.thinning_per_coat = 0.0;
    }
    let plan = plan(form, layers, 1.45, 150.0);
    predict::predict(&studio, &known, &plan, options.draws, 1).unwrap()
}

/// Longest-of-13 median run on a jar at the priors, as the model's own note gives it "for a feel": 3 stiff 0, 3 medium 0, 6 medium 0.8,
/// 3 fluid 15, 4 fluid 30, 3 medium + 3 fluid 20 mm.
///
/// A fifth and 0.5 mm: the note's figures are rounded, it has 13 drips where a thin film here has 12 to 16, and one opinion in ten is held to be
/// wrong here, which takes a tenth off a fluid glaze's median; 1,024 draws leave 4 % of noise. The note's figures are gravity's; the film, by which runs are
/// predicted, is up to a capillary length behind (the same note, 6).
#[test]
fn runs_on_a_jar_at_the_priors() {
    let behind_mm = 2.2;
    for (layers, mm) in [
        (&[("stiff", 3)][..], 0.0),
        (&[("medium", 3)], 0.0),
        (&[("medium", 6)], 0.8),
        (&[("fluid", 3)], 15.0),
        (&[("fluid", 4)], 30.0),
        (&[("medium", 3), ("fluid", 3)], 20.0),
    ] {
        let found = outcome("jar", layers);
        assert!((10..=17).contains(&found.drips), "{} drips", found.drips);
        let run = found.run_mm.p50;
        assert!(
            run <= 0.5 + 1.2 * mm && run >= 0.8 * mm - 0.5 - behind_mm,
            "{layers:?}: {run} mm, not {mm}"
        );
    }
}

/// Shares add up to at most 1, name the glaze, and put what the priors know least first: a fluid glaze never logged, sd 0.35 decades or
/// more, against 0.30 in the log of one hand's coat, which counts twice.
#[test]
fn the_run_hangs_on_what_is_least_known() {
    let found = outcome("jar", &[("fluid", 4)]);
    assert_eq!(found.hangs_on[0].what, "how fluid Honey Drift is");
    assert_eq!(
        found.hangs_on[1].what,
        "how thick whoever glazes it lays it on"
    );
    assert!(found.hangs_on.iter().map(|h| h.share).sum::<f64>() <= 1.0);
    assert!(
        found.advice.contains("Honey Drift was never logged"),
        "{}",
        found.advice
    );
}

/// Specific gravity 1.40 to 1.50 thickens a brushed coat by (1.50 − 1)/(1.40 − 1) = 1.25 (Brongniart's formula), raw and fired; the draws are
/// the same, so only the spread of the reading, which is wider on a thin slurry, is left: under 1 %.
#[test]
fn specific_gravity_thickens_a_coat() {
    let studio = studio();
    let known = learn::prior(&studio, &Options::default());
    let of = |sg: f64| {
        predict::predict(
            &studio,
            &known,
            &plan("tile", &[("fluid", 2)], sg, 60.0),
            512,
            1,
        )
        .unwrap()
    };
    let (thin, thick) = (&of(1.40).layers[0], &of(1.50).layers[0]);
    assert!((thick.raw_um.p50 / thin.raw_um.p50 / 1.25 - 1.0).abs() < 0.01);
    assert!((thick.fired_um.p50 / thin.fired_um.p50 / 1.25 - 1.0).abs() < 0.01);
}

/// Twice the coats of one fluid glaze on a tile run four times as far while the front is at full thickness: the square law, `run = k h² Phi`.
/// Retention, drips and the thinning of later coats set aside; what is left is that the evenness of two coats is not quite that of
/// four, that the film lags behind gravity's law by up to a capillary length of 2.2 mm, and that a front that has passed half the band slows down: a tenth.
#[test]
fn twice_the_coats_run_four_times_as_far() {
    let studio = studio();
    let mut known = learn::prior(&studio, &Options::default());
    for params in &mut known.params {
        params.thinning_per_coat = 0.0;
        params.retention_m2 = 1e-12;
        params.place_ln_sigma = 0.0;
        params.log10_phi[2] += 0.2;
    }
    let of = |coats: u32| {
        let plan = plan("tile", &[("fluid", coats)], 1.45, 150.0);
        predict::predict(&studio, &known, &plan, 512, 1)
            .unwrap()
            .run_mm
            .p50
    };
    for (fewer, more) in [(2, 4), (3, 6)] {
        let ratio = |behind_mm: f64| (of(more) + behind_mm) / (of(fewer) + behind_mm);
        assert!(
            ratio(0.0) > 3.6 && ratio(2.2) < 4.4,
            "{fewer} → {more}: {} {}",
            ratio(0.0),
            ratio(2.2)
        );
    }
}

/// The drawing agrees with the numbers: raw and fired thickness on the wall are the medians over the piece, every layer keeps its volume but
/// for the thinner fired film, and the edge stands where the median of the longest drip does. Volumes within 2 %: middles of cells of unequal
/// width stand for the film between them. The edge within 8 % of the run and half a millimetre: readings of the clock are 2 % apart, in which an
/// edge that is being overrun goes on by up to a tenth.
#[test]
fn the_drawing_agrees_with_the_numbers() {
    let studio = studio();
    let known = learn::prior(&studio, &Options::default());
    let plan = plan("tile", &[("medium", 2), ("fluid", 3)], 1.45, 100.0);
    let found = predict::predict(&studio, &known, &plan, 512, 1).unwrap();
    let run = found.run_mm.p50.max(12.0);
    let story = predict::story(&studio, &known, &plan, run).unwrap();
    assert!(story.solved);
    let (raw, first, last) = (&story.raw, &story.fired[0], story.fired.last().unwrap());
    let at = |moment: &predict::outcome::FilmMoment, layer: usize, s: f64| {
        let k = moment.s_m.partition_point(|x| *x < s);
        moment.layers_m[layer][k]
    };
    let volume = |moment: &predict::outcome::FilmMoment, layer: usize| -> f64 {
        let places = moment.s_m.windows(2).zip(moment.layers_m[layer].windows(2));
        places
            .map(|(s, h)| 0.5 * (s[1] - s[0]) * (h[0] + h[1]))
            .sum()
    };
    for (layer, found) in found.layers.iter().enumerate() {
        let middle = at(raw, layer, 0.05) * 1e6;
        assert!(
            (middle / found.raw_um.p50 - 1.0).abs() < 0.1,
            "{middle} {}",
            found.raw_um.p50
        );
        let middle = at(first, layer, 0.05) * 1e6;
        assert!(
            (middle / found.fired_um.p50 - 1.0).abs() < 0.1,
            "{middle} {}",
            found.fired_um.p50
        );
        let kept = volume(last, layer) / volume(first, layer);
        assert!((kept - 1.0).abs() < 0.02, "{kept}");
    }
    assert!((edge_m(first) - 0.100).abs() < 1e-3);
    assert!(
        (edge_m(last) - 0.100 - run * 1e-3).abs() < 0.5e-3 + 0.08 * run * 1e-3,
        "{} {run}",
        edge_m(last)
    );
    assert!(
        story
            .fired
            .windows(2)
            .all(|pair| pair[0].phi_share < pair[1].phi_share)
    );
    // The reference firing peaks at 1222 °C, where its last share is spent.
    assert!(
        (last.temperature_c - 1222.0).abs() < 1.0,
        "{}",
        last.temperature_c
    );
}

/// The lowest place that is drawn with glaze, m.
fn edge_m(moment: &predict::outcome::FilmMoment) -> f64 {
    let there = |c: &usize| moment.layers_m.iter().any(|layer| layer[*c] > 1e-5);
    moment.s_m[(0..moment.s_m.len()).rfind(there).unwrap()]
}

/// Prediction and simulation are one model: of 4,096 tiles fired from the same unknowns, as many run off the end and stay below each quantile as
/// was predicted, within four standard errors; what is written down agrees with what happened.
#[test]
fn simulated_pots_come_out_as_predicted() {
    let studio = studio();
    let known = learn::prior(
        &studio,
        &Options {
            draws: 4096,
            seed: 5,
        },
    );
    let plan = plan("tile", &[("medium", 2), ("fluid", 3)], 1.45, 180.0);
    let found = predict::predict(&studio, &known, &plan, 4096, 2).unwrap();
    let case = Case::of(&studio, &plan).unwrap();
    let mut rng = ChaCha8Rng::seed_from_u64(11);
    let how = Writing {
        edge: Edge::ToTheFoot,
        error_mm: 0.5,
        by_word: 0.3,
        notes_look: 0.5,
    };
    let (mut below, mut reached) = ([0.0; 3], 0.0);
    for truth in &known.params {
        let pot = simulate(&case, truth, 0.0, &mut rng);
        let mm = pot.run_m * 1e3;
        for (count, quantile) in
            below
                .iter_mut()
                .zip([found.run_mm.p50, found.run_mm.p90, found.run_mm.p95])
        {
            *count += f64::from(mm <= quantile) / 4096.0;
        }
        let over = mm >= found.bare_below_mm;
        reached += f64::from(over) / 4096.0;
        match pot.written_down(&case, truth, &how, &mut rng).run.unwrap() {
            Run::Word {
                word,
                least_mm,
                most_mm,
            } => {
                assert_eq!(over, word == RunWord::RanOffTheEnd);
                assert!(
                    least_mm.is_none_or(|least| mm >= least)
                        && most_mm.is_none_or(|most| mm <= most)
                );
            }
            Run::Ruler { run_mm, .. } => assert!(!over && (run_mm - mm).abs() < 4.0 * 0.5 + 0.5),
        }
    }
    let near = |share: f64, p: f64| (share - p).abs() < 4.0 * (2.0 * p * (1.0 - p) / 4096.0).sqrt();
    assert!(
        near(below[0], 0.5) && near(below[1], 0.9) && near(below[2], 0.95),
        "{below:?}"
    );
    assert!(
        near(reached, found.p_reaches_foot),
        "{reached} {}",
        found.p_reaches_foot
    );
}

/// With nothing logged, a fluid glaze over a medium one on a jar: the first tile has both or the fluid one on it, every further tile settles no
/// more than the one before, what is settled and what is left add up to one, and the whole repeats.
#[test]
fn next_tiles_are_ranked_by_what_they_settle() {
    let studio = studio();
    let known = learn::prior(&studio, &Options::default());
    let plan = plan("jar", &[("medium", 2), ("fluid", 3)], 1.45, 260.0);
    let found = predict::next_tiles(&studio, &known, &plan, 5, 1).unwrap();
    assert_eq!(
        found.question,
        "How many coats of Honey Drift over Iron Moss stay above the foot?"
    );
    assert!(found.sd_now_decades > 0.2, "{}", found.sd_now_decades);
    assert!(
        found.tiles[0].layers.iter().any(|l| l.glaze == "fluid"),
        "{}",
        found.tiles[0].what
    );
    assert!(
        found
            .tiles
            .windows(2)
            .all(|pair| pair[0].settles >= pair[1].settles)
    );
    let settled: f64 = found.tiles.iter().map(|t| t.settles).sum();
    assert!((settled + found.tiles.last().unwrap().left - 1.0).abs() < 1e-9);
    assert_eq!(
        found,
        predict::next_tiles(&studio, &known, &plan, 5, 1).unwrap()
    );
}

/// The lesson: four coats against two of one glaze, coats not thinning, are twice as thick, as fluid, and four times as fast; the front only
/// ever goes forward and ends where the run does.
#[test]
fn the_lesson_says_the_square_law() {
    let studio = studio();
    let mut known = learn::prior(&studio, &Options::default());
    for params in &mut known.params {
        params.thinning_per_coat = 0.0;
    }
    let of = |coats: u32| plan("jar", &[("fluid", coats)], 1.45, 200.0);
    let lesson = predict::compare(&studio, &known, [&of(2), &of(4)], 128, 1).unwrap();
    assert!(
        (lesson.thickness_ratio - 2.0).abs() < 0.05,
        "{}",
        lesson.thickness_ratio
    );
    assert!((lesson.fluidity_ratio - 1.0).abs() < 1e-9 && (lesson.speed_ratio - 4.0).abs() < 0.2);
    assert!(
        lesson
            .words
            .starts_with("The second stack is 2.00 times as thick and as fluid"),
        "{}",
        lesson.words
    );
    for side in 0..2 {
        assert!(
            lesson
                .moments
                .windows(2)
                .all(|pair| pair[0].run_mm[side] <= pair[1].run_mm[side])
        );
        assert!(
            (lesson.moments.last().unwrap().run_mm[side] - lesson.sides[side].run_mm.p50).abs()
                < 1e-6
        );
    }
    assert!(
        lesson
            .moments
            .windows(2)
            .all(|pair| pair[0].minutes < pair[1].minutes)
    );
}

/// What the film alone can show, on each of the demo's plans: the drawing's lower edge stands where the number says (8 % of the run as
/// above, and 1 mm: up to half a millimetre counts as not having run, and the quick law is off by as much), no layer is drawn thicker than a roll can be, and on a pot the rim is pulled thin.
///
/// Thick: 4 mm. A roll holds what drained from above it; the gravity-only wave that was drawn before put 125 mm on the floor of the bowl.
#[test]
fn the_film_drawn_for_the_demo_is_one_that_can_be() {
    let studio = file::read(include_str!("../../fixtures/demo/studio.json")).unwrap();
    let posterior = learn::learn(&studio, &Options::default());
    for entry in studio.entries.iter().filter(|e| e.outcome.is_none()) {
        let case = Case::of(&studio, entry).unwrap();
        for run_mm in [0.0, 3.0, 12.0] {
            let story = predict::story(&studio, &posterior, entry, run_mm).unwrap();
            let (first, last) = (&story.fired[0], story.fired.last().unwrap());
            assert!(story.solved && story.fired.len() > 10, "{}", entry.id);
            let drawn_mm = (edge_m(last) - case.profile.rim_s_m() - case.lowest_m) * 1e3;
            assert!(
                (drawn_mm - run_mm).abs() < 1.0 + 0.08 * run_mm,
                "{}: {drawn_mm} {run_mm}",
                entry.id
            );
            let thickest = last.layers_m.iter().flatten().copied().fold(0.0, f64::max);
            assert!(thickest < 4e-3, "{}: {thickest}", entry.id);
            if !case.is_tile {
                let rim = |moment: &predict::outcome::FilmMoment| moment.rim_minimum.unwrap();
                assert!(rim(last).fired_m < 0.5 * rim(first).fired_m, "{}", entry.id);
                let edge = &last.edges[0];
                assert!(edge.now_s_m > edge.laid_s_m && edge.roll.is_some());
            }
        }
    }
}

/// The lesson's last moment is what the piece's own answer says of each stack, on a pot and on a tile: the same draws by the same film.
#[test]
fn the_lesson_says_what_the_piece_says() {
    let studio = studio();
    let known = learn::prior(&studio, &Options { draws: 64, seed: 4 });
    for form in ["jar", "tile"] {
        let of = |coats| plan(form, &[("medium", 2), ("fluid", coats)], 1.45, 150.0);
        let (two, four) = (of(2), of(4));
        let lesson = predict::compare(&studio, &known, [&two, &four], 64, 9).unwrap();
        for (at, entry) in [two, four].iter().enumerate() {
            let said = predict::predict(&studio, &known, entry, 64, 9).unwrap();
            let off = |run_mm: f64| (run_mm - said.run_mm.p50).abs();
            let last = lesson.moments.last().unwrap().run_mm[at];
            assert!(said.run_mm.p50 > 0.5, "{form} {}", said.run_mm.p50);
            // The clock's last share is 1 but for rounding.
            assert!(off(last) < 1e-6, "{form} {last}");
            let run_mm = &lesson.sides[at].run_mm;
            for (lesson, piece) in [
                (run_mm.p10, said.run_mm.p10),
                (run_mm.p50, said.run_mm.p50),
                (run_mm.p90, said.run_mm.p90),
            ] {
                assert!((lesson - piece).abs() < 1e-9, "{form} {lesson} {piece}");
            }
        }
    }
}

/// A film that was followed for one run serves other runs, and no story differs from one told by itself: the drawing of a full answer does not depend on
/// whether a quick one came before.
#[test]
fn a_story_is_the_same_whatever_was_followed_before() {
    let studio = studio();
    let known = learn::prior(&studio, &Options { draws: 32, seed: 4 });
    for form in ["jar", "tile"] {
        let entry = plan(form, &[("medium", 2), ("fluid", 3)], 1.45, 100.0);
        let case = Case::of(&studio, &entry).unwrap();
        let mut followed = None;
        for run_mm in [6.0, 6.2, 3.0, 0.0, 0.2, 9.0, 30.0, 6.0] {
            let again = story_of(&case, &known, run_mm, &mut followed);
            assert_eq!(
                again,
                story_of(&case, &known, run_mm, &mut None),
                "{form} {run_mm}"
            );
            assert!(again.solved);
        }
    }
}

/// Draws between a few solves against a solve of each draw, at a fixed seed on a two-layer pot that nothing was tuned on: the chance of the foot
/// within two draws of 48, the middle of the runs that move within 3 % and a third of a millimetre (one solve is good to 2 %, being overrun),
/// and nine in ten of them within 15 %. The example `draws_against_solves` prints the same for more draws and nine cases.
#[test]
fn draws_between_solves_are_near_those_that_are_solved() {
    let studio = studio();
    let known = learn::prior(&studio, &Options { draws: 48, seed: 4 });
    let entry = plan("jar", &[("medium", 1), ("fluid", 3)], 1.45, 250.0);
    let plan = Plan::new(&studio, &entry, 48, 4).unwrap();
    let mut shots = plan.shots(&known);
    let each = on_film::each_solved_m(&plan.case, &known, &shots);
    let film = FilmRuns::of(&plan, &known, &shots).unwrap();
    on_film::run(&film, &plan.case, &mut shots);
    let reach = |runs: &mut dyn Iterator<Item = f64>| {
        runs.filter(|run| *run >= plan.case.bare_below_m).count() as i32
    };
    let (a, b) = (
        reach(&mut each.iter().copied()),
        reach(&mut shots.iter().map(|s| s.run_m)),
    );
    assert!((a - b).abs() <= 2, "{a} {b} reach the foot");
    let mut off: Vec<f64> = each
        .iter()
        .zip(&shots)
        .filter(|(run, _)| **run > 1e-3)
        .map(|(run, shot)| ((shot.run_m - run).abs() - 0.33e-3).max(0.0) / run)
        .collect();
    off.sort_by(f64::total_cmp);
    assert!(off.len() > 10, "{} move", off.len());
    let (middle, most) = (off[off.len() / 2], off[off.len() * 9 / 10]);
    assert!(middle < 0.03 && most < 0.15, "{middle} {most}");
}
