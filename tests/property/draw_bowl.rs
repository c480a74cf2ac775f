//! One bowl with its film given by hand: its words, its small pictures, and that what is drawn ends where the numbers say.

use crate::draw::{outcome, studio};
use glazefall::draw::film::Moment;
use glazefall::draw::lens::Spot;
use glazefall::draw::picture::{Picture, View};
use glazefall::draw::scene::Scene;
use glazefall::draw::{chart, lens, pile, pot, twenty};
use glazefall::physics::firing::Schedule;
use glazefall::predict::outcome::*;
use glazefall::studio::document::*;
use glazefall::studio::outline::profile_at_slope;

/// A bowl with two layers, its film given by hand.
fn bowl() -> (Studio, Entry, FilmStory, PlanOutcome) {
    let shape = Shape::Bowl {
        height_mm: 70.0,
        rim_diameter_mm: 150.0,
        foot_diameter_mm: 60.0,
    };
    let texture = Texture {
        kind: TextureKind::Rings,
        depth_mm: 1.0,
        repeat_mm: 8.0,
        from_mm: 12.0,
        to_mm: 44.0,
    };
    let form = Form {
        id: "f".into(),
        name: "Ringed bowl".into(),
        shape,
        wall_mm: Some(5.0),
        rim_radius_mm: None,
        texture: Some(texture),
        changed_ms: 0,
    };
    let studio = studio(
        form,
        ["Ash Veil", "Honey Drift", "Tide Pool", "Iron Dusk"]
            .map(String::from)
            .into(),
    );
    let mut entry: Entry =
        serde_json::from_value(serde_json::json!({"id": "x", "form": "f", "layers": []})).unwrap();
    let layer = |glaze: &str, to_mm: f64, coats: u32| Layer {
        glaze: glaze.into(),
        zone: Zone {
            from_mm: 0.0,
            to_mm,
            over_rim: true,
            inside_mm: 20.0,
        },
        how: How::Brush { coats },
        sg: None,
        hand: None,
    };
    entry.layers = vec![layer("g1", 50.0, 3), layer("g2", 24.0, 2)];
    let profile = profile_at_slope(&studio.forms[0], 5.0, None, None).unwrap();
    let (rim, foot) = (profile.rim_s_m(), profile.foot_s_m());
    let s_m: Vec<f64> = (0..=400).map(|k| foot * f64::from(k) / 400.0).collect();
    let film = |to: f64, h: f64| -> Vec<f64> {
        s_m.iter()
            .map(|&s| {
                if s > rim - 0.02 && s < rim + to {
                    h
                } else {
                    0.0
                }
            })
            .collect()
    };
    let moment = |share: f64, more: f64, h: f64| FilmMoment {
        temperature_c: 900.0 + 322.0 * share,
        phi_share: share,
        s_m: s_m.clone(),
        layers_m: vec![
            film(0.050 + more, 3.0 * h),
            film(0.024 + 0.5 * more, 2.0 * h),
        ],
        edges: vec![FilmEdge {
            layer: 1,
            laid_s_m: rim + 0.024,
            now_s_m: rim + 0.024 + 0.5 * more,
            roll: (more > 0.0).then_some(FilmPlace {
                s_m: rim + 0.024,
                fired_m: 6.0 * h,
            }),
        }],
        rim_minimum: (more > 0.0).then_some(FilmPlace {
            s_m: rim,
            fired_m: h,
        }),
        past_foot_m3: 0.0,
    };
    let story = FilmStory {
        raw: moment(0.0, 0.0, 112e-6),
        fired: vec![
            moment(0.0, 0.0, 57e-6),
            moment(0.5, 0.003, 55e-6),
            moment(1.0, 0.006, 53e-6),
        ],
        solved: true,
    };
    let mut outcome = outcome(2, 9.0, 1.8, 24.0, 0.1, 9, None);
    let band = |p50| Band90 {
        p05: 0.6 * p50,
        p50,
        p95: 1.5 * p50,
    };
    outcome.rim_thinnest_um = Some(band(53.0));
    outcome.roll_um = Some(band(318.0));
    outcome.relief_kept = Some(Band80 {
        p10: 0.4,
        p50: 0.55,
        p90: 0.7,
    });
    (studio, entry, story, outcome)
}

#[test]
fn the_words_say_what_is_drawn() {
    let (mut studio, entry, story, outcome) = bowl();
    let profile = profile_at_slope(&studio.forms[0], 5.0, None, None).unwrap();
    let scene = Scene::of(&studio, &entry, &profile);
    let view = View {
        width_px: 640.0,
        height_px: 480.0,
        prefix: "a",
    };
    let at = |moment| pot::draw(&scene, &story, &outcome, moment, None, &view).words;
    let mut said = vec![at(Moment::Raw), at(Moment::Fired(1)), at(Moment::Fired(2))];
    said.push(twenty::draw(&scene, &outcome, &view).words);
    for spot in [
        Spot::Rim,
        Spot::Overlap,
        Spot::Texture,
        Spot::Foot,
        Spot::At(30.0),
    ] {
        said.push(lens::draw(&scene, &story, &outcome, Moment::Fired(2), spot, &view).words);
    }
    said.push(chart::firing(&Schedule::reference(), Some(0.5), Units::Metric, &view).words);
    let mut rare = outcome.clone();
    rare.p_reaches_foot = 0.001;
    rare.twenty_runs_mm = vec![1.0; 20];
    said.push(twenty::draw(&scene, &rare, &view).words);
    studio.settings.units = Units::Imperial;
    let scene = Scene::of(&studio, &entry, &profile);
    said.push(pot::draw(&scene, &story, &outcome, Moment::Fired(2), None, &view).words);
    insta::assert_snapshot!(said.join("\n\n"));
}

