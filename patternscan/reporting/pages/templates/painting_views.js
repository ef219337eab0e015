/* ---- where the paint is seen: on the flank laid flat, or in the photo through the net of the flank's places ---- */
const flatView = { width: job.columns, height: job.rows, address: document.querySelector("#stage img").src, mesh: 1, draw: drawFlat, under: cellsUnder };
const photoView = job.piece && { ...job.piece, mesh: apart(placeOf(0, job.rows / 2), placeOf(job.columns, job.rows / 2)) / job.columns, draw: drawInPhoto, under: cellsUnderInPhoto };
const middles = photoView && Array.from(levels, (_, cell) => placeOf(cell % job.columns + 0.5, Math.floor(cell / job.columns) + 0.5));
let view = flatView;

function apart(one, other) { return Math.hypot(one[0] - other[0], one[1] - other[1]); }
/* Pixel of the piece where a place is seen, told in columns from end A and rows from the tip. */
function placeOf(column, row) {
  const { net } = job.piece, x = column / job.columns * (net[0].length - 1), y = row / job.rows * (net.length - 1);
  const left = Math.min(Math.floor(x), net[0].length - 2), above = Math.min(Math.floor(y), net.length - 2), u = x - left, v = y - above;
  return [0, 1].map((axis) => [0, 1].reduce((sum, down) => sum
    + (down ? v : 1 - v) * (net[above + down][left][axis] * (1 - u) + net[above + down][left + 1][axis] * u), 0));
}
function cellsUnder([x, y], reach) {
  const cells = [];
  for (let row = Math.max(0, Math.floor(y - reach)); row <= Math.min(job.rows - 1, y + reach); row++)
    for (let column = Math.max(0, Math.floor(x - reach)); column <= Math.min(job.columns - 1, x + reach); column++)
      if (Math.hypot(column + 0.5 - x, row + 0.5 - y) <= reach) cells.push(row * job.columns + column);
  return cells;
}
function cellsUnderInPhoto(point, reach) {
  return [...levels.keys()].filter((cell) => apart(middles[cell], point) <= reach);
}

function drawFlat() {
  const picture = screen.createImageData(job.columns, job.rows);
  levels.forEach((_, cell) => picture.data.set(toneOf(cell), 4 * cell));
  screen.putImageData(picture, 0, 0);
}
function drawInPhoto() {
  screen.clearRect(0, 0, view.width, view.height);
  for (let row = 0; row < job.rows; row++)
    for (let from = 0, to; from < job.columns; from = to) {
      const tone = toneOf(row * job.columns + from);
      for (to = from + 1; to < job.columns && toneOf(row * job.columns + to) === tone; to++);
      if (tone !== NONE) fillRun(row, from, to, tone);
    }
  letter("A", placeOf(0, job.rows / 2)); letter("B", placeOf(job.columns, job.rows / 2)); letter("tip", placeOf(job.columns / 2, 0));
}
function fillRun(row, from, to, [red, green, blue, alpha]) {
  const columns = []; for (let column = from; column < to; column += 8) columns.push(column); columns.push(to);
  screen.fillStyle = `rgb(${red} ${green} ${blue} / ${alpha / 255})`; screen.beginPath();
  for (const column of columns) screen.lineTo(...placeOf(column, row));
  for (const column of columns.reverse()) screen.lineTo(...placeOf(column, row + 1));
  screen.fill();
}
/* Beside the flank, away from its middle, as far as the picture goes. */
function letter(words, edge) {
  const size = Math.max(view.width, view.height) / 24, middle = placeOf(job.columns / 2, job.rows / 2), far = apart(edge, middle) || 1;
  const place = [view.width, view.height].map((side, axis) => Math.min(Math.max(edge[axis] + (edge[axis] - middle[axis]) / far * size, size / 2), side - size / 2));
  screen.font = `bold ${size}px sans-serif`; screen.textAlign = "center"; screen.textBaseline = "middle";
  screen.lineWidth = size / 5; screen.strokeStyle = "#000"; screen.strokeText(words, ...place); screen.fillStyle = "#fff"; screen.fillText(words, ...place);
}

function turnTo(other) {
  view = other; last = null;
  document.querySelector("#stage img").src = view.address;
  at("painted").width = view.width; at("painted").height = view.height;
  at("stage").style.setProperty("--shape", view.width / view.height);
  for (const name of ["tip", "a", "b", "root"]) at(name).hidden = view !== flatView;
  at("in-photo").setAttribute("aria-pressed", String(view !== flatView)); show();
}
