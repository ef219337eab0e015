"use strict"; /* a chosen file goes at once; a choice that is no word of ours changes nothing */
const form = document.getElementById("at-once");
form.addEventListener("change", () => form.submit());
