// Hands on the drawing: mouse, pen, finger and arrow keys. It says what is wanted and changes nothing itself.

/** A pointer that moves less has only pointed, px. */
const STILL = 4;
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** The step of an arrow key, m: a far one, with Shift a fine one, as the page says them; nothing for other keys. */
export function step(event, [far, fine]) {
  const way = STEPS[event.key];
  return way?.map((v) => v * (event.shiftKey ? fine : far));
}

/**
 * @param drawing where the pieces are
 * @param on what is called: choose(piece), may(piece), where(piece), hover(piece, x, y), drop(piece, x, y, tier), back(piece)
 */
export function hands(drawing, on) {
  const { svg } = drawing;
  let drag = null;

  function end() {
    const was = drag;
    drag = null;
    document.removeEventListener("keydown", escape, true);
    document.body.classList.remove("bench-drags");
    return was;
  }

  function escape(event) {
    if (event.key !== "Escape" || !drag) return;
    event.preventDefault();
    const was = end();
    on.back(was.piece);
  }

  svg.addEventListener("pointerdown", (event) => {
    const g = event.target.closest?.("[data-piece]");
    if (!g || event.button !== 0 || drag) return;
    const { piece } = g.dataset;
    event.preventDefault();
    on.choose(piece);
    if (!on.may(piece)) return;
    const [x, y] = drawing.at(event);
    const [px, py] = on.where(piece);
    drag = { piece, id: event.pointerId, off: [px - x, py - y], from: [event.clientX, event.clientY], moves: false };
    svg.setPointerCapture(event.pointerId);
    document.addEventListener("keydown", escape, true);
  });

  svg.addEventListener("pointermove", (event) => {
    if (!drag || event.pointerId !== drag.id) return;
    const far = Math.hypot(event.clientX - drag.from[0], event.clientY - drag.from[1]);
    if (!drag.moves && far < STILL) return;
    drag.moves = true;
    document.body.classList.add("bench-drags");
    const [x, y] = drawing.at(event);
    on.hover(drag.piece, x + drag.off[0], y + drag.off[1]);
  });

  svg.addEventListener("pointerup", (event) => {
    if (!drag || event.pointerId !== drag.id) return;
    const was = end();
    if (!was.moves) return;
    const [x, y] = drawing.at(event);
    const under = document.elementFromPoint(event.clientX, event.clientY)?.closest("[data-tier]");
    on.drop(was.piece, x + was.off[0], y + was.off[1], under?.dataset.tier);
  });

  svg.addEventListener("pointercancel", (event) => {
    if (!drag || event.pointerId !== drag.id) return;
    const was = end();
    on.back(was.piece);
  });

  svg.addEventListener("keydown", (event) => {
    const piece = event.target.closest?.("[data-piece]")?.dataset.piece;
    if (!piece) return;
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      on.choose(piece);
    }
  });
}

/** Arrow keys on a part of the page move a piece; it is set down when the last of them is let go. */
export function arrows(part, on) {
  let moves = false;
  part.addEventListener("keydown", (event) => {
    const by = event.altKey || event.ctrlKey || event.metaKey ? undefined : step(event, on.steps);
    if (!by) return;
    event.preventDefault();
    moves = on.nudge(by) || moves;
  });
  const down = () => {
    if (moves) on.setDown();
    moves = false;
  };
  part.addEventListener("keyup", (event) => {
    if (STEPS[event.key]) down();
  });
  part.addEventListener("focusout", (event) => {
    if (!part.contains(event.relatedTarget)) down();
  });
}
