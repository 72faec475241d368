// Looks over the page as it is laid out now and gives a list of what is wrong with it: text or marks that are cut,
// texts that lie over each other, anything wider than the screen, contrast below WCAG AA, targets too small for a thumb.
(() => {
  const wrong = [];
  const name = (element) => `${element.tagName.toLowerCase()}${element.className && element.className.baseVal === undefined ? "." + String(element.className).replace(/ /g, ".") : ""}`;
  const brief = (text) => text.trim().replace(/\s+/g, " ").slice(0, 50);
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) wrong.push(`the page is ${document.documentElement.scrollWidth} wide on a screen of ${wide}`);

  const visible = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const style = getComputedStyle(at);
      if (style.display === "none" || style.visibility !== "visible" || style.clipPath.startsWith("inset(50%")) return false;
    }
    return true;
  };
  const colour = (text) => {
    const parts = (text.match(/[\d.]+/g) || []).map(Number);
    return text.startsWith("rgb") ? [parts[0], parts[1], parts[2], parts[3] === undefined ? 1 : parts[3]] : [0, 0, 0, 0];
  };
  const over = (top, below) => [0, 1, 2].map((n) => top[n] * top[3] + below[n] * (1 - top[3])).concat(1);
  const light = (rgb) => {
    const [r, g, b] = rgb.slice(0, 3).map((value) => { const c = value / 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (a, b) => { const [high, low] = [light(a), light(b)].sort((x, y) => y - x); return (high + 0.05) / (low + 0.05); };
  const ground = (element) => {
    const layers = [];
    for (let at = element; at; at = at.parentElement) layers.push(colour(getComputedStyle(at).backgroundColor));
    const dark = getComputedStyle(document.documentElement).colorScheme !== "normal" && matchMedia("(prefers-color-scheme: dark)").matches && !matchMedia("print").matches;
    return layers.reverse().reduce((below, layer) => over(layer, below), dark ? [18, 18, 18, 1] : [255, 255, 255, 1]);
  };
  const inside = (box, x, y) => box.left <= x && x <= box.right && box.top <= y && y <= box.bottom;

  const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    if (!node.data.trim() || parent.closest("script,style,title,desc") || !visible(parent)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const boxes = [...range.getClientRects()].filter((box) => box.width > 0.5 && box.height > 0.5);
    if (boxes.length === 0) continue;
    const style = getComputedStyle(parent), svg = parent.closest("svg");
    for (const box of boxes) {
      if (box.left < -0.5 || box.right > wide + 0.5) wrong.push(`“${brief(node.data)}” reaches ${box.left.toFixed(0)}–${box.right.toFixed(0)} of ${wide}`);
      if (svg) {
        const frame = svg.getBoundingClientRect();
        if (box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1 || box.bottom > frame.bottom + 1)
          wrong.push(`“${brief(node.data)}” is cut by its drawing`);
      }
      // Letters take the middle of their line.
      const trim = box.height * 0.16;
      texts.push({ node, words: brief(node.data), left: box.left, right: box.right, top: box.top + trim, bottom: box.bottom - trim });
    }
    let front = colour(svg ? style.fill : style.color), back = ground(svg || parent);
    if (svg) {
      const box = boxes[0], x = (box.left + box.right) / 2, y = (box.top + box.bottom) / 2;
      for (const shape of svg.querySelectorAll("rect,circle,polygon")) {
        if (!(shape.compareDocumentPosition(parent) & Node.DOCUMENT_POSITION_FOLLOWING)) continue;
        const painted = getComputedStyle(shape), fill = colour(painted.fill);
        if (painted.fill !== "none" && inside(shape.getBoundingClientRect(), x, y)) { fill[3] *= Number(painted.fillOpacity); back = over(fill, back); }
      }
      if (style.paintOrder.startsWith("stroke") && style.stroke !== "none") back = over(colour(style.stroke), back);
    }
    front = over(front, back);
    const size = parseFloat(style.fontSize) * (svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1);
    const needed = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700) ? 3 : 4.5;
    const has = ratio(front, back);
    if (has < needed) wrong.push(`“${brief(node.data)}” has a contrast of ${has.toFixed(2)}, not ${needed}`);
  }
  texts.sort((a, b) => a.top - b.top);
  for (let n = 0; n < texts.length; n++) {
    for (let m = n + 1; m < texts.length && texts[m].top < texts[n].bottom; m++) {
      const [a, b] = [texts[n], texts[m]];
      if (a.node === b.node) continue;
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left), down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (across > 1.5 && down > 1.5) wrong.push(`“${a.words}” lies over “${b.words}”`);
    }
  }
  for (const svg of document.querySelectorAll("svg")) {
    if (!visible(svg)) continue;
    const frame = svg.getBoundingClientRect();
    for (const shape of svg.querySelectorAll("rect,circle,polygon,polyline,line,path")) {
      const box = shape.getBoundingClientRect();
      if (box.left < frame.left - 1.5 || box.right > frame.right + 1.5 || box.top < frame.top - 1.5 || box.bottom > frame.bottom + 1.5)
        wrong.push(`a ${shape.getAttribute("class") || shape.tagName} is cut by its drawing`);
    }
  }
  for (const element of document.querySelectorAll("main *")) {
    if (element.closest("svg") || !visible(element) || getComputedStyle(element).display === "inline") continue;
    if (element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 0) wrong.push(`${name(element)} is cut: ${element.scrollWidth} in ${element.clientWidth}`);
  }
  for (const button of document.querySelectorAll("button")) {
    if (!visible(button)) continue;
    const box = button.getBoundingClientRect();
    if (box.height < 44 || box.width < 44) wrong.push(`the button “${brief(button.textContent)}” is ${box.width.toFixed(0)} × ${box.height.toFixed(0)}`);
    if (button.hasAttribute("data-sprayed") && (box.height < 90 || box.width < Math.min(300, wide * 0.75))) wrong.push(`the large button is ${box.width.toFixed(0)} × ${box.height.toFixed(0)}`);
  }
  if (texts.length < 20) wrong.push(`only ${texts.length} pieces of text are seen`);
  return [...new Set(wrong)];
})()
