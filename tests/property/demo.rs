//! The demo studio passes its checks, has what it should have, and comes out of its generator again.

use glazefall::studio::document::{Role, Run, Shape, Studio};
use glazefall::studio::{check, file};

#[path = "../../crate/examples/make_demo/draw.rs"]
mod draw;
#[path = "../../crate/examples/make_demo/entries.rs"]
mod entries;
#[path = "../../crate/examples/make_demo/scenario.rs"]
mod scenario;

const DEMO: &str = include_str!("../../fixtures/demo/studio.json");

fn shipped() -> Studio {
    file::read(DEMO).unwrap_or_else(|refusal| panic!("{refusal}"))
}

#[test]
fn the_demo_has_what_a_class_has() {
    let studio = shipped();
    assert!(studio.invented);
    assert!(studio.glazes.len() >= 8 && studio.glazes.iter().all(|glaze| glaze.colour.is_some()));
    assert_eq!(studio.hands.len(), 5);
    assert!(studio.hands.iter().any(|hand| hand.role == Role::Teacher));
    assert_eq!(studio.bodies.len(), 2);
    assert_eq!(studio.firings.len(), 7);
    assert!(
        studio
            .firings
            .iter()
            .all(|firing| firing.schedule.is_some())
    );
    assert_eq!(studio.weigh_ins.len(), 8);
    let (log, plans): (Vec<_>, Vec<_>) = studio
        .entries
        .iter()
        .partition(|entry| entry.outcome.is_some());
    assert_eq!((log.len(), plans.len()), (60, 3));
    assert!(plans.iter().all(|plan| !plan.name.is_empty()));
    let textures = studio.forms.iter().filter(|form| form.texture.is_some());
    assert_eq!(textures.count(), 2);
    assert!(
        studio
            .forms
            .iter()
            .any(|form| matches!(form.shape, Shape::Bowl { .. }))
    );
    // The page ships it, so it stays small.
    assert!(DEMO.len() <= 70_000, "{} bytes", DEMO.len());
    check::check(&studio).unwrap();
    assert_eq!(
        file::write(&studio),
        DEMO,
        "written in another way than the program writes"
    );
}

/// The same but for what rounding of the platform's exp and ln may tip: a run by 1 mm, a word, a hundredth of a gram.
#[test]
fn the_generator_makes_it_again() {
    let (shipped, made) = (shipped(), draw::demo().unwrap());
    let bare = |studio: &Studio| {
        let mut bare = studio.clone();
        for entry in &mut bare.entries {
            entry.outcome = None;
        }
        for weigh_in in &mut bare.weigh_ins {
            weigh_in.gained_g = 1.0;
        }
        bare
    };
    assert_eq!(
        bare(&shipped),
        bare(&made),
        "run the make_demo example again"
    );
    let mut tipped = 0;
    for (a, b) in shipped.entries.iter().zip(&made.entries) {
        let run =
            |entry: &glazefall::studio::document::Entry| entry.outcome.as_ref().and_then(|o| o.run);
        match (run(a), run(b)) {
            (Some(Run::Ruler { run_mm: a, .. }), Some(Run::Ruler { run_mm: b, .. }))
                if (a - b).abs() <= 1.0 => {}
            (a, b) => tipped += usize::from(a != b),
        }
    }
    assert!(
        tipped <= 2,
        "{tipped} runs are others: run the make_demo example again"
    );
    for (a, b) in shipped.weigh_ins.iter().zip(&made.weigh_ins) {
        assert!((a.gained_g - b.gained_g).abs() < 0.011);
    }
}
