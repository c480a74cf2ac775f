//! The list of stacks in the demo's log, its plans and its weigh-ins, in a shorthand of one line each.
//!
//! A line: form, hand, firing (1–6), shelf, then layers wall first as `glaze how from-to`, with `3c` coats, `1d2` one dip of
//! 2 s, `4p` passes; `r20` after a zone: over the rim and 20 mm down the inside; `@1.44`: SG measured that day.

use glazefall::studio::document::{Edge, Entry, How, Layer, WeighIn, Zone};

use super::scenario::DAYS;

/// What came out of a firing, before anybody looked.
const LOG: &str = "
test-tile tobin 1 2 | wet-moss 2c 0-60 @1.45
test-tile tobin 1 2 | wet-moss 3c 0-60 @1.45
test-tile tobin 1 2 | lamp-honey 2c 0-60 @1.43
test-tile tobin 1 2 | lamp-honey 3c 0-60 @1.43
test-tile tobin 1 2 | glass-harbour 2c 0-60 @1.44
test-tile tobin 1 3 | rain-slate 3c 0-60 @1.46
test-tile tobin 1 3 | night-hedge 3c 0-60 @1.47
test-tile tobin 1 3 | oat-husk 3c 0-60 @1.46
test-tile tobin 1 3 | chalk-hollow 3c 0-60 @1.50
test-tile tobin 1 3 | lichen-rust 3c 0-60 @1.48
test-tile ines 2 2 | glass-harbour 3c 0-60 @1.44
test-tile ines 2 2 | bramble-smoke 2c 0-60 @1.45
test-tile ines 2 2 | bramble-smoke 4c 0-60 @1.45
test-tile ines 2 2 | oat-husk 2c 0-60 @1.46 | lamp-honey 1c 0-60 @1.44
test-tile ines 2 1 | oat-husk 2c 0-60 @1.46 | lamp-honey 2c 0-60 @1.44
test-tile marlo 2 1 | rain-slate 2c 0-60 | lamp-honey 2c 0-60
test-tile marlo 2 1 | rain-slate 4c 0-60
test-tile pia 2 3 | night-hedge 2c 0-60 | wet-moss 1c 0-60
test-tile pia 2 3 | night-hedge 2c 0-60 | wet-moss 2c 0-60
mug r4 2 3 | rain-slate 2c 0-88 r60
test-tile tobin 3 1 | rain-slate 6c 0-60 @1.46
test-tile tobin 3 1 | night-hedge 5c 0-60 @1.47
test-tile tobin 3 1 | oat-husk 6c 0-60 @1.46
test-tile marlo 3 1 | rain-slate 2c 0-60 | glass-harbour 2c 0-60
test-tile marlo 3 2 | chalk-hollow 2c 0-60 | wet-moss 2c 0-60
test-tile marlo 3 2 | chalk-hollow 3c 0-60 | lamp-honey 2c 0-45
test-tile pia 3 2 | bramble-smoke 2c 0-60 | lamp-honey 1c 0-60
test-tile pia 3 2 | oat-husk 3c 0-60 | glass-harbour 2c 0-40 onto-glaze
test-tile r4 3 2 | lichen-rust 2c 0-60 | glass-harbour 2c 0-60
test-tile tobin 4 2 | oat-husk 1d2 0-60 @1.46
test-tile tobin 4 2 | rain-slate 1d3 0-60 @1.46
test-tile tobin 4 2 | wet-moss 1d2 0-60 @1.45
test-tile tobin 4 2 | night-hedge 1d2 0-60 @1.47 | lamp-honey 1d1 0-60 @1.43
test-tile ines 4 1 | glass-harbour 1c 0-60 | night-hedge 2c 0-60
test-tile ines 4 1 | night-hedge 2c 0-60 | glass-harbour 1c 0-60
mug pia 4 3 | night-hedge 2c 0-86 r70
mug marlo 4 3 | oat-husk 2c 0-86 r70 | wet-moss 2c 0-35 r20
bowl ines 4 1 | chalk-hollow 2c 0-80 r100 | glass-harbour 2c 0-30 r30
test-tile pia 5 1 | oat-husk 2c 0-60 | bramble-smoke 2c 0-60
test-tile pia 5 1 | rain-slate 3c 0-60 | wet-moss 3c 0-60
test-tile r4 5 2 | bramble-smoke 3c 0-60 | rain-slate 2c 0-60
test-tile r4 5 2 | lamp-honey 1c 0-60 | oat-husk 2c 0-60
test-tile marlo 5 2 | oat-husk 2c 0-60 | lamp-honey 1c 0-60
test-tile marlo 5 2 | night-hedge 3c 0-60 | lamp-honey 2c 0-30 onto-glaze
test-tile ines 5 3 | wet-moss 1c 0-60 @1.45
test-tile ines 5 3 | lamp-honey 5c 0-60 @1.43
test-tile tobin 5 3 | glass-harbour 6p 0-60 @1.40
fluted-jar marlo 5 1 | oat-husk 2c 0-145 r40
carved-tile r4 5 1 | rain-slate 2c 0-130
vase tobin 5 3 | night-hedge 3c 0-190 r30 @1.47
test-tile r4 6 1 | chalk-hollow 2c 0-60 | bramble-smoke 3c 0-60
test-tile r4 6 1 | lichen-rust 3c 0-60 | lamp-honey 2c 0-60
test-tile pia 6 1 | oat-husk 2c 0-60 | lamp-honey 3c 0-45
test-tile pia 6 2 | rain-slate 2c 0-60 | glass-harbour 3c 0-60
test-tile ines 6 2 | wet-moss 4c 0-60 @1.46
fluted-jar pia 6 2 | rain-slate 2c 0-145 r40 | wet-moss 2c 0-50 r15
carved-tile ines 6 2 | oat-husk 3c 0-130 @1.46
bowl r4 6 1 | rain-slate 1d2 0-82 r105 | lamp-honey 1d1 0-28 r25
plate marlo 6 3 | night-hedge 2c 0-35 r110
mug tobin 6 3 | glass-harbour 3c 0-84 r80 @1.44
";

