/* ---- the file goes into the browser's folder for downloads, under a name of this person's own ---- */
function save() {
  const person = at("by").value.trim().toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "").slice(0, 40);
  const name = `${job.stem}${person && "."}${person}.truth.json`;
  const link = document.createElement("a"), address = URL.createObjectURL(new Blob([fileText()], { type: "application/json" }));
  link.href = address; link.download = name; document.body.append(link); link.click(); link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  unsaved = false; at("state").textContent = `Saved as ${name}. Lay it beside the photo.`;
}
