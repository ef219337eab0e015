/* ---- the view: photo pixel (0, 0) is the centre of the first pixel ---- */
const toScreen = (p) => [(p[0] + 0.5) * view.scale + view.x, (p[1] + 0.5) * view.scale + view.y];
const toPhoto = (q) => [(q[0] - view.x) / view.scale - 0.5, (q[1] - view.y) / view.scale - 0.5];
const wholePhoto = () => [[-0.5, -0.5], [job.width_px - 0.5, job.height_px - 0.5]];
function show(points, margin) { /* the points fill the stage up to a margin on each side */
  const [left, top] = [0, 1].map((k) => Math.min(...points.map((p) => p[k]))), w = stage.clientWidth, h = stage.clientHeight;
  const [right, bottom] = [0, 1].map((k) => Math.max(...points.map((p) => p[k])));
  view.scale = Math.max(Math.min((w - 2 * margin) / (right - left || 1), (h - 2 * margin) / (bottom - top || 1), 8), 1e-3);
  view.x = w / 2 - ((left + right) / 2 + 0.5) * view.scale; view.y = h / 2 - ((top + bottom) / 2 + 0.5) * view.scale;
}
function fit() { show(wholePhoto(), 4); view.fitted = true; draw(); }
function closeUp() { show(border(flankNow()), 58); view.fitted = false; draw(); }
function zoom(factor, place) {
  const [x, y] = place || [stage.clientWidth / 2, stage.clientHeight / 2];
  const lowest = 0.5 * Math.min(stage.clientWidth / job.width_px, stage.clientHeight / job.height_px);
  const scale = Math.min(Math.max(view.scale * factor, lowest), Math.max(8, lowest)), by = scale / view.scale;
  view.x = x - (x - view.x) * by; view.y = y - (y - view.y) * by; view.scale = scale; view.fitted = false;
  draw();
}
function pan(dx, dy) { view.x += dx; view.y += dy; view.fitted = false; draw(); }
function bringIntoView(point) {
  const [x, y] = toScreen(point), w = stage.clientWidth, h = stage.clientHeight, rim = 30;
  const dx = x < rim ? rim - x : x > w - rim ? w - rim - x : 0, dy = y < rim ? rim - y : y > h - rim ? h - rim - y : 0;
  if (dx || dy) pan(dx, dy);
}

/* ---- drawing ---- */
function make(name, attributes, parent) {
  const node = document.createElementNS(SVG, name);
  for (const key in attributes) node.setAttribute(key, attributes[key]);
  if (parent) parent.append(node);
  return node;
}
const path = (points, closed) => "M" + points.map((p) => toScreen(p).map((v) => v.toFixed(2)).join(" ")).join("L") + (closed ? "Z" : "");
let handles = [], wholeHandle = null, shapes = null;

