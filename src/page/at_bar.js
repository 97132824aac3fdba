/** The second decision: how hard or how fast the warm-up was. */

import { day, json, of } from './api.js';
import { h, problem, tell } from './dom.js';
import { inUnit, localise, platesText, readNumber, shown, units } from './locale.js';
import { post } from './queue.js';
import { isStopped, shorten, showCall } from './today.js';
import { spoken } from './words.js';

const k_least_rpe = 4;

/** What the bar has decided about a lift today, for the log of the session. @param {string} athlete @param {string} lift */
export const decidedKey = (athlete, lift) => `bar ${athlete} ${day()} ${lift}`;

/** The warm-up and the work, with the plates of a side. @param {any} lift */
function ramp(lift) {
  const unit = units() || 'kg';
  const row = (/** @type {any} */ set, /** @type {string} */ reps) => h('tr', {}, h('th', { scope: 'row' }, `${shown(inUnit(unit, set.weight_kg))} ${unit}`), h('td', {}, reps),
    h('td', {}, set.plates_per_side.length > 0 ? platesText(set.plates_per_side) : 'the bar alone'));
  return h('table', {}, h('thead', {}, h('tr', {}, ...['weight', 'reps', 'per side'].map((head) => h('th', { scope: 'col' }, head)))),
    h('tbody', {}, ...lift.warmup.map((/** @type {any} */ set) => row(set, String(set.reps))), row(lift, `${lift.sets} \u00d7 ${lift.reps}`)));
}

/** @param {string} athlete @param {any} lift @param {HTMLElement} answer */
function byRpe(athlete, lift, answer) {
  const decide = async (/** @type {number} */ rpe, /** @type {HTMLElement} */ pressed) => {
    try {
      const decision = await json(of(athlete, `bar?date=${day()}&lift=${encodeURIComponent(lift.lift)}&rpe=${rpe}`));
      if (decision.weight_kg !== null) sessionStorage.setItem(decidedKey(athlete, lift.lift), String(decision.weight_kg));
      answer.textContent = decision.say;
      if (decision.plates_per_side.length > 0) answer.append(h('br'), `Per side ${platesText(decision.plates_per_side)}.`);
      localise(answer);
      for (const other of pressed.parentElement?.children ?? []) other.setAttribute('aria-pressed', String(other === pressed));
    } catch (error) {
      answer.replaceChildren(problem(error));
    }
  };
  const cells = Array.from({ length: 11 - k_least_rpe }, (_, i) => {
    const rpe = i + k_least_rpe;
    /** @type {HTMLElement} */
    const cell = h('button', { type: 'button', 'aria-pressed': 'false', 'aria-label': `RPE ${rpe}${i === 0 ? ' or less' : ''}`, onclick: () => decide(rpe, cell) }, i === 0 ? `\u2264${rpe}` : String(rpe));
    return cell;
  });
  return h('div', { role: 'group', 'aria-label': `RPE of the last warm-up set, ${spoken(lift.lift)}` },
    h('p', {}, 'How hard was the last warm-up set? RPE'), h('div', { class: 'cells' }, ...cells));
}

/** A speed is compared with earlier ones at the same percent only, so the percent of last time is offered again. @param {string} athlete @param {any} lift @param {HTMLElement} answer @param {HTMLElement} call */
function bySpeed(athlete, lift, answer, call) {
  const kept = `percent ${athlete} ${lift.lift}`;
  const number = (/** @type {string} */ id, /** @type {string} */ value) => /** @type {HTMLInputElement} */ (h('input', { id: `${id}-${lift.lift}`, class: 'number', inputmode: 'decimal', autocomplete: 'off', value }));
  const percent = number('percent', localStorage.getItem(kept) ?? '60');
  const speed = number('speed', '');
  const unit = units() || 'kg';
  const weight = h('p', { class: 'dim' });
  const weigh = () => {
    const value = readNumber(percent.value);
    weight.textContent = value !== null && lift.training_max_kg ? `${shown(value)} % are ${shown(inUnit(unit, (value / 100) * lift.training_max_kg), 1)} ${unit}.` : '';
  };
  percent.addEventListener('input', weigh);
  weigh();
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const [at, fast] = [readNumber(percent.value), readNumber(speed.value)];
    if (at === null || fast === null || at > 150 || fast > 3) {
      answer.textContent = 'A percent up to 150 and a speed up to 3 m/s are needed.';
      return;
    }
    localStorage.setItem(kept, percent.value.trim());
    const outcome = await post(of(athlete, 'bar'), { date: day(), lift: lift.lift, percent: at, speed: fast });
    if (outcome.state === 'refused') answer.textContent = outcome.why;
    else if (outcome.state === 'waiting') tell('Kept on this device; the rule in the call holds until it is sent.');
    else {
      const today = await showBarCall(athlete, call);
      answer.textContent = today?.calls.find((/** @type {any} */ c) => c.lift === lift.lift)?.at_the_bar ?? 'Kept.';
      localise(answer);
    }
  };
  const labelled = (/** @type {string} */ text, /** @type {HTMLInputElement} */ input) => h('div', {}, h('label', { for: input.id }, text), input);
  return h('details', { class: 'fold' }, h('summary', {}, 'Or its speed'),
    h('form', { class: 'grid', onsubmit: send }, labelled('warm-up at, %', percent), labelled('speed, m/s', speed), h('button', {}, 'Decide')), weight);
}

/** @param {string} athlete @param {HTMLElement} call */
async function showBarCall(athlete, call) {
  const today = await showCall(athlete, call);
  if (today && !isStopped(today) && call.lastElementChild instanceof HTMLElement) shorten(call.lastElementChild, 'The whole call');
  return today;
}

/** @param {string} athlete @param {HTMLElement} view */
export async function barView(athlete, view) {
  const call = h('section', { 'aria-label': 'Today' });
  view.replaceChildren(h('h1', {}, 'At the bar'), call);
  const today = await showBarCall(athlete, call);
  if (!today || isStopped(today)) return;
  const lifts = today.calls.filter((/** @type {any} */ c) => c.sets > 0 && c.weight_kg !== null && c.warmup.length > 0);
  for (const lift of lifts) {
    const answer = h('p', { class: 'lead', role: 'status' });
    const name = spoken(lift.lift);
    view.append(h('section', {}, h('h2', {}, `${name.charAt(0).toUpperCase()}${name.slice(1)}, warm-up and work`), ramp(lift), byRpe(athlete, lift, answer), answer, bySpeed(athlete, lift, answer, call)));
  }
  if (lifts.length === 0) view.append(h('p', {}, 'Nothing is on the bar today.'));
}
