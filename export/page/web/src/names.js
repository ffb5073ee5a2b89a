// The names of boxes in the flat drawings: as large as can be read, inside their boxes.
const SVG = 'http://www.w3.org/2000/svg';
const SIZE = 12, LEAST = 8.5; // pixels

const pen = document.createElement('canvas').getContext('2d');

const widths = new Map();

/** How wide words are on the screen, in pixels. */
export function widthOf(text) {
  if (!widths.has(text)) {
    pen.font = `600 ${SIZE}px system-ui, sans-serif`;
    widths.set(text, pen.measureText(text).width);
  }
  return widths.get(text);
}

/** Width and height of a polygon of the drawing, in its own millimetres. */
export function boundsOf(polygon) {
  const points = polygon.getAttribute('points').split(' ').map((p) => p.split(',').map(Number));
  return [0, 1].map((k) => Math.max(...points.map((p) => p[k])) - Math.min(...points.map((p) => p[k])));
}

/** The ways to write a whole name: in a line, in two, both standing. */
function ways({ name }) {
  const cut = name.lastIndexOf(' '), two = cut > 0 ? [name.slice(0, cut), name.slice(cut + 1)] : [name];
  return [{ lines: [name] }, { lines: two }, { lines: [name], stands: true }, { lines: two, stands: true }];
}

/** Where no whole name can be read: short, or the number alone. */
function shorter({ name, short }) {
  return [{ lines: [short] }, { lines: [short], stands: true }, { lines: [name.slice(name.lastIndexOf(' ') + 1)] }];
}

/** The size at which lines fit a box of so many pixels, at most SIZE. */
function fits({ lines, stands }, wide, high) {
  const [w, h] = stands ? [high, wide] : [wide, high];
  const longest = Math.max(...lines.map((l) => widthOf(l)));
  return Math.min(SIZE, SIZE * (w - 6) / longest, (h - 4) / (1.15 * lines.length));
}

/** Writes the name of a box into a text element of the drawing. */
export function name(text, b, [x, y], [wide, high], scale) {
  const sized = (list) => list.map((way) => ({ ...way, size: fits(way, wide * scale, high * scale) }));
  const largest = sized(ways(b)).reduce((best, way) => (way.size > best.size ? way : best));
  const cut = sized(shorter(b));
  const way = largest.size >= LEAST ? largest : cut.find((w) => w.size >= LEAST) ?? { ...cut.at(-1), size: LEAST };
  const size = way.size / scale;
  text.style.fontSize = `${size}px`;
  text.setAttribute('transform', way.stands ? `rotate(-90 ${x} ${y})` : '');
  text.replaceChildren(...way.lines.map((line, i) => {
    const row = document.createElementNS(SVG, 'tspan');
    row.setAttribute('x', x);
    row.setAttribute('y', y + (i - (way.lines.length - 1) / 2) * 1.15 * size);
    row.textContent = line;
    return row;
  }));
}
