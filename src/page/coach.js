/** The coach's week: whose week needs a look, what was decided, the squad in small. */

import { day, html, json } from './api.js';
import { h, need, piece, problem, tell } from './dom.js';
import { localise } from './locale.js';
import { post } from './queue.js';

/** @param {string} week @param {string} athlete @param {any} before */
function decision(week, athlete, before) {
  const note = /** @type {HTMLInputElement} */ (h('input', { id: `note-${athlete}`, autocomplete: 'off', value: before?.note ?? '' }));
  /** @type {HTMLElement[]} */
  const buttons = ['accept', 'change', 'ignore'].map((word) => h('button', { type: 'button', 'aria-pressed': String(before?.decision === word), 'data-word': word, onclick: () => decide(word) }, word));
  const decide = async (/** @type {string} */ word) => {
    const outcome = await post('/v1/week/decisions', { week, athlete, decision: word, note: note.value.trim() });
    if (outcome.state === 'refused') { tell(outcome.why); return; }
    buttons.forEach((b) => b.setAttribute('aria-pressed', String(b.dataset.word === word)));
    tell(outcome.state === 'sent' ? `${athlete}: ${word} is kept.` : 'Kept on this device; it is sent when there is a connection.');
  };
  return h('div', { class: 'decision', role: 'group', 'aria-label': `Decision on ${athlete}` }, h('div', { class: 'row' }, ...buttons),
    h('label', { for: note.id }, 'what instead, or why'), h('br'), note, h('p', {}, h('a', { href: `#me/${encodeURIComponent(athlete)}` }, `More about ${athlete}`)));
}

/** @param {HTMLElement} view */
export async function coachView(view) {
  const list = h('section', { 'aria-label': 'Whose week needs a look' });
  const squad = h('section', {}, h('h2', {}, 'Load of the last four weeks'));
  view.replaceChildren(h('h1', {}, 'The week'), list, squad);
  try {
    const query = `/v1/week?date=${day()}`;
    const [review, text] = await Promise.all([json(query), html(query)]);
    const decided = await json(`/v1/week/decisions?week=${review.week}`).catch(() => ({ decisions: [] }));
    const shown = piece(text);
    localise(shown);
    const headings = [...shown.querySelectorAll('h3')];
    review.flags.forEach((/** @type {any} */ flag, /** @type {number} */ i) => {
      const end = headings[i]?.nextElementSibling ?? headings[i];
      const before = decided.decisions.findLast((/** @type {any} */ d) => d.athlete === flag.athlete);
      end?.after(decision(review.week, flag.athlete, before));
    });
    list.replaceChildren(h('h2', {}, 'Whose week needs a look'), shown);
  } catch (error) {
    list.replaceChildren(problem(error));
  }
  try {
    const response = await fetch(`/v1/squad?date=${day()}`);
    if (!response.ok) throw new Error('The squad\u2019s charts could not be read.');
    const grid = piece(await response.text());
    grid.querySelectorAll('figure').forEach((figure) => {
      const code = figure.dataset.athlete ?? '';
      need(figure, 'strong', HTMLElement).replaceChildren(h('a', { href: `#me/${encodeURIComponent(code)}` }, code));
    });
    localise(grid);
    squad.append(grid);
  } catch (error) {
    squad.append(problem(error));
  }
}
