/** One lifter: the call, the charts, what each item is worth, today's options, the days ahead. */

import { day, html, json, of } from './api.js';
import { chart } from './charts.js';
import { h, piece, problem } from './dom.js';
import { inUnit, localise, units } from './locale.js';
import { isStopped, shorten, showCall } from './today.js';
import { spoken } from './words.js';

const k_days = 84;

/** Wide screens show everything, a phone what is opened; it is read when it is first seen. @param {string} title @param {() => Promise<(Node | string)[]>} fill */
function section(title, fill) {
  const box = h('div', {});
  const fold = /** @type {HTMLDetailsElement} */ (h('details', { class: 'section', ontoggle: () => {
    if (!fold.open || box.dataset.read) return;
    box.dataset.read = 'yes';
    fill().then((nodes) => { nodes.forEach((n) => n instanceof Node && localise(n)); box.append(...nodes); }, (error) => box.append(problem(error)));
  } }, h('summary', {}, h('h2', {}, title)), box));
  fold.open = matchMedia('(min-width: 60rem)').matches;
  return fold;
}

/** What is left of a part after its charts, closed. @param {string} name @param {Node[]} nodes */
function rest(name, nodes) {
  return h('details', { class: 'fold' }, h('summary', {}, name), ...nodes);
}

/** Sentences and tables of an answer; its drawn figures are replaced by charts. @param {string} path */
async function words(path) {
  const shown = piece(await html(path));
  shown.querySelectorAll('figure').forEach((f) => f.remove());
  return shown;
}

/** @param {string} athlete */
async function loads(athlete) {
  const [text, all] = await Promise.all([words(of(athlete, `loads?date=${day()}`)), json(of(athlete, `loads?date=${day()}`))]);
  const shown = all.days.slice(-k_days);
  const days = shown.map((/** @type {any} */ d) => d.date);
  const pick = (/** @type {(d: any) => number | null} */ of_day) => shown.map(of_day);
  const usual = new Map(all.usual_loads.map((/** @type {any} */ u) => [u.date, u]));
  const of_usual = (/** @type {string} */ key) => pick((d) => usual.get(d.date)?.[key] ?? null);
  const lead = text.querySelector('.lead');
  const words_left = [...text.childNodes].filter((node) => node !== lead);
  return [...(lead ? [lead] : []),
    chart({ title: 'Load of each day', unit: 'AU', days, fromZero: true, decimals: 0, caption: 'Load of each day, AU: a dot is a training day, a tick a rest day, an open dot a day that nobody logged, on the line of what that weekday usually carries.',
      series: [{ name: 'trained', shape: 'stem', values: pick((d) => (d.status === 'trained' ? d.load_au : null)) }, { name: 'rest', shape: 'tick', values: pick((d) => (d.status === 'rest' ? 0 : null)) },
        { name: 'not logged, usually', shape: 'open', values: of_usual('usual_au') }, { name: 'at least', shape: 'low', values: of_usual('low_au') }, { name: 'at most', shape: 'high', values: of_usual('high_au') }] }),
    chart({ title: '7-day sum and weekly mean of 28 days', unit: 'AU', days, fromZero: true, decimals: 0, caption: '7-day sum (whole line) against the weekly mean of 28 days (dashed), AU. A line ends where a day is not known.',
      series: [{ name: '7 days', shape: 'line', values: pick((d) => d.acute7_au) }, { name: '28-day mean', shape: 'dashed', values: pick((d) => d.chronic28_au) }] }),
    chart({ title: 'Ratio of the two', unit: '', days, fromZero: true, caption: '7-day sum / weekly mean of 28 days: the line runs from the low reading (nothing on unlogged days) to the high one (as usual on them).',
      series: [{ name: 'ratio', shape: 'dot', values: pick((d) => d.ratio_coupled) }, { name: 'low', shape: 'low', values: pick((d) => d.ratio_low) }, { name: 'high', shape: 'high', values: pick((d) => d.ratio_high) }], decimals: 2 }),
    rest('The same in words', words_left)];
}

