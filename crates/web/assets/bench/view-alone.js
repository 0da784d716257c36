// The kiln in 3D on a page where nothing is changed.

import { KilnView } from "./view.js";

const root = document.getElementById("kiln-view");
if (root?.dataset.scene) {
  const view = new KilnView(root, () => {});
  fetch(root.dataset.scene)
    .then((answer) => answer.json())
    .then((scene) => view.show({ ...scene, tiers: new Map(scene.tiers.map((t) => [t.name, t])), chosen: null }))
    .catch(() => view.say("The kiln cannot be fetched: load the page again."));
}
