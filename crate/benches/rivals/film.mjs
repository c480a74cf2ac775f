// The film on a mesh that stands still, in plain JavaScript: Rodas3 with the exact pentadiagonal Jacobian, the core's fluxes and steps.
// Takes a file of meshes; prints one JSON line per solve.

import { readFileSync } from "node:fs";

const cases = JSON.parse(readFileSync(process.argv[2], "utf8"));

class Film {
  constructor(given) {
    this.n = given.cells;
    for (const name of ["kappa", "inv", "fixed", "below", "own", "above", "along", "drive"]) {
      this[name] = Float64Array.from(given[name]);
    }
    this.h = new Float64Array(this.n);
    this.p = new Float64Array(this.n);
  }

  thicken(zeta) {
    const { n, kappa, h, p, fixed, below, own, above } = this;
    let least = Infinity;
    for (let i = 0; i < n; i++) {
      const w = 1 + 2 * kappa[i] * zeta[i];
      h[i] = (2 * zeta[i]) / (1 + Math.sqrt(w > 0.25 ? w : 0.25));
      if (!(zeta[i] >= least)) least = zeta[i];
    }
    if (!(least > 0)) return false;
    for (let i = 1; i < n - 1; i++) {
      p[i] = fixed[i] + below[i] * h[i - 1] + own[i] * h[i] + above[i] * h[i + 1];
    }
    p[0] = fixed[0] + own[0] * h[0] + above[0] * h[1];
    p[n - 1] = fixed[n - 1] + below[n - 1] * h[n - 2] + own[n - 1] * h[n - 1];
    return true;
  }

  rate(zeta, out) {
    if (!this.thicken(zeta)) return false;
    const { n, h, p, along, drive, inv } = this;
    let before = 0;
    for (let j = 1; j < n; j++) {
      const a = h[j - 1], c = h[j];
      const mean = a * c * Math.sqrt(a * c);
      const d = (c - a) * (c - a), s = (c + a) * (c + a);
      const up = along[j] >= 0 ? a : c;
      const g = mean + ((d * d) / (s * s + d * d)) * (up * up * up - mean);
      const q = along[j] * g + mean * drive[j] * (p[j - 1] - p[j]);
      out[j - 1] = (before - q) * inv[j - 1];
      before = q;
    }
    const a = h[n - 1];
    out[n - 1] = (before - Math.max(along[n], 0) * a * a * a) * inv[n - 1];
    return true;
  }

  // Rows [i-2 … i+2] of minus the Jacobian at the thicknesses of the last call, with `diagonal` added.
  matrix(rows, diagonal) {
    const { n, h, p, along, drive, inv, kappa, below, own, above } = this;
    rows.fill(0);
    for (let i = 0; i < n; i++) rows[5 * i + 2] = diagonal;
    const dq = [0, 0, 0, 0];
    for (let j = 1; j <= n; j++) {
      if (j < n) {
        const a = h[j - 1], c = h[j];
        const mean = a * c * Math.sqrt(a * c);
        const diff = c - a, sum = c + a, d = diff * diff, s = sum * sum;
        const per = 1 / (s * s + d * d), share = d * d * per;
        const down = along[j] >= 0;
        const up = down ? a : c, gap = up * up * up - mean;
        const by = 8 * diff * d * sum * s * per * per;
        const plain = ((1.5 * mean) / (a * c)) * (1 - share), cube = 3 * share * up * up;
        const ga = plain * c + (down ? cube : 0) - by * c * gap;
        const gc = plain * a + (down ? 0 : cube) + by * a * gap;
        const mob = mean * drive[j], drop = p[j - 1] - p[j], pull = (1.5 * mob * drop) / (a * c);
        dq[0] = mob * below[j - 1];
        dq[1] = mob * (own[j - 1] - below[j]) + pull * c + along[j] * ga;
        dq[2] = mob * (above[j - 1] - own[j]) + pull * a + along[j] * gc;
        dq[3] = -mob * above[j];
      } else {
        const a = h[n - 1];
        dq[0] = 0;
        dq[1] = 3 * Math.max(along[n], 0) * a * a;
        dq[2] = 0;
        dq[3] = 0;
      }
      for (let k = 0; k < 4; k++) {
        const cell = j - 2 + k;
        if (cell < 0 || cell >= n) continue;
        const root = 1 + kappa[cell] * h[cell];
        const v = dq[k] * (root > 0.5 ? 1 / root : 4 / 3);
        rows[5 * (j - 1) + cell - j + 3] += v * inv[j - 1];
        if (j < n) rows[5 * j + cell - j + 2] -= v * inv[j];
      }
    }
  }
}

