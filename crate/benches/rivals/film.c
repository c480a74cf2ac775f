/* The film on a mesh that stands still: dζ/dΦ of each cell and its banded Jacobian, for the Python rivals.
 * Takes the mesh's arrays as the bench writes them; gives what an implicit solver asks for. Same fluxes as the core: cells' pressure,
 * geometric mean of h³ between cells, upwind where they differ much. */
#include <math.h>

typedef struct {
    int n;
    const double *kappa, *inv, *fixed, *below, *own, *above; /* n */
    const double *along, *drive;                             /* n + 1 */
} Mesh;

static double positive(double x) { return x > 1e-12 ? x : 1e-12; }

static void thicken(const Mesh *m, const double *zeta, double *h, double *p) {
    int n = m->n;
    for (int i = 0; i < n; i++) {
        double w = 1.0 + 2.0 * m->kappa[i] * zeta[i];
        h[i] = 2.0 * zeta[i] / (1.0 + sqrt(w > 0.25 ? w : 0.25));
    }
    for (int i = 0; i < n; i++) {
        p[i] = m->fixed[i] + m->own[i] * h[i];
        if (i > 0) p[i] += m->below[i] * h[i - 1];
        if (i + 1 < n) p[i] += m->above[i] * h[i + 1];
    }
}

void film_rate(const Mesh *m, const double *zeta, double *h, double *p, double *out) {
    int n = m->n;
    thicken(m, zeta, h, p);
    double before = 0.0;
    for (int j = 1; j <= n; j++) {
        double q;
        if (j < n) {
            double a = positive(h[j - 1]), c = positive(h[j]);
            double mean = a * c * sqrt(a * c);
            double d = (c - a) * (c - a), s = (c + a) * (c + a);
            double up = m->along[j] >= 0.0 ? a : c;
            double g = mean + d * d / (s * s + d * d) * (up * up * up - mean);
            q = m->along[j] * g + mean * m->drive[j] * (p[j - 1] - p[j]);
        } else {
            double a = positive(h[n - 1]);
            q = (m->along[n] > 0.0 ? m->along[n] : 0.0) * a * a * a;
        }
        out[j - 1] = (before - q) * m->inv[j - 1];
        before = q;
    }
}

/* jac[(i - j + 2) * n + j] = d(rate i)/d(zeta j), rows of five diagonals. */
void film_jacobian(const Mesh *m, const double *zeta, double *h, double *p, double *jac) {
    int n = m->n;
    thicken(m, zeta, h, p);
    for (int i = 0; i < 5 * n; i++) jac[i] = 0.0;
#define ADD(row, col, value) if ((row) >= 0 && (row) < n && (col) >= 0 && (col) < n) jac[((row) - (col) + 2) * n + (col)] += (value)
    for (int j = 1; j <= n; j++) {
        double dq[4] = {0.0, 0.0, 0.0, 0.0}; /* by h of cells j-2 .. j+1 */
        if (j < n) {
            double a = positive(h[j - 1]), c = positive(h[j]);
            double mean = a * c * sqrt(a * c);
            double diff = c - a, sum = c + a, d = diff * diff, s = sum * sum;
            double per = 1.0 / (s * s + d * d), share = d * d * per;
            int down = m->along[j] >= 0.0;
            double up = down ? a : c, gap = up * up * up - mean;
            double by = 8.0 * diff * d * sum * s * per * per;
            double plain = 1.5 * mean / (a * c) * (1.0 - share), cube = 3.0 * share * up * up;
            double g_a = plain * c + (down ? cube : 0.0) - by * c * gap;
            double g_c = plain * a + (down ? 0.0 : cube) + by * a * gap;
            double mob = mean * m->drive[j], drop = p[j - 1] - p[j], pull = 1.5 * mob * drop / (a * c);
            dq[0] = mob * m->below[j - 1];
            dq[1] = mob * (m->own[j - 1] - m->below[j]) + pull * c + m->along[j] * g_a;
            dq[2] = mob * (m->above[j - 1] - m->own[j]) + pull * a + m->along[j] * g_c;
            dq[3] = -mob * m->above[j];
        } else {
            double a = positive(h[n - 1]);
            dq[1] = 3.0 * (m->along[n] > 0.0 ? m->along[n] : 0.0) * a * a;
        }
        for (int k = 0; k < 4; k++) {
            int cell = j - 2 + k;
            if (cell < 0 || cell >= n) continue;
            double root = 1.0 + m->kappa[cell] * h[cell];
            double v = dq[k] * (root > 0.5 ? 1.0 / root : 4.0 / 3.0);
            ADD(j - 1, cell, -v * m->inv[j - 1]);
            if (j < n) { ADD(j, cell, v * m->inv[j]); }
        }
    }
}
