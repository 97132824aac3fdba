/** Charts over days with uPlot. Arrow keys walk through the days; what stands there is said below the chart. */

import { h } from './dom.js';
import { figures } from './figures.js';
import { dateOf, shown, weekStart } from './locale.js';

/** @typedef {'line' | 'dashed' | 'dot' | 'dash' | 'open' | 'stem' | 'tick' | 'low' | 'high'} Shape */
/** @typedef {{ name: string, shape: Shape, values: (number | null)[] }} Series */

/** @type {Promise<any> | null} */
let library = null;

/** Loads uPlot once, when the first chart is wanted. @returns {Promise<any>} */
function uplot() {
  library ??= new Promise((resolve, reject) => {
    document.head.append(h('link', { rel: 'stylesheet', href: '/uplot.css' }));
    const script = h('script', { src: '/uplot.js', onload: () => resolve(/** @type {any} */ (globalThis).uPlot), onerror: () => reject(new Error('the charts could not be loaded')) });
    document.head.append(script);
  });
  return library;
}

/** @param {any} u @param {number} i @param {(string | number | null)[]} values @param {(x: number, y: number) => void} draw */
function each(u, i, values, draw) {
  for (let k = 0; k < values.length; ++k) {
    const v = values[k];
    if (typeof v === 'number') draw(u.valToPos(u.data[0][k], 'x', true), u.valToPos(v, u.series[i].scale, true));
  }
}

/** Marks that uPlot has no path for, drawn over the finished chart. @param {Series} series @param {number} i @param {string} ink */
function marks(series, i, ink) {
  return (/** @type {any} */ u) => {
    const c = u.ctx;
    const base = u.bbox.top + u.bbox.height;
    const r = 3 * devicePixelRatio;
    c.save();
    c.strokeStyle = c.fillStyle = ink;
    c.lineWidth = 1.3 * devicePixelRatio;
    each(u, i, series.values, (x, y) => {
      c.beginPath();
      if (series.shape === 'stem') { c.moveTo(x, base); c.lineTo(x, y); c.stroke(); c.beginPath(); c.arc(x, y, r, 0, 7); c.fill(); }
      else if (series.shape === 'tick') { c.moveTo(x, base); c.lineTo(x, base - 2 * r); c.stroke(); }
      else if (series.shape === 'dash') { c.moveTo(x - r, y); c.lineTo(x + r, y); c.stroke(); }
      else if (series.shape === 'open') { c.arc(x, y, r, 0, 7); c.stroke(); }
      else { c.arc(x, y, r * 0.8, 0, 7); c.fill(); }
    });
    c.restore();
  };
}

/** A line from low to high at each day. @param {Series} low @param {Series} high @param {string} ink */
function ranges(low, high, ink) {
  return (/** @type {any} */ u) => {
    const c = u.ctx;
    c.save();
    c.strokeStyle = ink;
    c.lineWidth = 1.3 * devicePixelRatio;
    c.beginPath();
    for (let k = 0; k < low.values.length; ++k) {
      const [a, b] = [low.values[k], high.values[k]];
      if (typeof a !== 'number' || typeof b !== 'number') continue;
      const x = u.valToPos(u.data[0][k], 'x', true);
      c.moveTo(x, u.valToPos(a, 'y', true));
      c.lineTo(x, u.valToPos(b, 'y', true));
    }
    c.stroke();
    c.restore();
  };
}

/**
 * @param {{ title: string, caption: string, unit: string, days: string[], series: Series[], fromZero?: boolean, decimals?: number }} what
 *        a series 'low' followed by 'high' is drawn as a range
 * @returns {HTMLElement}
 */
