//! The runs of a plan's draws from a few solves of the film, against solving every draw: `draws_against_solves [DRAWS]`.
//!
//! Three pieces by three stacks at the priors, and six further ones: percentiles of the run
//! in mm, chance of the foot, and the time of both; at the end how far off they are, one JSON line each.

use glazefall::learn::posterior::Posterior;
use glazefall::learn::{self, Options};
use glazefall::predict::film_runs::FilmRuns;
use glazefall::predict::on_film;
use glazefall::predict::plan::{Plan, Shot};
use glazefall::predict::spread::Sample;
use glazefall::studio::document::{Entry, Studio};
use glazefall::studio::file;
use serde_json::json;
use std::error::Error;
use std::time::Instant;

/// Share of the run, and mm, by which a percentile may be off; chance by which that of the foot may.
const OFF: (f64, f64, f64) = (0.02, 0.3, 0.02);

/// Form, lowest line and edge of the overlap in mm.
const PIECES: [(&str, f64, f64); 3] = [
    ("vase", 180.0, 70.0),
    ("bowl", 110.0, 50.0),
    ("mug", 120.0, 60.0),
];

fn main() -> Result<(), Box<dyn Error>> {
    let draws = match std::env::args().nth(1) {
        Some(draws) => draws.parse()?,
        None => 512,
    };
    let studio = studio()?;
    let known = learn::prior(&studio, &Options { draws, seed: 3 });
    println!(
        "piece, layers      p10    p50    p90 mm    foot      ms   (all draws solved, then a few)"
    );
    let mut plans = Vec::new();
    for (form, low, middle) in PIECES {
        for layers in 1..=3 {
            let name = format!("{form}, {layers}");
            plans.push((name, plan(form, &stack(layers, low, middle))?));
        }
    }
    for (form, layers) in further() {
        plans.push((
            format!("new {form}, {}", layers.len()),
            plan(form, &layers)?,
        ));
    }
    let mut worst = [(0.0_f64, 0.0_f64); 2];
    for (at, (name, entry)) in plans.iter().enumerate() {
        let plan = Plan::new(&studio, entry, draws, 1).map_err(|r| r.to_string())?;
        let shots = plan.shots(&known);
        let started = Instant::now();
        let each = on_film::each_solved_m(&plan.case, &known, &shots);
        let each_ms = started.elapsed().as_secs_f64() * 1e3;
        let started = Instant::now();
        let few = few_solved_m(&plan, &known, &shots).ok_or("The film could not be followed.")?;
        let few_ms = started.elapsed().as_secs_f64() * 1e3;
        let (each, few) = (Said::of(each, &plan), Said::of(few, &plan));
        println!("{name:14} {} {each_ms:8.0}", each.words());
        println!("{:14} {} {few_ms:8.0}", "", few.words());
        let worst = &mut worst[usize::from(at >= 9)];
        for (a, b) in each.run_mm.iter().zip(few.run_mm) {
            worst.0 = worst.0.max((a - b).abs() / (OFF.0 * a).max(OFF.1));
        }
        worst.1 = worst.1.max((each.foot - few.foot).abs() / OFF.2);
    }
    for (which, (percentile, foot)) in ["nine", "six further"].iter().zip(worst) {
        for (what, measured) in [
            ("a percentile of the run may be (2 % or 0.3 mm)", percentile),
            ("the chance of the foot may be (0.02)", foot),
        ] {
            let what = format!(
                "draws from few solves against all solved, {which} pieces and stacks: furthest off, of what {what}"
            );
            println!(
                "{}",
                json!({"what": what, "measured": measured, "unit": "of it", "reach": 1})
            );
        }
    }
    Ok(())
}

/// Percentiles and the chance of the foot.
struct Said {
    run_mm: [f64; 3],
    foot: f64,
}

impl Said {
    fn of(runs_m: Vec<f64>, plan: &Plan) -> Self {
        let runs = Sample::new(runs_m.into_iter().map(|m| m * 1e3).collect());
        Self {
            run_mm: [0.1, 0.5, 0.9].map(|p| runs.quantile(p)),
            foot: runs.share_from(plan.case.bare_below_m * 1e3),
        }
    }

    fn words(&self) -> String {
        let [a, b, c] = self.run_mm;
        format!("{a:7.2} {b:6.2} {c:8.2} {:8.3}", self.foot)
    }
}

