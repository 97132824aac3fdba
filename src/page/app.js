/** Which page is shown, to whom. Pages: #check #bar #log #me/CODE #week #whom. */

import { json, Refused } from './api.js';
import { h, need, problem, tell } from './dom.js';
import { clock, units } from './locale.js';
import { flush, forget, waiting } from './queue.js';

/** @typedef {{ role: string, athlete: string | null }} Who */

const view = need(document, '#view', HTMLElement);

/** @type {Who | null} */
let who = null;

/** @returns {string} code of the lifter whose page this is; empty = not chosen yet */
function athlete() {
  return who?.athlete ?? localStorage.getItem('athlete') ?? '';
}

/** The page without a name in the address. */
function first() {
  return who?.role === 'coach' && athlete() === '' ? 'week' : 'check';
}

function pages() {
  const here = location.hash.slice(1).split('/')[0] || first();
  const coach = who !== null && who.role !== 'lifter';
  const own = athlete() !== '';
  /** @type {[string, string, boolean][]} */
  const all = [['check', 'Morning', own], ['bar', 'At the bar', own], ['log', 'Session', own], ['me', 'Charts', own], ['week', 'Week', coach]];
  need(document, '#pages', HTMLElement).replaceChildren(...all.filter(([, , on]) => on).map(([code, name]) =>
    h('a', { href: `#${code}`, 'aria-current': here === code ? 'page' : false }, name)));
  need(document, '#whose', HTMLElement).textContent = athlete();
}

/** What waits, what was refused: nothing is dropped without a word. */
async function news() {
  const all = await waiting();
  const held = all.filter((w) => !w.refused);
  if (held.length > 0) tell(`${held.length} ${held.length === 1 ? 'entry waits' : 'entries wait'} on this device since ${clock(new Date(held[0]?.at ?? 0))}.`);
  for (const entry of all.filter((w) => w.refused)) {
    const box = h('div', { class: 'problem', 'data-key': entry.key }, `Not stored: ${entry.refused} `,
      h('details', {}, h('summary', {}, 'what was entered'), entry.body), h('button', { onclick: () => { void forget(entry.key); box.remove(); } }, 'drop it'));
    if (!document.querySelector(`[data-key="${entry.key}"]`)) view.before(box);
  }
}

async function leave() {
  if (await (await import('./login.js')).logOut()) location.assign('/');
  else tell('An entry still waits on this device: log out when there is a connection and it is sent or dropped.');
}

async function whom() {
  const box = h('div', {});
  const unit = units();
  const select = /** @type {HTMLSelectElement} */ (h('select', { id: 'units', onchange: () => localStorage.setItem('units', select.value) },
    h('option', { value: '', selected: unit === '' }, 'as entered for the lifter'), h('option', { value: 'kg', selected: unit === 'kg' }, 'kg'), h('option', { value: 'lb', selected: unit === 'lb' }, 'lb')));
  view.replaceChildren(h('h1', {}, 'Settings'), h('div', { class: 'field' }, h('label', { for: 'units' }, 'Weights in'), select), box,
    h('p', {}, h('button', { onclick: leave }, 'Log out and forget what is on this device')));
  if (who?.athlete) return;
  const all = await json('/v1/athletes');
  box.append(h('h2', {}, 'Whose page is this?'), h('ul', { class: 'lifters' }, ...all.athletes.map((/** @type {any} */ a) => h('li', {},
    h('button', { 'aria-pressed': String(a.athlete === athlete()), onclick: () => { localStorage.setItem('athlete', a.athlete); location.hash = '#check'; } }, a.athlete)))));
}

async function show() {
  pages();
  const [page = first(), of = ''] = (location.hash.slice(1) || first()).split('/').map(decodeURIComponent);
  const code = of || athlete();
  try {
    if (page === 'week') await (await import('./coach.js')).coachView(view);
    else if (page === 'whom' || code === '') await whom();
    else if (page === 'bar') await (await import('./at_bar.js')).barView(code, view);
    else if (page === 'log') await (await import('./log.js')).logView(code, view);
    else if (page === 'me') await (await import('./me.js')).meView(code, view);
    else await (await import('./check.js')).checkView(code, view);
  } catch (error) {
    view.replaceChildren(problem(error));
  }
  const title = view.querySelector('h1')?.textContent;
  document.title = title ? `${title} \u2013 Steelyard` : 'Steelyard';
  view.dataset.page = page;
}

async function start() {
  try {
    who = await json('/v1/login');
    localStorage.setItem('who', JSON.stringify(who));
  } catch (error) {
    if (error instanceof Refused && error.status === 401) {
      (await import('./login.js')).loginView(view, () => void start());
      return;
    }
    who = JSON.parse(localStorage.getItem('who') ?? 'null');
  }
  await show();
  await flush();
}

addEventListener('hashchange', () => { tell(''); void show().then(() => view.focus()); });
addEventListener('online', () => void flush().then((sent) => { if (sent.size > 0) void show(); }));
addEventListener('steelyard-queue', () => void news());
navigator.serviceWorker?.register('/sw.js').catch(() => tell('This browser keeps nothing for use without a connection.'));
void start();