export function chart(what) {
  const reading = h('p', { class: 'reading dim', 'aria-live': 'polite' });
  const box = h('div', { class: 'chart', role: 'img', tabindex: '0', 'aria-label': `${what.title}. Arrow keys walk through the days; a table with all figures follows.` });
  const seconds = what.days.map((d) => dateOf(d).getTime() / 1000);
  const decimals = what.decimals ?? 1;
  const at = (/** @type {number} */ i) => {
    const parts = what.series.map((s) => (typeof s.values[i] === 'number' ? `${s.name} ${shown(/** @type {number} */ (s.values[i]), decimals)}` : '')).filter(Boolean);
    reading.textContent = `${what.days[i]}: ${parts.join(', ') || 'nothing known'} ${parts.length > 0 ? what.unit : ''}`;
  };
  uplot().then((uPlot) => {
    /** @type {any} */
    let plot = null;
    let cursor = what.days.length - 1;
    const draw = () => {
      const ink = getComputedStyle(box).color;
      const faint = getComputedStyle(box).getPropertyValue('--rule');
      const low = what.series.find((s) => s.shape === 'low');
      const high = what.series.find((s) => s.shape === 'high');
      const marked = what.series.map((s, i) => /** @type {[Series, number]} */ ([s, i + 1])).filter(([s]) => ['stem', 'tick', 'open', 'dot', 'dash'].includes(s.shape));
      const axis = { stroke: ink, grid: { stroke: faint, width: 1 }, ticks: { stroke: faint }, font: '14px system-ui' };
      plot?.destroy();
      plot = new uPlot({
        width: Math.max(box.clientWidth, 200), height: 210, legend: { show: false }, cursor: { y: false, drag: { x: false, y: false } },
        scales: { x: { time: true }, y: { range: (/** @type {any} */ _u, /** @type {number} */ min, /** @type {number} */ max) => (what.fromZero ? [0, (max || 1) * 1.08] : [min - (max - min || 1) * 0.1, max + (max - min || 1) * 0.1]) } },
        axes: [{ ...axis, grid: { show: false }, space: 64, values: (/** @type {any} */ _u, /** @type {number[]} */ v) => v.map((t) => new Intl.DateTimeFormat(navigator.languages, { day: 'numeric', month: 'short' }).format(t * 1000)), splits: (/** @type {any} */ u) => weeks(seconds, u) },
          { ...axis, size: 52, values: (/** @type {any} */ _u, /** @type {number[]} */ v) => v.map((n) => shown(n)) }],
        series: [{}, ...what.series.map((s) => (s.shape === 'line' || s.shape === 'dashed'
          ? { stroke: ink, width: 2, dash: s.shape === 'dashed' ? [8, 5] : undefined, points: { show: false }, spanGaps: false }
          : { stroke: ink, paths: () => null, points: { show: false } }))],
        hooks: { setCursor: [(/** @type {any} */ u) => { if (typeof u.cursor.idx === 'number' && u.cursor.left >= 0) at(u.cursor.idx); }], draw: [...(low && high ? [ranges(low, high, ink)] : []), ...marked.map(([s, i]) => marks(s, i, ink))] },
      }, [seconds, ...what.series.map((s) => s.values)], box);
    };
    // Colours and width are known once the box stands in the page, which is when the observer speaks first.
    new ResizeObserver(() => {
      if (plot) plot.setSize({ width: Math.max(box.clientWidth, 200), height: 210 });
      else if (box.isConnected) draw();
    }).observe(box);
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', draw);
    box.addEventListener('keydown', (event) => {
      const step = { ArrowLeft: -1, ArrowRight: 1, Home: -what.days.length, End: what.days.length }[event.key];
      if (step === undefined) return;
      event.preventDefault();
      cursor = Math.min(Math.max(cursor + step, 0), what.days.length - 1);
      plot.setCursor({ left: plot.valToPos(seconds[cursor], 'x'), top: 0 }, false);
      at(cursor);
    });
  }).catch((error) => { reading.textContent = error.message; });
  const last = what.days.findLastIndex((_, i) => what.series.some((s) => typeof s.values[i] === 'number'));
  if (last >= 0) at(last);
  const caption = h('figcaption', {}, what.caption);
  return h('figure', {}, caption, box, reading, figures(['day', ...what.series.map((s) => s.name)], what.days.map((d, i) => [d, ...what.series.map((s) => s.values[i] ?? null)]), decimals));
}

/** Marks of the time axis: first days of the reader's weeks, no closer than the space for them. @param {number[]} seconds @param {any} u */
function weeks(seconds, u) {
  const first = weekStart() % 7;
  const starts = [];
  for (let t = seconds[0] ?? 0; t <= (seconds.at(-1) ?? -1); t += 86400) if (new Date(t * 1000).getDay() === first) starts.push(t);
  const room = Math.max(1, Math.floor(u.bbox.width / devicePixelRatio / 64));
  const step = Math.max(1, Math.ceil(starts.length / room));
  return starts.filter((_, i) => (starts.length - 1 - i) % step === 0);
}
