"use strict";
// The page Metric, on top of the working manner of desk.js. The rows are gone
// through with the arrow keys; one is open at a time, with all that can be changed
// about it. The picture and the rows point at each other.
{
  const root = document.getElementById("desk");
  const piece = (id) => document.getElementById(id);
  const rows = () => [...piece("rows").querySelectorAll("tr.row")];
  const row = (at) => rows().find((one) => one.dataset.row === at);
  const inside = () => piece("rows").querySelector("tr.unfolded");
  const part = (name) => inside() && inside().querySelector(`[data-say="${name}"]`);
  const state = desk.state;
  let began = 0;

  // How wide the picture may be goes with each question; a folded one would be as wide
  // as the page.
  function room() {
    state.wide_mm = String((((piece("picture").clientWidth || root.clientWidth) - 4) * 25.4) / 96);
  }

  // The row that has the focus, or stands above what has it.
  function here() {
    const active = document.activeElement;
    const unfolded = active.closest("tr.unfolded");
    return unfolded ? row(unfolded.dataset.in) : active.closest("tr.row");
  }

  function reach(to) {
    if (!to) return;
    for (const one of rows()) one.tabIndex = one === to ? 0 : -1;
    to.focus({ preventScroll: true });
    to.scrollIntoView({ block: "nearest" });
    mark(to, "chosen");
  }

  // Opens a row and closes the one that was open; nothing closes all.
  async function open(at) {
    if ((state.row || "") === at) return;
    state.row = at;
    await desk.redraw();
  }

  async function toggle(one) {
    const at = one.dataset.row;
    await open(state.row === at ? "" : at);
    reach(row(at));
  }

  // To a control of a row, which is opened for it.
  async function go(one, name) {
    await open(one.dataset.row);
    const control = part(name);
    if (!control) return;
    control.focus();
    if (control.select) control.select();
  }

  async function press(one, name) {
    await open(one.dataset.row);
    const button = part(name);
    if (!button) return;
    if (name === "why") {
      const details = button.closest("details");
      details.open = !details.open;
    } else await commit(JSON.parse(button.dataset.change));
    reach(row(one.dataset.row));
  }

  async function other(one, number) {
    await open(one.dataset.row);
    const button = inside() && inside().querySelector(`[data-other="${number}"]`);
    if (button) await commit(JSON.parse(button.dataset.change));
    reach(row(one.dataset.row));
  }

  async function role(one, word) {
    await open(one.dataset.row);
    if (!part("role")) return;
    const at = `${one.dataset.row}/role`;
    await commit(word ? { set: { at, to: word } } : { clear: { at } });
    reach(row(one.dataset.row));
  }

  const commit = (changes) => desk.commit(changes);

  function along(one, by) {
    const all = rows();
    reach(all[Math.min(Math.max(all.indexOf(one) + by, 0), all.length - 1)]);
  }

  // Keys of a row itself; in a field letters are letters.
  const keys = {
    ArrowDown: (one) => along(one, 1),
    ArrowUp: (one) => along(one, -1),
    Home: (one) => along(one, -Infinity),
    End: (one) => along(one, Infinity),
    Enter: toggle,
    " ": toggle,
    Escape: (one) => (state.row === one.dataset.row ? toggle(one) : null),
    k: (one) => press(one, "keep"),
    p: (one) => go(one, "pin"),
    x: (one) => press(one, "unpin"),
    h: (one) => role(one, "hold"),
    s: (one) => role(one, "suit"),
    f: (one) => role(one, "free"),
    u: (one) => role(one, ""),
    t: (one) => go(one, "within"),
    m: (one) => go(one, "made"),
    w: (one) => press(one, "why"),
    l: () => piece("overlay").click(),
    o: () => {
      const first = piece("answer").querySelector("[data-change]");
      if (first) first.focus();
    },
    b: () => {
      const first = piece("buy").querySelector("input");
      if (first) first.focus();
    },
  };

  // How long a change takes, from the question to the page drawn anew.
  for (const event of ["click", "keydown"]) {
    document.addEventListener(event, () => (began = performance.now()), true);
  }

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target.closest("dialog")) return;
    const { target, key } = event;
    const typing = "defaultValue" in target && target.type !== "checkbox" && target.value !== target.defaultValue;
    if (target.matches("tr.row")) {
      const name = key.length === 1 ? key.toLowerCase() : key;
      if (/^[1-9]$/.test(key)) other(target, key);
      else if (keys[name]) keys[name](target);
      else return;
    } else if (key === "Escape" && !typing && target.closest("tr.unfolded")) reach(here());
    else if (key === "Escape" && target.closest("#buy, #answer")) reach(row(state.row) || rows()[0]);
    else return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }, true);

  piece("rows").addEventListener("click", (event) => {
    const one = event.target.closest("tr.row");
    if (one && !String(getSelection())) toggle(one);
  });

  // The picture and the rows point at each other; the holes of a pattern belong to it.
  const owns = (name, feature) => name === feature || feature.replace(/ \d+$/, "") === name;
  const features = () => [...piece("picture").querySelectorAll("[data-feature]")];

  function mark(one, word) {
    for (const group of features()) {
      group.classList.toggle(word, Boolean(one && one.dataset.of && owns(one.dataset.of, group.dataset.feature)));
    }
  }

  function rowOf(event) {
    const figure = event.target.closest("[data-why]");
    const group = event.target.closest("[data-feature]");
    const named = figure && rows().find((one) => one.dataset.name === figure.dataset.why);
    return named || (group && rows().find((one) => one.dataset.of && owns(one.dataset.of, group.dataset.feature)));
  }

  piece("picture").addEventListener("mouseover", (event) => {
    const one = rowOf(event);
    mark(one, "pointed");
    for (const other of rows()) other.classList.toggle("is-pointed", other === one);
  });
  piece("rows").addEventListener("mouseover", (event) => mark(event.target.closest("tr.row"), "pointed"));
  for (const id of ["picture", "rows"]) {
    piece(id).addEventListener("mouseleave", () => {
      mark(null, "pointed");
      for (const other of rows()) other.classList.remove("is-pointed");
    });
  }
  piece("picture").addEventListener("click", async (event) => {
    const one = rowOf(event);
    if (!one) return;
    await open(one.dataset.row);
    reach(row(one.dataset.row));
  });

  root.addEventListener("focusin", (event) => {
    const one = here();
    if (event.target.closest("#rows")) mark(one, "chosen");
  });

  document.addEventListener("desk:shown", () => {
    // Undoing brings back what was open, but not another picture than is asked for now.
    state.overlay = String(piece("overlay").checked);
    mark(here() || row(state.row), "chosen");
    const since = began;
    requestAnimationFrame(() => (root.dataset.redraw = (performance.now() - since).toFixed(1)));
    draw();
  });

  // The picture follows by itself: of drafts that change while it is drawn, only the
  // last is shown.
  let drawing = null, wanted = null, pictured = null;
  async function draw() {
    wanted = JSON.stringify([desk.drafts(), state.wide_mm, state.overlay]);
    if (drawing || wanted === pictured) return;
    while (drawing !== wanted) {
      drawing = wanted;
      const { ok, said } = await ask(root.dataset.change, { ...desk.drafts(), state: { ...state, only: "picture" } });
      if (ok && drawing === wanted) {
        pictured = drawing;
        piece("picture").innerHTML = said.fragments.picture;
        mark(here() || row(state.row), "chosen");
      }
    }
    drawing = null;
    root.dataset.pictured = "true";
  }

  piece("overlay").addEventListener("change", () => {
    state.overlay = String(piece("overlay").checked);
    draw();
  });

  let resizing = 0;
  window.addEventListener("resize", () => {
    clearTimeout(resizing);
    resizing = setTimeout(() => {
      const was = state.wide_mm;
      room();
      if (state.wide_mm !== was) desk.redraw();
    }, 150);
  });

  document.addEventListener("desk:ready", async () => {
    room();
    state.overlay = String(piece("overlay").checked);
    await desk.redraw();
    root.dataset.entry = "ready";
  });
}
