"use strict";
// The page Order, on top of the working manner of desk.js. A step is dragged by its
// handle with the mouse or a finger, or moved with the arrow keys; the page asks what
// every other place would cost, or why the step may not stand there, as soon as it is
// lifted. Putting it down writes a wish into the file.
{
  const root = document.getElementById("desk");
  const piece = (id) => document.getElementById(id);
  const steps = () => [...piece("cards").querySelectorAll(".step")];
  const state = desk.state;
  // What is lifted: the step, where it is, and where it would be put down.
  let lifted = null;

  const say = (words, no = false) => {
    piece("over").textContent = words;
    piece("over").classList.toggle("no", no);
  };

  const wish = (first, then) => [
    { exclude: { at: "order/wanted", item: `${then} before ${first}` } },
    { include: { at: "order/wanted", item: `${first} before ${then}` } },
  ];

  // The wish that puts a step at a place: so many steps before it.
  function wished(from, at) {
    const calls = steps().map((one) => one.dataset.call);
    if (at === from || at === from + 1) return null;
    return at < from ? wish(calls[from], calls[at]) : wish(calls[at - 1], calls[from]);
  }

  async function put(from, at, focus) {
    const changes = wished(from, at);
    if (!changes) return;
    root.dataset.moved = "";
    const answer = await desk.commit(changes, focus);
    root.dataset.moved = answer ? "yes" : "no";
  }

  function mark(at) {
    const all = steps();
    all.forEach((one, n) => {
      one.classList.toggle("put-before", lifted !== null && at === n);
      one.classList.toggle("put-after", lifted !== null && at === all.length && n === at - 1);
    });
  }

  function over(at) {
    if (!lifted || lifted.at === at) return;
    lifted.at = at;
    const same = at === lifted.from || at === lifted.from + 1;
    mark(same ? null : at);
    if (same) return say("Here it stands now.");
    const told = piece("targets").querySelector(`[data-at="${at}"]`);
    if (!told) return say("…");
    const may = told.dataset.may === "true";
    say(may ? `It may stand here: ${told.textContent}.` : `Not by itself: ${told.textContent}.`, !may);
  }

  // The place under the pointer.
  function under(x, y) {
    const found = document.elementFromPoint(x, y);
    const one = found && found.closest(".step");
    if (!one) return null;
    const at = steps().indexOf(one), box = one.getBoundingClientRect();
    return y < box.top + box.height / 2 ? at : at + 1;
  }

  function leave() {
    if (!lifted) return;
    lifted.one.classList.remove("lifted");
    lifted = null;
    mark(null);
  }

  async function ask_places(call) {
    piece("targets").textContent = "";
    const { ok, said } = await ask(root.dataset.change, {
      text: desk.text(), changes: [], state: { ...state, step: call, only: "targets" },
    });
    if (!ok || !lifted || lifted.call !== call) return;
    piece("targets").innerHTML = said.fragments.targets;
    const at = lifted.at;
    lifted.at = null;
    over(at);
    root.dataset.places = call;
  }

  root.addEventListener("pointerdown", (event) => {
    const grip = event.target.closest(".grip");
    if (!grip || event.button !== 0) return;
    const one = grip.closest(".step");
    lifted = { one, call: one.dataset.call, from: steps().indexOf(one), at: null };
    lifted.at = lifted.from;
    one.classList.add("lifted");
    grip.setPointerCapture(event.pointerId);
    ask_places(lifted.call);
  });
  root.addEventListener("pointermove", (event) => {
    if (!lifted) return;
    const edge = 60;
    if (event.clientY < edge) window.scrollBy(0, -12);
    else if (event.clientY > window.innerHeight - edge) window.scrollBy(0, 12);
    const at = under(event.clientX, event.clientY);
    if (at !== null) over(at);
  });
  root.addEventListener("pointerup", (event) => {
    if (!lifted) return;
    const { from, call } = lifted, at = under(event.clientX, event.clientY);
    leave();
    say("");
    if (at !== null) put(from, at, `[data-key="grip-${CSS.escape(call)}"]`);
  });
  root.addEventListener("pointercancel", () => { leave(); say(""); });

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Escape" && lifted) {
      leave();
      say("");
      event.preventDefault();
      return;
    }
    const grip = event.target.closest && event.target.closest(".grip");
    if (!grip || (event.key !== "ArrowUp" && event.key !== "ArrowDown")) return;
    event.preventDefault();
    const one = grip.closest(".step"), from = steps().indexOf(one);
    const at = event.key === "ArrowUp" ? from - 1 : from + 2;
    if (at >= 0 && at <= steps().length) put(from, at, `[data-key="${CSS.escape(grip.dataset.key)}"]`);
  });

  piece("cards").addEventListener("click", async (event) => {
    const name = event.target.closest("button.name");
    if (!name) return;
    const call = name.closest(".step").dataset.call;
    state.step = state.step === call ? "" : call;
    await desk.redraw();
  });

  document.addEventListener("desk:shown", () => say(""));
  document.addEventListener("desk:refused", () => {
    // A tick that was refused stands as the file has it.
    for (const tick of piece("cards").querySelectorAll(".tick input")) tick.checked = false;
    say(piece("desk-said").textContent, true);
  });
  document.addEventListener("desk:ready", () => (root.dataset.entry = "ready"));
}
