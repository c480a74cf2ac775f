// The core's own method in plain JavaScript: Rodas3 with the exact pentadiagonal Jacobian on a mesh that moves with the film and is remade,
// for one film on one piece. Only layers, relief and stops on the way are left out, which this case has not; the matrix is gone through from
// one end, as one would write it. All in one file: with the mesh in a module of its own it runs a twentieth slower, and a rival is to be as fast as it can.
// Takes a file with a piece's table, a film and the method's numbers; prints one JSON line per accuracy.

import { readFileSync } from "node:fs";

const { min, max, abs, sqrt, ceil, floor } = Math;
const room = (n) => new Float64Array(n);

// The clay every 0.1 mm, added up from its angle and bend there as the core does it for each solve, and read between the nodes.
class Ground {
  constructor({ node_m: node, length, start_r_m, psi, bend }) {
    const n = psi.length;
    Object.assign(this, { node, per: 1 / node, length, bend, last: n - 2 });
    for (const name of ["volume", "r", "sin", "cos", "bendRate", "kappa", "square"]) this[name] = room(n);
    for (let i = 0, r = start_r_m, sum = 0; i < n; i++) {
      const sin = Math.sin(psi[i]), cos = Math.cos(psi[i]);
      if (i > 0) {
        // Simpson's rule over the step, the bend taken as linear in it.
        const sin0 = this.sin[i - 1], cos0 = this.cos[i - 1], r0 = r;
        const d = 0.5 * (psi[i] - psi[i - 1]) + ((bend[i - 1] - bend[i]) * node) / 8, d2 = d * d;
        const mid = cos0 * (1 - d2 * (0.5 - d2 / 24)) - sin0 * d * (1 - d2 / 6);
        r += (node / 6) * (cos0 + 4 * mid + cos);
        const rMid = r0 + (node / 24) * (5 * cos0 + 8 * mid - cos);
        sum += (node / 6) * (r0 + 4 * rMid + r);
        this.bendRate[i - 1] = (bend[i] - bend[i - 1]) / node;
      }
      if (r < 0) r = 0;
      const around = r > 1e-7 ? -sin / r : -bend[i];
      this.volume[i] = sum;
      this.r[i] = r;
      this.sin[i] = sin;
      this.cos[i] = cos;
      this.kappa[i] = around - bend[i];
      this.square[i] = around * around + bend[i] * bend[i];
    }
  }

  volumeAt(s) {
    const i = min(floor(s * this.per), this.last), x = s - i * this.node;
    const { volume, r, sin, cos, bend } = this;
    return volume[i] + x * (r[i] + x * (0.5 * cos[i] - (x * sin[i] * bend[i]) / 6));
  }

  radiusAt(s) {
    const i = min(floor(s * this.per), this.last), x = s - i * this.node;
    return this.r[i] + x * (this.cos[i] - 0.5 * x * this.sin[i] * this.bend[i]);
  }
}

// A mesh laid on the ground.
class Lay {
  constructor(n) {
    this.n = n;
    for (const name of ["s", "volume", "r", "along", "drive", "lean"]) this[name] = room(n + 1);
    for (const name of ["inv", "kappa", "fixed", "below", "own", "above"]) this[name] = room(n);
  }

  put(ground, weight, gamma) {
    const { n, s, volume, r, along, drive, lean, inv, kappa, fixed, below, own, above } = this;
    const { node, per: perNode, last } = ground;
    const { volume: volumes, r: radii, sin, cos, bend, bendRate, kappa: kappas, square } = ground;
    for (let j = 0; j <= n; j++) {
      const i = min(floor(s[j] * perNode), last), x = s[j] - i * node;
      const turn = x * (bend[i] + 0.5 * bendRate[i] * x);
      volume[j] = volumes[i] + x * (radii[i] + x * (0.5 * cos[i] - (x * sin[i] * bend[i]) / 6));
      r[j] = radii[i] + x * (cos[i] - 0.5 * x * sin[i] * bend[i]);
      along[j] = (-r[j] * (sin[i] + turn * (cos[i] - 0.5 * turn * sin[i])) * weight) / 3;
    }
    for (let j = 1; j < n; j++) {
      const per = 1 / (s[j + 1] - s[j - 1]);
      lean[j] = (s[j + 1] - s[j]) * per;
      drive[j] = (2 / 3) * r[j] * per;
    }
    drive[0] = drive[n] = 0;
    for (let i = 0; i < n; i++) {
      const at = 0.5 * (s[i] + s[i + 1]) * perNode, k = min(floor(at), last), t = at - k;
      inv[i] = 1 / (volume[i + 1] - volume[i]);
      kappa[i] = kappas[k] + t * (kappas[k + 1] - kappas[k]);
      const per = 3 * inv[i] * gamma, lo = drive[i] * per, hi = drive[i + 1] * per;
      below[i] = -lo;
      above[i] = -hi;
      own[i] = lo + hi + weight * (cos[k] + t * (cos[k + 1] - cos[k])) - gamma * (square[k] + t * (square[k + 1] - square[k]));
      fixed[i] = gamma * kappa[i];
    }
    return this;
  }
}