/// Plans for the firing to come.
const PLANS: &str = "
fluted-jar pia 7 2 | oat-husk 2c 0-145 r40 | lamp-honey 4c 0-55 r15
carved-tile marlo 7 2 | glass-harbour 3c 0-130
bowl ines 7 1 | rain-slate 1d2 0-80 r105 | wet-moss 1d3 0-35 r35
";

/// Names of the plans.
const PLAN_NAMES: [&str; 3] = [
    "Fluted jar, honey from the rim",
    "Carved wall tile in turquoise",
    "Bowl dipped at the rim",
];

/// Weigh-ins: firing it was for, hand, glaze, how, SG.
const WEIGH_INS: &str = "
1 tobin wet-moss 3c @1.45
1 ines oat-husk 3c @1.46
2 marlo rain-slate 2c
2 pia rain-slate 2c
3 r4 glass-harbour 3c @1.44
4 tobin oat-husk 1d2 @1.46
5 pia lamp-honey 2c @1.43
5 marlo oat-husk 3c @1.46
";

/// Log entries without their outcome, each with the edge that is read.
pub fn log() -> Vec<(Entry, Edge)> {
    LOG.lines()
        .filter(|line| !line.is_empty())
        .map(entry)
        .collect()
}

/// Plans.
pub fn plans() -> Vec<Entry> {
    let lines = PLANS.lines().filter(|line| !line.is_empty());
    lines
        .zip(PLAN_NAMES)
        .map(|(line, name)| Entry {
            name: name.into(),
            ..entry(line).0
        })
        .collect()
}

/// Weigh-ins with nothing weighed yet.
pub fn weigh_ins() -> Vec<WeighIn> {
    WEIGH_INS
        .lines()
        .filter(|line| !line.is_empty())
        .enumerate()
        .map(|(at, line)| {
            let words: Vec<&str> = line.split_whitespace().collect();
            let week: usize = words[0].parse().unwrap_or(1);
            WeighIn {
                id: format!("w-{}", at + 1),
                day: Some(DAYS[week - 1].0.into()),
                hand: words[1].into(),
                glaze: words[2].into(),
                how: how(words[3]),
                area_cm2: 50.0,
                sg: words
                    .get(4)
                    .and_then(|word| word.trim_start_matches('@').parse().ok()),
                error_g: 0.05,
                changed_ms: DAYS[week - 1].1 - 86_400_000,
                ..WeighIn::default()
            }
        })
        .collect()
}

fn entry(line: &str) -> (Entry, Edge) {
    let mut parts = line.split('|').map(str::trim);
    let head: Vec<&str> = parts.next().unwrap_or("").split_whitespace().collect();
    let week: usize = head[2].parse().unwrap_or(1);
    let mut edge = if head[0] == "test-tile" || head[0] == "carved-tile" {
        Edge::OntoBareClay
    } else {
        Edge::ToTheFoot
    };
    let layers = parts.map(|part| {
        let words: Vec<&str> = part.split_whitespace().collect();
        let (from, to) = words[2].split_once('-').unwrap_or(("0", "60"));
        let mut layer = Layer {
            glaze: words[0].into(),
            how: how(words[1]),
            zone: Zone {
                from_mm: number(from),
                to_mm: number(to),
                over_rim: false,
                inside_mm: 0.0,
            },
            sg: None,
            hand: None,
        };
        for word in &words[3..] {
            if let Some(inside) = word.strip_prefix('r') {
                layer.zone.over_rim = true;
                layer.zone.inside_mm = number(inside);
            } else if let Some(sg) = word.strip_prefix('@') {
                layer.sg = Some(number(sg));
            } else if *word == "onto-glaze" {
                edge = Edge::OntoGlaze;
            }
        }
        layer
    });
    let layers = layers.collect();
    let entry = Entry {
        form: head[0].into(),
        hand: Some(head[1].into()),
        firing: Some(format!("week-{}", [1, 2, 4, 6, 8, 10, 12][week - 1])),
        shelf: head[3].parse().ok(),
        body: (head[1] == "marlo").then(|| "speckled-stoneware".into()),
        layers,
        changed_ms: DAYS[week.min(6) - 1].1 + 50_400_000,
        ..Entry::default()
    };
    (entry, edge)
}

fn how(word: &str) -> How {
    if let Some(coats) = word.strip_suffix('c') {
        How::Brush {
            coats: coats.parse().unwrap_or(1),
        }
    } else if let Some(passes) = word.strip_suffix('p') {
        How::Spray {
            passes: passes.parse().unwrap_or(1),
        }
    } else {
        let (dips, seconds) = word.split_once('d').unwrap_or(("1", "2"));
        How::Dip {
            dips: dips.parse().unwrap_or(1),
            seconds: number(seconds),
        }
    }
}

fn number(word: &str) -> f64 {
    word.parse().unwrap_or(0.0)
}
