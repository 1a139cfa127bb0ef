"use strict";
// The working manner of every page on which something is changed. The page holds
// the text of the file as its draft; each change is posted with the text, and the
// answer is the changed text and the parts of the page drawn anew.
//
// A page takes part by an element with id "desk" that names its addresses:
//   data-text, data-stamp, data-save, data-change
// What is open or chosen on the page, and is no part of the file, goes with each
// change as `desk.state`.
// and by what stands in it:
//   data-set="feature/3/diameter"   a field: its value is written there, an empty one clears it;
//                                   data-kind says how: text (usual), number, numbers, list, flag
//   data-change='{"remove": …}'     a button: one change, or a list of them
//   data-include="drills"           a field: its value is put into that list
//   data-on='…' data-off='…'        a tick: the changes for ticked and not
//   data-focus="#id"                a button: what has the focus afterwards
// Anywhere: a form with data-post sends its fields as JSON, and a button with
// data-post sends nothing; the answer says where to go, or what is wrong.

const ask = async (address, body) => {
  const how = body === undefined ? {} : {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  };
  try {
    const answer = await fetch(address, how);
    return { ok: answer.ok, said: await answer.json().catch(() => ({})) };
  } catch {
    return { ok: false, said: { problem: { what: "oddleg does not answer", mend: "see whether it still runs" } } };
  }
};

const words = (said) => {
  const problem = said && said.problem;
  if (!problem) return "That did not go well; try again.";
  return [problem.what, problem.why, problem.mend].filter(Boolean).join(". ") + ".";
};