// Fluxes through the faces and their derivatives.
class Film {
  constructor(n) {
    this.zeta = room(n);
    this.h = room(n);
    this.p = room(n);
    this.wetFrom = 0;
    this.wetTo = n;
  }

  thicken({ n, inv, kappa }, m) {
    const { zeta, h } = this;
    let positive = true;
    for (let i = 0; i < n; i++) {
      const z = (m[i + 1] - m[i]) * inv[i], x = kappa[i] * z;
      if (!(z > 0)) positive = false;
      zeta[i] = z;
      if (x < 0.01 && x > -0.01) {
        h[i] = z * (1 - x * (0.5 - x * (0.5 - x * (0.625 - x * (0.875 - x * 1.3125)))));
      } else {
        const w = 1 + 2 * x;
        h[i] = (2 * z) / (1 + sqrt(w > 0.25 ? w : 0.25));
      }
    }
    return positive;
  }

  rate(lay, v, m, out) {
    if (!this.thicken(lay, m)) return false;
    const { h, p } = this, { n, along, drive, fixed, below, own, above } = lay;
    let a = h[0], c = h[1], before = fixed[0] + own[0] * a + above[0] * c;
    out[0] = 0;
    p[0] = before;
    for (let j = 1; j < n; j++) {
      const next = j + 1 < n ? h[j + 1] : 0;
      const here = fixed[j] + below[j] * a + own[j] * c + above[j] * next;
      p[j] = here;
      const mean = a * c * sqrt(a * c), up = along[j] >= 0 ? a : c;
      const d = (c - a) * (c - a), s = (c + a) * (c + a);
      const g = mean + ((d * d) / (s * s + d * d)) * (up * up * up - mean);
      out[j] = -(along[j] * g + mean * drive[j] * (before - here));
      a = c;
      c = next;
      before = here;
    }
    a = h[n - 1];
    out[n] = along[n] > 0 ? -along[n] * a * a * a : 0;
    if (v) {
      const { zeta } = this, { r } = lay;
      for (let j = 1; j < n; j++) {
        const a = zeta[j - 1], c = zeta[j];
        let swept = c + this.leaning(lay, j, v[j]) * (a - c);
        if (v[j] > 0 && swept > 2 * c) swept = 2 * c;
        else if (v[j] < 0 && swept > 2 * a) swept = 2 * a;
        out[j] += v[j] * r[j] * swept;
      }
    }
    return true;
  }

  leaning(lay, j, v) {
    if (j >= this.wetFrom && j <= this.wetTo) return lay.lean[j];
    return v > 0 ? 0 : 1;
  }

