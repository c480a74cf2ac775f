//! The page's types are those of the core.
//!
//! Takes the core's boundary types; holds `www/src/core/types.ts` to them, or writes it when the environment says so
//! (`cargo xtask types`).

use std::any::TypeId;
use std::collections::BTreeMap;
use std::fs;

use glazefall::wasm::shapes;
use glazefall::{predict, studio};
use ts_rs::{Config, TS, TypeVisitor};

use crate::files::root;

const FILE: &str = "www/src/core/types.ts";
const HEAD: &str = "\
// The core's boundary types, generated from their Rust declarations by `cargo xtask types`; do not edit.
// Takes nothing; gives the shape of everything that crosses the border between page and core.
";

/// What crosses the border; whatever these refer to comes along.
fn gather(declared: &mut Declared) {
    declared.visit::<studio::document::Studio>();
    declared.visit::<predict::outcome::PlanOutcome>();
    declared.visit::<predict::ChartCell>();
    declared.visit::<predict::NextTiles>();
    declared.visit::<predict::Lesson>();
    declared.visit::<studio::document::List>();
    declared.visit::<studio::reading::Quantity>();
    declared.visit::<studio::reading::Reading>();
    declared.visit::<shapes::Opened>();
    declared.visit::<shapes::Records>();
    declared.visit::<shapes::Applied>();
    declared.visit::<shapes::Fresh>();
    declared.visit::<shapes::MomentName>();
    declared.visit::<shapes::WordMm>();
    declared.visit::<shapes::Learned>();
    declared.visit::<shapes::TableRead>();
    declared.visit::<shapes::MergeDone>();
    declared.visit::<shapes::Weighed>();
}

struct Declared {
    config: Config,
    seen: Vec<TypeId>,
    by_name: BTreeMap<String, String>,
}

impl TypeVisitor for Declared {
    fn visit<T: TS + 'static + ?Sized>(&mut self) {
        if self.seen.contains(&TypeId::of::<T>()) {
            return;
        }
        self.seen.push(TypeId::of::<T>());
        // Numbers, texts and lists of the language itself have no declaration of their own.
        if T::output_path().is_some() {
            let text = format!(
                "{}export {}\n",
                T::docs().unwrap_or_default(),
                T::decl(&self.config)
            );
            let name = T::ident(&self.config);
            if let Some(other) = self.by_name.insert(name.clone(), text.clone()) {
                assert_eq!(other, text, "two boundary types are called {name}");
            }
        }
        T::visit_dependencies(self);
    }
}

fn declarations() -> String {
    // Times in milliseconds and counts stay far below 2^53, where a number is exact.
    let config = Config::new().with_large_int("number");
    let mut declared = Declared {
        config,
        seen: Vec::new(),
        by_name: BTreeMap::new(),
    };
    gather(&mut declared);
    let texts: Vec<String> = declared.by_name.into_values().collect();
    format!("{HEAD}\n{}", texts.join("\n"))
}

#[test]
fn the_pages_types_are_up_to_date() {
    let (file, now) = (root().join(FILE), declarations());
    if std::env::var_os("GLAZEFALL_WRITE_TYPES").is_some() {
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(&file, &now).unwrap();
    }
    let there = fs::read_to_string(&file).unwrap_or_default();
    assert!(
        there == now,
        "{FILE} is not what the core's types say: run `cargo xtask types`"
    );
}
