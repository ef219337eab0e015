"use strict"; /* one touch on the photo, or a cross moved by keys, becomes the place that the form sends */
const form = document.getElementById("touch"), seen = form.querySelector(".seen"), cross = document.getElementById("cross");
const size = [Number(seen.dataset.width), Number(seen.dataset.height)];
let place = [size[0] / 2, size[1] / 2];
function show() {
  const arm = size[0] / 16, [x, y] = place;
  cross.setAttribute("d", `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}`);
}
function send() {
  form.elements.x.value = place[0].toFixed(1); form.elements.y.value = place[1].toFixed(1);
  handOn(form, document.getElementById("told"));
}
seen.addEventListener("click", (event) => {
  const box = seen.getBoundingClientRect();
  place = [(event.clientX - box.left) / box.width * size[0], (event.clientY - box.top) / box.height * size[1]];
  show(); send();
});
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
seen.addEventListener("keydown", (event) => {
  const step = STEPS[event.key];
  if (step) place = place.map((at, k) => Math.min(Math.max(at + step[k] * size[0] / (event.shiftKey ? 10 : 50), 0), size[k] - 1));
  else if (event.key === "Enter" || event.key === " ") send();
  else return;
  show(); event.preventDefault();
});
seen.addEventListener("focus", () => { if (seen.matches(":focus-visible")) show(); });
