//! Knowledge flows one way: physics ← studio ← learn ← predict ← draw ← wasm.

use crate::files::{code_lines, texts};

/// The rooms from left to right; a room may know those left of it.
const ROOMS: [&str; 6] = ["physics", "studio", "learn", "predict", "draw", "wasm"];

fn rank(room: &str) -> Option<usize> {
    ROOMS.iter().position(|name| *name == room)
}

/// The room of a file under `crate/src`; none for the house's own `lib.rs`.
fn room_of(path: &str) -> Option<usize> {
    let inside = path.strip_prefix("crate/src/")?;
    rank(inside.split('/').next()?.trim_end_matches(".rs"))
}

/// Rooms that a line of code names by a path from the crate's root, `crate::room` or `crate::{room, …}`.
fn rooms_named(line: &str) -> Vec<usize> {
    let mut named = Vec::new();
    for (start, found) in line.match_indices("crate::") {
        let rest = &line[start + found.len()..];
        let group = rest
            .strip_prefix('{')
            .and_then(|rest| rest.split('}').next());
        let heads = group.map_or_else(|| vec![rest], |group| group.split(',').collect());
        named.extend(heads.iter().filter_map(|head| {
            let word: String = head
                .trim()
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect();
            rank(&word)
        }));
    }
    named
}

#[test]
fn a_room_knows_only_the_rooms_left_of_it() {
    let mut wrong = Vec::new();
    for file in texts("crate/src", &[".rs"]) {
        let Some(room) = room_of(&file.path) else {
            continue;
        };
        for (number, line) in code_lines(&file.text) {
            for other in rooms_named(line).into_iter().filter(|other| *other > room) {
                wrong.push(format!("{}:{number} names {}", file.path, ROOMS[other]));
            }
            // Enough `super`s would lead out of the room past the check above.
            let depth = file.path.matches('/').count();
            if line.matches("super::").count() >= depth && depth > 2 {
                wrong.push(format!(
                    "{}:{number} climbs out of its room with super",
                    file.path
                ));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "physics ← studio ← learn ← predict ← draw ← wasm:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn every_room_is_checked() {
    let rooms: Vec<_> = texts("crate/src", &[".rs"])
        .iter()
        .filter_map(|file| room_of(&file.path))
        .collect();
    for (rank, room) in ROOMS.iter().enumerate() {
        assert!(rooms.contains(&rank), "no file of {room} was looked at");
    }
    assert_eq!(rooms_named("use crate::{predict::plan, physics};"), [3, 0]);
    assert_eq!(
        rooms_named("let x = crate::draw::Picture::new(crate::physics::GAMMA);"),
        [4, 0]
    );
}