  // Rows [j-2 … j+2] of the Jacobian at the thicknesses of the last call.
  jacobian(lay, v, rows) {
    const { h, p, zeta } = this, { n, along, drive, inv, kappa, below, own, above, r } = lay;
    const dh = (i) => {
      const root = 1 + kappa[i] * h[i];
      return (root > 0.5 ? 1 / root : 4 / 3) * inv[i];
    };
    let d0 = 0, d1 = dh(0), d2 = dh(1);
    for (let j = 1, k = 0; j < n; j++, k += 5) {
      const a = h[j - 1], c = h[j], root = sqrt(a * c), mean = a * c * root;
      const mobility = mean * drive[j], drop = p[j - 1] - p[j];
      const down = along[j] >= 0, up = down ? a : c;
      const diff = c - a, sum = c + a, d = diff * diff, s = sum * sum;
      const ac = a * c, all = s * s + d * d, both = 1 / (ac * all), per = both * ac, perAc = both * all;
      const share = d * d * per, by = 8 * diff * d * sum * s * per * per, gap = up * up * up - mean;
      const plain = 1.5 * root * (1 - share), cube = 3 * share * up * up;
      const ga = plain * c + (down ? cube : 0) - by * c * gap, gc = plain * a + (down ? 0 : cube) + by * a * gap;
      const pull = 1.5 * mobility * drop * perAc;
      const farA = mobility * below[j - 1], farC = -mobility * above[j];
      const qa = mobility * (own[j - 1] - below[j]) + pull * c + along[j] * ga;
      const qc = mobility * (above[j - 1] - own[j]) + pull * a + along[j] * gc;
      const d3 = j + 1 < n ? dh(j + 1) : 0;
      const c0 = -farA * d0, c1 = -qa * d1, c2 = -qc * d2, c3 = -farC * d3;
      d0 = d1;
      d1 = d2;
      d2 = d3;
      rows[k] = -c0;
      rows[k + 1] = c0 - c1;
      rows[k + 2] = c1 - c2;
      rows[k + 3] = c2 - c3;
      rows[k + 4] = c3;
    }
    const k = 5 * (n - 1), a = h[n - 1];
    const c1 = along[n] > 0 ? -3 * along[n] * a * a * dh(n - 1) : 0;
    rows[k] = rows[k + 3] = rows[k + 4] = 0;
    rows[k + 1] = -c1;
    rows[k + 2] = c1;
    if (!v) return;
    for (let j = 1, k = 0; j < n; j++, k += 5) {
      const a = zeta[j - 1], c = zeta[j];
      let byA = this.leaning(lay, j, v[j]), byC = 1 - byA;
      const mean = c + byA * (a - c);
      if (v[j] > 0 && mean > 2 * c) {
        byA = 0;
        byC = 2;
      } else if (v[j] < 0 && mean > 2 * a) {
        byA = 2;
        byC = 0;
      }
      const za = v[j] * r[j] * byA * inv[j - 1], zc = v[j] * r[j] * byC * inv[j];
      rows[k + 1] -= za;
      rows[k + 2] += za - zc;
      rows[k + 3] += zc;
    }
  }
}

function factorise(diagonal, a, lu, n) {
  let p1 = 0, u1 = 0, v1 = 0, p2 = 0, u2 = 0, v2 = 0;
  for (let k = 0; k < 5 * n; k += 5) {
    const f2 = -a[k] * p2, f1 = (-a[k + 1] - f2 * u2) * p1;
    const d = diagonal - a[k + 2] - f2 * v2 - f1 * u1, u = -a[k + 3] - f1 * v1, v = -a[k + 4], p = 1 / d;
    if (!Number.isFinite(p)) return false;
    p2 = p1; u2 = u1; v2 = v1;
    p1 = p; u1 = u; v1 = v;
    lu[k] = f2;
    lu[k + 1] = f1;
    lu[k + 2] = p;
    lu[k + 3] = u * p;
    lu[k + 4] = v * p;
  }
  return true;
}

// The right-hand side from x[1] on becomes the solution.
function solve(lu, x, n) {
  let x1 = 0, x2 = 0;
  for (let i = 1, k = 0; i <= n; i++, k += 5) {
    const v = x[i] - lu[k] * x2 - lu[k + 1] * x1;
    x[i] = v;
    x2 = x1;
    x1 = v;
  }
  x1 = x2 = 0;
  for (let i = n, k = 5 * (n - 1); i > 0; i--, k -= 5) {
    const v = x[i] * lu[k + 2] - lu[k + 4] * x2 - lu[k + 3] * x1;
    x[i] = v;
    x2 = x1;
    x1 = v;
  }
}

