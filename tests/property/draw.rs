//! Pictures of every plan within the studio's bounds: they can always be drawn, hold nothing but numbers, and cannot run
//! anything in a page.

use glazefall::draw::film::Moment;
use glazefall::draw::lens::Spot;
use glazefall::draw::picture::{Picture, View};
use glazefall::draw::scene::Scene;
use glazefall::draw::{chart, known, lens, lesson, pile, pot, twenty};
use glazefall::learn::{
    self,
    posterior::{Calibration, ReliabilityBin},
};
use glazefall::physics::firing::{Schedule, Segment};
use glazefall::predict::compare::compare;
use glazefall::predict::outcome::*;
use glazefall::studio::document::*;
use glazefall::studio::outline::profile_at_slope;
use proptest::prelude::*;

/// Elements and attributes that a picture may have.
const ELEMENTS: [&str; 15] = [
    "svg",
    "defs",
    "pattern",
    "linearGradient",
    "stop",
    "clipPath",
    "g",
    "path",
    "rect",
    "line",
    "circle",
    "text",
    "tspan",
    "title",
    "use",
];
const ATTRIBUTES: [&str; 37] = [
    "xmlns",
    "class",
    "width",
    "height",
    "viewBox",
    "role",
    "aria-label",
    "id",
    "patternUnits",
    "x",
    "y",
    "fill",
    "stroke",
    "stroke-width",
    "stroke-opacity",
    "stroke-linecap",
    "fill-opacity",
    "d",
    "cx",
    "cy",
    "r",
    "x1",
    "x2",
    "y1",
    "y2",
    "offset",
    "stop-color",
    "stop-opacity",
    "gradientUnits",
    "clip-path",
    "font-size",
    "text-anchor",
    "dx",
    "rx",
    "ry",
    "transform",
    "href",
];

/// Reads a picture as strict markup: every tag closed, every attribute quoted and known, every number finite.
pub fn sound(picture: &Picture) -> Result<(), String> {
    let svg = &picture.svg;
    let mut open: Vec<String> = Vec::new();
    let mut rest = svg.as_str();
    while let Some(start) = rest.find('<') {
        let text = &rest[..start];
        if text.contains("NaN") || text.contains('>') {
            return Err(format!("text {text:?}"));
        }
        let end = rest[start..].find('>').ok_or("a tag without end")? + start;
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            if open.pop().as_deref() != Some(name) {
                return Err(format!("</{name}> closes nothing"));
            }
            continue;
        }
        let (tag, closed) = tag
            .strip_suffix('/')
            .map_or((tag, false), |tag| (tag, true));
        let (name, mut attributes) = tag.split_once(' ').unwrap_or((tag, ""));
        if !ELEMENTS.contains(&name) {
            return Err(format!("<{name}>"));
        }
        while !attributes.trim().is_empty() {
            let (key, after) = attributes
                .trim_start()
                .split_once("=\"")
                .ok_or(format!("{attributes:?}"))?;
            let (value, after) = after.split_once('"').ok_or(format!("{attributes:?}"))?;
            if !ATTRIBUTES.contains(&key) {
                return Err(format!("attribute {key}"));
            }
            let text = key == "aria-label" || key == "id" || key == "class";
            if !text && (value.contains("NaN") || value.contains("inf")) {
                return Err(format!("{key}={value}"));
            }
            attributes = after;
        }
        if !closed {
            open.push(name.to_owned());
        }
    }
    if open.is_empty() && !picture.words.is_empty() {
        Ok(())
    } else {
        Err(format!("left open: {open:?}"))
    }
}

