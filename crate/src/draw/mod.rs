//! Pictures: SVG with their words, made from what the core knows.
//!
//! Takes a plan, its outcome and the film's story; gives [`picture::Picture`]s. The page shows them and draws nothing itself.

pub mod chart;
pub(crate) mod colour;
pub(crate) mod face;
pub mod film;
mod frame;
pub(crate) mod intervals;
pub mod known;
pub mod lens;
pub mod lesson;
pub(crate) mod lettering;
mod light;
pub(crate) mod outside;
mod path;
pub(crate) mod pattern;
pub mod picture;
pub mod pile;
pub mod pot;
mod relief;
pub(crate) mod ruler;
mod scalebar;
pub mod scene;
pub(crate) mod section;
mod telling;
mod thicker;
pub mod twenty;
pub(crate) mod wall;
pub(crate) mod words;

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    /// Every class that a picture names has its rule, and no rule is left that no picture names.
    #[test]
    fn classes_and_rules_agree() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/draw");
        let mut used = BTreeSet::new();
        for file in std::fs::read_dir(&folder).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_some_and(|e| e == "rs") && !path.ends_with("mod.rs") {
                let source = std::fs::read_to_string(path).unwrap();
                used.extend(classes(&source, "\"", "gf-").chain(classes(&source, " ", "gf-")));
            }
        }
        let css = include_str!("draw.css");
        let rules: BTreeSet<String> = classes(css, ".", "gf-").collect();
        // `gf-p` begins an id in a test of ids.
        let plain: BTreeSet<String> = [
            "gf-glaze",
            "gf-shade",
            "gf-light",
            "gf-relief",
            "gf-edge",
            "gf-marks",
            "gf-p",
        ]
        .map(String::from)
        .into();
        let missing: Vec<_> = used
            .difference(&rules)
            .filter(|c| !plain.contains(*c))
            .collect();
        let idle: Vec<_> = rules.difference(&used).collect();
        assert!(missing.is_empty(), "no rule for {missing:?}");
        assert!(idle.is_empty(), "no picture has {idle:?}");
    }

    /// Names that start with `start` after `before`.
    fn classes<'a>(
        text: &'a str,
        before: &'a str,
        start: &'a str,
    ) -> impl Iterator<Item = String> + 'a {
        let name = |c: char| c.is_ascii_lowercase() || c == '-';
        text.split(before)
            .skip(1)
            .filter(move |part| part.starts_with(start))
            .map(move |part| part.chars().take_while(|&c| name(c)).collect())
    }
}
