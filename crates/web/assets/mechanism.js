"use strict";
// The page Mechanism: turns what is drawn. Every position was reckoned before the page was
// sent; here one of them is put in place after the other. What is tried goes with the next
// question to the desk as its state, one entry for each mechanism.
const turned = (root) => {
  const data = JSON.parse(root.querySelector("script").textContent);
  const parts = [...root.querySelectorAll(".motion .moves")];
  const cursors = [...root.querySelectorAll(".plot .cursor")];
  const crank = root.querySelector(".crank");
  const angle = root.querySelector(".angle");
  const play = root.querySelector(".play");
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  let turning = false;
  let last = 0;

  function show(at) {
    parts.forEach((part, n) => part.setAttribute("d", data.frames[at][n]));
    cursors.forEach((line) => line.setAttribute("transform", `translate(${data.cursors[at]} 0)`));
    angle.textContent = data.angles[at];
    crank.value = at;
    crank.setAttribute("aria-valuetext", data.angles[at]);
  }

  // A turn takes four seconds; nothing turns unless it was asked to, or once it is drawn anew.
  function step(now) {
    if (!turning || !root.isConnected) return;
    if (now - last > 4000 / data.frames.length) {
      last = now;
      show((Number(crank.value) + 1) % data.frames.length);
    }
    requestAnimationFrame(step);
  }

  function turn(on) {
    turning = on;
    play.setAttribute("aria-pressed", String(on));
    play.textContent = on ? "Stop" : "Turn";
    if (on) requestAnimationFrame(step);
  }

  // Where motion is not wanted, the button goes on by one position.
  play.addEventListener("click", () => {
    if (still.matches) show((Number(crank.value) + 1) % data.frames.length);
    else turn(!turning);
  });
  still.addEventListener("change", () => turn(false));
  crank.addEventListener("input", () => {
    turn(false);
    show(Number(crank.value));
  });
  root.querySelector(".traces").addEventListener("change", (event) => {
    root.classList.toggle("traced", event.target.checked);
  });
  show(0);
};
const all = () => {
  for (const root of document.querySelectorAll(".moving:not([data-bound])")) {
    root.dataset.bound = "true";
    turned(root);
  }
};
all();
document.addEventListener("desk:shown", all);

const tried = (form, none) => {
  const of = form.dataset.machine;
  const sizes = [...form.querySelectorAll("[data-try]")].filter((field) => field.value.trim());
  const wanted = form.querySelector(".wanted").value.trim();
  desk.state[`try ${of}`] = none ? "" : sizes.map((field) => `${field.dataset.try} = ${field.value.trim()}`).join("\n");
  desk.state[`want ${of}`] = none || !wanted ? "" : `${form.querySelector(".want").value} = ${wanted}`;
  desk.state[`by ${of}`] = none ? "" : form.querySelector(".by").value;
  if (none) for (const field of form.querySelectorAll("input")) field.value = "";
  // Nothing is being typed any more: the fields are drawn anew with what was sent.
  if (document.activeElement && "defaultValue" in document.activeElement) {
    document.activeElement.defaultValue = document.activeElement.value;
  }
  desk.redraw();
};
document.addEventListener("click", (event) => {
  const form = event.target.closest(".trying");
  if (!form) return;
  if (event.target.matches(".try-now")) tried(form, false);
  if (event.target.matches(".try-none")) tried(form, true);
});
document.addEventListener("keydown", (event) => {
  const form = event.key === "Enter" && event.target.closest(".trying");
  if (form && event.target.tagName === "INPUT") {
    event.preventDefault();
    tried(form, false);
  }
});
document.addEventListener("change", (event) => {
  if ("whole" in event.target.dataset) desk.commit({ whole: { text: event.target.value } });
});
