"use strict";
const SVG = "http://www.w3.org/2000/svg";
const EDGES = ["root", "tip", "end_a", "end_b"];
const SMALLEST_SIDE_PX = 8, REACH = 22, LOUPE = 132;
const at = (id) => document.getElementById(id);
const job = JSON.parse(at("job").textContent);
const EDGE_WORDS = job.edge_words;
const said = (key, values) => job.said[key].map((text) => text.replace(/\{(\w+)\}/g, (_, name) => values[name]));
const say = (key, values) => said(key, values)[0];
const stage = at("stage"), overlay = at("overlay"), photo = at("photo"), loupe = at("loupe");

/* ---- the outline: points are [x, y] in pixels of the full upright photo; neighbouring edges share the corner point itself.
   loose: no edge point was placed yet, so they follow the corners; untouched: nothing was moved yet;
   starts: a shape to start from, of which only corners and the points that a person placed ([x, y, 1]) are saved;
   origin: what the file says of it as long as the points are those that came ---- */
const pointsText = (flank) => JSON.stringify(EDGES.map((name) => flank[name]));
let flanks = job.flanks.map(linked).map((flank) => Object.assign(flank, { came: pointsText(flank), starts: flank.untouched })), active = 0, chosen = null;
let past = [], lastStep = "", lastStepTime = 0, unsaved = false;
const view = { scale: 1, x: 0, y: 0, fitted: true };

function linked(flank) {
  flank.end_a[0] = flank.root[0]; flank.end_a[flank.end_a.length - 1] = flank.tip[0];
  flank.end_b[0] = flank.root.at(-1); flank.end_b[flank.end_b.length - 1] = flank.tip.at(-1);
  return flank;
}
const flankNow = () => flanks[active];
const distance = (p, q) => Math.hypot(p[0] - q[0], p[1] - q[1]);
const between = (p, q, t) => [p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t];
const rounded = (value) => Math.round(value * 100) / 100;
const edgeLength = (edge) => edge.slice(1).reduce((sum, point, k) => sum + distance(edge[k], point), 0);

function border(flank) {
  return [...flank.root, ...flank.end_b.slice(1), ...[...flank.tip].reverse().slice(1), ...[...flank.end_a].reverse().slice(1, -1)];
}
function signedArea(points) { /* positive when the points run anticlockwise as seen */
  return points.reduce((sum, p, k) => { const q = points[(k + 1) % points.length]; return sum + q[0] * p[1] - p[0] * q[1]; }, 0) / 2;
}
const mirrored = job.lift.seen === "touched"; /* a print seen on the side that touched the tooth */
const senseSeen = (flank) => ((signedArea(border(flank)) > 0) !== mirrored ? "right" : "left");
function middle(flank) {
  const points = border(flank);
  return [0, 1].map((k) => points.reduce((sum, p) => sum + p[k], 0) / points.length);
}
function halfway(edge) {
  let rest = edgeLength(edge) / 2;
  for (let k = 1; k < edge.length; k++) {
    const step = distance(edge[k - 1], edge[k]);
    if (step >= rest && step > 0) return between(edge[k - 1], edge[k], rest / step);
    rest -= step;
  }
  return edge[0];
}
function placesOf(flank) { /* every point once, in the order of the Tab key, with the edge and index it stands at */
  const whole = (edge) => flank[edge].map((point, index) => ({ point, edge, index }));
  const inner = (edge) => whole(edge).slice(1, -1);
  return [...whole("root"), ...inner("end_b"), ...whole("tip").reverse(), ...inner("end_a").reverse()];
}
const placeOf = (point) => placesOf(flankNow()).find((place) => place.point === point);
const isCorner = (place) => place.index === 0 || place.index === flankNow()[place.edge].length - 1;

