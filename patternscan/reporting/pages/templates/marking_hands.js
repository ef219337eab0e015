/* ---- fingers, mouse, wheel ---- */
const pointers = new Map();
let gesture = null, lastTap = { time: 0, place: [0, 0] };

const spot = (event) => { const box = stage.getBoundingClientRect(); return [event.clientX - box.left, event.clientY - box.top]; };
function nearestPlace(place) {
  let best = null, least = REACH;
  for (const candidate of placesOf(flankNow())) {
    const away = distance(toScreen(candidate.point), place) - (isCorner(candidate) ? 3 : 0);
    if (away < least) { least = away; best = candidate; }
  }
  return best;
}
function toSegment(p, a, b) {
  const d = [b[0] - a[0], b[1] - a[1]], size = d[0] * d[0] + d[1] * d[1] || 1e-12;
  const t = Math.min(Math.max(((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / size, 0), 1), foot = between(a, b, t);
  return { away: distance(p, foot), foot };
}
function nearestOnEdge(place) {
  let best = null, least = REACH;
  for (const edge of EDGES) {
    const points = flankNow()[edge].map(toScreen);
    for (let k = 1; k < points.length; k++) {
      const { away, foot } = toSegment(place, points[k - 1], points[k]);
      if (away < least) { least = away; best = { edge, index: k, foot: toPhoto(foot) }; }
    }
  }
  return best;
}
function pointerDown(event) {
  if (event.button > 0) return;
  event.preventDefault(); overlay.setPointerCapture(event.pointerId);
  const place = spot(event); pointers.set(event.pointerId, place); loupe.style.display = "none";
  if (pointers.size === 2) { gesture = { kind: "pinch" }; return; }
  if (pointers.size > 2) return;
  const grabbed = nearestPlace(place), whole = !grabbed && distance(toScreen(middle(flankNow())), place) < REACH;
  gesture = { kind: grabbed ? "point" : whole ? "whole" : "pan", place: grabbed, start: place, last: place, moved: false, touch: event.pointerType !== "mouse",
    from: grabbed ? grabbed.point.slice() : null, points: whole ? allPoints() : null };
  const handle = grabbed ? handles.find((h) => h.place.point === grabbed.point).node : whole ? wholeHandle : null;
  if (handle) handle.focus({ preventScroll: true }); else document.activeElement.blur();
  if (grabbed) showLoupe(grabbed.point);
}
function pointerMove(event) {
  if (!pointers.has(event.pointerId) || !gesture) return;
  const place = spot(event);
  if (gesture.kind === "pinch") { pinch(event.pointerId, place); return; }
  pointers.set(event.pointerId, place);
  if (!gesture.moved && distance(place, gesture.start) < (gesture.touch ? 5 : 2)) return;
  if (!gesture.moved && gesture.kind !== "pan") remember("");
  gesture.moved = true;
  const step = [(place[0] - gesture.start[0]) / view.scale, (place[1] - gesture.start[1]) / view.scale];
  if (gesture.kind === "pan") pan(place[0] - gesture.last[0], place[1] - gesture.last[1]);
  else if (gesture.kind === "whole") { moveAll(gesture.points, step); draw(); }
  else { movePoint(gesture.place, [gesture.from[0] + step[0], gesture.from[1] + step[1]], mayBend(flankNow(), gesture.place.edge)); draw(); showLoupe(gesture.place.point); }
  gesture.last = place;
}
function pinch(id, place) {
  const other = [...pointers].find(([key]) => key !== id)[1], before = pointers.get(id);
  const factor = distance(place, other) / Math.max(distance(before, other), 1);
  view.x += (place[0] - before[0]) / 2; view.y += (place[1] - before[1]) / 2;
  zoom(factor, between(place, other, 0.5)); pointers.set(id, place);
}
function pointerUp(event) {
  if (!pointers.delete(event.pointerId)) return;
  loupe.style.display = "none";
  const done = gesture;
  if (pointers.size) { gesture = { kind: "pinch" }; if (pointers.size === 1) gesture = { kind: "rest" }; return; }
  gesture = null;
  if (done && done.kind === "point" && done.moved && !isCorner(done.place)) done.place.point[2] = 1;
  if (done && event.type === "pointerup" && done.start && !done.moved) tap(done);
}
function tap(done) {
  const now = Date.now(), twice = now - lastTap.time < 400 && distance(done.start, lastTap.place) < 24;
  lastTap = { time: twice ? 0 : now, place: done.start };
  if (twice) addAt(done.start);
  else if (done.kind === "pan") chooseOther(done.start);
}
function addAt(place) {
  const hit = nearestOnEdge(place), near = placesOf(flankNow()).some((p) => distance(toScreen(p.point), place) < 8);
  if (hit && !near) insertPoint(hit.edge, hit.index, hit.foot);
}
function chooseOther(place) {
  const inside = (flank) => { const p = toPhoto(place), points = border(flank); let odd = false;
    points.forEach((a, k) => { const b = points[(k + 1) % points.length];
      if ((a[1] > p[1]) !== (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1])) odd = !odd; }); return odd; };
  const other = inside(flankNow()) ? -1 : flanks.findIndex((flank, k) => k !== active && inside(flank));
  if (other >= 0) { active = other; chosen = null; rebuild(); }
}

/* ---- keys ---- */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
function pressKey(event, place) {
  const arrow = ARROWS[event.key], step = event.shiftKey ? 10 : 1;
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (arrow) {
    remember("arrow " + (place ? place.edge + place.index : "whole"));
    const by = [arrow[0] * step, arrow[1] * step];
    if (place) { movePoint(place, [place.point[0] + by[0], place.point[1] + by[1]]); if (!isCorner(place)) place.point[2] = 1; } else moveAll(allPoints(), by);
    draw(); if (place) { bringIntoView(place.point); showLoupe(place.point); }
  } else if (event.key === "Delete" || event.key === "Backspace") removeChosen();
  else if (event.key === "Insert" && place) addBesideChosen();
  else return;
  event.preventDefault();
}

/* ---- the file ---- */
function fileText() {
  const origin = (flank) => flank.origin.source && flank.came !== pointsText(flank) ? { source: "corrected" } : flank.origin;
  const entry = (flank) => Object.assign({ flank: flank.flank, tooth: flank.tooth }, origin(flank), job.lift, ...EDGES.map((name) => ({ [name]: marked(flank, name) })));
  return JSON.stringify({ format: job.format, version: job.version, photo: job.photo, ...job.picture, flanks: flanks.map(entry) }, null, 1) + "\n";
}

overlay.addEventListener("mousedown", (event) => event.preventDefault()); /* the focus goes to the nearest point, not to the topmost */
overlay.addEventListener("pointerdown", pointerDown); overlay.addEventListener("pointermove", pointerMove);
overlay.addEventListener("pointerup", pointerUp); overlay.addEventListener("pointercancel", pointerUp);
stage.addEventListener("wheel", (event) => { event.preventDefault(); zoom(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0015)), spot(event)); }, { passive: false });
function brighten() {
  const bright = stage.classList.toggle("bright");
  at("brighter").setAttribute("aria-pressed", String(bright));
}
for (const [id, action] of [["undo", undo], ["fit", fit], ["close-up", closeUp], ["zoom-in", () => zoom(1.5)], ["zoom-out", () => zoom(1 / 1.5)], ["add", addBesideChosen],
  ["remove", removeChosen], ["turn", turnQuarter], ["fewer", fewerPoints], ["swap", swapEnds], ["add-flank", addFlank], ["delete-flank", deleteFlank], ["brighter", brighten], ["save", save]])
  at(id).addEventListener("click", action);
document.querySelectorAll("input[name=flank]").forEach((radio) => radio.addEventListener("change", () => chooseFlank(radio.value)));
at("tooth").addEventListener("input", () => { remember("tooth"); flankNow().tooth = at("tooth").value; rebuild(); });
at("by-hand").addEventListener("toggle", drawState);
document.addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && event.target.id !== "tooth") { event.preventDefault(); undo(); } });
window.addEventListener("beforeunload", (event) => { if (unsaved) event.preventDefault(); });
new ResizeObserver(() => { if (view.fitted) fit(); else draw(); }).observe(stage);
at("file-name").textContent = job.file_name;
if (matchMedia("(max-width: 900px), (max-height: 500px)").matches) at("hints").open = false;
takeUp(); rebuild(); fit();
