//! Pictures of every plan within the studio's bounds: they can always be drawn, hold nothing but numbers, and cannot run
//! anything in a page.

use glazefall::draw::film::Moment;
use glazefall::draw::lens::Spot;
use glazefall::draw::picture::{Picture, View};
use glazefall::draw::scene::Scene;
use glazefall::draw::{chart, lens, pile, pot, twenty};
use glazefall::physics::firing::{Schedule, Segment};
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
const ATTRIBUTES: [&str; 39] = [
    "xmlns",
    "class",
    "width",
    "height",
    "viewBox",
    "preserveAspectRatio",
    "vector-effect",
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

pub fn studio(form: Form, names: Vec<String>) -> Studio {
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

pub fn outcome(
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
        pool_mm: Band90 {
            p05: 0.0,
            p50: 0.0,
            p95: p,
        },
        melt_lost_g: None,
        rim_thinnest_um: None,
        roll_um: None,
        cookie_mm: cookie,
        hangs_on: vec![HangsOn {
            what: "how fluid it is".into(),
            share: p,
        }],
        advice: String::new(),
        twenty_runs_mm: (0..20).map(|k| run * f64::from(k) / 10.0).collect(),
        drips,
        bare_below_mm: bare,
        answered_by: AnsweredBy::BandTable,
        predict_ms: 0.0,
    }
}

proptest! {
    #![proptest_config(crate::fixed(96, 16))]

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
        prop_assert_eq!(sound(&pile::clay(&small)), Ok(()));
        prop_assert_eq!(sound(&pile::swatch(&studio.glazes[3], 3, &small)), Ok(()));
        prop_assert_eq!(sound(&twenty::draw(&scene, &outcome, &view)), Ok(()));
    }
}

proptest! {
    #![proptest_config(crate::fixed(64, 17))]

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
