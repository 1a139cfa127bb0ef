"use strict";
// The entry page, on top of the working manner of desk.js. While a field is being
// typed in, the picture, the list and what stands beside the field follow; when it
// is taken, the draft changes and the form is drawn anew.
{
  const root = document.getElementById("desk");
  const piece = (id) => document.getElementById(id);
  const fields = () => [...piece("form").querySelectorAll(".main")];
  const field = (at) => piece("form").querySelector(`[data-at="${CSS.escape(at)}"]`);
  const cards = () => [...piece("list").querySelectorAll("[data-card]")];
  const state = desk.state;
  let held = null; // the field being typed in: { at, was }
  let near = null; // the last field that had the focus

  // How wide a picture may be, and whether both units are wanted, goes with each question.
  function room() {
    state.wide_mm = String(((piece("picture").clientWidth - 4) * 25.4) / 96);
    state.both = String(piece("both").checked);
  }

  function reach(to) {
    if (!to) return;
    to.focus();
    if (to.select) to.select();
  }

  // To a field, or to the first that wants filling, or to the first.
  function focus(at) {
    const wanting = piece("form").querySelector(".is-wrong .main, .is-wanting .main");
    reach((at && (field(at) || field(`${at}/0`))) || wanting || fields()[0]);
  }

  const chosen = () => piece("list").querySelector("[aria-current]");

  // After the pieces are put in place.
  document.addEventListener("desk:shown", () => {
    held = null;
    const row = chosen();
    if (row) state.card = row.dataset.card;
    mark(row, "chosen");
    for (const box of piece("form").querySelectorAll("[data-build]")) gaps(box);
    // The field that had the focus may be gone: then it goes to the one next to it.
    if (document.activeElement === document.body && near) {
      const of = near.replace(/\/\d+$/, "/");
      reach(field(near) || fields().filter((one) => one.dataset.at.startsWith(of)).pop());
    }
    const active = document.activeElement;
    if (active.dataset.at) held = { at: active.dataset.at, was: active.value };
  });

  async function open(which, at) {
    state.card = which;
    await desk.redraw();
    focus(at);
  }

  const changed = () => held && field(held.at) && field(held.at).value !== held.was;

  // Looks at what is being typed without taking it. How long that took, from the
  // question to the new picture, stands on the page.
  let waiting = 0;
  function glance() {
    clearTimeout(waiting);
    waiting = setTimeout(async () => {
      if (!changed()) return;
      const now = held, began = performance.now();
      const answer = await desk.peek({ fill: { at: now.at, words: field(now.at).value } });
      if (!answer || held !== now) return;
      beside(answer.fragments);
      requestAnimationFrame(() => (root.dataset.redraw = (performance.now() - began).toFixed(1)));
    }, 25);
  }

  // Everything but the controls of the form: they are being typed in.
  function beside(fragments) {
    const fresh = document.createElement("template");
    fresh.innerHTML = fragments.form;
    // What is half typed and cannot be read yet leaves the picture as it was.
    const half = held && fresh.content.querySelector(`[data-notes="${CSS.escape(held.at)}"] .fault`);
    for (const id of half ? ["list", "troubles"] : ["list", "picture", "troubles"]) {
      piece(id).innerHTML = fragments[id];
    }
    for (const notes of fresh.content.querySelectorAll("[data-notes]")) {
      const here = piece("form").querySelector(`[data-notes="${CSS.escape(notes.dataset.notes)}"]`);
      if (here) here.innerHTML = notes.innerHTML;
    }
    mark(chosen(), "chosen");
  }

  // Takes what stands in the field that is being typed in.
  async function taken() {
    clearTimeout(waiting);
    if (!changed()) return true;
    const fill = { at: held.at, words: field(held.at).value };
    held.was = fill.words;
    return Boolean(await desk.commit({ fill }));
  }

  async function revert() {
    const element = field(held.at);
    clearTimeout(waiting);
    element.value = held.was;
    const answer = await desk.peek([]);
    if (answer) beside(answer.fragments);
    reach(element);
  }

  async function onward(at) {
    const after = (order) => order[order.findIndex((element) => element.dataset.at === at) + 1];
    const was = after(fields());
    if (!(await taken())) return;
    // A pin that is emptied leaves no field.
    const next = field(at) ? after(fields()) : was && field(was.dataset.at);
    if (next) reach(next);
    else await step(1);
  }

  async function step(by) {
    if (!(await taken())) return;
    const all = cards();
    const next = all[all.indexOf(chosen()) + by];
    if (next) await open(next.dataset.card);
    else if (by > 0) offer();
  }

  const numbered = () => (state.card || "").match(/^(feature|mate|equal)\/(\d+)$/);

  async function remove() {
    const here = numbered();
    if (!here) return desk.say("only features, mates and equal sizes can be taken away");
    const name = chosen().dataset.name;
    if (await desk.commit({ remove: { table: here[1], index: Number(here[2]) } })) {
      desk.say(`${name} is taken away; Ctrl+Z brings it back`);
      focus();
    }
  }

  async function move(by) {
    const here = numbered();
    const to = here && Number(here[2]) + by;
    if (!here || !cards().some((row) => row.dataset.card === `${here[1]}/${to}`)) return;
    if (await desk.commit({ move: { table: here[1], index: Number(here[2]), to } })) open(`${here[1]}/${to}`);
  }

  // What can be added: a list to choose from by typing.
  const kinds = piece("kinds");
  const rows = [...kinds.querySelectorAll("[data-kind]")];
  const offered = () => rows.filter((row) => !row.hidden);
  let pointed = 0;

  function offer() {
    piece("kind-words").value = "";
    sift();
    kinds.showModal();
  }

  function sift() {
    const words = piece("kind-words").value.trim().toLowerCase();
    const body = piece("list").querySelector("[data-turned]") ? "turned" : "plate";
    for (const row of rows) {
      row.hidden = !row.dataset.on.includes(body) || !row.textContent.toLowerCase().includes(words);
    }
    point(Math.max(0, offered().findIndex((row) => row.dataset.kind.startsWith(words))));
  }

  function point(at) {
    const all = offered();
    pointed = Math.min(Math.max(at, 0), all.length - 1);
    rows.forEach((row) => row.setAttribute("aria-selected", row === all[pointed]));
    if (all[pointed]) all[pointed].scrollIntoView({ block: "nearest" });
  }

  async function add(kind) {
    kinds.close();
    if (!(await taken())) return;
    const here = numbered();
    const after = here && here[1] === "feature" ? Number(here[2]) : null;
    if (await desk.commit({ new: { kind, after } })) reach(fields()[0]);
  }

  kinds.addEventListener("input", sift);
  kinds.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown") point(pointed + 1);
    else if (event.key === "ArrowUp") point(pointed - 1);
    else if (event.key === "Enter" && offered()[pointed]) add(offered()[pointed].dataset.kind);
    else return;
    event.preventDefault();
  });
  kinds.addEventListener("click", (event) => {
    const row = event.target.closest("[data-kind]");
    if (row) add(row.dataset.kind);
  });

  // A statement of place put together from words.
  async function build(box) {
    const gap = (name) => box.querySelector(`[data-gap=${name}]`);
    const fill = (words, name) => words.replace(name, gap(name).value.trim());
    const words = ["LENGTH", "ANGLE", "NAME", "OTHER", "EDGE"].reduce(fill, gap("way").value);
    if (await desk.commit({ fill: { at: box.dataset.build, words } })) focus(box.dataset.build);
  }

  function gaps(box) {
    const shape = box.querySelector("[data-gap=way]").value;
    for (const gap of box.querySelectorAll("[data-gap]:not([data-gap=way])")) {
      gap.hidden = !shape.includes(gap.dataset.gap);
    }
  }

  // The picture and the list point at each other; the holes of a pattern belong to it.
  function owner(name) {
    const named = (wanted) => cards().find((row) => row.dataset.name === wanted);
    return named(name) || named(name.replace(/ \d+$/, ""));
  }

  function mark(row, word) {
    for (const group of piece("picture").querySelectorAll("[data-feature]")) {
      group.classList.toggle(word, Boolean(row) && owner(group.dataset.feature) === row);
    }
  }

  piece("picture").addEventListener("mouseover", (event) => {
    const group = event.target.closest("[data-feature]");
    const row = group && owner(group.dataset.feature);
    mark(row, "pointed");
    if (row) desk.say(row.title);
  });
  piece("list").addEventListener("mouseover", (event) => mark(event.target.closest("[data-card]"), "pointed"));
  for (const id of ["picture", "list"]) piece(id).addEventListener("mouseleave", () => mark(null, "pointed"));

  const deeds = { add: offer, remove, up: () => move(-1), down: () => move(1) };

  root.addEventListener("click", async (event) => {
    const on = event.target.closest("[data-do], [data-go], [data-card], [data-clear], [data-feature]");
    if (!on || on.closest("dialog")) return;
    if (on.dataset.do === "build") return build(on.closest("[data-build]"));
    if (on.dataset.do) return deeds[on.dataset.do]();
    if (!(await taken())) return;
    if (on.dataset.clear) await desk.commit({ clear: { at: on.dataset.clear } });
    else if (on.dataset.feature) {
      const row = owner(on.dataset.feature);
      if (row) await open(row.dataset.card);
    } else if (on.dataset.card && on.tagName === "BUTTON") await open(on.dataset.card, on.dataset.go);
  });

  root.addEventListener("focusin", (event) => {
    const { at } = event.target.dataset;
    near = at || null;
    if (at && (!held || held.at !== at)) held = { at, was: event.target.value };
  });
  root.addEventListener("focusout", (event) => {
    if (event.target.dataset.at && event.target.isConnected) taken();
  });
  root.addEventListener("input", (event) => {
    if (event.target.dataset.at) glance();
    else if (event.target.dataset.gap === "way") gaps(event.target.closest("[data-build]"));
    else if (event.target.id === "both") {
      root.toggleAttribute("data-both", event.target.checked);
      room();
      desk.redraw();
    }
  });
  // An outline from a file: the draft that comes back is taken as any other edit.
  piece("outline-file").addEventListener("change", async (event) => {
    const file = event.target.files[0];
    if (!file || !(await taken())) return;
    const body = { text: desk.text(), file: file.name, holds: await file.text(), unit: piece("outline-unit").value };
    const { ok, said } = await ask(root.dataset.outline, body);
    event.target.value = "";
    if (!ok) return desk.say(words(said), true);
    await desk.commit({ whole: { text: said.text } });
    const line = (text) => Object.assign(document.createElement("li"), { textContent: text });
    piece("outline-told").replaceChildren(...said.told.map(line));
    desk.say(`${file.name} is read`);
  });
  root.addEventListener("change", (event) => {
    if ("whole" in event.target.dataset) desk.commit({ whole: { text: event.target.value } });
  });

  const keys = {
    "Alt+ArrowDown": () => step(1),
    "Alt+ArrowUp": () => step(-1),
    "Alt+n": offer,
    "Alt+Delete": remove,
  };

  // Before the keys of desk.js: what is typed is taken or put back first.
  document.addEventListener("keydown", (event) => {
    if (kinds.open || event.target.closest("dialog")) return;
    const control = event.ctrlKey || event.metaKey;
    const name = [control && "Ctrl", event.altKey && "Alt", event.key].filter(Boolean).join("+");
    const { at, gap } = event.target.dataset;
    if (keys[name]) keys[name]();
    else if (name === "Enter" && at) onward(at);
    else if (name === "Enter" && gap) build(event.target.closest("[data-build]"));
    else if (name === "Escape" && at && changed()) revert();
    else if (name.toLowerCase() === "ctrl+z" && !event.shiftKey && changed()) revert();
    else if (name === "Ctrl+s" && changed()) taken().then(desk.save);
    else if (/^Arrow(Down|Up)$/.test(name) && event.target.closest("#list")) {
      const all = cards();
      reach(all[all.indexOf(event.target) + (event.key === "ArrowDown" ? 1 : -1)]);
    } else return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }, true);

  let resizing = 0;
  window.addEventListener("resize", () => {
    clearTimeout(resizing);
    resizing = setTimeout(async () => {
      room();
      const answer = changed() ? null : await desk.peek([]);
      if (answer) beside(answer.fragments);
    }, 150);
  });

  document.addEventListener("desk:ready", async () => {
    room();
    await open(chosen() ? chosen().dataset.card : "part");
    root.dataset.entry = "ready";
  });
}
