"use strict";
const at = (id) => document.getElementById(id);
const job = JSON.parse(at("job").textContent);
const CONTACT = 255, HIDDEN = 128;
const levels = new Uint8Array(job.columns * job.rows), strokes = [];
const screen = at("painted").getContext("2d");
let paint = CONTACT, radius = 8, last = null, seen = null, shown = false, unsaved = false;

/* ---- painting: grey levels as they go into the file, row 0 = tip, column 0 = end A ---- */
function cellAt(event) {
  const box = at("painted").getBoundingClientRect();
  return [(event.clientX - box.left) / box.width * job.columns, (event.clientY - box.top) / box.height * job.rows];
}
function dab([x, y]) {
  for (let row = Math.max(0, Math.floor(y - radius)); row <= Math.min(job.rows - 1, y + radius); row++)
    for (let column = Math.max(0, Math.floor(x - radius)); column <= Math.min(job.columns - 1, x + radius); column++)
      if (Math.hypot(column + 0.5 - x, row + 0.5 - y) <= radius) levels[row * job.columns + column] = paint;
}
function drawTo(cell) {
  const from = last || cell, steps = Math.max(1, Math.ceil(Math.hypot(cell[0] - from[0], cell[1] - from[1])));
  for (let step = 1; step <= steps; step++)
    dab([0, 1].map((axis) => from[axis] + (cell[axis] - from[axis]) * step / steps));
  last = cell; show();
}

/* ---- what is seen: the painted contact in green, what cannot be judged in grey, the tool's border in black and white ---- */
function show() {
  const picture = screen.createImageData(job.columns, job.rows);
  levels.forEach((level, cell) => {
    const tone = level === CONTACT ? [120, 255, 90, 110] : level === HIDDEN ? [150, 150, 150, 170] : [0, 0, 0, 0];
    picture.data.set(shown && onBorder(cell) ? dash(cell) : tone, 4 * cell);
  });
  screen.putImageData(picture, 0, 0);
  const empty = !levels.includes(CONTACT);
  at("undo").disabled = !strokes.length; at("compare").disabled = empty && !shown;
  at("save").disabled = empty || !at("by").value.trim();
  at("state").textContent = empty ? "Nothing painted yet." : shown ? alike() : at("save").disabled ? "Say who you are, then save." : "Not saved yet.";
}
function onBorder(cell) {
  if (!seen || seen[cell] !== CONTACT) return false;
  const column = cell % job.columns;
  return [cell - job.columns, cell + job.columns, column ? cell - 1 : -1, column < job.columns - 1 ? cell + 1 : -1].some((near) => seen[near] !== CONTACT);
}
function dash(cell) {
  const tone = (cell % job.columns + Math.floor(cell / job.columns)) % 6 < 3 ? 255 : 0;
  return [tone, tone, tone, 255];
}
function alike() {
  if (!seen) return "The tool saw no contact on this flank.";
  let both = 0, either = 0, own = 0, tools = 0, ownSum = 0, toolSum = 0;
  levels.forEach((level, cell) => {
    if (level === HIDDEN || seen[cell] === HIDDEN) return;
    const mine = level === CONTACT, its = seen[cell] === CONTACT, along = (cell % job.columns + 0.5) / job.columns;
    both += mine && its; either += mine || its;
    if (mine) { own++; ownSum += along; }
    if (its) { tools++; toolSum += along; }
  });
  const percent = (part) => Math.round(100 * part) + " %";
  const middles = own && tools ? ` Middle from end A: you ${percent(ownSum / own)}, the tool ${percent(toolSum / tools)}.` : "";
  return `You and the tool agree on ${percent(either ? both / either : 1)} of what either calls contact.${middles}`;
}

/* ---- the truth file as text ---- */
function contactPicture() {
  const canvas = document.createElement("canvas"); canvas.width = job.columns; canvas.height = job.rows;
  const context = canvas.getContext("2d"), picture = context.createImageData(job.columns, job.rows);
  levels.forEach((level, cell) => picture.data.set([level, level, level, 255], 4 * cell));
  context.putImageData(picture, 0, 0);
  return canvas.toDataURL("image/png").split(",")[1];
}
function fileText() {
  const [flank] = job.truth.flanks, told = { by: at("by").value.trim(), machine: at("machine").value.trim(), made_at: new Date().toISOString() };
  return JSON.stringify({ ...job.truth, ...told, flanks: [{ ...flank, compound: at("compound").value || null, contact: contactPicture() }] });
}

/* ---- hands ---- */
at("stage").addEventListener("pointerdown", (event) => {
  if (!event.isPrimary) return;
  event.preventDefault(); strokes.push(levels.slice()); last = null; unsaved = true;
  at("stage").setPointerCapture(event.pointerId); drawTo(cellAt(event));
});
at("stage").addEventListener("pointermove", (event) => { if (last && event.buttons && event.isPrimary) drawTo(cellAt(event)); });
for (const end of ["pointerup", "pointercancel"]) at("stage").addEventListener(end, (event) => { if (event.isPrimary) last = null; });
function press(kind, chosen) {
  for (const one of document.querySelectorAll(`[data-${kind}]`)) one.setAttribute("aria-pressed", String(one === chosen));
}
for (const one of document.querySelectorAll("[data-paint]")) one.addEventListener("click", () => { paint = Number(one.dataset.paint); press("paint", one); });
for (const one of document.querySelectorAll("[data-radius]")) one.addEventListener("click", () => { radius = Number(one.dataset.radius); press("radius", one); });
at("undo").addEventListener("click", () => { levels.set(strokes.pop()); show(); });
at("by").addEventListener("input", show);
at("save").addEventListener("click", save);
at("compare").addEventListener("click", () => { shown = !shown; at("compare").setAttribute("aria-pressed", String(shown)); show(); });
window.addEventListener("beforeunload", (event) => { if (unsaved) event.preventDefault(); });
at("by").value = job.truth.by; at("compound").value = job.truth.flanks[0].compound || ""; at("machine").value = job.truth.machine;
if (job.seen) {
  const image = new Image();
  image.addEventListener("load", () => {
    const canvas = document.createElement("canvas"); canvas.width = job.columns; canvas.height = job.rows;
    const context = canvas.getContext("2d"); context.drawImage(image, 0, 0);
    const { data } = context.getImageData(0, 0, job.columns, job.rows);
    seen = levels.map((_, cell) => data[4 * cell]); show();
  });
  image.src = job.seen;
}
show();