fn shape() -> impl Strategy<Value = Shape> {
    prop_oneof![
        (80.0..300.0, 50.0..120.0, 90.0..200.0, 50.0..90.0f64).prop_map(|(h, rim, belly, foot)| {
            Shape::Jar {
                height_mm: h,
                rim_diameter_mm: rim,
                belly_diameter_mm: belly,
                foot_diameter_mm: foot,
            }
        }),
        (50.0..120.0, 110.0..300.0, 50.0..90.0f64).prop_map(|(h, rim, foot)| Shape::Bowl {
            height_mm: h,
            rim_diameter_mm: rim,
            foot_diameter_mm: foot
        }),
        (70.0..130.0, 70.0..110.0, 60.0..100.0f64).prop_map(|(h, rim, foot)| Shape::Mug {
            height_mm: h,
            rim_diameter_mm: rim,
            foot_diameter_mm: foot
        }),
        (20.0..40.0, 180.0..320.0, 90.0..150.0f64).prop_map(|(h, rim, foot)| Shape::Plate {
            height_mm: h,
            rim_diameter_mm: rim,
            foot_diameter_mm: foot
        }),
        (20.0..200.0, 30.0..300.0, 5.0..90.0f64).prop_map(|(w, l, slope)| Shape::Tile {
            width_mm: w,
            length_mm: l,
            slope_deg: slope
        }),
    ]
}

fn how() -> impl Strategy<Value = How> {
    prop_oneof![
        (1..12u32).prop_map(|coats| How::Brush { coats }),
        (1..4u32, 0.2..20.0f64).prop_map(|(dips, seconds)| How::Dip { dips, seconds }),
        (1..30u32).prop_map(|passes| How::Spray { passes }),
    ]
}

fn layer() -> impl Strategy<Value = Layer> {
    (
        0..4usize,
        0.0..200.0,
        0.0..400.0,
        any::<bool>(),
        0.0..80.0f64,
        how(),
    )
        .prop_map(|(glaze, from, length, rim, inside, how)| Layer {
            glaze: format!("g{glaze}"),
            zone: Zone {
                from_mm: if rim { 0.0 } else { from },
                to_mm: from + length,
                over_rim: rim,
                inside_mm: if rim { inside } else { 0.0 },
            },
            how,
            sg: None,
            hand: None,
        })
}

fn texture() -> impl Strategy<Value = Option<Texture>> {
    let kind = prop_oneof![
        Just(TextureKind::Rings),
        Just(TextureKind::UprightFlutes),
        Just(TextureKind::Pressed)
    ];
    prop::option::of(
        (kind, 0.2..4.0, 1.0..40.0, 0.0..80.0, 0.0..200.0f64).prop_map(
            |(kind, depth, repeat, from, l)| Texture {
                kind,
                depth_mm: depth,
                repeat_mm: repeat,
                from_mm: from,
                to_mm: from + l,
            },
        ),
    )
}

/// A film, right or wrong: pictures must bear what comes.
fn moment(layers: usize) -> impl Strategy<Value = FilmMoment> {
    (
        prop::collection::vec(0.0..3e-3f64, layers),
        0.0..1.0f64,
        prop_oneof![9 => Just(0.4f64), 1 => Just(f64::NAN)],
    )
        .prop_map(move |(h, share, end)| {
            let s_m: Vec<f64> = (0..60).map(|k| end * f64::from(k) / 59.0).collect();
            let layers_m = h
                .iter()
                .map(|h| {
                    (0..60)
                        .map(|k| if k > 12 && k < 40 { *h } else { 0.0 })
                        .collect()
                })
                .collect();
            FilmMoment {
                temperature_c: 600.0 + 700.0 * share,
                phi_share: share,
                s_m,
                layers_m,
                ..FilmMoment::default()
            }
        })
}

fn studio(form: Form, names: Vec<String>) -> Studio {
    let glazes = names.into_iter().enumerate().map(|(i, name)| {
        let colour = [None, Some("#b9762b"), Some("#2f6f73"), Some("red\"/><script>")][i];
        serde_json::from_value(serde_json::json!({
            "id": format!("g{i}"), "name": name, "kind": "medium", "usual_sg": 1.45, "colour": colour
        }))
        .unwrap()
    });
    let mut studio: Studio = serde_json::from_value(serde_json::json!({
        "format": FORMAT, "version": 1, "id": "s", "name": "Evening class"
    }))
    .unwrap();
    studio.glazes = glazes.collect();
    studio.forms = vec![form];
    studio
}