/* ---- what is wrong with an outline, in words ---- */
function crosses(p, p2, q, q2) {
  const r = [p2[0] - p[0], p2[1] - p[1]], s = [q2[0] - q[0], q2[1] - q[1]], gap = [q[0] - p[0], q[1] - p[1]];
  const turn = r[0] * s[1] - r[1] * s[0];
  if (turn === 0) return false;
  const t = (gap[0] * s[1] - gap[1] * s[0]) / turn, u = (gap[0] * r[1] - gap[1] * r[0]) / turn;
  return t >= 0 && t <= 1 && u >= 0 && u <= 1;
}
function trimmed(edge) {
  const out = edge.slice(), end = edge.length - 1;
  out[0] = between(edge[0], edge[1], 1e-3); out[end] = between(edge[end], edge[end - 1], 1e-3);
  return out;
}
function polylinesCross(first, second) {
  return first.slice(1).some((p, j) => second.slice(1).some((q, k) => crosses(first[j], p, second[k], q)));
}
function crossesItself(edge) {
  return edge.slice(0, -2).some((p, k) => polylinesCross([p, edge[k + 1]], trimmed(edge.slice(k + 1))));
}
function crossingTrouble(flank) {
  for (let j = 0; j < 4; j++) {
    if (crossesItself(flank[EDGES[j]])) return say("crosses-itself", { edge: EDGE_WORDS[EDGES[j]] });
    for (let k = j + 1; k < 4; k++)
      if (polylinesCross(trimmed(flank[EDGES[j]]), trimmed(flank[EDGES[k]])))
        return say("cross", { edge: EDGE_WORDS[EDGES[j]], other: EDGE_WORDS[EDGES[k]] });
  }
  return null;
}
function troubleOf(flank) {
  const width = (edgeLength(flank.root) + edgeLength(flank.tip)) / 2, area = signedArea(border(flank));
  const shortest = Math.min(...EDGES.map((name) => edgeLength(flank[name])), Math.abs(area) / Math.max(width, 1e-9));
  const crossing = crossingTrouble(flank);
  if (!flank.flank) return { todo: true, short: say("short-no-flank"), helps: ["say-left", "say-right"], text: said("no-flank") };
  if (flank.untouched) return notMarked(flank);
  if (crossing) return { short: say("short-cross"), helps: ["undo"], text: [crossing, say("go-round")] };
  if (shortest < SMALLEST_SIDE_PX) return { short: say("short-tiny"), text: said("tiny", { px: Math.round(shortest) }) };
  const seen = senseSeen(flank);
  return seen === flank.flank ? null : senseTrouble(flank.flank, seen);
}
function notMarked(flank) {
  if (flank.refused) return { todo: true, short: say("short-corners"), text: said("refused") };
  if (flank.origin.source === "found") return { todo: true, short: say("short-corners"), text: said("not-trusted") };
  return flank.loose ? { todo: true, short: say("short-corners"), helps: ["turn"], text: said("start") }
    : { todo: true, short: say("short-copy"), text: said("copy") };
}
const senseTrouble = (told, seen) => ({ short: say("short-sense"), helps: ["swap"], text: said("sense", { told, seen }) });

/* ---- what was marked is kept in this browser, where it lets us, so that a reload loses nothing ---- */
const KEEP = "patternscan marking " + JSON.stringify([job.photo, job.width_px, job.height_px, job.flanks]);
const kept = { read: () => { try { return localStorage.getItem(KEEP); } catch { return null; } },
  write: (text) => { try { localStorage.setItem(KEEP, text); } catch { /* nothing can be kept here */ } } };
function takeUp() { /* what an earlier visit left, as one step that Undo takes back */
  const text = kept.read();
  if (!text) return;
  past.push(JSON.stringify({ flanks, active }));
  const before = JSON.parse(text); flanks = before.flanks.map(linked); active = before.active;
}

/* ---- changes, each one step for Undo ---- */
function remember(step) {
  const now = Date.now(), same = step && step === lastStep && now - lastStepTime < 1000;
  lastStep = step; lastStepTime = now; unsaved = true;
  if (!same) past.push(JSON.stringify({ flanks, active }));
  if (past.length > 200) past.shift();
}
function undo() {
  if (!past.length) return;
  const index = chosen ? placesOf(flankNow()).findIndex((place) => place.point === chosen) : -1;
  const before = JSON.parse(past.pop());
  flanks = before.flanks.map(linked); active = before.active; lastStep = "";
  chosen = (placesOf(flankNow())[index] || { point: null }).point;
  rebuild();
}
function movePoint(place, target, bends) {
  const flank = flankNow(), step = [rounded(target[0]) - place.point[0], rounded(target[1]) - place.point[1]];
  place.point[0] = rounded(target[0]); place.point[1] = rounded(target[1]);
  flank.untouched = false;
  if (!isCorner(place)) { flank.loose = false; if (bends) bend(flank[place.edge], place.index, step); }
  else if (flank.loose) straighten(flank);
  else for (const name of EDGES) follow(flank[name], place.point, step);
}
function follow(edge, corner, step) { /* the points between go with the corner, the less the further they lie from it */
  const end = edge.length - 1, first = edge[0] === corner;
  if (!first && edge[end] !== corner) return;
  for (let k = 1; k < end; k++) {
    const part = first ? 1 - k / end : k / end;
    edge[k][0] = rounded(edge[k][0] + part * step[0]); edge[k][1] = rounded(edge[k][1] + part * step[1]);
  }
}
const mayBend = (flank, edge) => (flank.starts || flank.origin.source === "found") && !flank[edge].slice(1, -1).some((p) => p[2]);
const marked = (flank, edge) => flank[edge].filter((p, k, all) => !flank.starts || k === 0 || k === all.length - 1 || p[2]).map((p) => p.slice(0, 2));
function bend(edge, index, step) { /* the first drag of a point takes its whole edge along, as an arc between the corners */
  const end = edge.length - 1;
  for (let k = 1; k < end; k++) {
    if (k === index) continue;
    const s = k < index ? k / index : (end - k) / (end - index), part = s * (2 - s);
    edge[k][0] = rounded(edge[k][0] + part * step[0]); edge[k][1] = rounded(edge[k][1] + part * step[1]);
  }
}
function straighten(flank) { /* before any edge point was placed, they stay evenly spread between the corners */
  for (const name of EDGES) {
    const edge = flank[name], end = edge.length - 1;
    for (let k = 1; k < end; k++) { const p = between(edge[0], edge[end], k / end); edge[k][0] = rounded(p[0]); edge[k][1] = rounded(p[1]); }
  }
}
function moveAll(points, step) {
  const flank = flankNow(); flank.untouched = flank.untouched && flank.loose;
  points.forEach(([point, from]) => { point[0] = rounded(from[0] + step[0]); point[1] = rounded(from[1] + step[1]); });
}
const allPoints = () => placesOf(flankNow()).map((place) => [place.point, place.point.slice()]);

