/** The morning check: one tap when everything is as usual, otherwise only what differs is touched. */

import { day, json, of } from './api.js';
import { bodyOutline } from './body.js';
import { h, problem, tell } from './dom.js';
import { readNumber, shown, spokenDay } from './locale.js';
import { post } from './queue.js';
import { showCall } from './today.js';
import { items, kinds, regions, sites, spoken, symptoms } from './words.js';

/** What was touched. A value of null = cannot say, which is left blank. */
class Answers {
  /** @type {Map<string, number | null>} */
  values = new Map();
  /** @type {Map<string, number>} */
  sore = new Map();
  /** @type {{ site: string, level: number, kind: string }[]} */
  pain = [];
  /** @type {Set<string>} */
  symptoms = new Set();
  minutes = '';
  note = '';

  /**
   * The body of the request: with a "cannot say" the usual values of the others are written out, so that it stays blank.
   * @param {Record<string, number>} usual @returns {Record<string, unknown>}
   */
  body(usual) {
    /** @type {Record<string, unknown>} */
    const body = { date: day() };
    const blank = [...this.values.values()].includes(null);
    if (blank) {
      for (const [item, value] of Object.entries(usual)) if (!this.values.has(item)) body[item] = value;
    } else if (Object.keys(usual).length > 0) {
      body.usual = true;
    }
    for (const [item, value] of this.values) if (value !== null) body[item] = value;
    if (this.sore.size > 0) body.sore_regions = [...this.sore].map(([region, level]) => `${region}:${level}`).join(' ');
    if (this.pain.length > 0) body.pain = this.pain.map((p) => `${p.site}:${p.level}:${p.kind}`).join(' ');
    if (this.symptoms.size > 0) body.symptoms = [...this.symptoms].join(' ');
    if (this.minutes) body.minutes_available = readNumber(this.minutes) ?? this.minutes;
    if (this.note) body.note = this.note;
    return body;
  }
}

/** @param {string} name @param {string} label @param {string} value @param {boolean} on @param {() => void} chosen */
function choice(name, label, value, on, chosen) {
  return h('label', {}, h('input', { type: 'radio', name, value, checked: on, onchange: chosen }), h('span', {}, label));
}

/** @param {Answers} answers @param {Record<string, number>} usual @param {[string, string, string, string]} item */
function scale(answers, usual, [column, name, low, high]) {
  const known = usual[column];
  const set = (/** @type {number | null | undefined} */ v) => () => {
    if (v === undefined) answers.values.delete(column);
    else answers.values.set(column, v);
  };
  const words = known === undefined ? 'your usual is not known yet' : `usually ${shown(known)}`;
  const row = h('div', { class: 'scale' });
  row.append(known === undefined ? choice(column, 'not said', '', true, set(undefined)) : choice(column, 'as usual', 'usual', true, set(undefined)));
  for (let v = 1; v <= 7; ++v) row.append(choice(column, String(v), String(v), false, set(v)));
  row.append(choice(column, 'can\u2019t say', 'blank', false, set(null)));
  return h('fieldset', {}, h('legend', {}, `${name} `, h('span', { class: 'dim' }, `${words}; 1 ${low}, 7 ${high}`)), row);
}

/** @param {Answers} answers @param {Record<string, number>} usual */
function sleep(answers, usual) {
  const known = usual.sleep_hours;
  const input = /** @type {HTMLInputElement} */ (h('input', { id: 'sleep', class: 'number', inputmode: 'decimal', autocomplete: 'off',
    placeholder: known === undefined ? '' : shown(known), oninput: () => read() }));
  const unknown = /** @type {HTMLInputElement} */ (h('input', { type: 'checkbox', onchange: () => read() }));
  const wrong = h('span', { class: 'problem', hidden: true }, 'hours from 0 to 24');
  const read = () => {
    input.disabled = unknown.checked;
    const value = readNumber(input.value);
    wrong.hidden = unknown.checked || input.value === '' || (value !== null && value <= 24);
    if (unknown.checked) answers.values.set('sleep_hours', null);
    else if (input.value === '') answers.values.delete('sleep_hours');
    else answers.values.set('sleep_hours', value ?? NaN);
  };
  return h('fieldset', {}, h('legend', {}, 'Sleep ', h('span', { class: 'dim' }, known === undefined ? 'hours; your usual is not known yet' : `usually ${shown(known)} h`)),
    h('div', { class: 'row' }, h('label', { for: 'sleep' }, 'hours, if not as usual'), input, h('label', { class: 'row' }, unknown, 'can\u2019t say'), wrong));
}