fn few_solved_m(plan: &Plan, known: &Posterior, shots: &[Shot]) -> Option<Vec<f64>> {
    let film = FilmRuns::of(plan, known, shots)?;
    let mut solved = shots.to_vec();
    on_film::run(&film, &plan.case, &mut solved);
    Some(solved.iter().map(|shot| shot.run_m).collect())
}

fn studio() -> Result<Studio, String> {
    let glaze = |kind: &str| {
        format!(r#"{{"id":"{kind}","name":"{kind}","kind":"{kind}","usual_sg":1.45}}"#)
    };
    let text = format!(
        r#"{{"format":"glazefall-studio","version":1,"id":"s","name":"S","glazes":[{},{},{}],"forms":[
        {{"id":"vase","name":"Vase","shape":{{"family":"vase","height_mm":210,"rim_diameter_mm":70,"neck_diameter_mm":45,"belly_diameter_mm":120,"foot_diameter_mm":75}}}},
        {{"id":"bowl","name":"Bowl","shape":{{"family":"bowl","height_mm":95,"rim_diameter_mm":220,"foot_diameter_mm":90}}}},
        {{"id":"mug","name":"Mug","shape":{{"family":"mug","height_mm":150,"rim_diameter_mm":86,"foot_diameter_mm":70}}}},
        {{"id":"jar","name":"Jar","shape":{{"family":"jar","height_mm":190,"rim_diameter_mm":85,"belly_diameter_mm":140,"foot_diameter_mm":80}}}},
        {{"id":"cup","name":"Cup","shape":{{"family":"mug","height_mm":90,"rim_diameter_mm":95,"foot_diameter_mm":60}}}},
        {{"id":"dish","name":"Dish","shape":{{"family":"bowl","height_mm":110,"rim_diameter_mm":160,"foot_diameter_mm":70}}}},
        {{"id":"flask","name":"Flask","shape":{{"family":"vase","height_mm":230,"rim_diameter_mm":40,"neck_diameter_mm":30,"belly_diameter_mm":150,"foot_diameter_mm":90}}}}]}}"#,
        glaze("medium"),
        glaze("fluid"),
        glaze("stiff")
    );
    file::read(&text).map_err(|refusal| refusal.to_string())
}

/// Glaze, coats, from and to in mm.
type Laid = (&'static str, u32, f64, f64);

/// One layer; a fluid one over the upper part of a medium one; three that end at three heights.
fn stack(layers: usize, low: f64, middle: f64) -> Vec<Laid> {
    match layers {
        1 => vec![("fluid", 4, 0.0, low)],
        2 => vec![("medium", 2, 0.0, low), ("fluid", 4, 0.0, middle)],
        _ => vec![
            ("medium", 3, 0.0, low),
            ("fluid", 2, 0.0, middle),
            ("fluid", 2, 0.3 * middle, 0.7 * low),
        ],
    }
}

fn further() -> Vec<(&'static str, Vec<Laid>)> {
    vec![
        (
            "jar",
            vec![("stiff", 3, 0.0, 150.0), ("fluid", 3, 0.0, 90.0)],
        ),
        (
            "cup",
            vec![("fluid", 3, 0.0, 75.0), ("medium", 3, 0.0, 30.0)],
        ),
        (
            "dish",
            vec![
                ("medium", 3, 0.0, 90.0),
                ("fluid", 2, 0.0, 60.0),
                ("medium", 2, 0.0, 25.0),
            ],
        ),
        (
            "flask",
            vec![("medium", 2, 0.0, 190.0), ("fluid", 4, 60.0, 120.0)],
        ),
        ("flask", vec![("fluid", 3, 20.0, 170.0)]),
        (
            "jar",
            vec![
                ("medium", 3, 0.0, 140.0),
                ("fluid", 3, 0.0, 140.0),
                ("stiff", 1, 0.0, 50.0),
            ],
        ),
    ]
}

fn plan(form: &str, layers: &[Laid]) -> Result<Entry, String> {
    let layer = |(glaze, coats, from, to): &Laid| {
        let rim = *from == 0.0;
        let inside = if rim { 15 } else { 0 };
        format!(
            r#"{{"glaze":"{glaze}","zone":{{"from_mm":{from},"to_mm":{to},"over_rim":{rim},"inside_mm":{inside}}},"how":{{"method":"brush","coats":{coats}}}}}"#
        )
    };
    let layers: Vec<String> = layers.iter().map(layer).collect();
    file::read_record(&format!(
        r#"{{"id":"p","code":"P","name":"","form":"{form}","layers":[{}]}}"#,
        layers.join(",")
    ))
    .map_err(|refusal| refusal.to_string())
}