fn outcome(
    layers: usize,
    run: f64,
    spread: f64,
    bare: f64,
    p: f64,
    drips: u32,
    cookie: Option<f64>,
) -> PlanOutcome {
    let band = Band90 {
        p05: 50.0,
        p50: 150.0,
        p95: 400.0,
    };
    PlanOutcome {
        draws: 512,
        id: "x".into(),
        layers: vec![
            LayerThickness {
                raw_um: band,
                fired_um: band
            };
            layers
        ],
        fired_total_um: band,
        run_mm: Quantiles {
            p05: run / spread / 1.3,
            p10: run / spread,
            p50: run,
            p90: run * spread,
            p95: run * spread * 1.3,
        },
        p_moves: p,
        p_reaches_foot: p,
        p_on_shelf: p,
        verdict: Verdict::Holds,
        relief_kept: Some(Band80 {
            p10: 0.5 * p,
            p50: p,
            p90: p,
        }),
        p_relief_over_half: Some(p),
        look: None,
        most_safe_coats: None,
        bare_foot_mm: bare,
        cookie_mm: cookie,
        hangs_on: vec![HangsOn {
            what: "how fluid it is".into(),
            share: p,
        }],
        advice: String::new(),
        twenty_runs_mm: (0..20).map(|k| run * f64::from(k) / 10.0).collect(),
        drips,
        bare_below_mm: bare,
        answered_by: AnsweredBy::BandLaw,
        predict_ms: 0.0,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn any_plan_can_be_drawn(
        shape in shape(),
        texture in texture(),
        layers in prop::collection::vec(layer(), 0..6),
        story in (moment(6), moment(6), moment(6)),
        names in prop::collection::vec(".{1,40}", 4),
        numbers in (0.0..300.0f64, 1.0..4.0f64, 0.0..200.0f64, 0.0..1.0f64, 0..80u32, prop::option::of(50.0..400.0f64)),
        width in 240.0..1200.0f64,
        imperial in any::<bool>(),
        spot in prop_oneof![9 => 0.0..400.0f64, 1 => Just(f64::NAN)],
    ) {
        let form = Form { id: "f".into(), name: "Form".into(), shape, wall_mm: None, rim_radius_mm: None, texture, changed_ms: 0 };
        let Ok(profile) = profile_at_slope(&form, 5.0, None, None) else { return Ok(()) };
        let mut entry: Entry = serde_json::from_value(serde_json::json!({"id": "x", "form": "f", "layers": []})).unwrap();
        let mut studio = studio(form, names);
        if imperial {
            studio.settings.units = Units::Imperial;
        }
        let (run, spread, bare, p, drips, cookie) = numbers;
        let outcome = outcome(layers.len(), run, spread, bare, p, drips, cookie);
        entry.layers = layers;
        let scene = Scene::of(&studio, &entry, &profile);
        let story = FilmStory { raw: story.0, fired: vec![story.1, story.2], solved: true };
        let view = View { width_px: width, height_px: 0.8 * width, prefix: "a" };
        let spots = [None, Some(Spot::Overlap), Some(Spot::At(spot))];
        for (moment, lens) in [Moment::Raw, Moment::Fired(0), Moment::Fired(9)].into_iter().zip(spots) {
            let picture = pot::draw(&scene, &story, &outcome, moment, lens, &view);
            prop_assert_eq!(sound(&picture), Ok(()));
        }
        for spot in [Spot::Rim, Spot::Overlap, Spot::Texture, Spot::Edge, Spot::Foot, Spot::At(spot)] {
            prop_assert_eq!(sound(&lens::draw(&scene, &story, &outcome, Moment::Fired(1), spot, &view)), Ok(()));
        }
        let small = View { width_px: 40.0, height_px: 24.0, prefix: "b" };
        for k in 0..entry.layers.len() {
            prop_assert_eq!(sound(&pile::slab(&scene, k, &small)), Ok(()));
        }
        prop_assert_eq!(sound(&pile::draw(&scene, &outcome, &view)), Ok(()));
        prop_assert_eq!(sound(&pile::clay(&small)), Ok(()));
        prop_assert_eq!(sound(&pile::swatch(&studio.glazes[3], 3, &small)), Ok(()));
        prop_assert_eq!(sound(&chart::hangs_on(&outcome, &view)), Ok(()));
        prop_assert_eq!(sound(&twenty::draw(&scene, &outcome, &view)), Ok(()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_firing_can_be_drawn(
        segments in prop::collection::vec((5.0..600.0f64, 30.0..1400.0f64, 0.0..600.0f64), 1..8),
        share in prop::option::of(-0.5..1.5f64),
        width in 200.0..900.0f64,
    ) {
        let segments = segments.into_iter().map(|(rate, target, hold)| Segment {
            rate_k_per_s: rate / 3600.0,
            target_k: target + 273.15,
            hold_s: hold * 60.0,
        });
        let schedule = Schedule::from_room(segments.collect()).unwrap();
        let view = View { width_px: width, height_px: 160.0, prefix: "c" };
        prop_assert_eq!(sound(&chart::firing(&schedule, share, Units::Metric, &view)), Ok(()));
    }
}

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
        ..FilmMoment::default()
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
    said.push(pile::draw(&scene, &outcome, &view).words);
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
    said.push(chart::hangs_on(&outcome, &view).words);
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
    let (studio, entry, _, outcome) = bowl();
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
            lines(chart::hangs_on(&outcome, &view))
        ]
        .join("\n")
    );
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

/// Lowest y of the first glaze edge in a picture.
fn edge_bottom(svg: &str) -> f64 {
    let start = svg.find("class=\"gf-edge\" d=\"").unwrap() + 19;
    let data = &svg[start..start + svg[start..].find('"').unwrap()];
    let mut numbers = Vec::new();
    let mut rest = data.trim_start_matches('M');
    // M x y l dx dy dx dy …
    while !rest.is_empty() {
        rest = rest.trim_start_matches([' ', 'l', 'M']);
        let end = rest[1..]
            .find([' ', '-', 'l', 'M'])
            .map_or(rest.len(), |i| i + 1);
        // ".5.2" does not occur: a space keeps positive numbers apart.
        numbers.push(rest[..end].parse::<f64>().unwrap());
        rest = &rest[end..];
    }
    let (mut y, mut lowest) = (numbers[1], numbers[1]);
    for step in numbers[2..].chunks(2) {
        y += step[1];
        lowest = lowest.max(y);
    }
    lowest
}

#[test]
fn what_is_known_can_be_drawn_at_any_width() {
    let text = include_str!("../../fixtures/demo/studio.json");
    let studio = glazefall::studio::file::read(text).unwrap();
    let posterior = learn::prior(&studio, &learn::Options { draws: 32, seed: 1 });
    let bin = |predicted, reached, entries| ReliabilityBin {
        predicted,
        reached,
        entries,
    };
    let calibration = Calibration {
        coverage_80: 0.8,
        brier_foot: Some(0.1),
        entries: 60,
        foot_entries: 20,
        uncertain: 0,
        reliability: vec![
            bin(0.05, 0.0, 12),
            bin(0.4, 0.5, 4),
            bin(0.9, 1.0, 4),
            bin(f64::NAN, 0.0, 0),
        ],
        tenths: vec![0.1; 10],
    };
    let first = studio.entries.iter().find(|e| e.id == "plan-2").unwrap();
    let lesson = compare(&studio, &posterior, first, first).unwrap();
    for width in [240.0, 479.0, 480.0, 900.0, f64::NAN] {
        let view = View {
            width_px: width,
            height_px: 240.0,
            prefix: "k",
        };
        for picture in [
            known::glazes(&studio, &posterior.summary, &view),
            known::hands(&studio, &posterior.summary, &view),
            known::firings(&studio, &posterior.summary, &view),
            known::reliability(&calibration, &view),
            lesson::fronts(
                &lesson,
                ["first", "second"],
                Some(20),
                Units::Imperial,
                &view,
            ),
        ] {
            assert_eq!(sound(&picture), Ok(()));
        }
    }
    let view = View {
        width_px: 400.0,
        height_px: 300.0,
        prefix: "k",
    };
    let said = known::reliability(&calibration, &view).words;
    assert!(
        said.contains("Where about 40 % was given, 2 of 4 reached it."),
        "{said}"
    );
}
