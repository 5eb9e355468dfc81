// Leaves the height of the framed page as it opens, then what reaches beyond the frame with all folds open.
document.getElementById('frame').onload = (event) => {
  const page = event.target.contentDocument;
  const height = page.documentElement.scrollHeight;
  for (const fold of page.querySelectorAll('details')) fold.open = true;
  const width = page.documentElement.clientWidth;
  const beyond = [...page.querySelectorAll('body *')]
    .filter((e) => e.getClientRects().length && !e.closest('thead') && e.getBoundingClientRect().right > width + 1)
    .map((e) => `${e.tagName} ${Math.round(e.getBoundingClientRect().right)}: ${e.textContent.trim().slice(0, 60)}`);
  const out = document.createElement('pre');
  out.id = 'framed';
  out.textContent = [height, ...beyond.slice(0, 20)].join('\n');
  document.body.append(out);
};
