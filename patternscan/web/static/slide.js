"use strict"; /* how much of the later picture is seen over the earlier one */
const slide = document.getElementById("slide");
slide.addEventListener("input", () => document.querySelectorAll(".upper").forEach((one) => { one.style.opacity = slide.value / 100; }));