// Spacing that the film needs at each cell.
function wanted(lay, h, fine, bare, method) {
  const { n, s } = lay, want = room(n);
  for (let i = 0; i < n; i++) want[i] = h[i] < 1.5 * bare ? method.most_bare_m : method.most_m;
  for (let i = 1; i < n - 1; i++) {
    const d0 = 0.5 * (s[i + 1] - s[i - 1]), d1 = 0.5 * (s[i + 2] - s[i]);
    const g0 = (h[i] - h[i - 1]) / d0, g1 = (h[i + 1] - h[i]) / d1;
    const bend = (2 / (d0 + d1)) * (g1 - g0), slope = max(abs(g0), abs(g1)), size = h[i] + bare;
    const least = min(method.bend * sqrt(size / max(abs(bend), 1e-9)), (method.wedge * size) / max(slope, 1e-9));
    want[i] = min(max(least, method.least_m), want[i]);
  }
  for (const [from, to, tightest] of fine) {
    const most = min(max(method.rim / tightest, method.least_m), method.most_m);
    for (let i = 0; i < n; i++) {
      if (s[i + 1] >= from && s[i] <= to && h[i] > 3 * bare) want[i] = min(want[i], most);
    }
  }
  return want;
}

// Widens the fine places and lets the spacing grow slowly from there: a sweep each way.
function eased(s, want, method) {
  const n = want.length, out = want.slice();
  let from = 0, dx = Infinity;
  const ease = (i) => {
    const at = 0.5 * (s[i] + s[i + 1]), growth = want[i] > method.most_m ? method.growth_bare : method.growth;
    const allowed = dx === Infinity ? Infinity : dx + growth * max(abs(at - from) - method.reach * dx, 0);
    if (want[i] <= allowed) {
      from = at;
      dx = want[i];
    } else {
      out[i] = min(out[i], allowed);
    }
  };
  for (let i = 0; i < n; i++) ease(i);
  dx = Infinity;
  for (let i = n - 1; i >= 0; i--) ease(i);
  return out;
}

function count(s, spacing) {
  let sum = 0;
  for (let i = 0; i < spacing.length; i++) sum += (s[i + 1] - s[i]) / spacing[i];
  return sum;
}

function remade(s, spacing) {
  const m = spacing.length, smooth = room(m);
  for (let i = 0; i < m; i++) {
    smooth[i] = 0.25 / spacing[max(i - 1, 0)] + 0.5 / spacing[i] + 0.25 / spacing[min(i + 1, m - 1)];
  }
  let total = 0;
  for (let i = 0; i < m; i++) total += (s[i + 1] - s[i]) * smooth[i];
  const n = max(ceil(max(count(s, spacing), 4)), ceil(0.98 * total)), lay = new Lay(n);
  lay.s[0] = s[0];
  let i = 0, done = 0;
  for (let k = 1; k < n; k++) {
    const goal = (total * k) / n;
    while (i + 1 < m && done + (s[i + 1] - s[i]) * smooth[i] < goal) {
      done += (s[i + 1] - s[i]) * smooth[i];
      i += 1;
    }
    lay.s[k] = s[i] + (goal - done) / smooth[i];
  }
  lay.s[n] = s[m];
  return lay;
}

// Slope at the middle of five points of the quartic through them.
function quarticSlope(x, y, j) {
  let slope = 0;
  for (let i = j - 2; i <= j + 2; i++) {
    if (i === j) continue;
    let w = 1 / (x[i] - x[j]);
    for (let k = j - 2; k <= j + 2; k++) {
      if (k !== i && k !== j) w *= (x[j] - x[k]) / (x[i] - x[k]);
    }
    slope += w * (y[i] - y[j]);
  }
  return slope;
}

// Volumes on another mesh: a monotone cubic of M over ∫ r ds.
function carried(volume, m, to) {
  const n = m.length, mean = room(n - 1), slope = room(n), out = room(to.length);
  for (let i = 0; i < n - 1; i++) mean[i] = (m[i + 1] - m[i]) / (volume[i + 1] - volume[i]);
  for (let j = 0; j < n; j++) {
    let d;
    if (j === 0) d = mean[0];
    else if (j === n - 1) d = mean[n - 2];
    else if (j === 1 || j === n - 2) {
      const a = volume[j] - volume[j - 1], b = volume[j + 1] - volume[j];
      d = (mean[j - 1] * b + mean[j] * a) / (a + b);
    } else d = quarticSlope(volume, m, j);
    const thin = min(mean[max(j - 1, 0)], mean[min(j, n - 2)]);
    slope[j] = min(max(d, 0.5 * thin), 2.5 * thin);
  }
  for (let k = 0, i = 0; k < to.length; k++) {
    while (i + 2 < n && volume[i + 1] <= to[k]) i += 1;
    const d = volume[i + 1] - volume[i], t = min(max((to[k] - volume[i]) / d, 0), 1), t2 = t * t, u = 1 - t;
    out[k] = m[i] * (1 + 2 * t) * u * u + m[i + 1] * t2 * (3 - 2 * t) + d * (slope[i] * t * u * u - slope[i + 1] * t2 * u);
  }
  out[0] = m[0];
  out[to.length - 1] = m[n - 1];
  return out;
}