/** @param {Answers} answers */
function soreSpots(answers) {
  const list = h('div', {});
  const toggle = (/** @type {string} */ region) => {
    if (answers.sore.has(region)) answers.sore.delete(region);
    else answers.sore.set(region, 4);
    draw();
    list.querySelector(`[data-region="${region}"]`)?.querySelector('button')?.focus();
  };
  const outline = bodyOutline(toggle);
  const draw = () => {
    outline.show(new Set(answers.sore.keys()));
    list.replaceChildren(...regions.map((region) => {
      const level = answers.sore.get(region);
      const row = h('div', { class: 'row', 'data-region': region },
        h('button', { type: 'button', 'aria-pressed': String(level !== undefined), onclick: () => toggle(region) }, spoken(region)));
      if (level !== undefined) {
        const select = h('select', { 'aria-label': `how sore, ${spoken(region)}`, onchange: (e) => answers.sore.set(region, Number(/** @type {HTMLSelectElement} */ (e.target).value)) });
        for (let v = 1; v <= 7; ++v) select.append(h('option', { value: String(v), selected: v === level }, `${v} of 7`));
        row.append(select);
      }
      return row;
    }));
  };
  draw();
  return h('details', {}, h('summary', {}, 'Sore spots'), h('div', { class: 'two' }, list, outline.element));
}

/** @param {Answers} answers */
function pains(answers) {
  const list = h('div', {});
  const option = (/** @type {string} */ value, /** @type {string} */ text) => h('option', { value }, text);
  const draw = () => {
    list.replaceChildren(...answers.pain.map((pain, i) => {
      const [site, side] = pain.site.endsWith('-left') ? [pain.site.slice(0, -5), 'left'] : pain.site.endsWith('-right') ? [pain.site.slice(0, -6), 'right'] : [pain.site, ''];
      const select = (/** @type {string} */ label, /** @type {string} */ value, /** @type {[string, string][]} */ all, /** @type {(v: string) => void} */ set) => {
        const element = /** @type {HTMLSelectElement} */ (h('select', { id: `${label}-${i}`, onchange: () => set(element.value) }, ...all.map(([v, t]) => option(v, t))));
        element.value = value;
        return h('div', {}, h('label', { for: `${label}-${i}` }, label), h('br'), element);
      };
      let [where, which] = [site, side];
      const place = () => { pain.site = which ? `${where}-${which}` : where; };
      return h('div', { class: 'row' },
        select('where', site, sites.map((v) => [v, spoken(v)]), (v) => { where = v; place(); }),
        select('side', side, [['', 'middle or both'], ['left', 'left'], ['right', 'right']], (v) => { which = v; place(); }),
        select('kind', pain.kind, kinds.map((v) => [v, v]), (v) => { pain.kind = v; }),
        select('how much', String(pain.level), Array.from({ length: 11 }, (_, v) => [String(v), v === 0 ? '0, gone' : `${v} of 10`]), (v) => { pain.level = Number(v); }),
        h('button', { type: 'button', onclick: () => { answers.pain.splice(i, 1); draw(); } }, 'remove'));
    }));
  };
  return h('details', {}, h('summary', {}, 'Pain'), list,
    h('button', { type: 'button', onclick: () => { answers.pain.push({ site: 'knee-right', level: 3, kind: 'dull' }); draw(); } }, 'add a pain'));
}

