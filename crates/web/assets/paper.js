"use strict";
// The paper sheet of the entry page: pointing to the ends of known dimensions and
// to features. What is pointed to goes into the draft as a person would write it.
{
  const by = (id) => document.getElementById(id);
  const SVG = "http://www.w3.org/2000/svg";
  const kept = { tool: "across", zoom: "fit", cross: null, from: null };

  const say = (words) => by("paper-said") && (by("paper-said").textContent = words);
  const sheet = () => by("paper-sheet");
  const pixels = ({ x_px, y_px }) => `${x_px}, ${y_px}`;
  const tool = () => (by("paper-tool") ? by("paper-tool").value : "");
  const isLength = () => ["across", "up", "straight"].includes(tool());

  // Pixels of the image to one of the screen.
  const coarse = () => Number(sheet().dataset.wide) / sheet().getBoundingClientRect().width;

  function dress() {
    if (!sheet()) return;
    by("paper-tool").value = kept.tool;
    if (!by("paper-tool").value) by("paper-tool").selectedIndex = 0;
    by("paper-zoom").value = kept.zoom;
    size();
    if (!kept.cross) kept.cross = { x_px: sheet().dataset.wide / 2, y_px: sheet().dataset.high / 2 };
    cross();
  }

  function size() {
    const [wide, scale] = [Number(sheet().dataset.wide), Number(kept.zoom)];
    sheet().style.width = scale ? `${(wide * scale) / window.devicePixelRatio}px` : "100%";
  }

  // The cross, and the end that has been pointed to.
  function cross() {
    const arm = 14 * coarse();
    const { x_px: x, y_px: y } = kept.cross;
    const marks = [["path", { d: `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}` }]];
    if (kept.from) marks.push(["circle", { cx: kept.from.x_px, cy: kept.from.y_px, r: arm / 3 }]);
    by("paper-cross").replaceChildren(...marks.map(([name, said]) => {
      const mark = document.createElementNS(SVG, name);
      for (const [key, value] of Object.entries(said)) mark.setAttribute(key, value);
      mark.setAttribute("stroke-width", 1.5 * coarse());
      return mark;
    }));
  }

  async function snapped(at) {
    const answer = await ask(`${sheet().dataset.address}/snap`, { ...at, reach_px: Math.min(60, 12 * coarse()) });
    if (answer.ok) return answer.said;
    say(words(answer.said));
    return null;
  }
  const found = { circle: "the middle of a circle", corner: "a corner", nothing: "nothing near: the place as pointed to" };

  async function point(at) {
    const led = await snapped(at);
    if (!led) return;
    kept.cross = led;
    if (isLength()) {
      if (!kept.from) {
        kept.from = led;
        cross();
        return say(`one end at ${found[led.found]}; now the other`);
      }
      kept.to = led;
      cross();
      say("type its length as the sheet has it, and press Enter");
      return by("paper-length").focus();
    }
    const [, how, name] = tool().match(/^(spot|new) (.*)$/);
    let of = name;
    if (how === "new") {
      await desk.commit({ new: { kind: name, after: null } });
      const row = by("list").querySelector("[aria-current]");
      of = row ? row.dataset.name : name;
    }
    const old = document.querySelector(`[data-spot="${CSS.escape(of)}"]`);
    const changes = old ? [{ clear: { at: `scan/spots/${old.dataset.index}` } }] : [];
    changes.push({ include: { at: "scan/spots", item: `${of} at ${pixels(led)}` } });
    await desk.commit(changes);
    say(`${of}: ${found[led.found]}`);
    const first = how === "new" && ["#form .is-wanting .main", "#form .main"].map((at) => document.querySelector(at));
    (first ? first.find(Boolean) : sheet()).focus();
  }

  async function known() {
    const length = by("paper-length").value.trim();
    if (!length || !kept.from || !kept.to) return say("point to its two ends first, then type its length");
    const way = tool() === "straight" ? "" : ` ${tool()}`;
    const item = `${length}${way} from ${pixels(kept.from)} to ${pixels(kept.to)}`;
    kept.from = kept.to = null;
    by("paper-length").value = "";
    await desk.commit({ include: { at: "scan/known", item } });
    say("taken; point to another, or to a feature");
    sheet().focus();
  }

  async function bring(file) {
    const name = encodeURIComponent(file.name.replace(/[^A-Za-z0-9._ -]/g, "-"));
    const reply = await fetch(`/images/${name}`, {
      method: "POST",
      headers: { "Content-Type": file.type },
      body: file,
    }).catch(() => null);
    const said = reply ? await reply.json().catch(() => ({})) : {};
    if (reply && reply.ok) return desk.commit({ set: { at: "scan/image", to: said.image } });
    desk.say(words(said), true);
  }

  document.addEventListener("desk:shown", dress);
  document.addEventListener("desk:ready", dress);

  const place = by("paper");
  place.addEventListener("click", (event) => {
    const on = event.target.closest("#paper-sheet");
    if (!on) return;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(on.getScreenCTM().inverse());
    point({ x_px: at.x, y_px: at.y });
  });
  place.addEventListener("keydown", (event) => {
    if (event.target.id === "paper-length" && event.key === "Enter") known();
    else if (event.target.id === "paper-sheet") {
      const by_px = (event.shiftKey ? 1 : 10) * coarse();
      const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
      if (event.key === "Enter") point(kept.cross);
      else if (ways[event.key] && !event.altKey) {
        const [right, down] = ways[event.key];
        kept.cross = { x_px: kept.cross.x_px + right * by_px, y_px: kept.cross.y_px + down * by_px };
        cross();
      } else return;
    } else return;
    event.preventDefault();
    event.stopPropagation();
  });
  place.addEventListener("change", (event) => {
    const { id, value, files } = event.target;
    if (id === "paper-file" && files[0]) bring(files[0]);
    else if (id === "paper-image") desk.commit(value ? { set: { at: "scan/image", to: value } } : { clear: { at: "scan" } });
    else if (id === "paper-tool") {
      kept.tool = value;
      kept.from = kept.to = null;
      say(isLength() ? "point to its two ends" : "point to it; near is near enough");
      cross();
    } else if (id === "paper-zoom") {
      kept.zoom = value;
      size();
      cross();
    }
  });
}
