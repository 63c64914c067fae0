// Moves the band through the section and reads the figures at its depth. The page is whole without it.
class CutReader extends HTMLElement {
  connectedCallback() {
    const slices = JSON.parse(this.dataset.slices);
    const slider = this.querySelector("input[type=range]");
    const band = this.querySelector("svg .band");
    if (!slices.length || !slider || !band) return;
    const { sectionTop, sectionScale, chartTop, chartScale, bend, reach } = band.dataset;
    const deepest = Number(band.dataset.depth);
    const body = band.querySelector("[data-part=section]");
    const line = band.querySelector("[data-part=line]");
    const name = band.querySelector("[data-part=name]");
    const begin = body.getBBox();
    const right = begin.x + begin.width + 2;
    const move = () => {
      const depth = (Number(slider.value) / Number(slider.max)) * deepest;
      const part = slices.reduce((best, one) => (Math.abs(one[0] - depth) < Math.abs(best[0] - depth) ? one : best));
      const y = Number(sectionTop) + depth * Number(sectionScale);
      const chartY = Number(chartTop) + depth * Number(chartScale);
      body.setAttribute("y", y - 2.5);
      name.setAttribute("y", y - 8);
      line.setAttribute("d", `M${right} ${y}L${bend} ${chartY}H${reach}`);
      for (const cell of this.querySelectorAll("[data-reading]")) cell.textContent = part[Number(cell.dataset.reading)];
      slider.setAttribute("aria-valuetext", `${part[1]}: contact ${part[2]}, feed ${part[3]}, ruled by ${part[9]}`);
    };
    for (const hidden of this.querySelectorAll("[hidden]")) hidden.hidden = false;
    slider.addEventListener("input", move);
    move();
  }
}
customElements.define("cut-reader", CutReader);
