/* ---- what was painted goes to the page's own server ---- */
function save() {
  const form = document.getElementById("hand-in");
  form.elements.truth.value = fileText(); form.elements.by.value = at("by").value;
  unsaved = false; form.submit();
}
