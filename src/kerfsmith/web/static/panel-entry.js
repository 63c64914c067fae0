// On the sign-in page: send what the panel still keeps before somebody else signs in, and give it keys.
import { addPads } from "./panel-pad.js";
import { Sender } from "./panel-send.js";
import { say } from "./words.js";

const told = document.querySelector("#unsent");
const sender = new Sender({
  run: () => "",
  onState: ({ count, away, aside }) => {
    const waits = count ? say(away ? "unsent-away" : "unsent", { count }) : "";
    told.hidden = !count && !aside;
    told.textContent = [waits, aside ? say("set-aside", { count: aside }) : ""].filter(Boolean).join(" ");
  },
  onAnswers: () => undefined,
  onAside: () => undefined,
});
sender.soon(0);
addPads(document, "mm");
