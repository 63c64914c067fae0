// Moves the band through the section and reads the figures at its depth. The page is whole without it: the
// server has drawn the band at one depth and written what is read there. Everything is looked up when the
// slider moves, since the page may have been redrawn under it.
import { filled } from "./words.js";

class CutReader extends HTMLElement {
  connectedCallback() {
    this.addEventListener("input", (event) => this.move(event.target));
  }

  move(slider) {
    const slices = JSON.parse(this.dataset.slices);
    const band = this.querySelector("svg .band");
    if (!slices.length || !band || slider.type !== "range") return;
    const place = Object.fromEntries(Object.entries(band.dataset).map(([name, text]) => [name, Number(text)]));
    const body = band.querySelector("[data-part=section]");
    const box = body.getBBox();
    const depth = (Number(slider.value) / Number(slider.max)) * place.depth;
    const part = slices.reduce((best, one) => (Math.abs(one[0] - depth) < Math.abs(best[0] - depth) ? one : best));
    const y = place.sectionTop + depth * place.sectionScale;
    const chartY = place.chartTop + depth * place.chartScale;
    body.setAttribute("y", y - 2.5);
    band.querySelector("[data-part=name]").setAttribute("y", y - 8);
    band
      .querySelector("[data-part=line]")
      .setAttribute("d", `M${box.x + box.width + 2} ${y}L${place.bend} ${chartY}H${place.reach}`);
    for (const cell of this.querySelectorAll("[data-reading]")) cell.textContent = part[Number(cell.dataset.reading)];
    slider.setAttribute("aria-valuetext", filled(this.dataset.told, { depth: part[1], contact: part[2], feed: part[3], rule: part[9] }));
  }
}
customElements.define("cut-reader", CutReader);
