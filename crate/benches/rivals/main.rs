//! The film solver beside rivals, on one jar at one error: `cargo bench --bench rivals`, or `cargo xtask bench`, which sets Python up.
//!
//! Takes nothing; prints tables of error against time, of meshes and precursors, of cost and memory, and keeps them with a plot in
//! `target/bench`. A rival whose program is not there is left out, and a sentence says so.

mod memory;
mod moving;
mod plot;
mod still;

#[path = "../film/cases.rs"]
mod cases;

use glazefall::physics::film::{self, Case, Method};
use serde_json::Value;
use std::{
    error::Error,
    fmt::Write as _,
    path::{Path, PathBuf},
    process::Command,
    time::Instant,
};
use still::Still;

/// What the core, and the same method in JavaScript, are asked for.
const ACCURACIES: [f64; 5] = [1e-4, 3e-4, 1e-3, 3e-3, 1e-2];

/// One solve by one program.
pub struct Point {
    /// Who.
    pub rival: String,
    /// With what mesh and tolerance.
    pub how: String,
    /// Best time, ms.
    pub ms: f64,
    /// Run against the converged one, mm.
    pub off_mm: f64,
}

fn main() -> Result<(), Box<dyn Error>> {
    // `cargo test` starts benches too; there is nothing to test here.
    if std::env::args().any(|a| a == "--test") {
        return Ok(());
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/bench");
    std::fs::create_dir_all(&folder)?;
    let jar = cases::jar()?;
    let case = jar.case();
    let phi = jar.phis[0];
    let converged = film::solve(&case, &[phi], 2e-5)?;
    let want = converged
        .run_m(0)
        .ok_or("the jar's edge stands on no wall")?;
    let allowed_mm = 0.1 + 0.01 * want * 1e3;

    let mut points = Vec::new();
    for accuracy in ACCURACIES {
        let (ms, solved) = best_of(9, || film::solve(&case, &[phi], accuracy))?;
        points.push(Point {
            rival: "Glazefall, native".into(),
            how: format!(
                "accuracy {accuracy:.0e}, {} cells at most",
                solved.work.most_cells
            ),
            ms,
            off_mm: (solved.run_m(0).unwrap_or(0.0) - want) * 1e3,
        });
    }
    let stills = still::family(&case, phi, want);
    let file = folder.join("rivals.json");
    std::fs::write(&file, still::written(&stills))?;
    let own_method = folder.join("moving.json");
    std::fs::write(&own_method, moving::written(&case, phi, &ACCURACIES))?;
    points.extend(wasm(want));
    points.extend(same_method(&own_method, want));
    points.extend(said_by(
        javascript("film.mjs", &file),
        &stills,
        want,
        "node",
    ));
    points.extend(said_by(
        python(&file),
        &stills,
        want,
        "Python with SciPy and a C compiler",
    ));

    let mut text = format!(
        "## The jar: run {:.3} mm at Phi {phi}, to be met within {allowed_mm:.2} mm\n\n",
        want * 1e3
    );
    text += &table(&points, allowed_mm);
    text += "\nThe same method in JavaScript has the core's moving mesh, stepping and numbers, and leaves out layers, relief and stops on the way. The \
             other rivals solve the core's fluxes on meshes that stand still, fine wherever the front will pass: their factors are of the whole \
             method, mesh included.\n";
    text += "\n## Meshes and precursors on the jar\n\n";
    text += &meshes(&case, phi, want)?;
    text += "\n## Cost\n\n";
    text += &growth()?;
    let bytes = memory::of(|| film::solve(&case, &[phi], film::ACCURACY))?;
    let many: Vec<f64> = (1..=24).map(|i| phi * f64::from(i) / 24.0).collect();
    let of_many = memory::of(|| film::solve(&case, &many, film::ACCURACY))?;
    let _ = writeln!(
        text,
        "\nMost memory at once: {:.2} MB for the jar, {:.2} MB with 24 stops kept (to reach: 2 MB).",
        bytes as f64 / 1e6,
        of_many as f64 / 1e6
    );
    println!("{text}");
    std::fs::write(folder.join("rivals.md"), &text)?;
    std::fs::write(folder.join("rivals.svg"), plot::svg(&points, allowed_mm))?;
    println!(
        "kept as {}, with a plot beside it",
        folder.join("rivals.md").display()
    );
    Ok(())
}

/// Best time of some tries, ms, and what came out.
fn best_of<T, E>(tries: usize, mut what: impl FnMut() -> Result<T, E>) -> Result<(f64, T), E> {
    let mut best = f64::INFINITY;
    let mut out = what()?;
    for _ in 0..tries {
        let clock = Instant::now();
        out = what()?;
        best = best.min(clock.elapsed().as_secs_f64() * 1e3);
    }
    Ok((best, out))
}

fn beside(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("benches/rivals")
        .join(name)
}

fn javascript(program: &str, file: &Path) -> Result<String, String> {
    output(Command::new("node").arg(beside(program)).arg(file))
}

fn python(file: &Path) -> Result<String, String> {
    let program = std::env::var_os("GLAZEFALL_PYTHON").unwrap_or_else(|| "python3".into());
    output(
        Command::new(program)
            .arg(beside("film.py"))
            .arg(file)
            .arg("cc"),
    )
}

fn output(command: &mut Command) -> Result<String, String> {
    let out = command.output().map_err(|e| e.to_string())?;
    if !out.status.success() {
        let words = String::from_utf8_lossy(&out.stderr);
        return Err(words.lines().last().unwrap_or("it failed").to_string());
    }
    Ok(String::from_utf8_lossy(&out.stdout).into_owned())
}

/// The points that a rival printed, one JSON line each; a sentence where it did not run.
fn said_by(said: Result<String, String>, stills: &[Still], want: f64, needs: &str) -> Vec<Point> {
    let said = match said {
        Ok(said) => said,
        Err(why) => {
            println!("Rivals that need {needs} are left out: {why}.");
            return Vec::new();
        }
    };
    let mut points = Vec::new();
    for line in said.lines() {
        let Ok(v) = serde_json::from_str::<Value>(line) else {
            continue;
        };
        let mesh = v["mesh"].as_u64().unwrap_or(0) as usize;
        let zeta: Vec<f64> = v["zeta"]
            .as_array()
            .map_or_else(Vec::new, |a| a.iter().filter_map(Value::as_f64).collect());
        let Some(still) = stills.get(mesh).filter(|s| s.cells() == zeta.len()) else {
            continue;
        };
        let mut how = format!(
            "{} cells, tolerance {:.0e}",
            still.cells(),
            v["tolerance"].as_f64().unwrap_or(0.0)
        );
        if let (Some(steps), Some(ms)) = (v["tried"].as_f64(), v["ms"].as_f64()) {
            let each = ms * 1e6 / (steps * still.cells() as f64);
            let _ = write!(how, ", {steps} steps, {each:.0} ns per cell and step");
        }
        points.push(Point {
            rival: v["rival"].as_str().unwrap_or("?").to_string(),
            how,
            ms: v["ms"].as_f64().unwrap_or(f64::NAN),
            off_mm: (still.run_m(&zeta) - want) * 1e3,
        });
    }
    points
}

/// What the solver takes as wasm, where `cargo xtask bench` has built it: `target/bench/film.wasm`.
fn wasm(want: f64) -> Vec<Point> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/bench/film.wasm");
    if !file.is_file() {
        return Vec::new();
    }
    read_off(
        javascript("wasm.mjs", &file),
        "Glazefall, wasm in node, as it ships",
        want,
    )
}

