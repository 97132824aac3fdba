/** Today's call as the command line words it. A stop shows its two ways out and nothing else. */

import { day, html, json, of } from './api.js';
import { h, piece, problem, tell } from './dom.js';
import { localise } from './locale.js';
import { post } from './queue.js';

/** @param {any} call @returns {boolean} */
export function isStopped(call) {
  return call.cautions.some((/** @type {any} */ c) => c.urgency === 'now' || c.urgency === 'today');
}

/** Closes what follows the first sentence. @param {HTMLElement} shown @param {string} name */
export function shorten(shown, name) {
  const rest = [];
  for (let next = shown.querySelector('.lead')?.nextSibling; next; next = next.nextSibling) rest.push(next);
  if (rest.some((node) => node instanceof Element)) shown.append(h('details', { class: 'fold' }, h('summary', {}, name), ...rest));
}

/** @param {string} athlete @param {HTMLElement} box @returns {(caution: string, by: string) => Promise<void>} */
function clearer(athlete, box) {
  return async (caution, by) => {
    const outcome = await post(of(athlete, 'clearances'), { date: day(), caution, by });
    if (outcome.state === 'refused') box.append(problem(outcome.why));
    else if (outcome.state === 'waiting') tell('Kept on this device; it is sent when there is a connection.');
    else await showCall(athlete, box);
  };
}

/**
 * Fills the box with the call of the day.
 * @param {string} athlete @param {HTMLElement} box @returns {Promise<any>} the call as JSON; null = it could not be read
 */
export async function showCall(athlete, box) {
  try {
    const query = `today?date=${day()}`;
    const [call, text] = await Promise.all([json(of(athlete, query)), html(of(athlete, query))]);
    const shown = piece(text);
    localise(shown);
    if (isStopped(call)) box.replaceChildren(shown);
    else box.replaceChildren(h('h2', { class: 'unseen' }, 'Today'), shown);
    shown.classList.toggle('stop', isStopped(call));
    const clear = clearer(athlete, box);
    for (const way of shown.querySelectorAll('.way-out')) {
      const caution = /** @type {HTMLElement} */ (way).dataset.caution ?? '';
      way.after(h('div', { class: 'row' },
        h('button', { onclick: () => clear(caution, 'practitioner') }, 'I have been seen and cleared'),
        h('button', { onclick: () => clear(caution, 'mistake') }, 'This was a mistake')));
    }
    return call;
  } catch (error) {
    box.replaceChildren(problem(error));
    return null;
  }
}
