// Plain elements of the page.
export const SVG = 'http://www.w3.org/2000/svg';

export function make(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  Object.entries(attributes).forEach(([k, v]) => e.setAttribute(k, v));
  e.append(...children);
  return e;
}

export function button(words, act) {
  const b = make('button', { type: 'button' }, words);
  b.addEventListener('click', act);
  return b;
}

/** A field for a number, told when one is typed. */
export function number(label, value, changed) {
  const input = make('input', { type: 'number', step: 'any', 'aria-label': label, value: value ?? '' });
  input.addEventListener('change', () => changed(input.valueAsNumber));
  return input;
}

export const tenth = (v) => Math.round(v * 10) / 10;