/// The core's own method in JavaScript.
fn same_method(file: &Path, want: f64) -> Vec<Point> {
    read_off(
        javascript("moving.mjs", file),
        "the same method in plain JavaScript",
        want,
    )
}

/// The points of a program that reads off the run itself, one JSON line each; a sentence where it did not run.
fn read_off(said: Result<String, String>, rival: &str, want: f64) -> Vec<Point> {
    let said = match said {
        Ok(said) => said,
        Err(why) => {
            println!("Left out, {rival}: {why}.");
            return Vec::new();
        }
    };
    said.lines()
        .filter_map(|line| serde_json::from_str::<Value>(line).ok())
        .map(|v| {
            let number = |key: &str| v[key].as_f64();
            let mut how = format!("accuracy {:.0e}", number("accuracy").unwrap_or(0.0));
            let ms = number("ms").unwrap_or(f64::NAN);
            if let (Some(tried), Some(cells)) = (number("tried"), number("cell_steps")) {
                let each = ms * 1e6 / cells;
                let _ = write!(how, ", {tried} steps, {each:.0} ns per cell and step");
            }
            Point {
                rival: rival.into(),
                how,
                ms,
                off_mm: (number("run_m").unwrap_or(f64::NAN) - want) * 1e3,
            }
        })
        .collect()
}

