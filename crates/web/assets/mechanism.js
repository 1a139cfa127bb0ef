"use strict";
// The page Mechanism: turns what is drawn. Every position was reckoned before the page was
// sent; here one of them is put in place after the other.
for (const root of document.querySelectorAll(".moving")) {
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

  // A turn takes four seconds; nothing turns unless it was asked to.
  function step(now) {
    if (!turning) return;
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
}
