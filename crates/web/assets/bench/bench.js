// A load changed by hand: what is chosen, what is sent, and what the judge answers.

import { Drawing } from "./draw.js";
import { arrows, hands } from "./hands.js";
import { Panel } from "./panel.js";
import { freest } from "./shape.js";
import { KilnView } from "./view.js";

/** Quarter of a right angle: a turn by the button, rad. */
const TURN = Math.PI / 8;

class Bench {
  constructor(root) {
    this.root = root;
    this.base = root.dataset.base;
    /** How far a piece goes by an arrow key or button, and how far in fine steps, m. */
    this.steps = [Number(root.dataset.step), Number(root.dataset.fine)];
    this.find = (id) => root.querySelector(`#bench-${id}`);
    this.drawing = new Drawing(this.find("drawing"));
    this.panel = new Panel(this);
    this.tiers = new Map();
    this.queue = Promise.resolve();
    /** Where a piece is shown for now, before it is set down. */
    this.held = null;
    const view = document.getElementById("kiln-view");
    this.view = view && !view.dataset.scene ? new KilnView(view, (piece) => this.choose(piece)) : null;
    hands(this.drawing, {
      choose: (piece) => this.choose(piece),
      may: (piece) => this.may(piece),
      where: (piece) => { const [, w] = this.where(piece); return [w.x, w.y]; },
      hover: (piece, x, y) => this.hover(piece, x, y),
      drop: (piece, x, y, tier) => this.drop(piece, x, y, tier),
      back: (piece) => this.letGo(`${piece} is back where it was.`),
    });
    arrows(this.find("reach"), { steps: this.steps, nudge: (by) => this.nudge(by), setDown: () => this.setDown() });
    this.load();
  }

  async load() {
    try {
      this.take(await this.ask("GET", "scene"));
      this.root.hidden = false;
      this.show();
    } catch (fault) {
      this.panel.say(fault.message, true);
    }
  }

  /** One question to the server; a refusal is thrown in its words. */
  async ask(method, path, body) {
    let answer;
    try {
      answer = await fetch(`${this.base}/${path}`, {
        method,
        headers: body ? { "content-type": "application/json", ...this.headers() } : {},
        body: body && JSON.stringify(body),
      });
    } catch {
      throw new Error("The server cannot be reached. Nothing was changed: try again.");
    }
    const found = await answer.json().catch(() => ({ error: `the server answers ${answer.status}: try again` }));
    if (answer.ok) return found;
    const fault = new Error(`Not done: ${found.error}.`);
    fault.stale = answer.status === 409;
    throw fault;
  }

  /** What the page gives against forged requests, when it does. */
  headers() {
    const token = this.root.dataset.token;
    return token ? { "x-csrf-token": token } : {};
  }

  /** Steps go to the server one after another, each made for the version before it. */
  send(path, edit) {
    const run = async () => {
      try {
        const answer = await this.ask("POST", path, { ...edit, version: this.version });
        this.held = null;
        // A lock moves nothing: what is foreseen stays true.
        if (edit?.do?.endsWith("lock") && this.anew?.version === this.version) this.anew.version = answer.version;
        this.take(answer);
        this.show();
        this.panel.judged(answer);
      } catch (fault) {
        this.held = null;
        if (fault.stale) this.take(await this.ask("GET", "scene").catch(() => ({})));
        this.show();
        this.panel.say(fault.message, true);
      }
    };
    this.queue = this.queue.then(run);
    return this.queue;
  }

  /** Has the load foreseen as it is now. */
  async foresee() {
    if (this.foresees) return;
    this.foresees = true;
    this.panel.forecast();
    try {
      await this.queue;
      const { version, forecast } = await this.ask("POST", "foresee", { version: this.version });
      this.anew = { version, forecast };
    } catch (fault) {
      if (fault.stale) this.take(await this.ask("GET", "scene").catch(() => ({})));
      this.panel.say(fault.message, true);
    }
    this.foresees = false;
    this.show();
  }

  /** What is foreseen of the load, or of what it was last. */
  foreseen() {
    if (this.anew?.version === this.version) return this.anew.forecast;
    return this.forecast_holds ? this.planned : this.anew?.forecast ?? this.planned;
  }

  foreseenIsOfThis() {
    return this.forecast_holds || this.anew?.version === this.version;
  }