const desk = (() => {
  const root = document.getElementById("desk");
  if (!root) return null;
  const by = (id) => document.getElementById(id);
  const undone = [], redone = [];
  let base = "", stamp = null, draft = "", line = Promise.resolve(), swapping = false, told = null;
  const state = {};
  const sent = new Map();

  const say = (text, wrong = false) => {
    by("desk-said").textContent = text;
    by("desk-said").classList.toggle("wrong", wrong);
  };
  const dress = () => {
    by("desk-save").disabled = draft === base;
    by("desk-undo").disabled = undone.length === 0;
    by("desk-redo").disabled = redone.length === 0;
    root.dataset.ready = "true";
    root.dataset.saved = String(draft === base);
  };
  // One thing after the other, in the order asked.
  const then = (work) => (line = line.then(work).catch((fault) => say(String(fault), true)));

  // What undoing goes back to: the text, and what was open then.
  const point = () => ({ text: draft, state: { ...state } });

  const keyOf = (element) => {
    if (!element || !root.contains(element)) return null;
    for (const name of ["data-key", "id", "data-set", "data-include", "data-change", "data-on"]) {
      const value = element.getAttribute(name);
      if (value) return `${element.tagName.toLowerCase()}[${name}="${CSS.escape(value)}"]`;
    }
    return null;
  };

  // Draws parts of the page anew; the focus, what is being typed and what is
  // folded open stay.
  const swap = (fragments) => {
    const active = document.activeElement;
    const key = keyOf(active);
    const typing = key && "defaultValue" in active && active.type !== "checkbox" && active.tagName !== "BUTTON"
      && active.value !== active.defaultValue && sent.get(key) !== active.value;
    const typed = typing ? active.value : null;
    const range = key && active.selectionStart !== undefined && active.type !== "checkbox"
      ? [active.selectionStart, active.selectionEnd] : null;
    swapping = true;
    for (const [id, html] of Object.entries(fragments || {})) {
      const old = by(id);
      if (!old) continue;
      const open = [...old.querySelectorAll("details[id]")].map((one) => [one.id, one.open]);
      old.innerHTML = html;
      for (const [name, was] of open) if (by(name)) by(name).open = was;
    }
    if (key && !active.isConnected) {
      const again = root.querySelector(key);
      if (again) {
        again.focus({ preventScroll: true });
        if (typed !== null) again.value = typed;
        if (range && range[0] !== null && again.setSelectionRange) {
          try { again.setSelectionRange(...range); } catch { /* not a field of text */ }
        }
      }
    }
    swapping = false;
    sent.clear();
    document.dispatchEvent(new CustomEvent("desk:shown", { detail: { text: draft } }));
  };

  const draw = async (text, changes = []) => {
    const { ok, said } = await ask(root.dataset.change, { text, changes, state });
    if (!ok) {
      say(words(said), true);
      return null;
    }
    return said;
  };

  // What the page would be with a change, without making it.
  const peek = (changes) => then(() => draw(draft, [].concat(changes)));
  const commit = (changes, focus) => then(async () => {
    const answer = await draw(draft, [].concat(changes));
    if (!answer) {
      document.dispatchEvent(new CustomEvent("desk:refused"));
      return null;
    }
    if (answer.text !== draft) {
      undone.push(point());
      redone.length = 0;
      draft = answer.text;
      say("");
    }
    swap(answer.fragments);
    if (focus) {
      const field = root.querySelector(focus);
      if (field) field.focus();
    }
    dress();
    return answer;
  });
  const redraw = () => then(async () => {
    const answer = await draw(draft);
    if (answer) swap(answer.fragments);
    dress();
  });
  const step = (from, to) => then(async () => {
    if (from.length === 0) return;
    const there = from[from.length - 1], here = point();
    Object.assign(state, there.state);
    const answer = await draw(there.text);
    if (!answer) {
      Object.assign(state, here.state);
      return;
    }
    to.push(here);
    from.pop();
    draft = there.text;
    say("");
    swap(answer.fragments);
    dress();
  });
  const undo = () => step(undone, redone);
  const redo = () => step(redone, undone);

  const adopt = async (text, itsStamp) => {
    if (text !== draft) {
      undone.push(point());
      redone.length = 0;
    }
    base = draft = text;
    stamp = told = itsStamp;
    const answer = await draw(draft);
    if (answer) swap(answer.fragments);
  };
  const store = async () => {
    const { ok, said } = await ask(root.dataset.save, { base, text: draft });
    if (!ok) return say(words(said), true);
    if (said.outcome === "conflict") return conflict(said);
    if (said.outcome === "merged") {
      await adopt(said.text, said.stamp);
      say("Saved. The file had been changed elsewhere; it now holds both.");
    } else {
      base = said.text;
      stamp = told = said.stamp;
      say("Saved.");
    }
    dress();
  };
  const save = () => {
    const field = document.activeElement;
    if (field && field.dataset && field.dataset.set && field.value !== field.defaultValue) typedIn(field);
    return then(store);
  };

  // The same lines changed here and in the file: the person chooses.
  const conflict = (found) => {
    const dialog = by("desk-conflict");
    by("desk-both").value = found.marked;
    by("desk-conflict-said").textContent = "";
    const close = () => dialog.close();
    by("desk-mine").onclick = () => {
      close();
      then(() => { base = found.theirs; return store(); });
    };
    by("desk-theirs").onclick = () => {
      close();
      then(async () => { await adopt(found.theirs, found.stamp); say("This is what is in the file."); dress(); });
    };
    by("desk-edited").onclick = () => then(async () => {
      const edited = by("desk-both").value;
      const { ok, said } = await ask(root.dataset.change, { text: edited, changes: [], state });
      if (!ok || /^(<{7}|={7}|>{7}|\|{7})/m.test(edited)) {
        by("desk-conflict-said").textContent = ok ? "The marks still stand in it." : words(said);
        return;
      }
      close();
      undone.push(point());
      draft = edited;
      base = found.theirs;
      swap(said.fragments);
      await store();
    });
    dialog.showModal();
  };

  const look = async () => {
    if (document.hidden || stamp === undefined) return;
    const { ok, said } = await ask(root.dataset.stamp);
    if (!ok || said.stamp === told) return;
    then(async () => {
      if (said.stamp === stamp) return;
      told = said.stamp;
      if (said.stamp === null) return say("The file is gone from the folder. Saving puts it back.", true);
      if (draft !== base) {
        return say("The file was changed elsewhere. Saving brings both together.", true);
      }
      const file = await ask(root.dataset.text);
      if (!file.ok) return say(words(file.said), true);
      await adopt(file.said.text, file.said.stamp);
      say("The file was changed elsewhere; this is how it reads now.");
      dress();
    });
  };

  const valueOf = (field) => {
    const text = field.value.trim();
    switch (field.dataset.kind) {
      case "flag": return field.checked;
      case "number": return /^-?\d{1,15}$/.test(text) ? Number(text) : text;
      case "numbers": return text.split(/[\s,;]+/).filter(Boolean)
        .map((one) => (/^\d{1,15}$/.test(one) ? Number(one) : one));
      case "list": return text.split(/[,;]/).map((one) => one.trim()).filter(Boolean);
      default: return text;
    }
  };
  const typedIn = (field) => {
    const key = keyOf(field);
    if (key && field.type !== "checkbox") sent.set(key, field.value);
    const to = valueOf(field);
    const empty = to === "" || to === false || (Array.isArray(to) && to.length === 0);
    commit(empty ? { clear: { at: field.dataset.set } } : { set: { at: field.dataset.set, to } });
  };

  const putIn = (field) => {
    const item = field.value.trim();
    if (!item) return;
    field.value = "";
    commit({ include: { at: field.dataset.include, item } });
  };

  root.addEventListener("change", (event) => {
    if (swapping) return;
    const field = event.target;
    if (field.dataset.on) commit(JSON.parse(field.checked ? field.dataset.on : field.dataset.off));
    else if (field.dataset.set) typedIn(field);
    else if (field.dataset.include) putIn(field);
  });
  root.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-change]");
    if (button) commit(JSON.parse(button.dataset.change), button.dataset.focus);
  });
  document.addEventListener("keydown", (event) => {
    const field = event.target;
    const typing = field.dataset && field.dataset.set && field.value !== field.defaultValue
      && field.tagName !== "SELECT" && field.type !== "checkbox";
    const control = event.ctrlKey || event.metaKey;
    if (event.key === "Escape" && typing) {
      field.value = field.defaultValue;
    } else if (event.key === "Enter" && !control && typing && field.tagName === "INPUT" && !field.form) {
      event.preventDefault();
      typedIn(field);
    } else if (control && event.key.toLowerCase() === "s") {
      event.preventDefault();
      save();
    } else if (control && !typing && event.key.toLowerCase() === "z" && !by("desk-conflict").open) {
      event.preventDefault();
      if (event.shiftKey) redo(); else undo();
    } else if (control && !typing && event.key.toLowerCase() === "y" && !by("desk-conflict").open) {
      event.preventDefault();
      redo();
    }
  });
  by("desk-save").addEventListener("click", save);
  by("desk-undo").addEventListener("click", undo);
  by("desk-redo").addEventListener("click", redo);
  window.addEventListener("beforeunload", (event) => {
    if (draft !== base) event.preventDefault();
  });

  then(async () => {
    const { ok, said } = await ask(root.dataset.text);
    if (!ok) return say(words(said), true);
    base = draft = said.text;
    stamp = told = said.stamp;
    dress();
    document.dispatchEvent(new CustomEvent("desk:ready"));
    setInterval(look, 2000);
  });
  return { commit, peek, redraw, undo, redo, save, say, state, text: () => draft, settled: () => line };
})();

for (const form of document.querySelectorAll("form[data-post]")) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const { ok, said } = await ask(form.dataset.post, Object.fromEntries(new FormData(form)));
    if (ok && said.go) return location.assign(said.go);
    const place = form.querySelector(".said");
    if (place) place.textContent = ok ? "" : words(said);
  });
}
document.addEventListener("click", async (event) => {
  const button = event.target.closest("button[data-post]");
  if (!button || (button.dataset.sure && !confirm(button.dataset.sure))) return;
  const { ok, said } = await ask(button.dataset.post, {});
  if (ok && said.go) return location.assign(said.go);
  const place = document.getElementById("said");
  if (place) place.textContent = ok ? "" : words(said);
});