/** @param {string} athlete */
async function strength(athlete) {
  const [text, all] = await Promise.all([words(of(athlete, `strength?date=${day()}`)), json(of(athlete, `strength?date=${day()}`))]);
  const unit = units() || 'kg';
  const headings = [...text.querySelectorAll('h3')];
  all.lifts.forEach((/** @type {any} */ lift, /** @type {number} */ i) => {
    const heading = headings[i];
    if (!heading) return;
    const worth = [];  // the sentences; the table is the one behind the chart
    for (let next = heading.nextElementSibling; next && next.tagName !== 'H3'; next = next.nextElementSibling) worth.push(next);
    worth.filter((node) => node.tagName === 'TABLE').forEach((node) => node.remove());
    const items = worth.filter((node) => node.tagName === 'UL');
    const fold = rest('What each morning item is worth to you', []);
    items[0]?.before(fold);
    fold.append(...items);
    if (lift.days.length === 0) return;
    const pick = (/** @type {string} */ key) => lift.days.map((/** @type {any} */ d) => inUnit(unit, d[key]));
    heading.after(chart({ title: `Estimated one-repetition maximum, ${spoken(lift.lift)}`, unit, days: lift.days.map((/** @type {any} */ d) => d.date),
      caption: `Estimated one-repetition maximum, ${unit}: a dot is what a session showed, the line behind it what was expected before it, on four of five such days; its middle mark is the expectation.`,
      series: [{ name: 'came', shape: 'dot', values: pick('estimated_kg') }, { name: 'expected', shape: 'dash', values: pick('expected_kg') }, { name: 'at least', shape: 'low', values: pick('low80_kg') }, { name: 'at most', shape: 'high', values: pick('high80_kg') }] }));
  });
  return [text];
}

/** @param {string} athlete */
async function mornings(athlete) {
  const all = await json(of(athlete, `mornings?date=${day()}`));
  return all.items.filter((/** @type {any} */ t) => t.days.some((/** @type {any} */ d) => d.value !== null)).map((/** @type {any} */ t) => {
    const name = t.item.replaceAll('_', ' ');
    const pick = (/** @type {(d: any) => number | null} */ f) => t.days.map(f);
    return chart({ title: name, unit: '', days: t.days.map((/** @type {any} */ d) => d.date), caption: `${name}${t.item === 'sleep_hours' ? '' : ', 1 to 7'}: dots are mornings, the line is what is usual, dashed one SD around it.`,
      series: [{ name: 'value', shape: 'dot', values: pick((d) => d.value) }, { name: 'usual', shape: 'line', values: pick((d) => d.usual) },
        { name: 'one SD below', shape: 'dashed', values: pick((d) => (d.usual === null ? null : d.usual - d.usual_sd)) }, { name: 'one SD above', shape: 'dashed', values: pick((d) => (d.usual === null ? null : d.usual + d.usual_sd)) }] });
  });
}

/** @param {string} athlete @param {HTMLElement} view */
export async function meView(athlete, view) {
  const call = h('section', { 'aria-label': 'Today' });
  view.replaceChildren(h('h1', {}, athlete), call);
  const today = await showCall(athlete, call);
  view.append(section('Strength', () => strength(athlete)), section('Load', () => loads(athlete)), section('Mornings against your own usual', () => mornings(athlete)));
  if (today && !isStopped(today)) {
    if (call.lastElementChild instanceof HTMLElement) shorten(call.lastElementChild, 'The whole call');
    view.append(section('Today\u2019s options', async () => [await words(of(athlete, `compare?date=${day()}`))]),
      section('The days ahead', async () => [await words(of(athlete, `ahead?date=${day()}`))]));
  }
  view.append(h('p', {}, h('a', { href: of(athlete, `report?date=${day()}`) }, 'The same for paper')));
}