  /** The judge's answer to what is only held, one question at a time and the last one always. */
  tryOut(edit) {
    this.wanted = edit;
    if (this.asking) return;
    this.asking = true;
    const next = async () => {
      const edit = this.wanted;
      this.wanted = null;
      try {
        const answer = await this.ask("POST", "try", { ...edit, version: this.version });
        if (this.held) this.panel.foresee(answer.breaches);
        if (this.held) this.drawing.warn(new Set(answer.breaches.flatMap((b) => b.pieces)));
      } catch {
        // What is only tried may fail; setting it down tells why.
      }
      if (this.wanted && this.held) next();
      else this.asking = false;
    };
    next();
  }

  take(state) {
    const { tiers, kiln, forecast, ...rest } = state;
    if (kiln) this.kiln = kiln;
    if (kiln) this.planned = forecast;
    for (const tier of tiers ?? []) this.tiers.set(tier.name, tier);
    Object.assign(this, rest);
    for (const name of [...this.tiers.keys()]) if (!this.tier_names.includes(name)) this.tiers.delete(name);
    const found = this.chosen && this.where(this.chosen);
    if (found) this.shown = found[0].name;
    else this.chosen = null;
    if (!this.tiers.has(this.shown)) this.shown = this.tier_names[0];
  }

  /** The tier of a piece and its place there. */
  where(piece) {
    for (const tier of this.tiers.values()) {
      const found = tier.ware.find((w) => w.piece === piece);
      if (found) return [tier, found];
    }
    return null;
  }

  marks(piece) {
    return {
      chosen: piece === this.chosen,
      locked: this.locked.includes(piece),
      wrong: this.breaches.some((b) => b.pieces.includes(piece)),
    };
  }

  show() {
    const tier = this.tiers.get(this.shown);
    if (tier) this.drawing.show(this.kiln, tier, (piece) => this.marks(piece));
    this.panel.show();
    this.view?.show(this);
  }

  showTier(name) {
    this.shown = name;
    const [tier] = this.where(this.chosen) ?? [];
    if (tier?.name !== name) this.chosen = null;
    this.show();
  }

  choose(piece) {
    const found = this.where(piece);
    if (!found) return;
    this.chosen = piece;
    this.shown = found[0].name;
    this.show();
    this.panel.say(this.about(piece));
  }

  /** A piece and its place, in words. */
  about(piece) {
    const [tier, w] = this.where(piece);
    const known = this.kiln.pieces[piece];
    const what = known ? ` ${known.what} by ${known.maker}` : "";
    const lock = this.locked.includes(piece) ? " It is locked." : "";
    return `${piece}${what}, tier ${tier.name}, ${w.words}; nearest thing ${w.gap} away.${lock}`;
  }

  may(piece) {
    if (!this.locked.includes(piece)) return true;
    this.panel.say(`${piece} is locked: unlock it first.`, true);
    return false;
  }

  edit(x, y, tier, turn) {
    const edit = { do: "move", piece: this.chosen, tier: tier ?? this.shown, x_m: x, y_m: y };
    return turn === undefined ? edit : { ...edit, rotation_rad: turn };
  }

  hover(piece, x, y) {
    const [, w] = this.where(piece);
    this.held = [x, y];
    this.drawing.place(piece, x, y, w.turn);
    this.tryOut(this.edit(x, y));
  }

  drop(piece, x, y, tier) {
    if (tier && tier !== this.shown) this.toTier(tier);
    else this.send("edit", this.edit(x, y));
  }

  letGo(words) {
    this.held = null;
    this.show();
    this.panel.say(words);
  }

  /** Moves what is chosen by so much, without setting it down. */
  nudge([dx, dy]) {
    const found = this.chosen && this.where(this.chosen);
    if (!found) {
      this.panel.say("Choose a piece first.", true);
      return false;
    }
    if (!this.may(this.chosen)) return false;
    const [x, y] = this.held ?? [found[1].x, found[1].y];
    this.hover(this.chosen, x + dx, y + dy);
    return true;
  }

  setDown() {
    if (this.held) this.send("edit", this.edit(...this.held));
  }

  turn(way) {
    const [, w] = this.where(this.chosen);
    this.send("edit", this.edit(w.x, w.y, undefined, w.turn + way * TURN));
  }

  toTier(name) {
    const piece = this.chosen;
    const [x, y] = freest(this.tiers.get(name), this.kiln, piece);
    this.send("edit", this.edit(x, y, name));
  }

  putIn(piece, name) {
    const [x, y] = freest(this.tiers.get(name), this.kiln, piece);
    this.send("edit", { do: "put-in", piece, tier: name, x_m: x, y_m: y }).then(() => {
      if (!this.where(piece)) return;
      this.chosen = piece;
      this.shown = name;
      this.show();
    });
  }
}

const root = document.getElementById("bench");
if (root) new Bench(root);
