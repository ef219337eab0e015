/* ---- hands ---- */
at("stage").addEventListener("pointerdown", (event) => {
  if (!event.isPrimary) return;
  event.preventDefault(); strokes.push(levels.slice()); last = null; unsaved = true;
  at("stage").setPointerCapture(event.pointerId); drawTo(pointAt(event));
});
at("stage").addEventListener("pointermove", (event) => { if (last && event.buttons && event.isPrimary) drawTo(pointAt(event)); });
for (const end of ["pointerup", "pointercancel"]) at("stage").addEventListener(end, (event) => { if (event.isPrimary) last = null; });
function press(kind, chosen) {
  for (const one of document.querySelectorAll(`[data-${kind}]`)) one.setAttribute("aria-pressed", String(one === chosen));
}
for (const one of document.querySelectorAll("[data-paint]")) one.addEventListener("click", () => { paint = Number(one.dataset.paint); press("paint", one); });
for (const one of document.querySelectorAll("[data-radius]")) one.addEventListener("click", () => { radius = Number(one.dataset.radius); press("radius", one); });
at("undo").addEventListener("click", () => { levels.set(strokes.pop()); show(); });
at("by").addEventListener("input", show);
at("save").addEventListener("click", save);
at("in-photo").hidden = !photoView;
at("in-photo").addEventListener("click", () => turnTo(view === flatView ? photoView : flatView));
at("compare").addEventListener("click", () => { shown = !shown; beforeLook ||= levels.slice(); at("compare").setAttribute("aria-pressed", String(shown)); show(); });
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
