// Looks a page over from inside the browser and leaves its complaints, one to a line, in an element of its own.
(() => {
  const complaints = [];
  // What is folded is looked at too.
  for (const fold of document.querySelectorAll('details')) fold.open = true;
  const complain = (words) => complaints.push(words.replace(/\s+/g, ' ').slice(0, 240));
  const parse = (css) => (css.match(/[\d.]+/g) || []).map(Number);
  // Relative luminance and contrast ratio of WCAG 2.2.
  const luminance = ([r, g, b]) => [r, g, b]
    .map((v) => v / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4))
    .reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
  const contrast = (a, b) => {
    const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
    return (high + 0.05) / (low + 0.05);
  };
  const paper = (element) => {
    for (let e = element; e; e = e.parentElement) {
      const [r, g, b, alpha = 1] = parse(getComputedStyle(e).backgroundColor);
      if (alpha > 0.99) return [r, g, b];
    }
    return [255, 255, 255];
  };
  const root = getComputedStyle(document.documentElement);
  const hex = (name) => {
    const value = root.getPropertyValue(name).trim().slice(1);
    return [0, 2, 4].map((i) => parseInt(value.slice(i, i + 2), 16));
  };
  let looked = { figures: 0, texts: 0, words: 0 };

  // Structure.
  if (!document.documentElement.lang) complain('the page names no language');
  if (document.querySelectorAll('h1').length !== 1) complain('not one h1');
  let level = 1;
  for (const heading of document.querySelectorAll('h1,h2,h3,h4')) {
    const next = Number(heading.tagName[1]);
    if (next > level + 1) complain(`heading level jumps from ${level} to ${next}: ${heading.textContent}`);
    if (!heading.textContent.trim()) complain('an empty heading');
    level = next;
  }
  for (const table of document.querySelectorAll('table')) {
    if (!table.caption || !table.caption.textContent.trim()) complain('a table without a caption');
    for (const th of table.querySelectorAll('th')) if (!th.scope) complain(`a head without scope: ${th.textContent}`);
  }

  // Charts.
  for (const svg of document.querySelectorAll('svg')) {
    const name = svg.closest('figure')?.id || 'a chart';
    looked.figures += 1;
    if (svg.getAttribute('role') !== 'img') complain(`${name}: not an image to a screen reader`);
    for (const part of ['title', 'desc']) {
      if (!svg.querySelector(part)?.textContent.trim()) complain(`${name}: no ${part}`);
    }
    const ids = (svg.getAttribute('aria-labelledby') || '').split(' ');
    if (ids.length !== 2 || ids.some((id) => !svg.querySelector(`[id="${id}"]`))) complain(`${name}: labels lead nowhere`);
    const figure = svg.closest('figure');
    if (!figure) { complain(`${name}: no figure around it`); continue; }
    if (!figure.querySelector('figcaption h3')?.textContent.trim()) complain(`${name}: no headline`);
    const beside = figure.querySelectorAll('tbody tr, dl > div').length
      || figure.parentElement.querySelectorAll('tbody tr, dl > div, ul li').length;
    if (!beside) complain(`${name}: no numbers beside it`);

    const texts = [...svg.querySelectorAll('text')].filter((t) => t.textContent.trim());
    const boxes = texts.map((t) => ({ words: t.textContent.trim(), box: t.getBBox(), fill: parse(getComputedStyle(t).fill) }));
    const view = svg.viewBox.baseVal;
    const white = paper(svg);
    const tints = [...svg.querySelectorAll('rect.f-span, polygon.f-span')].map((t) => t.getBBox());
    boxes.forEach(({ words, box, fill }, i) => {
      looked.texts += 1;
      if (box.x < -1 || box.y < -1 || box.x + box.width > view.width + 1 || box.y + box.height > view.height + 1) {
        complain(`${name}: "${words}" leaves the sheet`);
      }
      const behind = tints.some((t) => box.x < t.x + t.width && t.x < box.x + box.width && box.y < t.y + t.height && t.y < box.y + box.height);
      for (const ground of behind ? [white, hex('--span')] : [white]) {
        const ratio = contrast(fill, ground);
        if (ratio < 4.5 && JSON.stringify(fill) !== JSON.stringify(white)) complain(`${name}: "${words}" has a contrast of ${ratio.toFixed(2)}`);
      }
      for (const other of boxes.slice(i + 1)) {
        // Boxes of letters hold room above and below; a halo behind a word is the same word in the colour of the paper.
        const wide = Math.min(box.x + box.width, other.box.x + other.box.width) - Math.max(box.x, other.box.x);
        const high = Math.min(box.y + box.height, other.box.y + other.box.height) - Math.max(box.y, other.box.y);
        if (wide > 2 && high > 0.3 * Math.min(box.height, other.box.height) && words !== other.words) {
          complain(`${name}: "${words}" lies on "${other.words}"`);
        }
      }
    });
    const inks = new Map();
    for (const mark of svg.querySelectorAll('[class^="s-"],[class^="f-"]')) {
      const role = mark.getAttribute('class').slice(2);
      // Grid, tint, paper and lines that only give context need no contrast; words had theirs above.
      if (mark.tagName === 'text' || ['grid', 'span', 'paper', 'context'].includes(role)) continue;
      const style = getComputedStyle(mark);
      inks.set(role, parse(mark.getAttribute('class').startsWith('s-') ? style.stroke : style.fill));
    }
    for (const [role, ink] of inks) {
      const ratio = contrast(ink, white);
      if (ratio < 3) complain(`${name}: marks of ${role} have a contrast of ${ratio.toFixed(2)}`);
    }
  }

  // Words.
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement;
    if (!node.textContent.trim() || element.closest('svg, script, style')) continue;
    looked.words += 1;
    const ratio = contrast(parse(getComputedStyle(element).color), paper(element));
    if (ratio < 4.5) complain(`"${node.textContent}" has a contrast of ${ratio.toFixed(2)}`);
  }
  if (document.documentElement.scrollWidth > window.innerWidth + 1) {
    complain(`the page is ${document.documentElement.scrollWidth} wide in a window of ${window.innerWidth}`);
  }

  const out = document.createElement('pre');
  out.id = 'complaints';
  out.textContent = [JSON.stringify(looked), ...complaints].join('\n');
  document.body.append(out);
})();
