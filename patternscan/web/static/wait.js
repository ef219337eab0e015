"use strict"; /* a page that waits for work tells what is new, and goes on when the work is done; a broken connection is waited out */
const PAUSE_MS = 700;
const far = document.getElementById("far"), told = document.getElementById("told");
const say = (words) => { if (told.textContent !== words) told.textContent = words; };
async function look() {
  try {
    const answer = await fetch(location.href, { redirect: "manual" });
    if (answer.ok && !(answer.headers.get("Content-Type") || "").startsWith("text/html")) { say(far.dataset.ready); location.replace(location.href); return; }
    const page = answer.ok ? new DOMParser().parseFromString(await answer.text(), "text/html") : null, now = page && page.getElementById("far");
    if (!now || page.title !== document.title) { location.reload(); return; }
    const [bar, new_bar] = [far, now].map((one) => one.querySelector("progress"));
    if (new_bar.hasAttribute("value")) bar.value = new_bar.value;
    say(now.querySelector("#told").textContent);
  } catch { say(far.dataset.broke); }
  setTimeout(look, PAUSE_MS);
}
setTimeout(look, PAUSE_MS);
