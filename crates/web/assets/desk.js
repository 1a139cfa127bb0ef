"use strict";
// The working manner of every page on which something is changed. The page holds
// the text of the file as its draft; each change is posted with the text, and the
// answer is the changed text and the parts of the page drawn anew.
//
// A page takes part by an element with id "desk" that names its addresses:
//   data-text, data-stamp, data-save, data-change
// A page that also changes the bench says data-also="bench": both files are then
// drafts of one page, undone and saved together, and sent as `text` and `bench`.
// One that shows what followed from a change says data-was: the drafts before the
// last change go with each question as `was`.
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
  // The files of the page, each as it was read or saved last and as it is here.
  const paper = (key, name, text, stamp, save) =>
    ({ key, name, from: text, stamped: stamp, into: save, base: "", stamp: null, told: null, draft: "" });
  const papers = [paper("text", "The file", root.dataset.text, root.dataset.stamp, root.dataset.save)];
  if (root.dataset.also) {
    const also = root.dataset.also;
    papers.push(paper(also, `The ${also}`, `/${also}/text`, `/${also}/stamp`, `/${also}/save`));
  }
  let line = Promise.resolve(), swapping = false, before = null;
  const state = {};
  const sent = new Map();

  const drafts = () => Object.fromEntries(papers.map((one) => [one.key, one.draft]));
  const take = (texts) => { for (const one of papers) one.draft = texts[one.key]; };
  const changed = (one) => one.draft !== one.base;
  const say = (text, wrong = false) => {
    by("desk-said").textContent = text;
    by("desk-said").classList.toggle("wrong", wrong);
  };
  const dress = () => {
    const dirty = papers.some(changed);
    by("desk-save").disabled = !dirty;
    by("desk-undo").disabled = undone.length === 0;
    by("desk-redo").disabled = redone.length === 0;
    root.dataset.ready = "true";
    root.dataset.saved = String(!dirty);
  };
  // One thing after the other, in the order asked.
  const then = (work) => (line = line.then(work).catch((fault) => say(String(fault), true)));

  // What undoing goes back to: the texts, and what was open then.
  const point = () => ({ texts: drafts(), state: { ...state } });

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
    document.dispatchEvent(new CustomEvent("desk:shown", { detail: { text: papers[0].draft } }));
  };

  const draw = async (texts, changes = [], was = before) => {
    const more = "was" in root.dataset && was && changes.length === 0 ? { was } : {};
    const { ok, said } = await ask(root.dataset.change, { ...texts, changes, state, ...more });
    if (!ok) {
      say(words(said), true);
      return null;
    }
    return said;
  };

  // What the page would be with a change, without making it.
  const peek = (changes) => then(() => draw(drafts(), [].concat(changes)));
  const commit = (changes, focus) => then(async () => {
    const answer = await draw(drafts(), [].concat(changes));
    if (!answer) {
      document.dispatchEvent(new CustomEvent("desk:refused"));
      return null;
    }
    if (papers.some((one) => answer[one.key] !== one.draft)) {
      const here = point();
      undone.push(here);
      redone.length = 0;
      before = here.texts;
      take(answer);
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
    const answer = await draw(drafts());
    if (answer) swap(answer.fragments);
    dress();
  });
  const step = (from, to) => then(async () => {
    if (from.length === 0) return;
    const there = from[from.length - 1], here = point();
    Object.assign(state, there.state);
    const answer = await draw(there.texts, [], here.texts);
    if (!answer) {
      Object.assign(state, here.state);
      return;
    }
    to.push(here);
    from.pop();
    before = here.texts;
    take(there.texts);
    say("");
    swap(answer.fragments);
    dress();
  });
  const undo = () => step(undone, redone);
  const redo = () => step(redone, undone);

  const adopt = async (one, text, itsStamp) => {
    if (text !== one.draft) {
      const here = point();
      undone.push(here);
      redone.length = 0;
      before = here.texts;
    }
    one.base = one.draft = text;
    one.stamp = one.told = itsStamp;
    const answer = await draw(drafts());
    if (answer) swap(answer.fragments);
  };
  const store = async () => {
    const due = papers.filter(changed);
    let merged = null;
    for (const one of due.length ? due : papers.slice(0, 1)) {
      const { ok, said } = await ask(one.into, { base: one.base, text: one.draft });
      if (!ok) {
        dress();
        return say(words(said), true);
      }
      if (said.outcome === "conflict") {
        dress();
        return conflict(one, said);
      }
      if (said.outcome === "merged") {
        await adopt(one, said.text, said.stamp);
        merged = one;
      } else {
        one.base = said.text;
        one.stamp = one.told = said.stamp;
      }
    }
    say(merged ? `Saved. ${merged.name} had been changed elsewhere; it now holds both.` : "Saved.");
    dress();
  };
  const save = () => {
    const field = document.activeElement;
    if (field && field.dataset && field.dataset.set && field.value !== field.defaultValue) typedIn(field);
    return then(store);
  };

  // The same lines changed here and in the file: the person chooses.
  const conflict = (one, found) => {
    const dialog = by("desk-conflict");
    by("desk-conflict-title").textContent = `${one.name} was changed elsewhere in the same lines`;
    by("desk-both").value = found.marked;
    by("desk-conflict-said").textContent = "";
    const close = () => dialog.close();
    by("desk-mine").onclick = () => {
      close();
      then(() => { one.base = found.theirs; return store(); });
    };
    by("desk-theirs").onclick = () => {
      close();
      then(async () => {
        await adopt(one, found.theirs, found.stamp);
        say("This is what is in the file.");
        dress();
      });
    };
    by("desk-edited").onclick = () => then(async () => {
      const edited = by("desk-both").value;
      const texts = { ...drafts(), [one.key]: edited };
      const { ok, said } = await ask(root.dataset.change, { ...texts, changes: [], state });
      if (!ok || /^(<{7}|={7}|>{7}|\|{7})/m.test(edited)) {
        by("desk-conflict-said").textContent = ok ? "The marks still stand in it." : words(said);
        return;
      }
      close();
      undone.push(point());
      one.draft = edited;
      one.base = found.theirs;
      swap(said.fragments);
      await store();
    });
    dialog.showModal();
  };

  const look = () => { for (const one of papers) lookAt(one); };
  const lookAt = async (one) => {
    if (document.hidden) return;
    const told = one.told;
    const { ok, said } = await ask(one.stamped);
    if (!ok || said.stamp === one.told) return;
    then(async () => {
      // Saved or taken up while the answer was on its way: the next look tells.
      if (one.told !== told || said.stamp === one.stamp) return;
      one.told = said.stamp;
      if (said.stamp === null) return say(`${one.name} is gone from the folder. Saving puts it back.`, true);
      if (changed(one)) {
        return say(`${one.name} was changed elsewhere. Saving brings both together.`, true);
      }
      const file = await ask(one.from);
      if (!file.ok) return say(words(file.said), true);
      await adopt(one, file.said.text, file.said.stamp);
      say(`${one.name} was changed elsewhere; this is how it reads now.`);
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
    if (papers.some(changed)) event.preventDefault();
  });

  then(async () => {
    for (const one of papers) {
      const { ok, said } = await ask(one.from);
      if (!ok) return say(words(said), true);
      one.base = one.draft = said.text;
      one.stamp = one.told = said.stamp;
    }
    dress();
    document.dispatchEvent(new CustomEvent("desk:ready"));
    setInterval(look, 2000);
  });
  return { commit, peek, redraw, undo, redo, save, say, state, text: () => papers[0].draft, drafts, settled: () => line };
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
