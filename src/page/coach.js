/** The coach's week: whose week needs a look, what was decided, the squad in small. */

import { day, html, json } from './api.js';
import { h, need, piece, problem, tell } from './dom.js';
import { localise } from './locale.js';
import { post } from './queue.js';

/** @param {string} week @param {string} athlete @param {any} before @param {() => void} changed */
function decision(week, athlete, before, changed) {
  const note = /** @type {HTMLInputElement} */ (h('input', { id: `note-${athlete}`, autocomplete: 'off', value: before?.note ?? '' }));
  const words = h('div', { hidden: !before }, h('label', { for: note.id }, 'what instead, or why; then choose again'), note);
  /** @type {HTMLElement[]} */
  const buttons = ['accept', 'change', 'ignore'].map((word) => h('button', { type: 'button', 'aria-pressed': String(before?.decision === word), 'data-word': word, onclick: () => decide(word) }, word));
  const decide = async (/** @type {string} */ word) => {
    words.hidden = false;
    if (word === 'change' && note.value.trim() === '') {
      tell(`${athlete}: say what instead, then choose change.`);
      note.focus();
      return;
    }
    const outcome = await post('/v1/week/decisions', { week, athlete, decision: word, note: note.value.trim() });
    if (outcome.state === 'refused') { tell(outcome.why); return; }
    buttons.forEach((b) => b.setAttribute('aria-pressed', String(b.dataset.word === word)));
    changed();
    tell(outcome.state === 'sent' ? `${athlete}: ${word} is kept.` : 'Kept on this device; it is sent when there is a connection.');
  };
  return h('div', { class: 'decision', role: 'group', 'aria-label': `Decision on ${athlete}` }, h('div', { class: 'row even' }, ...buttons), words);
}

/** @param {string} athlete */
function more(athlete) {
  return h('a', { href: `#me/${encodeURIComponent(athlete)}` }, athlete);
}

/** @param {HTMLElement} view */
export async function coachView(view) {
  const list = h('section', { 'aria-label': 'Whose week needs a look' });
  const squad = h('section', {}, h('h2', {}, 'Load of the last four weeks'));
  view.replaceChildren(h('h1', {}, 'The week'), list, squad);
  try {
    const query = `/v1/week?date=${day()}`;
    const [review, text] = await Promise.all([json(query), html(query)]);
    const shown = piece(text);
    localise(shown);
    const done = h('p', { class: 'dim' });
    const count = () => {
      const n = review.flags.length;
      done.textContent = n > 0 ? `${list.querySelectorAll('[aria-pressed=true]').length} of ${n} decided.` : '';
    };
    /** @type {HTMLElement[]} */
    const headings = [...shown.querySelectorAll('h3')];
    review.flags.forEach((/** @type {any} */ flag, /** @type {number} */ i) => {
      const heading = headings[i];
      if (!heading) return;
      const [number = '', kinds = ''] = (heading.textContent ?? '').split(flag.athlete, 2);
      heading.replaceChildren(number, more(flag.athlete), kinds);
      let end = heading;
      while (end.nextElementSibling && ['DL', 'DETAILS'].includes(end.nextElementSibling.tagName)) end = /** @type {HTMLElement} */ (end.nextElementSibling);
      const earlier = [...(heading.nextElementSibling?.querySelectorAll('dt') ?? [])].find((label) => label.textContent === 'decided')?.parentElement;
      end.after(decision(review.week, flag.athlete, flag.decided, () => { earlier?.remove(); count(); }));
    });
    list.replaceChildren(h('h2', {}, 'Whose week needs a look'), shown, done);
    count();
  } catch (error) {
    list.replaceChildren(problem(error));
  }
  try {
    const response = await fetch(`/v1/squad?date=${day()}`);
    if (!response.ok) throw new Error('The squad\u2019s charts could not be read.');
    const grid = piece(await response.text());
    grid.querySelectorAll('figure').forEach((figure) => {
      const code = figure.dataset.athlete ?? '';
      need(figure, 'strong', HTMLElement).replaceChildren(more(code));
    });
    localise(grid);
    squad.append(grid);
  } catch (error) {
    squad.append(problem(error));
  }
}