function factorise(a, n) {
  let p1 = 0, u1 = 0, v1 = 0, p2 = 0, u2 = 0, v2 = 0;
  for (let i = 0; i < 5 * n; i += 5) {
    const f2 = a[i] * p2;
    const f1 = (a[i + 1] - f2 * u2) * p1;
    const d = a[i + 2] - f2 * v2 - f1 * u1;
    a[i] = f2;
    a[i + 1] = f1;
    a[i + 3] -= f1 * v1;
    p2 = p1; u2 = u1; v2 = v1;
    p1 = 1 / d; u1 = a[i + 3]; v1 = a[i + 4];
    a[i + 2] = p1;
    a[i + 3] *= p1;
    a[i + 4] *= p1;
  }
}

function solve(a, x, n) {
  let x1 = 0, x2 = 0;
  for (let i = 0; i < n; i++) {
    const v = x[i] - a[5 * i] * x2 - a[5 * i + 1] * x1;
    x[i] = v;
    x2 = x1; x1 = v;
  }
  x1 = 0; x2 = 0;
  for (let i = n - 1; i >= 0; i--) {
    const v = x[i] * a[5 * i + 2] - a[5 * i + 4] * x2 - a[5 * i + 3] * x1;
    x[i] = v;
    x2 = x1; x1 = v;
  }
}

// Rodas3 (Sandu et al. 1997) from 0 to `phi`.
function run(given, tolerance) {
  const film = new Film(given), n = film.n, end = given.phi;
  let m = Float64Array.from(given.zeta), y = new Float64Array(n);
  const [f0, f, k0, k1, k2, k3] = Array.from({ length: 6 }, () => new Float64Array(n));
  const rows = new Float64Array(5 * n);
  film.rate(m, f0);
  let fastest = 0;
  for (let i = 0; i < n; i++) fastest = Math.max(fastest, Math.abs(f0[i]) / m[i]);
  let phi = 0, dt = 0.5 / fastest, grow = 1.6, tried = 0;
  while (phi < end) {
    if (phi + dt > end) dt = end - phi;
    tried += 1;
    film.rate(m, f0);
    film.matrix(rows, 2 / dt);
    factorise(rows, n);
    const error = attempt();
    if (error <= 1) {
      phi += dt;
      [m, y] = [y, m];
    }
    const factor = Number.isFinite(error) ? 0.9 * Math.max(error, 1e-9) ** (-1 / 3) : 0.25;
    dt *= Math.min(Math.max(factor, 0.2), error <= 1 ? grow : 1);
    grow = error <= 1 ? 1.6 : 1;
  }
  return { zeta: m, tried };

  function attempt() {
    const per = 1 / dt;
    k0.set(f0);
    solve(rows, k0, n);
    for (let i = 0; i < n; i++) k1[i] = f0[i] + 4 * per * k0[i];
    solve(rows, k1, n);
    for (let i = 0; i < n; i++) y[i] = m[i] + 2 * k0[i];
    if (!film.rate(y, f)) return Infinity;
    for (let i = 0; i < n; i++) k2[i] = f[i] + per * (k0[i] - k1[i]);
    solve(rows, k2, n);
    for (let i = 0; i < n; i++) y[i] += k2[i];
    if (!film.rate(y, f)) return Infinity;
    for (let i = 0; i < n; i++) k3[i] = f[i] + per * (k0[i] - k1[i] - (8 / 3) * k2[i]);
    solve(rows, k3, n);
    let sum = 0, least = Infinity;
    for (let i = 0; i < n; i++) {
      y[i] += k3[i];
      if (!(y[i] >= least)) least = y[i];
      const e = k3[i] / (tolerance * (30e-6 + y[i]));
      sum += e * e;
    }
    return least > 0 ? Math.sqrt(sum / n) : Infinity;
  }
}

for (const given of cases) {
  for (const tolerance of [3e-3, 1e-3, 3e-4]) {
    let best = Infinity, out;
    for (let i = 0; i < 4; i++) {
      // The processor's time: others may be at work on this machine.
      const start = process.cpuUsage();
      out = run(given, tolerance);
      const { user, system } = process.cpuUsage(start);
      best = Math.min(best, (user + system) / 1e3);
    }
    console.log(JSON.stringify({ rival: "Rodas3 in plain JavaScript, mesh standing still", mesh: given.mesh, tolerance, ms: best, tried: out.tried, zeta: [...out.zeta] }));
  }
}
