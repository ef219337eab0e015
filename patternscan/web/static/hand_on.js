"use strict"; /* a form that may be sent twice goes by itself as soon as there is a connection; what is refused is shown as its own page */
const AGAIN_MS = 1500, NO_ROOM = 507;
const goesAgain = (answer) => answer.status >= 500 && answer.status !== NO_ROOM;
const pause = () => new Promise((go) => setTimeout(go, AGAIN_MS));
async function handOn(form, told) {
  for (;;) {
    try {
      const answer = await fetch(form.action, { method: "POST", body: new FormData(form), redirect: "manual" });
      if (goesAgain(answer)) throw new Error();
      if (answer.type === "opaqueredirect") location.assign(form.dataset.next); else form.submit();
      return;
    } catch { told.textContent = form.dataset.broke; await pause(); }
  }
}
