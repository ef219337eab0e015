"use strict"; /* a photo goes in pieces: what broke off goes on, also after a reload with the same photo */
const PIECE = 1 << 18;
const form = document.getElementById("send"), file = document.getElementById("photo"), told = document.getElementById("told"), part = document.getElementById("part");
function nameOf(one) { /* FNV-1a over what tells one photo of this phone from another */
  let hash = 0xcbf29ce484222325n;
  for (const sign of `${one.name}|${one.size}|${one.lastModified}|${form.elements.flank.value}`)
    hash = BigInt.asUintN(64, (hash ^ BigInt(sign.codePointAt(0))) * 0x100000001b3n);
  return hash.toString(16);
}
async function asked(address, how) {
  const answer = await fetch(address, { headers: { "X-Form-Token": form.elements.token.value }, ...how });
  if (goesAgain(answer)) throw new Error();
  if (!answer.ok) throw new Refused();
  return (await answer.json()).at;
}
class Refused extends Error {}
async function sendPieces(one, address) {
  for (let at = null; at !== one.size;) {
    try {
      if (at === null) at = await asked(address);
      if (at < one.size) at = await asked(`${address}?at=${at}`, { method: "POST", body: one.slice(at, at + PIECE) });
      told.textContent = `${form.dataset.sending} ${Math.round(100 * at / one.size)} %`; part.value = at / one.size;
    } catch (stop) {
      if (stop instanceof Refused) throw stop;
      told.textContent = form.dataset.broke; at = null; await pause();
    }
  }
}
file.addEventListener("change", async () => {
  const one = file.files[0];
  if (!one) return;
  part.hidden = false;
  const name = nameOf(one);
  try { await sendPieces(one, form.dataset.parts.replace(/0$/, name)); } catch { form.submit(); return; }
  form.elements.upload.value = name; form.elements.size.value = one.size; form.elements.name.value = one.name;
  told.textContent = form.dataset.sent; file.disabled = true; await handOn(form, told);
});
window.addEventListener("pageshow", () => { file.disabled = false; form.elements.upload.value = ""; });
