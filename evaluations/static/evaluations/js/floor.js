// What a floor sketch shows, while it is drawn: the same measures as evaluations/core/floor, which
// has the last word when a sketch is saved. A test compares the two on many sketches.
//
// Lengths in metres, angles in degrees. A sketch: {officials: [{x, y, facing}], players: [{x, y}],
// route: [{x, y}], fieldOfView, reporter: index or null, crew}.

const BODY_RADIUS = 0.3;
const SAME_SPOT = 1e-9;
const ON_THE_EDGE = 1e-9;
const FLAT = 1e-9;
const ROOM = 1;
const TOUCH = 1e-9;
const QUARTERS = [
  [1, 0],
  [0, 1],
  [-1, 0],
  [0, -1],
];

const degrees = (radians) => (radians * 180) / Math.PI;
const turn = (a, b, c) => (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
const apart = (a, b) => Math.hypot(b.x - a.x, b.y - a.y);

/** The unit vector of a facing; quarter turns give exact ones. */
export function direction(facing) {
  const quarter = Math.floor(facing / 90);
  const rest = ((facing - quarter * 90) * Math.PI) / 180;
  const [x, y] = QUARTERS[((quarter % 4) + 4) % 4];
  const c = Math.cos(rest);
  const s = Math.sin(rest);
  return { x: c * x - s * y, y: c * y + s * x };
}

/** For each player, whether the official can see him or her. */
function seenBy(official, players, fieldOfView) {
  const facing = direction(official.facing);
  const to = players.map((p) => ({ x: p.x - official.x, y: p.y - official.y }));
  const far = to.map((v) => Math.hypot(v.x, v.y));
  return to.map((v, n) => {
    if (far[n] < SAME_SPOT) return true;
    const along = v.x * facing.x + v.y * facing.y;
    const across = Math.abs(v.y * facing.x - v.x * facing.y);
    if (degrees(Math.atan2(across, along)) > fieldOfView / 2 + ON_THE_EDGE) return false;
    return !to.some(
      (w, m) =>
        far[m] < far[n] - SAME_SPOT &&
        far[m] >= BODY_RADIUS &&
        (v.x * w.x + v.y * w.y) / far[n] > 0 &&
        Math.abs(v.x * w.y - v.y * w.x) / far[n] < BODY_RADIUS,
    );
  });
}

function boxedShare(watchers, players) {
  if (!players.length || watchers.length < 2) return null;
  const [a, b, c] = watchers;
  if (watchers.length === 2) {
    const line = { x: b.x - a.x, y: b.y - a.y };
    if (Math.hypot(line.x, line.y) < SAME_SPOT) return null;
    const square = line.x * line.x + line.y * line.y;
    const between = players.filter((p) => {
      const t = (p.x - a.x) * line.x + (p.y - a.y) * line.y;
      return t > 0 && t < square;
    });
    return between.length / players.length;
  }
  const area = turn(a, b, c);
  if (Math.abs(area) / 2 < FLAT) return null;
  const sign = Math.sign(area);
  const inside = players.filter((p) =>
    [
      [a, b],
      [b, c],
      [c, a],
    ].every(([s, e]) => sign * turn(s, e, p) > 0),
  );
  return inside.length / players.length;
}

function anglesApart(watchers, players) {
  if (!players.length || watchers.length < 2) return null;
  const centre = {
    x: players.reduce((sum, p) => sum + p.x, 0) / players.length,
    y: players.reduce((sum, p) => sum + p.y, 0) / players.length,
  };
  if (watchers.some((w) => apart(centre, w) < SAME_SPOT)) return null;
  const rays = watchers.map((w) => ({ x: w.x - centre.x, y: w.y - centre.y }));
  if (rays.length === 2) {
    const [v, w] = rays;
    return [degrees(Math.atan2(Math.abs(v.x * w.y - v.y * w.x), v.x * w.x + v.y * w.y))];
  }
  const turns = rays.map((v) => degrees(Math.atan2(v.y, v.x))).sort((v, w) => v - w);
  const gaps = turns.slice(1).map((after, n) => after - turns[n]);
  return [...gaps, 360 - (turns[turns.length - 1] - turns[0])].sort((v, w) => w - v);
}

/** The corners of the players' convex hull in turn: Andrew's monotone chain. */
function hullOf(players) {
  const points = players
    .map(({ x, y }) => ({ x, y }))
    .sort((a, b) => a.x - b.x || a.y - b.y)
    .filter((p, n, all) => !n || p.x !== all[n - 1].x || p.y !== all[n - 1].y);
  if (points.length < 3) return points;
  const half = (ordered) => {
    const chain = [];
    for (const p of ordered) {
      while (chain.length > 1 && turn(chain[chain.length - 2], chain[chain.length - 1], p) <= 0)
        chain.pop();
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  return [...half(points), ...half([...points].reverse())];
}

const insideHull = (hull, p) =>
  hull.length > 2 && hull.every((c, n) => turn(c, hull[(n + 1) % hull.length], p) > 0);

// The stretch [low, high] of a straight piece, from 0 to 1, within a part of the grown hull.

function inDisc(start, way, corner) {
  const off = { x: start.x - corner.x, y: start.y - corner.y };
  const a = way.x * way.x + way.y * way.y;
  const b = off.x * way.x + off.y * way.y;
  const c = off.x * off.x + off.y * off.y - (ROOM - TOUCH) ** 2;
  const root = b * b - a * c;
  if (a === 0 || root < 0) return null;
  const low = Math.max((-b - Math.sqrt(root)) / a, 0);
  const high = Math.min((-b + Math.sqrt(root)) / a, 1);
  return low > high ? null : [low, high];
}

function withinAll(start, way, halves) {
  let low = 0;
  let high = 1;
  for (const { x, y, limit } of halves) {
    const rate = x * way.x + y * way.y;
    const room = limit - (x * start.x + y * start.y);
    if (rate === 0 && room < 0) return null;
    if (rate < 0) low = Math.max(low, room / rate);
    if (rate > 0) high = Math.min(high, room / rate);
  }
  return low > high ? null : [low, high];
}

function strips(hull) {
  return hull.map((tail, n) => {
    const head = hull[(n + 1) % hull.length];
    const far = apart(tail, head);
    const u = { x: (head.x - tail.x) / far, y: (head.y - tail.y) / far };
    const v = { x: u.y, y: -u.x };
    const at = v.x * tail.x + v.y * tail.y;
    return [
      { x: -u.x, y: -u.y, limit: -(u.x * tail.x + u.y * tail.y) },
      { x: u.x, y: u.y, limit: u.x * head.x + u.y * head.y },
      { x: -v.x, y: -v.y, limit: ROOM - TOUCH - at },
      { x: v.x, y: v.y, limit: ROOM - TOUCH + at },
    ];
  });
}

function core(hull) {
  return hull.map((tail, n) => {
    const head = hull[(n + 1) % hull.length];
    const v = { x: head.y - tail.y, y: tail.x - head.x };
    return { ...v, limit: v.x * tail.x + v.y * tail.y };
  });
}

function measureRoute(route, hull) {
  if (route.length < 2 || !hull.length) return null;
  const parts = hull.length > 1 ? strips(hull) : [];
  if (hull.length > 2) parts.push(core(hull));
  let length = 0;
  let inside = 0;
  for (let n = 1; n < route.length; n += 1) {
    const start = route[n - 1];
    const way = { x: route[n].x - start.x, y: route[n].y - start.y };
    const far = Math.hypot(way.x, way.y);
    const found = [
      ...hull.map((corner) => inDisc(start, way, corner)),
      ...parts.map((halves) => withinAll(start, way, halves)),
    ].filter(Boolean);
    length += far;
    if (found.length) {
      const low = Math.min(...found.map(([from]) => from));
      const high = Math.max(...found.map(([, to]) => to));
      inside += (high - low) * far;
    }
  }
  return { length, inside, around: inside <= TOUCH };
}

/** All measures of a sketch; see evaluations/core/floor/measures.py. */
export function measure(sketch) {
  const { officials, players, fieldOfView } = sketch;
  const three = sketch.crew === 3 && sketch.reporter !== null;
  const watchers = three ? officials.filter((_, n) => n !== sketch.reporter) : officials;
  const seen = watchers.map((w) => seenBy(w, players, fieldOfView));
  const unseen = players.map((_, n) => n).filter((n) => !seen.some((row) => row[n]));
  const judged = players.length > 0 && watchers.length > 0;
  const hull = hullOf(players);
  return {
    watchers: watchers.map((w) => officials.indexOf(w)),
    seen,
    coverage: judged ? (players.length - unseen.length) / players.length : null,
    unseen: judged ? unseen : [],
    boxed: boxedShare(watchers, players),
    apart: anglesApart(watchers, players),
    inside: watchers.filter((w) => insideHull(hull, w)).map((w) => officials.indexOf(w)),
    route: measureRoute(sketch.route, hull),
  };
}
