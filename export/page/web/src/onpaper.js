// The picture on paper: as it is looked at, in light colours, with its words large enough.
const WIDTH = 525, HIGH = 190, SHARP = 3; // pixels, printed a third larger: letters of 12 become 16
const LARGER = 182 / 25.4 * 96 / WIDTH; // printed, as the style sheet has it
const DRAWING = 500; // pixels that the drawing below it may be high

/** How high the picture is: what the drawing leaves of its room is the picture's. */
function highOver(article) {
  const drawing = article.querySelector('.drawings .drawing svg');
  return HIGH + Math.max(0, DRAWING - (Number(drawing?.getAttribute('height')) || DRAWING)) / LARGER;
}

/** Puts the cautions on the first sheet, below its drawing. */
function warn(article) {
  article.querySelector('.paper-cautions')?.remove();
  const copy = document.querySelector('.cautions ul').cloneNode(true);
  copy.className = 'paper-cautions';
  article.querySelector('.drawings .drawing')?.after(copy);
}

/** Makes the pictures of all layouts that are going to be printed. */
export function pictures(panel, layouts, data, all) {
  const { viewer } = panel, shown = panel.layout;
  viewer.light = true;
  layouts.forEach((article, i) => {
    const place = article.querySelector('.paper-picture');
    if (!all && data.layouts[i] !== shown) {
      place.replaceChildren();
      return;
    }
    warn(article);
    viewer.show(data.layouts[i]);
    place.replaceChildren(...viewer.snapshot(WIDTH, highOver(article), SHARP));
  });
  viewer.light = false;
  viewer.show(shown);
  viewer.fit();
}