function insertPoint(edge, index, point) {
  remember(""); flankNow().loose = flankNow().untouched = false;
  flankNow()[edge].splice(index, 0, [...point.map(rounded), 1]); chosen = flankNow()[edge][index];
  rebuild(true);
}
function addBesideChosen() {
  const flank = flankNow(), place = chosen && placeOf(chosen);
  let edge = "tip", index = 1;
  if (place) { edge = place.edge; index = Math.min(place.index + 1, flank[edge].length - 1); }
  else for (const name of EDGES) flank[name].slice(1).forEach((p, k) => {
    if (distance(p, flank[name][k]) > distance(flank[edge][index], flank[edge][index - 1])) { edge = name; index = k + 1; } });
  insertPoint(edge, index, between(flank[edge][index - 1], flank[edge][index], 0.5));
}
function removeChosen() {
  const place = chosen && placeOf(chosen);
  if (!place || isCorner(place)) return;
  remember(""); flankNow()[place.edge].splice(place.index, 1);
  chosen = flankNow()[place.edge][place.index - 1];
  flankNow().loose = flankNow().untouched = false; rebuild(true);
}
function swapEnds() {
  remember(""); reverseEnds(flankNow()); flankNow().untouched = false; rebuild();
}
function reverseEnds(flank) { flank.root.reverse(); flank.tip.reverse(); [flank.end_a, flank.end_b] = [flank.end_b, flank.end_a]; }
function turnQuarter() {
  remember(""); const [x, y] = middle(flankNow());
  allPoints().forEach(([point, from]) => { point[0] = rounded(x - (from[1] - y)); point[1] = rounded(y + (from[0] - x)); });
  draw();
}
function simplified(edge, slack) { /* drops points that lie within slack of the line between those that stay */
  let far = 0, which = 0; const end = edge.length - 1;
  for (let k = 1; k < end; k++) { const away = toSegment(edge[k], edge[0], edge[end]).away; if (away > far) { far = away; which = k; } }
  return far <= slack ? [edge[0], edge[end]] : [...simplified(edge.slice(0, which + 1), slack).slice(0, -1), ...simplified(edge.slice(which), slack)];
}
function fewerPoints() {
  remember(""); const flank = flankNow(); flank.loose = flank.untouched = false;
  for (const name of EDGES) {
    const most = name === "root" || name === "tip" ? 9 : 4;
    let slack = 0.25;
    while (flank[name].length > most && slack < 1e5) { flank[name] = simplified(flank[name], slack); slack *= 1.3; }
  }
  chosen = null; rebuild();
}
function addFlank() {
  remember(""); const copy = JSON.parse(JSON.stringify(flankNow())), step = stepToNextTooth(copy);
  EDGES.forEach((name) => { copy[name] = copy[name].map((p) => [rounded(p[0] + step[0]), rounded(p[1] + step[1]), ...p.slice(2)]); });
  const names = flanks.map((f) => f.tooth); let number = flanks.length + 1;
  while (names.includes(String(number))) number += 1;
  copy.tooth = String(number); copy.untouched = true; copy.refused = false; flanks.push(linked(copy)); active = flanks.length - 1; chosen = null; rebuild();
}
function stepToNextTooth(flank) { /* the next tooth lies beyond the tip or beyond the root; the copy's middle stays in the photo */
  const root = halfway(flank.root), tip = halfway(flank.tip), [x, y] = middle(flank);
  const steps = [1.3, -1.3, 0.4, -0.4].map((by) => [(tip[0] - root[0]) * by, (tip[1] - root[1]) * by]);
  return steps.find(([dx, dy]) => x + dx > 0 && y + dy > 0 && x + dx < job.width_px && y + dy < job.height_px) || [0, 0];
}
function deleteFlank() {
  if (flanks.length < 2) return;
  remember(""); flanks.splice(active, 1); active = Math.min(active, flanks.length - 1); chosen = null; rebuild();
}
function chooseFlank(value) {
  remember(""); const flank = flankNow(), unsaid = !flank.flank; flank.flank = value;
  if ((unsaid || flank.untouched && flank.loose) && senseSeen(flank) !== value) {
    const asItCame = flank.came === pointsText(flank);
    reverseEnds(flank); if (asItCame) flank.came = pointsText(flank);
  }
  rebuild();
}
