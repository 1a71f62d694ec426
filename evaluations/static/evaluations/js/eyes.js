// The eyes ledger while a film is marked: the same bands, gaps and sums as
// evaluations/core/floor/eyes.py, which has the last word when marks are saved. A test compares the
// two. Times are whole milliseconds, spans half open.
//
// A dead time: {members, whistle, live, reportEnded, caller, marks: [{member, facing, start, end}]};
// live, reportEnded, caller and a mark's end may be null.

export const FACING = "facing";
export const NOT_FACING = "not_facing";
export const CANT_TELL = "cant_tell";

function edgesOf(spans, start, end) {
  return [...new Set([start, end, ...spans.flat()])].sort((a, b) => a - b);
}

function merged(edges, stateAt) {
  const band = [];
  for (let n = 1; n < edges.length; n += 1) {
    const state = stateAt(edges[n - 1]);
    const last = band[band.length - 1];
    if (last && last.state === state) last.end = edges[n];
    else band.push({ start: edges[n - 1], end: edges[n], state });
  }
  return band;
}

function bandOf(marks, start, end) {
  const clipped = marks.map((m) => ({
    start: Math.max(m.start, start),
    end: m.end === null ? end : Math.min(m.end, end),
    facing: m.facing,
  }));
  const spans = clipped.filter((m) => m.start < m.end).map((m) => [m.start, m.end]);
  return merged(edgesOf(spans, start, end), (at) => {
    const found = clipped.filter((m) => m.start <= at && at < m.end);
    return found.length ? found[found.length - 1].facing : CANT_TELL;
  });
}

function coverOf(bands, start, end) {
  const spans = bands.flat().map((s) => [s.start, s.end]);
  return merged(edgesOf(spans, start, end), (at) => {
    const now = bands.map((band) => band.find((s) => s.start <= at && at < s.end).state);
    if (now.includes(FACING)) return "covered";
    return now.every((state) => state === NOT_FACING) ? "uncovered" : "unknown";
  });
}

function gapsOf(time, cover) {
  const turn = time.reportEnded;
  const others = time.members.filter((member) => member !== time.caller);
  const owner = time.caller !== null && others.length === 1 ? others[0] : null;
  const ofOthers = (start, end) => ({ start, end, whose: "others", owner });
  const ofCrew = (start, end) => ({ start, end, whose: "crew", owner: null });
  return cover
    .filter(({ state }) => state === "uncovered")
    .flatMap(({ start, end }) => {
      if (turn === null || turn <= start) return [ofCrew(start, end)];
      if (turn >= end) return [ofOthers(start, end)];
      return [ofOthers(start, turn), ofCrew(turn, end)];
    });
}

/** Bands, gaps and sums; sums and longest are null while the ball isn't live. */
export function ledger(time) {
  const start = time.whistle;
  const marked = time.marks.flatMap((m) => [m.start, m.end]).filter((edge) => edge !== null);
  const end = time.live ?? Math.max(start, time.reportEnded ?? start, ...marked);
  const bands = time.members.map((member) =>
    bandOf(
      time.marks.filter((m) => m.member === member),
      start,
      end,
    ),
  );
  const cover = coverOf(bands, start, end);
  const gaps = gapsOf(time, cover);
  const sum = (state) =>
    cover.filter((s) => s.state === state).reduce((all, s) => all + s.end - s.start, 0);
  const longest = gaps.reduce(
    (best, gap) => (!best || gap.end - gap.start > best.end - best.start ? gap : best),
    null,
  );
  return {
    start,
    end,
    officials: Object.fromEntries(time.members.map((member, n) => [member, bands[n]])),
    cover,
    gaps,
    sums:
      time.live === null
        ? null
        : { covered: sum("covered"), uncovered: sum("uncovered"), unknown: sum("unknown") },
    longest: time.live === null ? null : longest,
  };
}
