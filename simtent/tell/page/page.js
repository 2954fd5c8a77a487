"use strict";
document.documentElement.classList.add("scripted");

function copying(button) {
  const text = document.getElementById(button.getAttribute("aria-controls"));
  const said = button.parentElement.querySelector("output");
  button.addEventListener("click", () => {
    const range = document.createRange();
    range.selectNodeContents(text);
    const chosen = getSelection();
    chosen.removeAllRanges();
    chosen.addRange(range);
    let done = false;
    try { done = document.execCommand("copy"); } catch (error) { done = false; }
    said.textContent = done ? "Copied." : "The text is selected: copy it as your device does.";
  });
}

function profile() {
  const held = document.getElementById("profile-data");
  if (!held) return;
  const it = JSON.parse(held.textContent);
  const by = (name) => document.getElementById("profile-" + name);
  const x = (value) => it.axes.left + (value - it.axes.low) / (it.axes.high - it.axes.low) * (it.axes.right - it.axes.left);
  const y = (height) => it.axes.bottom - height / it.axes.peak * (it.axes.bottom - it.axes.top);
  const line = (values) => values.map((value, n) => x(value).toFixed(1) + "," + y(it.heights[n]).toFixed(1)).join(" ");
  const whole = (value) => (Math.round(value) + 0).toFixed(0).replace("-0", "0");
  const bold = (text) => { const part = document.createElement("b"); part.textContent = text; return part; };

  function show() {
    const k = Number(by("time").value), layer = Number(by("height").value);
    const at = y(it.heights[layer]).toFixed(1), air = it.air[k][layer], felt = it.felt[k][layer];
    by("air").setAttribute("points", line(it.air[k]));
    by("felt").setAttribute("points", line(it.felt[k]));
    by("outdoors").setAttribute("d", "M" + x(it.outdoors[k]).toFixed(1) + " " + it.axes.top + "V" + it.axes.bottom);
    by("chosen").setAttribute("d", "M" + it.axes.left + " " + at + "H" + it.axes.right);
    by("dot").setAttribute("cx", x(air).toFixed(1));
    by("dot").setAttribute("cy", at);
    const levels = it.levels.map((name, n) => name + " " + whole(it.at[k][n])).reverse().join(", ");
    by("said").replaceChildren(
      bold(it.clock[k] + ": "), levels + ", outdoors " + whole(it.outdoors[k]) + " " + it.unit + ". ",
      bold("At " + it.called[layer] + ": "), "air " + air.toFixed(1) + ", felt " + felt.toFixed(1) + " " + it.unit + ".");
    by("time").setAttribute("aria-valuetext", it.clock[k]);
    by("height").setAttribute("aria-valuetext", it.called[layer]);
  }
  by("time").addEventListener("input", show);
  by("height").addEventListener("input", show);
  show();
}

// On paper nothing stays folded.
function unfolding() {
  const folded = () => Array.from(document.querySelectorAll("details:not([open])"));
  let opened = [];
  addEventListener("beforeprint", () => { opened = folded(); opened.forEach((it) => { it.open = true; }); });
  addEventListener("afterprint", () => { opened.forEach((it) => { it.open = false; }); });
}

document.querySelectorAll("button.copies").forEach(copying);
profile();
unfolding();