function spoken(place) {
  const count = flankNow()[place.edge].length;
  return isCorner(place) ? say("corner", { edge: EDGE_WORDS[place.edge], end: place.index ? "B" : "A" })
    : say("point", { number: place.index, count: count - 2, edge: EDGE_WORDS[place.edge] });
}
function makeHandle(place) {
  const node = make("g", { class: "handle", tabindex: "0", role: "button", "data-place": place.edge + "-" + place.index });
  make("circle", { class: "target", r: REACH }, node);
  make("circle", { class: "ring", r: 13 }, node);
  for (const kind of ["dotcase", "dot"])
    if (isCorner(place)) make("rect", { class: kind, x: -6, y: -6, width: 12, height: 12 }, node);
    else make("circle", { class: kind, r: 4 }, node);
  node.addEventListener("focus", () => { choose(place.point); if (!gesture) bringIntoView(place.point); });
  node.addEventListener("blur", () => { loupe.style.display = "none"; });
  node.addEventListener("keydown", (event) => pressKey(event, place));
  return { node, place };
}
function makeWholeHandle() {
  const node = make("g", { class: "handle", tabindex: "0", role: "button", "data-place": "whole", "aria-label": say("whole") });
  make("circle", { class: "target", r: REACH }, node); make("circle", { class: "ring", r: 17 }, node);
  for (const kind of ["dotcase", "dot"]) make("path", { class: kind, d: "M-10 0H10M0 -10V10M-6 -4L-10 0L-6 4M6 -4L10 0L6 4M-4 -6L0 -10L4 -6M-4 6L0 10L4 6" }, node);
  node.addEventListener("focus", () => choose("whole"));
  node.addEventListener("keydown", (event) => pressKey(event, null));
  return node;
}
function rebuild(refocus) {
  overlay.replaceChildren();
  shapes = { others: make("g", {}, overlay), inside: make("path", { class: "inside" }, overlay), lines: {}, words: {} };
  for (const kind of ["casing", "edge"]) for (const name of EDGES) shapes.lines[kind + name] = make("path", { class: kind + " " + name }, overlay);
  wholeHandle = makeWholeHandle(); overlay.append(wholeHandle);
  handles = placesOf(flankNow()).map(makeHandle);
  handles.forEach((h) => overlay.append(h.node));
  for (const [name, text] of [["end_a", "A"], ["end_b", "B"], ["tip", "tip"], ["root", "root"]])
    (shapes.words[name] = make("text", { class: text.length === 1 ? "letter" : "word" }, overlay)).textContent = text;
  drawPanel(); draw();
  const again = refocus && handles.find((h) => h.place.point === chosen);
  if (again) again.node.focus({ preventScroll: true });
}
function draw() {
  const flank = flankNow();
  photo.style.width = job.width_px + "px"; photo.style.height = job.height_px + "px";
  photo.style.transform = "translate(" + view.x + "px," + view.y + "px) scale(" + view.scale + ")";
  shapes.others.replaceChildren();
  flanks.forEach((other, k) => { if (k !== active) drawOther(other); });
  shapes.inside.setAttribute("d", path(border(flank), true));
  for (const name of EDGES) for (const kind of ["casing", "edge"]) shapes.lines[kind + name].setAttribute("d", path(flank[name]));
  for (const { node, place } of handles) placeHandle(node, place.point, spoken(place), place.point === chosen);
  placeHandle(wholeHandle, middle(flank), say("whole"), chosen === "whole");
  overlay.classList.toggle("dense", crowded());
  drawWords(flank); drawState();
  if (past.length) kept.write(JSON.stringify({ flanks, active }));
}
function crowded() { /* the dots would hide the edge */
  const points = border(flankNow());
  return points.length > 24 && points.filter((p, k) => k && distance(p, points[k - 1]) * view.scale < 12).length > points.length / 2;
}
function drawOther(flank) {
  for (const kind of ["casing", "other"]) make("path", { class: kind, d: path(border(flank), true) }, shapes.others);
  const [x, y] = toScreen(middle(flank));
  make("text", { class: "word", x, y }, shapes.others).textContent = say("tooth-in-photo", { name: flank.tooth });
}
function placeHandle(node, point, label, isChosen) {
  const [x, y] = toScreen(point);
  node.setAttribute("transform", "translate(" + x.toFixed(2) + " " + y.toFixed(2) + ")");
  node.setAttribute("aria-label", label + ", x " + rounded(point[0]) + ", y " + rounded(point[1]));
  node.classList.toggle("chosen", isChosen);
}
function drawWords(flank) { /* a word that would lie on another one is left out, the letters of the ends never */
  const taken = [];
  const centre = toScreen(middle(flank)), w = stage.clientWidth, h = stage.clientHeight;
  for (const name of ["end_a", "end_b", "tip", "root"]) {
    const [x, y] = toScreen(halfway(flank[name])), first = toScreen(flank[name][0]), end = toScreen(flank[name].at(-1));
    let out = [end[1] - first[1], first[0] - end[0]], size = Math.hypot(...out) || 1;
    if (out[0] * (x - centre[0]) + out[1] * (y - centre[1]) < 0) size = -size;
    const off = name.startsWith("end") ? 34 : 26, seen = x > -20 && y > -20 && x < w + 20 && y < h + 20;
    const spot = [Math.min(Math.max(x + out[0] / size * off, 20), w - 20), Math.min(Math.max(y + out[1] / size * off, 20), h - 20)];
    const free = taken.every((other) => Math.abs(spot[0] - other[0]) > 40 || Math.abs(spot[1] - other[1]) > 28);
    const shown = seen && (name.startsWith("end") || free);
    if (shown) taken.push(spot);
    shapes.words[name].setAttribute("x", shown ? spot[0] : -99); shapes.words[name].setAttribute("y", shown ? spot[1] : -99);
  }
  for (const word of shapes.others.querySelectorAll("text")) {
    const spot = [+word.getAttribute("x"), +word.getAttribute("y")];
    if (taken.some((other) => Math.abs(spot[0] - other[0]) < 60 && Math.abs(spot[1] - other[1]) < 28)) word.remove(); else taken.push(spot);
  }
}
function paragraph(text, strong) {
  const node = document.createElement("p");
  (strong ? node.appendChild(document.createElement("b")) : node).textContent = text;
  return node;
}
let lastState = "";
function drawState() {
  const place = chosen && chosen !== "whole" && placeOf(chosen);
  at("undo").disabled = !past.length;
  at("remove").disabled = !place || isCorner(place);
  at("chosen").textContent = place ? say("place", { point: spoken(place), x: chosen[0].toFixed(1), y: chosen[1].toFixed(1) }) : say(crowded() ? "crowded" : "choose");
  const troubles = flanks.map(troubleOf), k = troubles[active] ? active : troubles.findIndex((t) => t), trouble = troubles[k];
  const state = JSON.stringify([k, trouble, flanks.length, active, rootMissing(flankNow())]);
  if (state !== lastState) { lastState = state; showTrouble(k, trouble); }
  if (at("by-hand").open) at("text").value = trouble ? "" : fileText();
}
function showTrouble(k, trouble) {
  const whose = trouble && flanks.length > 1 ? say("tooth", { name: flanks[k].tooth }) + ": " : "";
  at("save").disabled = Boolean(trouble);
  const sign = trouble && trouble.todo ? "\u27A4 " : "\u2716 ";
  at("save").textContent = trouble ? sign + say("cannot-save", { why: whose + trouble.short }) : say("save");
  at("state").className = !trouble ? "" : trouble.todo ? "todo" : "stop";
  if (!trouble) { showGood(); return; }
  const [first, ...rest] = trouble.text;
  at("state").replaceChildren(paragraph(sign + whose + first, true));
  for (const help of trouble.helps || []) {
    const button = document.createElement("button");
    button.type = "button"; button.id = help + "-now"; button.textContent = say(help);
    button.addEventListener("click", () => { active = k; HELPS[help](); });
    at("state").append(button, " ");
  }
  at("state").append(...rest.map((text) => paragraph(text)));
}
const rootMissing = (flank) => flank.starts && marked(flank, "root").length < 3;
function showGood() {
  const [first, ...rest] = said(rootMissing(flankNow()) ? "corners-done" : "good");
  at("state").replaceChildren(paragraph("\u2714 " + first), ...rest.map((text) => paragraph(text)));
}
const HELPS = { swap: swapEnds, undo, turn: turnQuarter, "say-left": () => chooseFlank("left"), "say-right": () => chooseFlank("right") };
function drawPanel() {
  const flank = flankNow();
  document.querySelectorAll("input[name=flank]").forEach((radio) => { radio.checked = radio.value === flank.flank; });
  if (document.activeElement !== at("tooth")) at("tooth").value = flank.tooth;
  at("delete-flank").disabled = flanks.length < 2;
  at("teeth").replaceChildren(...flanks.map((f, k) => {
    const button = document.createElement("button");
    button.type = "button"; button.textContent = say("tooth", { name: f.tooth }); button.setAttribute("aria-pressed", String(k === active));
    button.addEventListener("click", () => { active = k; chosen = null; rebuild(); });
    return button;
  }));
  const quoted = (name) => (/^[\w.-]+$/.test(name) ? name : '"' + name + '"');
  const words = ["patternscan read", quoted(job.photo), "--flank " + (flank.flank || "right"), "--marking HOW", "--outline", quoted(job.file_name)];
  at("command").replaceChildren(...words.flatMap((word) => {
    const piece = word.startsWith("--") ? document.createElement("span") : document.createTextNode(word);
    piece.textContent = word; return [piece, " "]; }));
}
function choose(point) { chosen = point; draw(); }

