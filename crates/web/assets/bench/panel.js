// The words and buttons beside the drawing: all that a drag can do, without one.

function option(value, text) {
  const made = document.createElement("option");
  made.value = value;
  made.textContent = text;
  return made;
}

function item(...parts) {
  const made = document.createElement("li");
  made.append(...parts);
  return made;
}

function strong(text) {
  const made = document.createElement("strong");
  made.textContent = text;
  return made;
}

/** Fills a list of choices and keeps what was chosen, if it still is there. */
function fill(select, options, chosen = select.value) {
  select.replaceChildren(...options);
  select.value = chosen;
  if (select.selectedIndex < 0) select.selectedIndex = 0;
}

export class Panel {
  constructor(bench) {
    this.bench = bench;
    this.find = bench.find;
    const on = (id, does, kind = "click") => this.find(id).addEventListener(kind, does);
    const chosen = (does) => () => (bench.chosen ? does(bench.chosen) : this.say("Choose a piece first.", true));
    on("undo", () => bench.send("undo"));
    on("redo", () => bench.send("redo"));
    on("settle", () => bench.send("settle"));
    on("foresee", () => bench.foresee());
    on("piece", () => bench.choose(this.find("piece").value), "change");
    on("take-out", chosen((piece) => bench.send("edit", { do: "take-out", piece })));
    on("lock", chosen((piece) => bench.send("edit", { do: bench.locked.includes(piece) ? "unlock" : "lock", piece })));
    on("turn-left", chosen(() => bench.turn(1)));
    on("turn-right", chosen(() => bench.turn(-1)));
    on("swap", chosen((a) => bench.send("edit", { do: "swap", a, b: this.find("swap-with").value })));
    on("to-tier", chosen(() => bench.toTier(this.find("tier").value)));
    on("put-in", () => bench.putIn(this.find("out").value, this.find("out-tier").value));
    on("out", () => this.why(), "change");
    for (const button of bench.root.querySelectorAll("[data-nudge]")) {
      button.addEventListener("click", () => {
        const far = bench.steps[this.find("fine").checked ? 1 : 0];
        const by = button.dataset.nudge.split(" ").map((v) => Number(v) * far);
        if (bench.nudge(by)) bench.setDown();
      });
    }
  }

  /** Everything as the bench is now. */
  show() {
    const { bench } = this;
    this.tierButtons();
    const groups = bench.tier_names.map((name) => {
      const group = document.createElement("optgroup");
      group.label = `Tier ${name}`;
      group.append(...bench.tiers.get(name).ware.map((w) => option(w.piece, this.named(w.piece))));
      return group;
    });
    fill(this.find("piece"), [option("", "None chosen"), ...groups], bench.chosen ?? "");
    const others = bench.tiers.get(bench.shown)?.ware.filter((w) => w.piece !== bench.chosen && !w.on) ?? [];
    const rest = bench.tier_names.filter((n) => n !== bench.shown)
      .flatMap((n) => bench.tiers.get(n).ware.filter((w) => !w.on));
    fill(this.find("swap-with"), [...others, ...rest].map((w) => option(w.piece, this.named(w.piece))));
    const tiers = (not) => bench.tier_names.filter((n) => n !== not).map((n) => option(n, `Tier ${n}`));
    fill(this.find("tier"), tiers(bench.shown));
    fill(this.find("out-tier"), tiers());
    fill(this.find("out"), bench.left_out.map(([id]) => option(id, this.named(id))));
    this.find("put-in").disabled = bench.left_out.length === 0;
    this.find("about").textContent = bench.chosen ? bench.about(bench.chosen) : "No piece is chosen. Choose one in the list or in the drawing.";
    this.find("lock").textContent = bench.chosen && bench.locked.includes(bench.chosen) ? "Unlock" : "Lock";
    const step = (id, can, verb, words) => {
      this.find(id).disabled = !can;
      this.find(id).textContent = words ? `${verb}: ${words}` : verb;
    };
    step("undo", bench.can_undo, "Undo", bench.undo);
    step("redo", bench.can_redo, "Redo", bench.redo);
    this.find("settle").disabled = bench.breaches.length === 0;
    const [value, most] = bench.worth;
    this.find("worth").textContent = `${this.count()} pieces go, ${bench.left_out.length} stay out. Worth ${Math.min(100, Math.floor((value / Math.max(most, 1e-9)) * 100))} % of the most that any load could be worth.`
      + (bench.foreseenIsOfThis() ? "" : " The forecast is of the load as it was.");
    this.forecast();
    this.why();
    this.list(bench.breaches, "The judge accepts this load.");
  }

