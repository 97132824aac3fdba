/** The session, as called: confirm it or change a number. */

import { day, json, of } from './api.js';
import { h, problem, tell } from './dom.js';
import { decidedKey } from './at_bar.js';
import { question } from './check.js';
import { inUnit, readNumber, shown, units } from './locale.js';
import { post } from './queue.js';
import { isStopped } from './today.js';
import { spoken } from './words.js';

/** @typedef {{ lift: () => string, sets: HTMLInputElement, reps: HTMLInputElement, weight: HTMLInputElement, rpe: HTMLInputElement }} Row */

/** What is asked about the day, to whoever may answer. @param {string} athlete @returns {Promise<any[]>} */
async function questionsOf(athlete) {
  const all = await json(of(athlete, 'questions')).catch(() => ({ questions: [] }));
  return all.questions.filter((/** @type {any} */ one) => one.date === day());
}

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
    [call, plan] = [{ calls: [], cautions: [] }, {}];  // what was done can be entered without it
  }
  if (isStopped(call)) view.append(h('p', { class: 'problem' }, 'A stop is open. Enter only what was done before it.'));
  const unit = units() || 'kg';
  const number = (/** @type {string} */ id, /** @type {string} */ value, /** @type {string} */ mode) =>
    /** @type {HTMLInputElement} */ (h('input', { id, class: 'number', inputmode: mode, autocomplete: 'off', value }));
  const labelled = (/** @type {string} */ text, /** @type {HTMLInputElement} */ input) => h('div', {}, h('label', { for: input.id }, text), input);
  /** @type {Row[]} */
  const rows = [];
  const list = h('div', {});
  /** A row of identical sets. @param {string} title @param {HTMLInputElement | null} name @param {string[]} values sets, reps, weight */
  const add = (title, name, values) => {
    const id = (/** @type {string} */ what) => `${what}-${rows.length}`;
    const row = { lift: () => name?.value.trim().toLowerCase().replaceAll(' ', '-') || title, sets: number(id('sets'), values[0] ?? '', 'numeric'), reps: number(id('reps'), values[1] ?? '', 'numeric'),
      weight: number(id('weight'), values[2] ?? '', 'decimal'), rpe: number(id('rpe'), '', 'decimal') };
    const heading = name ? h('legend', {}, 'More sets of ', name) : h('legend', {}, spoken(title));
    list.append(h('fieldset', {}, heading, h('div', { class: 'grid four' }, labelled('sets', row.sets), labelled('reps', row.reps), labelled(unit, row.weight), labelled('RPE', row.rpe))));
    rows.push(row);
  };
  for (const lift of call.calls.filter((/** @type {any} */ c) => c.sets > 0)) {
    const decided = sessionStorage.getItem(decidedKey(athlete, lift.lift));
    const weight_kg = decided === null ? lift.weight_kg : Number(decided);
    add(lift.lift, null, [String(lift.sets), String(lift.reps), weight_kg === null ? '' : shown(inUnit(unit, weight_kg))]);
  }
  const more = () => {
    const name = /** @type {HTMLInputElement} */ (h('input', { 'aria-label': 'lift', autocomplete: 'off', autocapitalize: 'none', list: 'lifts', value: rows.at(-1)?.lift() ?? '' }));
    add('', name, []);
    name.focus();
  };
  const planned = plan.rows?.find((/** @type {any} */ r) => r.minutes) ?? null;
  const minutes = number('minutes', planned ? shown(planned.minutes) : '', 'numeric');
  const rpe = number('session-rpe', '', 'decimal');
  const said = h('div', {});
  let part = 0;  // which session of the day it is, once that is known
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
    const sets = rows.filter((r) => value(r.sets) && value(r.reps)).map((r) => ({ lift: r.lift(), sets: value(r.sets), reps: value(r.reps), weight: value(r.weight), unit, rpe: value(r.rpe) }));
    const kind = call.calls.find((/** @type {any} */ c) => c.sets > 0)?.kind ?? 'other';
    const outcome = await post(of(athlete, 'sessions'), { date: day(), ...(part > 0 ? { part } : {}), kind, minutes: value(minutes), rpe: value(rpe), ...(sets.length > 0 ? { sets } : {}) });
    if (outcome.state === 'refused') said.append(problem(outcome.why));
    else {
      const asked = outcome.state === 'sent' && outcome.answer.questions > 0 ? await questionsOf(athlete) : [];
      if (outcome.state === 'sent' && outcome.answer.questions === 0) part ||= 1;
      tell(asked.length > 0 ? 'Please answer the question below.' : outcome.state === 'sent' ? 'The session is stored.' : 'Kept on this device; it is sent when there is a connection.');
      const done = sets.map((r) => `${spoken(r.lift)} ${r.sets} \u00d7 ${r.reps}${r.weight === undefined ? '' : ` at ${shown(r.weight)} ${unit}`}${r.rpe === undefined ? '' : `, RPE ${shown(r.rpe)}`}`);
      if (value(minutes) !== undefined) done.push(`${minutes.value} minutes`);
      if (value(rpe) !== undefined) done.push(`session RPE ${rpe.value}`);
      const summary = h('section', { 'aria-label': 'What was entered' }, h('ul', {}, ...done.map((text) => h('li', {}, text))),
        ...asked.map((/** @type {any} */ one) => {
          const box = question(athlete, one, async () => { box.remove(); tell('Kept.'); });
          return box;
        }),
        asked.length > 0 ? null : h('button', { type: 'button', onclick: () => { tell(''); summary.replaceWith(form); } }, 'Change it'));
      form.replaceWith(summary);
    }
  };
  const form = h('form', { onsubmit: send, novalidate: true }, h('datalist', { id: 'lifts' }, ...call.calls.map((/** @type {any} */ c) => h('option', { value: c.lift }))),
    rows.length > 0 ? null : h('p', {}, plan.rows ? 'Nothing was called today; enter what was done.' : 'Enter what was done.'), list, h('button', { type: 'button', onclick: more }, 'Add other sets'),
    h('div', { class: 'grid' }, labelled('minutes', minutes), labelled('session RPE, 0 to 10', rpe)), said, h('div', { class: 'act' }, h('button', { class: 'main' }, 'Store the session')));
  view.append(form);
}
