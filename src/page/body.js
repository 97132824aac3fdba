/** A front and a back outline of our own drawing; regions can be tapped. The list beside it does the same by keyboard. */

const k_svg = 'http://www.w3.org/2000/svg';

/** Outline of a standing figure around x = 60, drawn as one line. */
const k_outline = 'M60 8c10 0 15 8 15 17 0 8-4 13-8 16v8l22 6c8 3 10 9 11 17l6 40 5 30-8 2-11-31-8-28-1 26 3 22-1 40-3 25-2 50h-13'
  + 'l-3-48-2-22h-4l-2 22-3 48H40l-2-50-3-25-1-40 3-22-1-26-8 28-11 31-8-2 5-30 6-40c1-8 3-14 11-17l22-6v-8c-4-3-8-8-8-16 0-9 5-17 15-17z';

/** Region and its spots: x, y, half width, half height. @type {Record<'front' | 'back', [string, number, number, number, number][]>} */
const k_spots = {
  front: [['neck', 60, 47, 9, 5], ['shoulders', 33, 60, 9, 7], ['shoulders', 87, 60, 9, 7], ['chest', 60, 72, 18, 11],
    ['elbows', 22, 98, 7, 9], ['elbows', 98, 98, 7, 9], ['wrists', 15, 128, 6, 9], ['wrists', 105, 128, 6, 9],
    ['hips', 44, 128, 9, 8], ['hips', 76, 128, 9, 8], ['quads', 46, 160, 9, 20], ['quads', 74, 160, 9, 20],
    ['knees', 45, 193, 8, 8], ['knees', 75, 193, 8, 8]],
  back: [['upper-back', 60, 72, 20, 15], ['low-back', 60, 106, 16, 12], ['glutes', 48, 132, 11, 10], ['glutes', 72, 132, 11, 10],
    ['hamstrings', 46, 166, 9, 19], ['hamstrings', 74, 166, 9, 19], ['calves', 46, 216, 8, 16], ['calves', 74, 216, 8, 16]],
};

/** @param {string} name @param {Record<string, string>} attributes @returns {SVGElement} */
function s(name, attributes) {
  const element = document.createElementNS(k_svg, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

/**
 * @param {(region: string) => void} tapped
 * @returns {{ element: SVGElement, show: (sore: Set<string>) => void }}
 */
export function bodyOutline(tapped) {
  const svg = s('svg', { viewBox: '0 0 260 262', class: 'outline', 'aria-hidden': 'true', fill: 'none' });
  const pattern = s('pattern', { id: 'sore', width: '6', height: '6', patternUnits: 'userSpaceOnUse' });
  pattern.append(s('path', { d: 'M0 0L6 6M-1 5L1 7M5 -1L7 1', stroke: 'currentColor', 'stroke-width': '1.6' }));
  svg.append(pattern);
  /** @type {[string, SVGElement][]} */
  const spots = [];
  for (const [side, shift] of /** @type {['front' | 'back', number][]} */ ([['front', 0], ['back', 135]])) {
    const group = s('g', { transform: `translate(${shift} 0)` });
    group.append(s('path', { d: k_outline, stroke: 'currentColor', 'stroke-width': '1.5', 'stroke-linejoin': 'round' }));
    for (const [region, x, y, rx, ry] of k_spots[side]) {
      const spot = s('ellipse', { cx: `${x}`, cy: `${y}`, rx: `${rx}`, ry: `${ry}`, class: 'spot' });
      spot.addEventListener('click', () => tapped(region));
      spots.push([region, spot]);
      group.append(spot);
    }
    const label = s('text', { x: '60', y: '259', 'text-anchor': 'middle', 'font-size': '13', fill: 'currentColor' });
    label.textContent = side;
    group.append(label);
    svg.append(group);
  }
  return { element: svg, show: (sore) => spots.forEach(([region, spot]) => spot.classList.toggle('on', sore.has(region))) };
}