function speedsAt(s, v, to) {
  const out = room(to.length);
  for (let k = 0, i = 0; k < to.length; k++) {
    while (i + 2 < s.length && s[i + 1] <= to[k]) i += 1;
    out[k] = v[i] + (v[i + 1] - v[i]) * min(max((to[k] - s[i]) / (s[i + 1] - s[i]), 0), 1);
  }
  return out;
}

class Solver {
  constructor(given, method) {
    Object.assign(this, { given, method, phi: 0, dtLast: 0, dtBefore: 0, fresh: false, guess: true, tried: 0, cellSteps: 0 });
    this.ground = new Ground(given.clay);
    this.start();
    this.makeRoom();
    this.v = room(this.n + 1);
    this.mean = room(this.n + 1);
    this.before = room(this.n + 1);
  }

  put(lay) {
    return lay.put(this.ground, this.given.weight, this.given.gamma);
  }

  // The film as laid down, its edges soft, on a mesh that suits it.
  start() {
    const { ground, method, given } = this, { from, to, thickness: h, precursor, gamma, phi, fine } = given;
    const level = max(sqrt(sqrt((gamma * h * h * h * phi) / 3)), 0.3 * h) / 3;
    const half = min(0.5 * method.ramp * h, level), near = 2 * half;
    const faces = [0];
    for (let at = 0; at < ground.length; ) {
      const gap = min(abs(from - at), abs(to - at));
      at += min(max(0.3 * (gap - near), 0.05 * near), method.most_m);
      faces.push(min(at, ground.length));
    }
    const last = faces.length;
    if (faces[last - 1] - faces[last - 2] < 0.3 * (faces[last - 2] - faces[last - 3])) faces.splice(last - 2, 1);
    this.lay = new Lay(faces.length - 1);
    this.lay.s.set(faces);
    const ramps = [[from, h - precursor], [to, precursor - h]].map(([at, jump]) => [ground.volumeAt(at), ground.radiusAt(at) * half, jump]);
    const ramp = (x, half) => {
      const t = x / half;
      if (t <= -1) return 0;
      return t >= 1 ? x : half * (3 / 16 + 0.5 * t + 0.375 * t * t - 0.0625 * t * t * t * t);
    };
    for (let round = 0; ; round++) {
      this.put(this.lay);
      this.m = this.lay.volume.map((x) => precursor * x + ramps.reduce((sum, [at, half, jump]) => sum + jump * ramp(x - at, half), 0));
      this.film = new Film(this.lay.n);
      this.film.thicken(this.lay, this.m);
      if (round === 4) return;
      const spacing = eased(this.lay.s, wanted(this.lay, this.film.h, fine, precursor, method), method);
      this.lay = remade(this.lay.s, spacing);
    }
  }

  makeRoom() {
    const n = (this.n = this.lay.n);
    this.film = new Film(n);
    this.next = new Lay(n);
    for (const name of ["y", "f0", "ft", "f", "k0", "k1", "k2", "k3"]) this[name] = room(n + 1);
    this.zeta = room(n);
    this.change = room(n);
    this.back = room(n + 1);
    this.rows = room(5 * n);
    this.lu = room(5 * n);
  }