  /** What is foreseen, line by line, with what it was before where that is another. */
  forecast() {
    const { bench } = this;
    const found = bench.foreseen();
    const fresh = bench.foreseenIsOfThis();
    const changed = found?.lines.filter((l) => l.was).length ?? 0;
    let words = "Nothing is foreseen of this load yet.";
    if (bench.foresees) words = "The load is being foreseen as it is now. It takes some seconds; you may go on.";
    else if (found && !fresh) words = "The load was changed since. This is what was foreseen of it before:";
    else if (found === bench.planned && found) words = "Of the plan:";
    else if (found && changed) words = "Of the load as it is now, beside the plan:";
    else if (found) words = "Of the load as it is now. Nothing is foreseen otherwise than in the plan.";
    if (this.find("forecast-of").textContent !== words) this.find("forecast-of").textContent = words;
    this.find("forecast").classList.toggle("old", !fresh);
    this.find("forecast-warning").hidden = !found?.warning;
    this.find("forecast-warning").textContent = found?.warning ?? "";
    this.find("forecast-band").hidden = !found?.lines.some((l) => l.band);
    const lines = (found?.lines ?? []).map((l) => {
      const row = document.createElement("tr");
      const head = document.createElement("th");
      head.scope = "row";
      head.textContent = l.what;
      const cell = document.createElement("td");
      cell.append(l.was ? strong(l.is) : l.is);
      const under = (text) => {
        const span = document.createElement("span");
        span.className = "small";
        span.textContent = text;
        cell.append(span);
      };
      if (l.band) under(l.band);
      if (l.was) under(`before: ${l.was}`);
      row.append(head, cell);
      return row;
    });
    this.find("forecast-lines").replaceChildren(...lines);
    this.find("foresee").hidden = fresh && Boolean(found);
    this.find("foresee").disabled = Boolean(bench.foresees);
  }

  count() {
    return [...this.bench.tiers.values()].reduce((n, t) => n + t.ware.length, 0);
  }

  named(id) {
    const known = this.bench.kiln.pieces[id];
    return known ? `${id} ${known.what}, ${known.maker}` : id;
  }

  tierButtons() {
    const { bench } = this;
    const held = document.activeElement?.closest("[data-tier]")?.dataset.tier;
    const buttons = bench.tier_names.map((name) => {
      const button = document.createElement("button");
      button.type = "button";
      button.dataset.tier = name;
      button.setAttribute("aria-pressed", String(name === bench.shown));
      const wrong = bench.breaches.filter((b) => b.tier === name).length;
      button.textContent = `Tier ${name}${wrong ? ` (! ${wrong})` : ""}`;
      if (wrong) button.setAttribute("aria-label", `Tier ${name}, rules broken: ${wrong}`);
      button.addEventListener("click", () => bench.showTier(name));
      return button;
    });
    this.find("tiers").replaceChildren(...buttons);
    if (held) this.find("tiers").querySelector(`[data-tier="${CSS.escape(held)}"]`)?.focus();
  }

  why() {
    const found = this.bench.left_out.find(([id]) => id === this.find("out").value);
    this.find("why").textContent = found ? `Stays out: ${found[1]}. ${found[2]}.` : "Everything goes.";
  }

  /** Breaches, each a line that names tier, pieces, what is wrong and what to do. */
  list(breaches, none) {
    const { bench } = this;
    const lines = breaches.map((b) => {
      const where = [b.tier && `Tier ${b.tier}`, b.pieces.join(", ")].filter(Boolean).join(": ");
      const line = item(strong(where ? `${where}: ` : ""), `${b.what}. ${b.remedy}. `);
      const [first] = b.pieces;
      if (first && bench.where(first) && !bench.held) {
        const show = document.createElement("button");
        show.type = "button";
        show.textContent = `Show ${first}`;
        show.addEventListener("click", () => bench.choose(first));
        line.append(show);
      }
      return line;
    });
    this.find("breaches").replaceChildren(...(lines.length ? lines : [item(none)]));
    this.find("judge").classList.toggle("broken", breaches.length > 0);
  }

  /** While a piece is held: what would be wrong were it set down here. */
  foresee(breaches) {
    this.find("judge-head").textContent = "The judge, if you set it down here";
    this.list(breaches, "Nothing is wrong here.");
  }

  /** After a step: the judge's answer, for the eye and for the ear. */
  judged(answer) {
    const n = answer.breaches.length;
    const [first] = answer.breaches;
    const where = first && [first.tier && `Tier ${first.tier}`, first.pieces.join(" and ")].filter(Boolean).join(", ");
    const words = n === 0
      ? "The judge accepts this load."
      : `The judge: ${n} ${n === 1 ? "rule is" : "rules are"} broken. ${where}: ${first.what}. ${first.remedy}.`;
    const moved = answer.said.length ? ` Changed: ${answer.said.join("; ")}.` : "";
    this.say(words + moved, n > 0);
  }

  say(words, grave = false) {
    this.find("judge-head").textContent = "The judge";
    if (!this.bench.held && this.bench.breaches) this.list(this.bench.breaches, "The judge accepts this load.");
    const line = this.find("say");
    line.textContent = words;
    line.classList.toggle("grave", grave);
  }
}
