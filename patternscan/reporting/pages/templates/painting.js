"use strict";
const at = (id) => document.getElementById(id);
const job = JSON.parse(at("job").textContent);
const CONTACT = 255, HIDDEN = 128;
const GREEN = [120, 255, 90, 110], GREY = [150, 150, 150, 170], LIGHT = [255, 255, 255, 255], DARK = [0, 0, 0, 255], NONE = [0, 0, 0, 0];
const levels = new Uint8Array(job.columns * job.rows), strokes = [];
const screen = at("painted").getContext("2d");
let paint = CONTACT, radius = 8, last = null, seen = null, shown = false, beforeLook = null, unsaved = false;

/* ---- painting: grey levels as they go into the file, row 0 = tip, column 0 = end A ---- */
function pointAt(event) {
  const box = at("painted").getBoundingClientRect();
  return [(event.clientX - box.left) / box.width * view.width, (event.clientY - box.top) / box.height * view.height];
}
function drawTo(point) {
  const from = last || point, steps = Math.max(1, Math.ceil(apart(from, point) / view.mesh / Math.max(1, radius / 4)));
  for (let step = 1; step <= steps; step++)
    for (const cell of view.under([0, 1].map((axis) => from[axis] + (point[axis] - from[axis]) * step / steps), radius * view.mesh)) levels[cell] = paint;
  last = point; show();
}

/* ---- what is seen: the painted contact in green, what cannot be judged in grey, the tool's border in black and white ---- */
function show() {
  view.draw();
  const empty = !levels.includes(CONTACT);
  at("undo").disabled = !strokes.length; at("compare").disabled = empty && !shown;
  at("save").disabled = !saved().includes(CONTACT) || !at("by").value.trim();
  at("state").textContent = empty ? "Nothing painted yet." : shown ? alike() : at("save").disabled ? "Say who you are, then save." : "Not saved yet.";
}
function onBorder(cell) {
  if (!seen || seen[cell] !== CONTACT) return false;
  const column = cell % job.columns;
  return [cell - job.columns, cell + job.columns, column ? cell - 1 : -1, column < job.columns - 1 ? cell + 1 : -1].some((near) => seen[near] !== CONTACT);
}
function toneOf(cell) {
  if (shown && onBorder(cell)) return (cell % job.columns + Math.floor(cell / job.columns)) % 6 < 3 ? LIGHT : DARK;
  return levels[cell] === CONTACT ? GREEN : levels[cell] === HIDDEN ? GREY : NONE;
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
  return `You and the tool agree on ${percent(either ? both / either : 1)} of what either calls contact.${middles} Saved is what you painted before you looked.`;
}

/* ---- the truth file as text: what was painted before the tool's contact was looked at ---- */
function saved() { return beforeLook || levels; }
function contactPicture() {
  const canvas = document.createElement("canvas"); canvas.width = job.columns; canvas.height = job.rows;
  const context = canvas.getContext("2d"), picture = context.createImageData(job.columns, job.rows);
  saved().forEach((level, cell) => picture.data.set([level, level, level, 255], 4 * cell));
  context.putImageData(picture, 0, 0);
  return canvas.toDataURL("image/png").split(",")[1];
}
function fileText() {
  const [flank] = job.truth.flanks, words = { by: at("by").value.trim(), machine: at("machine").value.trim(), made_at: new Date().toISOString() };
  return JSON.stringify({ ...job.truth, ...words, flanks: [{ ...flank, compound: at("compound").value || null, contact: contactPicture() }] });
}