  run() {
    const { method } = this, end = this.given.phi;
    this.film.rate(this.lay, null, this.m, this.f0);
    let fastest = 0;
    for (let i = 0; i < this.n; i++) fastest = max(fastest, abs(this.f0[i + 1] - this.f0[i]) / (this.m[i + 1] - this.m[i]));
    let dt = min(method.first / fastest, end), grow = method.grow, inARow = 0, sinceLook = 0;
    while (this.phi < end) {
      const left = end - this.phi;
      if (dt > left * (1 - 1e-9)) dt = left;
      else if (dt > 0.6 * left) dt = 0.5 * left;
      const error = this.attempt(dt), accepted = error <= 1;
      if (accepted) {
        this.accept(dt, dt === left ? end : this.phi + dt);
        inARow = 0;
        sinceLook += 1;
      } else if (++inARow === 2) {
        this.v.set(this.mean);
        this.fresh = false;
      }
      const factor = Number.isFinite(error) ? method.safety * max(error, 1e-9) ** (-1 / 3) : 0.25;
      dt *= min(max(factor, 0.2), grow);
      grow = accepted ? method.grow : 1;
      if (accepted && sinceLook >= method.look_every) {
        sinceLook = 0;
        this.lookAtMesh();
      }
    }
    return this;
  }

  findWet() {
    const { n, m, lay, film, given: { precursor } } = this;
    const wet = (i) => abs((m[i + 1] - m[i]) * lay.inv[i] - precursor) > 0.1 * precursor;
    let first = 0, last = n - 1;
    while (first < n && !wet(first)) first++;
    while (last > first && !wet(last)) last--;
    film.wetFrom = first - 4;
    film.wetTo = last + 5;
  }

  // Speeds carried forward from the last two steps, held to what a cell can bear.
  chooseSpeeds(dt) {
    const { n, method, v, mean, before, lay: { s } } = this;
    if (this.guess && this.dtBefore > 0) {
      const x = method.ahead * min((dt + this.dtLast) / (this.dtLast + this.dtBefore), 1);
      for (let j = 0; j <= n; j++) v[j] = mean[j] + x * (mean[j] - before[j]);
      this.fresh = false;
    }
    this.guess = false;
    let strain = 0;
    for (let j = 0; j < n; j++) strain = max(strain, abs(v[j + 1] - v[j]) / (s[j + 1] - s[j]));
    if (strain * dt > method.strain) {
      const less = method.strain / (strain * dt);
      for (let j = 0; j <= n; j++) v[j] *= less;
      this.fresh = false;
    }
  }

  // Tries a step; gives its error over the tolerance.
  attempt(dt) {
    if (this.guess) this.findWet();
    this.chooseSpeeds(dt);
    const { n, lay, next, film, m, y, f0, ft, f, k0, k1, k2, k3, rows, lu, zeta, method } = this;
    const v = this.v.some((x) => x !== 0) ? this.v : null;
    this.tried += 1;
    this.cellSteps += n;
    if (!this.fresh) {
      film.rate(lay, v, m, f0);
      film.jacobian(lay, v, rows);
      this.fresh = true;
    }
    ft.fill(0);
    for (let j = 0; j <= n; j++) next.s[j] = lay.s[j] + dt * this.v[j];
    this.put(next);
    if (v) {
      if (film.rate(next, v, m, ft)) for (let j = 0; j <= n; j++) ft[j] -= f0[j];
      else ft.fill(0);
    }
    const per = 1 / dt;
    if (!factorise(2 * per, rows, lu, n)) return Infinity;
    for (let j = 0; j <= n; j++) k0[j] = f0[j] + 0.5 * ft[j];
    solve(lu, k0, n);
    for (let j = 0; j <= n; j++) {
      k1[j] = f0[j] + 1.5 * ft[j] + 4 * per * k0[j];
      y[j] = m[j] + 2 * k0[j];
    }
    solve(lu, k1, n);
    if (!film.rate(next, v, y, f)) return Infinity;
    for (let j = 0; j <= n; j++) k2[j] = f[j] + per * (k0[j] - k1[j]);
    solve(lu, k2, n);
    for (let j = 0; j <= n; j++) y[j] += k2[j];
    if (!film.rate(next, v, y, f)) return Infinity;
    for (let j = 0; j <= n; j++) k3[j] = f[j] + per * (k0[j] - k1[j] - (8 / 3) * k2[j]);
    solve(lu, k3, n);
    for (let j = 0; j <= n; j++) y[j] += k3[j];
    const absolute = method.tolerance * method.absolute * this.given.precursor;
    let sum = 0, least = Infinity;
    for (let i = 0; i < n; i++) {
      const z = (y[i + 1] - y[i]) * next.inv[i], e = ((k3[i + 1] - k3[i]) * next.inv[i]) / (absolute + method.tolerance * z);
      zeta[i] = z;
      if (!(z >= least)) least = z;
      sum += e * e;
    }
    return least > 0 && Number.isFinite(sum) ? sqrt(sum / n) : Infinity;
  }

