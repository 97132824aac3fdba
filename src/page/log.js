/** The session, as called: confirm it or change a number. */

import { day, json, of } from './api.js';
import { h, problem, tell } from './dom.js';
import { inUnit, readNumber, shown, units } from './locale.js';
import { post } from './queue.js';
import { isStopped } from './today.js';
import { spoken } from './words.js';

/** @typedef {{ lift: string, sets: HTMLInputElement, reps: HTMLInputElement, weight: HTMLInputElement, rpe: HTMLInputElement }} Row */

/** @param {string} athlete @param {HTMLElement} view */
export async function logView(athlete, view) {
  view.replaceChildren(h('h1', {}, 'Session'));
  /** @type {any} */
  let call;
  /** @type {any} */
  let plan;
  try {
    [call, plan] = await Promise.all([json(of(athlete, `today?date=${day()}`)), json(of(athlete, `plan?from=${day()}&to=${day()}`))]);
  } catch (error) {
    view.append(problem(error));
    return;
  }
  if (isStopped(call)) view.append(h('p', { class: 'problem' }, 'A stop is open. Enter only what was done before it.'));
  const unit = units() || 'kg';
  const number = (/** @type {string} */ id, /** @type {string} */ value, /** @type {string} */ mode) =>
    /** @type {HTMLInputElement} */ (h('input', { id, class: 'number', inputmode: mode, autocomplete: 'off', value }));
  const labelled = (/** @type {string} */ text, /** @type {HTMLInputElement} */ input) => h('div', {}, h('label', { for: input.id }, text), h('br'), input);
  /** @type {Row[]} */
  const rows = [];
  const list = h('div', {});
  for (const lift of call.calls.filter((/** @type {any} */ c) => c.sets > 0)) {
    const id = (/** @type {string} */ what) => `${what}-${lift.lift}`;
    const row = { lift: lift.lift, sets: number(id('sets'), String(lift.sets), 'numeric'), reps: number(id('reps'), String(lift.reps), 'numeric'),
      weight: number(id('weight'), lift.weight_kg === null ? '' : shown(inUnit(unit, lift.weight_kg)), 'decimal'), rpe: number(id('rpe'), '', 'decimal') };
    rows.push(row);
    list.append(h('fieldset', {}, h('legend', {}, spoken(lift.lift)), h('div', { class: 'row' }, labelled('sets', row.sets), labelled('reps', row.reps),
      labelled(unit, row.weight), labelled('RPE of the sets', row.rpe))));
  }
  const planned = plan.rows?.find((/** @type {any} */ r) => r.minutes) ?? null;
  const minutes = number('minutes', planned ? shown(planned.minutes) : '', 'numeric');
  const rpe = number('session-rpe', '', 'decimal');
  const said = h('div', {});
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    said.replaceChildren();
    const numbers = [minutes, rpe, ...rows.flatMap((r) => [r.sets, r.reps, r.weight, r.rpe])];
    const wrong = numbers.find((input) => input.value.trim() !== '' && readNumber(input.value) === null);
    if (wrong) {
      said.append(problem('This number cannot be read.'));
      wrong.focus();
      return;
    }
    const value = (/** @type {HTMLInputElement} */ input) => readNumber(input.value) ?? undefined;
    const sets = rows.filter((r) => value(r.sets) && value(r.reps)).map((r) => ({ lift: r.lift, sets: value(r.sets), reps: value(r.reps), weight: value(r.weight), unit, rpe: value(r.rpe) }));
    const kind = call.calls.find((/** @type {any} */ c) => c.sets > 0)?.kind ?? 'other';
    const outcome = await post(of(athlete, 'sessions'), { date: day(), part: 1, kind, minutes: value(minutes), rpe: value(rpe), ...(sets.length > 0 ? { sets } : {}) });
    if (outcome.state === 'refused') said.append(problem(outcome.why));
    else tell(outcome.state === 'sent' ? 'The session is stored.' : 'Kept on this device; it is sent when there is a connection.');
  };
  view.append(h('form', { onsubmit: send, novalidate: true }, list.childNodes.length > 0 ? list : h('p', {}, 'Nothing was called today; enter what was done.'),
    h('div', { class: 'row' }, labelled('minutes', minutes), labelled('session RPE, 0 to 10', rpe)), said, h('button', { class: 'main' }, 'Store the session')));
}
