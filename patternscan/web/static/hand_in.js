/* ---- the outline goes to the page's own server ---- */
function save() {
  const form = document.getElementById("hand-in");
  form.elements.outline.value = fileText();
  try { localStorage.removeItem(KEEP); } catch { /* nothing was kept here */ }
  unsaved = false; form.submit();
}