/// Every point, then each rival's cheapest within the allowed error.
fn table(points: &[Point], allowed_mm: f64) -> String {
    let mut text =
        String::from("| program | how | error of the run, mm | ms |\n|---|---|--:|--:|\n");
    for p in points {
        let _ = writeln!(
            text,
            "| {} | {} | {:+.3} | {:.2} |",
            p.rival, p.how, p.off_mm, p.ms
        );
    }
    let mut names: Vec<&str> = Vec::new();
    for p in points {
        if !names.contains(&p.rival.as_str()) {
            names.push(&p.rival);
        }
    }
    let cheapest = |name: &str| {
        points
            .iter()
            .filter(|p| p.rival == name && p.off_mm.abs() <= allowed_mm)
            .map(|p| p.ms)
            .fold(f64::INFINITY, f64::min)
    };
    let own = cheapest(names[0]);
    text += "\n| within the allowed error | ms | times Glazefall, native |\n|---|--:|--:|\n";
    for name in names {
        let ms = cheapest(name);
        let _ = if ms.is_finite() {
            writeln!(text, "| {name} | {ms:.2} | {:.1} |", ms / own)
        } else {
            writeln!(text, "| {name} | not reached | |")
        };
    }
    text
}

/// The three ways to a front: a mesh that moves, one that stands still and is remade, an even one; and thicker precursors, led back to the
/// usual one along the logarithm.
fn meshes(case: &Case, phi: f64, want: f64) -> Result<String, Box<dyn Error>> {
    let mut text = String::from(
        "| way | cells | steps (rejected) | error of the run, mm | ms |\n|---|--:|--:|--:|--:|\n",
    );
    let usual = Method::for_accuracy(1e-2);
    let ways = [
        ("moving", Method::for_accuracy(1e-3)),
        ("moving, accuracy 1e-2", usual.clone()),
        ("standing still, remade", Method::for_accuracy(1e-3).still()),
        ("even", Method::default().even(1600)),
        ("even", Method::default().even(3200)),
    ];
    for (name, method) in ways {
        let (ms, solved) = best_of(3, || film::solve_by(case, &[phi], &method))?;
        let w = solved.work;
        let off = (solved.run_m(0).unwrap_or(0.0) - want) * 1e3;
        let _ = writeln!(
            text,
            "| {name} | {} | {} ({}) | {off:+.3} | {ms:.2} |",
            w.most_cells, w.steps, w.rejected
        );
    }
    let mut runs = Vec::new();
    for um in [24.0, 12.0, 6.0] {
        let thick = Case {
            precursor_m: um * 1e-6,
            ..case.clone()
        };
        let (ms, solved) = best_of(5, || film::solve_by(&thick, &[phi], &usual))?;
        let run = solved.run_m(0).unwrap_or(0.0);
        let _ = writeln!(
            text,
            "| precursor {um} µm, as it is | {} | {} ({}) | {:+.3} | {ms:.2} |",
            solved.work.most_cells,
            solved.work.steps,
            solved.work.rejected,
            (run - want) * 1e3
        );
        runs.push((um, run, ms));
    }
    for pair in runs.windows(2) {
        let ((u0, r0, t0), (u1, r1, t1)) = (pair[0], pair[1]);
        // Linear in ln of the precursor, to the usual 3 µm.
        let led = r1 + (r1 - r0) * f64::ln(3.0 / u1) / f64::ln(u1 / u0);
        let _ = writeln!(
            text,
            "| precursors {u0} and {u1} µm, led to 3 | | | {:+.3} | {:.2} |",
            (led - want) * 1e3,
            t0 + t1
        );
    }
    Ok(text)
}

/// Cost against accuracy and against the wetted length.
fn growth() -> Result<String, Box<dyn Error>> {
    let mut text = String::from(
        "| case | accuracy | cells | steps (rejected) | ms | ns per cell and step |\n|---|--:|--:|--:|--:|--:|\n",
    );
    for fixed in cases::ten()?.into_iter().filter(|f| f.melt[1] > 0.0) {
        for accuracy in [1e-3, 1e-2] {
            let last = &fixed.phis[fixed.phis.len() - 1..];
            let (ms, solved) = best_of(3, || film::solve(&fixed.case(), last, accuracy))?;
            let w = solved.work;
            let _ = writeln!(
                text,
                "| {} | {accuracy:.0e} | {} | {} ({}) | {ms:.2} | {:.0} |",
                fixed.name,
                w.most_cells,
                w.steps,
                w.rejected,
                ms * 1e6 / w.cell_steps as f64
            );
        }
    }
    text +=
        "\n| band on a tile, 0.5 mm, Phi 12 | cells | steps (rejected) | ms |\n|---|--:|--:|--:|\n";
    for mm in [20.0, 40.0, 80.0, 160.0, 320.0] {
        let band = cases::band(0.5, mm)?;
        let (ms, solved) = best_of(3, || film::solve(&band.case(), &band.phis, film::ACCURACY))?;
        let w = solved.work;
        let _ = writeln!(
            text,
            "| {mm} mm wetted | {} | {} ({}) | {ms:.2} |",
            w.most_cells, w.steps, w.rejected
        );
    }
    Ok(text)
}