  accept(dt, to) {
    const { n, m, lay, zeta, change } = this;
    for (let i = 0; i < n; i++) change[i] = (zeta[i] - (m[i + 1] - m[i]) * lay.inv[i]) / dt;
    [this.m, this.y] = [this.y, this.m];
    [this.lay, this.next] = [this.next, this.lay];
    [this.before, this.mean] = [this.mean, this.before];
    this.mean.set(this.v);
    this.measureSpeeds();
    this.v.set(this.mean);
    this.dtBefore = this.dtLast;
    this.dtLast = dt;
    this.fresh = false;
    this.guess = true;
    this.phi = to;
  }

  // Speed of each face that would have held the film's level lines in their cells: least squares, a tridiagonal system.
  measureSpeeds() {
    const { n, zeta, change, back, mean: v, method, lay: { s }, given: { precursor } } = this;
    let pull = 0, before = 0, lo = method.stiff / (s[1] - s[0]);
    for (let j = 1; j < n; j++) {
      const ds = 0.5 * (s[j + 1] - s[j - 1]), hi = method.stiff / (s[j + 1] - s[j]);
      const size = 1 / (0.5 * (zeta[j] + zeta[j - 1]) + precursor);
      const zs = ((zeta[j] - zeta[j - 1]) / ds) * size, zt = 0.5 * (change[j - 1] + change[j]) * size;
      const per = 1 / (ds * (zs * zs + method.hold) + lo + hi - pull);
      before = (ds * zs * (zs * v[j] - zt) + lo * before) * per;
      v[j] = before;
      back[j] = hi * per;
      pull = hi * back[j];
      lo = hi;
    }
    v[n] = 0;
    for (let j = n - 1; j > 0; j--) v[j] += back[j] * v[j + 1];
  }

  // A new mesh where the film has outgrown this one, or could do with far fewer cells.
  lookAtMesh() {
    const { n, lay, film, m, method, given } = this, { s, volume } = lay;
    film.thicken(lay, m);
    const want = wanted(lay, film.h, given.fine, given.precursor, method);
    let worst = 0;
    for (let i = 0; i < n; i++) worst = max(worst, (s[i + 1] - s[i]) / want[i]);
    const spacing = eased(s, want, method);
    if (worst <= method.worst && n <= 1.35 * count(s, spacing) + 8) return;
    this.lay = this.put(remade(s, spacing));
    this.m = carried(volume, m, this.lay.volume);
    for (const name of ["v", "mean", "before"]) this[name] = speedsAt(s, this[name], this.lay.s);
    this.makeRoom();
  }

  // Run of the place that has as much melt beyond it as the edge holds back.
  runOfEdge() {
    const { n, m, lay: { s, volume } } = this, { to, held, precursor } = this.given;
    const total = m[n];
    const beyond = (j) => {
      const lo = max(j - 1, 0), hi = min(j + 1, n);
      return ((total - m[j] - precursor * (volume[n] - volume[j])) * (s[hi] - s[lo])) / (volume[hi] - volume[lo]);
    };
    for (let j = n - 1, below = beyond(n); j >= 0; j--) {
      const here = beyond(j);
      if (here >= held) return max(s[j] + ((s[j + 1] - s[j]) * (here - held)) / (here - below) - to, 0);
      below = here;
    }
    return 0;
  }
}

const { methods, ...given } = JSON.parse(readFileSync(process.argv[2], "utf8"));
given.clay.psi = Float64Array.from(given.clay.psi);
given.clay.bend = Float64Array.from(given.clay.bend);
for (const { accuracy, ...method } of methods) {
  let best = Infinity, solver;
  for (let batch = 0; batch < 12; batch++) {
    // The processor's time over some solves: its clock is coarse, and others may be at work on this machine.
    const solves = 20, start = process.cpuUsage();
    for (let i = 0; i < solves; i++) solver = new Solver(given, method).run();
    const { user, system } = process.cpuUsage(start);
    best = min(best, (user + system) / 1e3 / solves);
  }
  console.log(JSON.stringify({ accuracy, ms: best, cells: solver.n, tried: solver.tried, cell_steps: solver.cellSteps, run_m: solver.runOfEdge() }));
}