#[test]
fn small_pictures_stay_as_they_were() {
    let (studio, entry, ..) = bowl();
    let profile = profile_at_slope(&studio.forms[0], 5.0, None, None).unwrap();
    let scene = Scene::of(&studio, &entry, &profile);
    let view = View {
        width_px: 60.0,
        height_px: 24.0,
        prefix: "a",
    };
    let lines = |picture: Picture| picture.svg.replace('>', ">\n");
    insta::assert_snapshot!(
        [
            lines(pile::slab(&scene, 1, &view)),
            lines(pile::clay(&view)),
            lines(pile::swatch(&studio.glazes[1], 1, &view))
        ]
        .join("\n")
    );
}

/// However thick a roll, the glaze in the cut stands out by little more than the raw stack: no horns.
#[test]
fn a_thick_roll_does_not_become_a_horn() {
    let (studio, entry, mut story, outcome) = bowl();
    let profile = profile_at_slope(&studio.forms[0], 5.0, None, None).unwrap();
    let scene = Scene::of(&studio, &entry, &profile);
    let view = View {
        width_px: 640.0,
        height_px: 480.0,
        prefix: "a",
    };
    let leftmost = |story: &FilmStory, moment| {
        let svg = pot::draw(&scene, story, &outcome, moment, None, &view).svg;
        svg.split("class=\"gf-layer\" d=\"")
            .skip(1)
            .map(|rest| leftmost_x(&rest[..rest.find('"').unwrap()]))
            .fold(f64::MAX, f64::min)
    };
    let raw = leftmost(&story, Moment::Raw);
    let last = story.fired.last_mut().unwrap();
    for (h, s) in last.layers_m[1].iter_mut().zip(&last.s_m) {
        let rim = profile.rim_s_m();
        if (s - rim - 0.01).abs() < 0.003 {
            *h = 3e-3;
        }
    }
    let fired = leftmost(&story, Moment::Fired(2));
    // The roll is six times as thick as the raw stack; it may be drawn half as far out again, 2 % of the bowl's width.
    assert!(fired > raw - 0.02 * 640.0, "raw {raw}, fired {fired}");
}

/// Least x of a path of moves and steps.
fn leftmost_x(data: &str) -> f64 {
    let (mut x, mut least) = (0.0, f64::MAX);
    for piece in data.split('M').skip(1) {
        for (k, step) in pairs(piece).into_iter().enumerate() {
            x = if k == 0 { step.0 } else { x + step.0 };
            least = least.min(x);
        }
    }
    least
}

/// The pairs of numbers of a piece of a path.
fn pairs(piece: &str) -> Vec<(f64, f64)> {
    let mut apart = String::new();
    for c in piece.chars() {
        match c {
            '-' => apart.push_str(" -"),
            c if c.is_ascii_alphabetic() => apart.push(' '),
            c => apart.push(c),
        }
    }
    let numbers: Vec<f64> = apart
        .split_whitespace()
        .map(|number| number.parse().unwrap())
        .collect();
    numbers.chunks_exact(2).map(|p| (p[0], p[1])).collect()
}

#[test]
fn the_longest_drip_ends_where_the_ruler_says() {
    let (studio, entry, story, mut outcome) = bowl();
    let profile = profile_at_slope(&studio.forms[0], 5.0, None, None).unwrap();
    let scene = Scene::of(&studio, &entry, &profile);
    let view = View {
        width_px: 640.0,
        height_px: 480.0,
        prefix: "a",
    };
    let lowest = |outcome: &PlanOutcome| {
        let svg = pot::draw(&scene, &story, outcome, Moment::Fired(2), None, &view).svg;
        edge_bottom(&svg)
    };
    outcome.run_mm.p50 = 4.0;
    let short = lowest(&outcome);
    outcome.run_mm.p50 = 12.0;
    let long = lowest(&outcome);
    assert!(long > short + 5.0, "{short} {long}");
}

/// Lowest y of the lowest layer's edge in a picture.
fn edge_bottom(svg: &str) -> f64 {
    let start = svg.find("id=\"a-e0\" d=\"").unwrap() + 13;
    let data = &svg[start..start + svg[start..].find('"').unwrap()];
    let (mut y, mut lowest) = (0.0, f64::MIN);
    for step in pairs(data) {
        y += step.1;
        lowest = lowest.max(y);
    }
    lowest
}
