/** The second decision: how fast or how hard the warm-up was. */

import { day, json, of } from './api.js';
import { h, problem, tell } from './dom.js';
import { inUnit, localise, readNumber, shown, units } from './locale.js';
import { post } from './queue.js';
import { isStopped, showCall } from './today.js';
import { spoken } from './words.js';

/** @param {string} athlete @param {any} lift @param {HTMLElement} call */
function form(athlete, lift, call) {
  const unit = units() || 'kg';
  const first = lift.warmup.length > 1 ? lift.warmup[1] : lift.warmup[0];
  const percent = lift.training_max_kg ? Math.round((first.weight_kg / lift.training_max_kg) * 100) : 0;
  const answer = h('p', { class: 'lead', role: 'status' });
  const field = (/** @type {string} */ id, /** @type {string} */ label, /** @type {(v: number) => Promise<void>} */ done, /** @type {number} */ most) => {
    const input = /** @type {HTMLInputElement} */ (h('input', { id, class: 'number', inputmode: 'decimal', autocomplete: 'off' }));
    const ready = async (/** @type {Event} */ event) => {
      event.preventDefault();
      const value = readNumber(input.value);
      if (value === null || value > most) answer.textContent = `A number up to ${most} is needed.`;
      else await done(value);
    };
    return h('form', { class: 'row', onsubmit: ready }, h('div', {}, h('label', { for: id }, label), h('br'), input), h('button', {}, 'Decide'));
  };
  const rpe = async (/** @type {number} */ value) => {
    try {
      const decision = await json(of(athlete, `bar?date=${day()}&lift=${lift.lift}&rpe=${value}`));
      answer.textContent = decision.say;
      if (decision.plates_per_side.length > 0) answer.append(h('br'), `Per side ${decision.plates_per_side.map((/** @type {number} */ p) => shown(p)).join(' + ')} kg.`);
      localise(answer);
    } catch (error) {
      answer.replaceChildren(problem(error));
    }
  };
  const speed = async (/** @type {number} */ value) => {
    const outcome = await post(of(athlete, 'bar'), { date: day(), lift: lift.lift, percent, speed: value });
    if (outcome.state === 'refused') answer.textContent = outcome.why;
    else if (outcome.state === 'waiting') tell('Kept on this device; the rule below holds until it is sent.');
    else await showCall(athlete, call);
  };
  return h('section', {}, h('h2', {}, `${spoken(lift.lift)}: after the warm-up`), answer,
    field(`rpe-${lift.lift}`, 'RPE of the last warm-up set', rpe, 10),
    percent > 0 ? field(`speed-${lift.lift}`, `Speed of ${shown(inUnit(unit, first.weight_kg))} ${unit} (${percent} %), m/s`, speed, 3) : null);
}

/** @param {string} athlete @param {HTMLElement} view */
export async function barView(athlete, view) {
  const call = h('div', {});
  view.replaceChildren(h('h1', {}, 'At the bar'), call);
  const today = await showCall(athlete, call);
  if (!today || isStopped(today)) return;
  const lifts = today.calls.filter((/** @type {any} */ c) => c.sets > 0 && c.weight_kg !== null && c.warmup.length > 0);
  call.before(...lifts.map((/** @type {any} */ lift) => form(athlete, lift, call)));
  if (lifts.length === 0) call.before(h('p', {}, 'Nothing is on the bar today.'));
}