/* ---- the glass that shows what the finger covers ---- */
function showLoupe(point) {
  const size = LOUPE * (window.devicePixelRatio || 1), enlarged = Math.max(view.scale * 1.5, Math.min(view.scale * 3, 6));
  const scale = enlarged * size / LOUPE;
  if (loupe.width !== Math.round(size)) { loupe.width = loupe.height = Math.round(size); }
  const pen = loupe.getContext("2d"), place = (p) => [(p[0] - point[0]) * scale + size / 2, (p[1] - point[1]) * scale + size / 2];
  pen.fillStyle = "#000"; pen.fillRect(0, 0, size, size);
  const [x, y] = place([-0.5, -0.5]);
  pen.drawImage(photo, x, y, job.width_px * scale, job.height_px * scale);
  pen.lineWidth = 1.5 * size / LOUPE; pen.strokeStyle = "#ffe14d";
  for (const name of EDGES) { pen.beginPath(); flankNow()[name].forEach((p) => pen.lineTo(...place(p))); pen.stroke(); }
  crossHair(pen, size); putLoupe(toScreen(point));
}
function crossHair(pen, size) {
  const c = size / 2, gap = size * 0.05, arm = size * 0.17;
  for (const [width, colour] of [[4, "#000"], [1.6, "#fff"]]) {
    pen.lineWidth = width * size / LOUPE; pen.strokeStyle = colour; pen.beginPath();
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) { pen.moveTo(c + dx * gap, c + dy * gap); pen.lineTo(c + dx * arm, c + dy * arm); }
    pen.stroke();
  }
}
function putLoupe([x, y]) {
  const half = LOUPE / 2, w = stage.clientWidth, h = stage.clientHeight;
  let cx = x, cy = y - half - 48;
  if (cy < half) { cy = Math.min(Math.max(y, half), h - half); cx = x < w / 2 ? x + half + 56 : x - half - 56; }
  loupe.style.left = Math.min(Math.max(cx - half, 0), w - LOUPE) + "px"; loupe.style.top = Math.min(Math.max(cy - half, 0), h - LOUPE) + "px";
  loupe.style.display = "block";
}
