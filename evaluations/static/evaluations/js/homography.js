// A click on a paused film as a place on the floor: the same as evaluations/core/floor/homography.py,
// in the browser, because nothing of a film leaves it. A test compares the two.
//
// Pixels {x, y} with y running down; floor {x, y} in metres.

const IN_LINE = 0.02;
const STEP = 0.01;
const CLICK_ERROR = 2;
const CHI_SQUARE_95 = 5.991464547107979;
const SWEEPS = 60;

const far = (a, b) => Math.hypot(b.x - a.x, b.y - a.y);
const times = (a, b) =>
  a.map((row) => b[0].map((_, c) => row.reduce((sum, v, k) => sum + v * b[k][c], 0)));

function det(m) {
  return (
    m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
    m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
    m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
  );
}

function apply(m, p) {
  const [x, y, w] = m.map((row) => row[0] * p.x + row[1] * p.y + row[2]);
  return { x: x / w, y: y / w, w };
}

/** Centre at the origin, mean distance the square root of two; and the way back. */
function normaliser(points) {
  const cx = points.reduce((sum, p) => sum + p.x, 0) / points.length;
  const cy = points.reduce((sum, p) => sum + p.y, 0) / points.length;
  const mean = points.reduce((sum, p) => sum + far({ x: cx, y: cy }, p), 0) / points.length;
  const s = Math.SQRT2 / mean;
  return {
    to: [
      [s, 0, -s * cx],
      [0, s, -s * cy],
      [0, 0, 1],
    ],
    back: [
      [1 / s, 0, cx],
      [0, 1 / s, cy],
      [0, 0, 1],
    ],
  };
}

/** The eigenvector of a symmetric matrix's least eigenvalue, by Jacobi rotations. */
function leastEigenvector(matrix) {
  const n = matrix.length;
  const a = matrix.map((row) => [...row]);
  const v = a.map((_, i) => a.map((__, j) => (i === j ? 1 : 0)));
  for (let sweep = 0; sweep < SWEEPS; sweep += 1) {
    for (let p = 0; p < n - 1; p += 1) {
      for (let q = p + 1; q < n; q += 1) {
        if (a[p][q] === 0) continue;
        const theta = (a[q][q] - a[p][p]) / (2 * a[p][q]);
        const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.hypot(theta, 1));
        const c = 1 / Math.hypot(t, 1);
        const s = t * c;
        for (let k = 0; k < n; k += 1) {
          [a[k][p], a[k][q]] = [c * a[k][p] - s * a[k][q], s * a[k][p] + c * a[k][q]];
        }
        for (let k = 0; k < n; k += 1) {
          [a[p][k], a[q][k]] = [c * a[p][k] - s * a[q][k], s * a[p][k] + c * a[q][k]];
          [v[k][p], v[k][q]] = [c * v[k][p] - s * v[k][q], s * v[k][p] + c * v[k][q]];
        }
      }
    }
  }
  const least = a.reduce((best, row, i) => (row[i] < a[best][best] ? i : best), 0);
  return v.map((row) => row[least]);
}

function solve(pixels, floor) {
  const source = normaliser(pixels);
  const target = normaliser(floor);
  const normal = Array.from({ length: 9 }, () => new Array(9).fill(0));
  pixels.forEach((pixel, n) => {
    const { x, y } = apply(source.to, pixel);
    const { x: u, y: w } = apply(target.to, floor[n]);
    for (const row of [
      [-x, -y, -1, 0, 0, 0, u * x, u * y, u],
      [0, 0, 0, -x, -y, -1, w * x, w * y, w],
    ]) {
      for (let i = 0; i < 9; i += 1) for (let j = 0; j < 9; j += 1) normal[i][j] += row[i] * row[j];
    }
  });
  const h = leastEigenvector(normal);
  return times(times(target.back, [h.slice(0, 3), h.slice(3, 6), h.slice(6)]), source.to);
}

function inLine(a, b, c) {
  const longest = Math.max(far(a, b), far(b, c), far(c, a));
  if (longest === 0) return true;
  const area = Math.abs((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x));
  return area / longest < IN_LINE * longest;
}

function choose(list, size) {
  if (size === 0) return [[]];
  return list.flatMap((item, n) => choose(list.slice(n + 1), size - 1).map((rest) => [item, ...rest]));
}

const spans = (points) =>
  choose(points, 4).some((four) => !choose(four, 3).some(([a, b, c]) => inLine(a, b, c)));

/** {matrix, pixels, floor, residual} or {refused: "few" | "in_line" | "crossed"}. */
export function fit(pixels, floor) {
  if (pixels.length < 4 || pixels.length !== floor.length) return { refused: "few" };
  if (!spans(pixels) || !spans(floor)) return { refused: "in_line" };
  const matrix = solve(pixels, floor);
  const depth = pixels.map((p) => apply(matrix, p).w);
  const oneSide = Math.min(...depth) * Math.max(...depth) > 0;
  if (!oneSide || det(matrix) * depth[0] >= 0) return { refused: "crossed" };
  const off = pixels.map((p, n) => far(apply(matrix, p), floor[n]) ** 2);
  const residual =
    pixels.length > 4 ? Math.sqrt(off.reduce((sum, d) => sum + d, 0) / off.length) : null;
  return { matrix, pixels, floor, residual };
}

/** The place on the floor that a pixel shows, or null above the floor's horizon. */
export function toFloor(found, pixel) {
  const side = apply(found.matrix, found.pixels[0]).w;
  const place = apply(found.matrix, pixel);
  return place.w * side > 0 ? { x: place.x, y: place.y } : null;
}

/** The pixel that shows a place on the floor. */
export function toPixel(found, place) {
  const m = found.matrix;
  const minor = (i, j) => {
    const [r, s] = [0, 1, 2].filter((k) => k !== j);
    const [c, d] = [0, 1, 2].filter((k) => k !== i);
    return (m[r][c] * m[s][d] - m[r][d] * m[s][c]) * ((i + j) % 2 ? -1 : 1);
  };
  const inverse = [0, 1, 2].map((i) => [0, 1, 2].map((j) => minor(i, j)));
  const { x, y } = apply(inverse, place);
  return { x, y };
}

/** How far off, in metres, a place may be because clicks are, at 95 %. */
export function floorError(found, pixel) {
  const clicks = [...found.pixels, pixel];
  const place = (moved) => apply(solve(moved.slice(0, -1), found.floor), moved[moved.length - 1]);
  let [xx, xy, yy] = [0, 0, 0];
  clicks.forEach((_, n) => {
    for (const axis of ["x", "y"]) {
      const shifted = (by) =>
        place(clicks.map((p, m) => (m === n ? { ...p, [axis]: p[axis] + by } : p)));
      const [after, before] = [shifted(STEP), shifted(-STEP)];
      const dx = (after.x - before.x) / (2 * STEP);
      const dy = (after.y - before.y) / (2 * STEP);
      xx += dx * dx;
      xy += dx * dy;
      yy += dy * dy;
    }
  });
  const largest = (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
  return CLICK_ERROR * Math.sqrt(CHI_SQUARE_95 * largest);
}
