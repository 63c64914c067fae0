// On the sign-in page: send what the panel still keeps before somebody else signs in, and give it keys.
import { addPads } from "./panel-pad.js";
import { Sender } from "./panel-send.js";

const told = document.querySelector("#unsent");
const sender = new Sender({
  run: () => "",
  onState: ({ count, away }) => {
    told.hidden = !count;
    told.textContent = count ? `${count} ${count === 1 ? "entry" : "entries"} of the panel not yet sent${away ? ": no network" : ""}. They keep the name of whoever made them.` : "";
  },
  onAnswers: () => undefined,
});
sender.soon(0);
addPads(document, "mm");
