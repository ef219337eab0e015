/* ---- the file goes into the browser's folder for downloads ---- */
function save() {
  const link = document.createElement("a"), address = URL.createObjectURL(new Blob([fileText()], { type: "application/json" }));
  link.href = address; link.download = job.file_name; document.body.append(link); link.click(); link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  unsaved = false; at("state").replaceChildren(paragraph("\u2714 " + say("saved", { file: job.file_name })));
  lastState = "saved";
}