/** @param {Answers} answers */
function signs(answers) {
  return h('details', {}, h('summary', {}, 'Anything of this today?'),
    h('div', { class: 'ticks' }, ...symptoms.map(([code, words]) => h('label', {},
      h('input', { type: 'checkbox', value: code, onchange: (e) => {
        if (/** @type {HTMLInputElement} */ (e.target).checked) answers.symptoms.add(code);
        else answers.symptoms.delete(code);
      } }), words))));
}

/** @param {string} athlete @param {any} past @param {HTMLElement} box */
function unentered(athlete, past, box) {
  const tellDone = (/** @type {string} */ key) => async () => {
    const outcome = await post(of(athlete, 'checks'), { [key]: past.date });
    if (outcome.state === 'refused') box.append(problem(outcome.why));
    else box.replaceChildren(h('p', { class: 'dim' }, `${spokenDay(past.date)}: kept.`));
  };
  const what = past.plan.map((/** @type {any} */ row) => `${row.kind} ${spoken(row.lift)}`).join(', ');
  box.append(h('p', {}, `${spokenDay(past.date)}: ${what} planned, nothing entered.`),
    h('div', { class: 'row' }, h('button', { type: 'button', onclick: tellDone('done') }, 'Done as planned'),
      h('button', { type: 'button', onclick: tellDone('missed') }, 'Did not train')));
  return box;
}

/** @param {string} athlete @param {HTMLElement} view */
export async function checkView(athlete, view) {
  /** @type {any} */
  let morning;
  try {
    morning = await json(of(athlete, `morning?date=${day()}`));
  } catch {
    morning = { usual: {}, unentered: [], check: null };  // the check can be entered without it
  }
  const answers = new Answers();
  const call = h('section', { 'aria-label': 'Today\u2019s call' });
  const form = h('div', {});
  const send = async (/** @type {Event} */ event) => {
    const button = /** @type {HTMLButtonElement} */ (event.currentTarget);
    if ([...answers.values.values()].some((v) => Number.isNaN(v)) || (answers.minutes && readNumber(answers.minutes) === null)) {
      tell('A number cannot be read; please look again.');
      return;
    }
    button.disabled = true;
    const outcome = await post(of(athlete, 'checks'), answers.body(morning.usual));
    button.disabled = false;
    if (outcome.state === 'refused') {
      form.prepend(problem(outcome.why));
    } else if (outcome.state === 'waiting') {
      tell('Kept on this device; it is sent when there is a connection.');
      form.replaceChildren();
    } else {
      form.replaceChildren();
      await showCall(athlete, call);
      view.focus();
    }
  };
  const known = Object.keys(morning.usual).length > 0;
  form.append(
    known ? h('button', { class: 'main', onclick: send }, 'All as usual') : h('p', {}, 'Your usual mornings are not known yet; after ten checks one tap is enough.'),
    ...morning.unentered.map((/** @type {any} */ past) => unentered(athlete, past, h('div', {}))),
    h('h2', {}, 'What differs'), sleep(answers, morning.usual), ...items.map((item) => scale(answers, morning.usual, item)),
    soreSpots(answers), pains(answers), signs(answers),
    h('div', { class: 'field' }, h('label', { for: 'minutes' }, 'Minutes today, if fewer than planned'),
      h('input', { id: 'minutes', class: 'number', inputmode: 'numeric', autocomplete: 'off', oninput: (e) => { answers.minutes = /** @type {HTMLInputElement} */ (e.target).value.trim(); } })),
    h('div', { class: 'field' }, h('label', { for: 'note' }, 'Anything else'),
      h('textarea', { id: 'note', rows: '2', oninput: (e) => { answers.note = /** @type {HTMLTextAreaElement} */ (e.target).value.trim(); } })),
    h('button', { class: 'main', onclick: send }, 'Send'));
  view.replaceChildren(h('h1', {}, 'Morning check'), h('p', { class: 'dim' }, spokenDay(day())), call, form);
  if (morning.check) {
    form.replaceChildren(h('details', {}, h('summary', {}, 'Change or add to this morning\u2019s check'), ...form.childNodes));
    await showCall(athlete, call);
  }
}
