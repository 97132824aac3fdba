/** The morning check: one tap when everything is as usual, otherwise only what differs is touched. */

import { day, json, of } from './api.js';
import { bodyOutline } from './body.js';
import { h, need, problem, tell } from './dom.js';
import { localise, readNumber, shown, spokenDay } from './locale.js';
import { post } from './queue.js';
import { isStopped, showCall } from './today.js';
import { items, kinds, regions, sites, spoken, symptoms } from './words.js';

/** @typedef {{ usual: Record<string, number>, check: Record<string, any> | null }} Morning */

/** What was touched. A value of null = cannot say. */
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
  changed = () => {};

  /** Begins with what was entered this morning. @param {Morning} morning */
  constructor(morning) {
    this.usual = !morning.check && Object.keys(morning.usual).length > 0;
    const check = morning.check ?? {};
    for (const spot of (check.sore_regions ?? '').split(' ').filter(Boolean)) this.sore.set(spot.split(':')[0], Number(spot.split(':')[1]));
    this.pain = (check.pain ?? '').split(' ').filter(Boolean).map((/** @type {string} */ p) => {
      const [site = '', level, kind = ''] = p.split(':');
      return { site, level: Number(level), kind };
    });
    this.symptoms = new Set((check.symptoms ?? '').split(' ').filter(Boolean));
    this.minutes = check.minutes_available === undefined ? '' : shown(check.minutes_available);
    this.note = check.note ?? '';
    this.before = this.lists();
  }

  /** @returns {Record<string, string | number>} */
  lists() {
    return {
      sore_regions: [...this.sore].map(([region, level]) => `${region}:${level}`).join(' '),
      pain: this.pain.map((p) => `${p.site}:${p.level}:${p.kind}`).join(' '),
      symptoms: [...this.symptoms].join(' '),
      minutes_available: readNumber(this.minutes) ?? this.minutes,
      note: this.note,
    };
  }

  /** What differs from before; "cannot say" is an empty text, which the service keeps as blank. */
  differing() {
    return [...[...this.values].map(([item, value]) => [item, value ?? '']), ...Object.entries(this.lists()).filter(([item, value]) => value !== this.before[item])];
  }

  /** The body of the request: what was not touched stays as it was entered, or is as usual. @returns {Record<string, unknown>} */
  body() {
    return { date: day(), ...(this.usual ? { usual: true } : {}), ...Object.fromEntries(this.differing()) };
  }
}

/** @param {string} name @param {string} label @param {string} value @param {boolean} on @param {() => void} chosen */
function choice(name, label, value, on, chosen) {
  return h('label', {}, h('input', { type: 'radio', name, value, checked: on, onchange: chosen }), h('span', {}, label));
}

/** "usual 5", or "entered 6" once there is a check: leaves the item as it is. @param {Answers} answers @param {string} column @param {Morning} morning */
function asItIs(answers, column, morning) {
  const entered = morning.check?.[column] ?? null;
  const known = morning.usual[column];
  const words = entered !== null ? `entered ${shown(entered, 1)}` : known === undefined || morning.check ? 'not said' : `usual ${shown(known, 1)}`;
  return choice(column, words, 'usual', true, () => { answers.values.delete(column); answers.changed(); });
}

/** @param {Answers} answers @param {string} column */
function cannotSay(answers, column) {
  return choice(column, 'can\u2019t say', 'blank', false, () => { answers.values.set(column, null); answers.changed(); });
}

/** @param {Answers} answers @param {Morning} morning @param {[string, string, string, string]} item */
function scale(answers, morning, [column, name, low, high]) {
  const cells = Array.from({ length: 7 }, (_, i) => choice(column, String(i + 1), String(i + 1), false, () => { answers.values.set(column, i + 1); answers.changed(); }));
  return h('fieldset', { class: 'scale' }, h('legend', {}, name), asItIs(answers, column, morning), cannotSay(answers, column), h('div', { class: 'cells' }, ...cells),
    h('p', { class: 'ends dim' }, h('span', {}, `1 ${low}`), h('span', {}, `7 ${high}`)));
}

/** Hours slept: in half hours by thumb, or typed. @param {Answers} answers @param {Morning} morning */
function sleep(answers, morning) {
  const known = morning.check?.sleep_hours ?? morning.usual.sleep_hours;
  const input = /** @type {HTMLInputElement} */ (h('input', { id: 'sleep', class: 'number', inputmode: 'decimal', autocomplete: 'off',
    placeholder: known === undefined ? '' : shown(known, 1), oninput: () => read() }));
  const wrong = h('span', { class: 'problem', hidden: true }, 'hours from 0 to 24');
  const none = asItIs(answers, 'sleep_hours', morning);
  const blank = cannotSay(answers, 'sleep_hours');
  const box = h('fieldset', { class: 'scale' }, h('legend', {}, 'Sleep'), none, blank);
  const radios = [...box.querySelectorAll('input')];
  const read = () => {
    const value = readNumber(input.value);
    const typed = input.value.trim() !== '';
    wrong.hidden = !typed || (value !== null && value <= 24);
    radios.forEach((radio) => { radio.checked = !typed && radio.value === 'usual'; });
    if (typed) answers.values.set('sleep_hours', wrong.hidden ? value : NaN);
    else answers.values.delete('sleep_hours');
    answers.changed();
  };
  const step = (/** @type {number} */ by) => () => {
    const from = readNumber(input.value) ?? (known === undefined ? 7.5 : Math.round(known * 2) / 2);
    input.value = shown(Math.min(Math.max(from + by, 0), 24));
    read();
  };
  radios.forEach((radio) => radio.addEventListener('change', () => { input.value = ''; wrong.hidden = true; }));
  box.append(h('div', { class: 'step' }, h('button', { type: 'button', 'aria-label': 'half an hour less', onclick: step(-0.5) }, '\u2212'),
    h('label', { for: 'sleep', class: 'unseen' }, 'hours slept'), input, h('button', { type: 'button', 'aria-label': 'half an hour more', onclick: step(0.5) }, '+'), 'h', wrong));
  return box;
}

/** What stands behind the name of a closed part of the form. @param {HTMLElement} fold @param {string} name @param {string} held */
function say(fold, name, held) {
  need(fold, 'summary', HTMLElement).replaceChildren(name, h('span', { class: 'dim' }, held ? ` ${held}` : ''));
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
  const fold = h('details', { class: 'fold' }, h('summary', {}), h('div', { class: 'two' }, list, outline.element));
  const held = () => say(fold, 'Sore spots', [...answers.sore].map(([region, level]) => `${spoken(region)} ${level}`).join(', '));
  const draw = () => {
    held();
    answers.changed();
    outline.show(new Set(answers.sore.keys()));
    list.replaceChildren(...regions.map((region) => {
      const level = answers.sore.get(region);
      const row = h('div', { class: 'row', 'data-region': region },
        h('button', { type: 'button', 'aria-pressed': String(level !== undefined), onclick: () => toggle(region) }, spoken(region)));
      if (level !== undefined) {
        const select = h('select', { 'aria-label': `how sore, ${spoken(region)}`, onchange: (e) => { answers.sore.set(region, Number(/** @type {HTMLSelectElement} */ (e.target).value)); held(); } });
        for (let v = 1; v <= 7; ++v) select.append(h('option', { value: String(v), selected: v === level }, `${v} of 7`));
        row.append(select);
      }
      return row;
    }));
  };
  draw();
  return fold;
}

/** @param {Answers} answers */
function pains(answers) {
  const list = h('div', {});
  const fold = h('details', { class: 'fold' }, h('summary', {}), list,
    h('button', { type: 'button', onclick: () => { answers.pain.push({ site: 'knee-right', level: 3, kind: 'dull' }); draw(); } }, 'add a pain'));
  const held = () => {
    say(fold, 'Pain', answers.pain.map((p) => `${spoken(p.site)} ${p.level} of 10, ${p.kind}`).join('; '));
    answers.changed();
  };
  const option = (/** @type {string} */ value, /** @type {string} */ text) => h('option', { value }, text);
  const draw = () => {
    list.replaceChildren(...answers.pain.map((pain, i) => {
      const [site, side] = pain.site.endsWith('-left') ? [pain.site.slice(0, -5), 'left'] : pain.site.endsWith('-right') ? [pain.site.slice(0, -6), 'right'] : [pain.site, ''];
      const select = (/** @type {string} */ label, /** @type {string} */ value, /** @type {[string, string][]} */ all, /** @type {(v: string) => void} */ set) => {
        const element = /** @type {HTMLSelectElement} */ (h('select', { id: `${label.replace(' ', '-')}-${i}`, onchange: () => { set(element.value); held(); } }, ...all.map(([v, t]) => option(v, t))));
        element.value = value;
        return h('div', {}, h('label', { for: element.id }, label), h('br'), element);
      };
      let [where, which] = [site, side];
      const place = () => { pain.site = which ? `${where}-${which}` : where; };
      return h('div', { class: 'grid' },
        select('where', site, [...new Set([site, ...sites])].map((v) => [v, spoken(v)]), (v) => { where = v; place(); }),
        select('side', side, [['', 'middle or both'], ['left', 'left'], ['right', 'right']], (v) => { which = v; place(); }),
        select('kind', pain.kind, kinds.map((v) => [v, v]), (v) => { pain.kind = v; }),
        select('how much', String(pain.level), Array.from({ length: 11 }, (_, v) => [String(v), v === 0 ? '0, gone' : `${v} of 10`]), (v) => { pain.level = Number(v); }),
        h('button', { type: 'button', onclick: () => { answers.pain.splice(i, 1); draw(); } }, 'remove'));
    }));
    held();
  };
  draw();
  return fold;
}

/** @param {Answers} answers */
function signs(answers) {
  const words = new Map(symptoms);
  const held = () => say(fold, 'Unwell, or a warning sign?', [...answers.symptoms].map((code) => words.get(code)).join(', ') || 'chest, breath, fainting, numbness, fever, cold');
  const ticks = symptoms.map(([code, text]) => h('label', {}, h('input', { type: 'checkbox', value: code, checked: answers.symptoms.has(code), onchange: (e) => {
    if (/** @type {HTMLInputElement} */ (e.target).checked) answers.symptoms.add(code);
    else answers.symptoms.delete(code);
    held();
    answers.changed();
  } }), text));
  const fold = h('details', { class: 'fold' }, h('summary', {}), h('div', { class: 'ticks' }, ...ticks));
  held();
  return fold;
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
    h('div', { class: 'row even' }, h('button', { type: 'button', onclick: tellDone('done') }, 'Done as planned'),
      h('button', { type: 'button', onclick: tellDone('missed') }, 'Did not train')));
  return box;
}

/** An entry held aside until somebody answers. @param {string} athlete @param {any} asked @param {() => Promise<void>} again */
export function question(athlete, asked, again) {
  const box = h('section', { class: 'decision' });
  const send = (/** @type {Record<string, unknown>} */ answer) => async () => {
    const outcome = await post(of(athlete, 'answers'), { id: asked.id, ...answer });
    if (outcome.state === 'refused') box.append(problem(outcome.why));
    else if (outcome.state === 'waiting') tell('Kept on this device; it is sent when there is a connection.');
    else await again();
  };
  const way = (/** @type {string} */ answer, /** @type {string} */ text) => h('button', { type: 'button', onclick: send({ answer }) }, text);
  const buttons = asked.doubt === 'second-session' ? [way('keep', 'A second session'), way('fix', 'A correction'), way('drop', 'Leave it out')] : [way('keep', 'It is right'), way('drop', 'Leave it out')];
  box.append(h('p', {}, asked.say));
  localise(box);
  const field = asked.fields.length === 1 ? asked.fields[0] : '';
  if (typeof asked.rows[0]?.[field] === 'number') {
    const id = `question-${asked.id}`;
    const input = /** @type {HTMLInputElement} */ (h('input', { id, class: 'number', inputmode: 'decimal', autocomplete: 'off' }));
    const correct = async () => {
      const value = readNumber(input.value);
      if (value === null) input.focus();
      else await send({ answer: 'fix', columns: { [field]: value } })();
    };
    box.append(h('div', { class: 'row' }, h('div', {}, h('label', { for: id }, `${field.replaceAll('_', ' ')}${field === 'weight' ? `, ${asked.rows[0].unit ?? 'kg'}` : ''}`), h('br'), input),
      h('button', { type: 'button', onclick: correct }, 'Correct it')));
  }
  box.append(h('div', { class: 'row even' }, ...buttons));
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
  const answers = new Answers(morning);
  const call = h('section', { 'aria-label': 'Today\u2019s call' });
  const form = h('div', {});
  const send = async (/** @type {Event} */ event) => {
    const button = /** @type {HTMLButtonElement} */ (event.currentTarget);
    if ([...answers.values.values()].some((v) => Number.isNaN(v)) || (answers.minutes && readNumber(answers.minutes) === null)) {
      tell('A number cannot be read; please look again.');
      return;
    }
    button.disabled = true;
    const outcome = await post(of(athlete, 'checks'), answers.body());
    button.disabled = false;
    if (outcome.state === 'refused') {
      form.prepend(problem(outcome.why));
    } else if (outcome.state === 'waiting') {
      tell('Kept on this device; it is sent when there is a connection.');
      form.replaceChildren();
    } else {
      await checkView(athlete, view);
      view.focus();
    }
  };
  const known = Object.keys(morning.usual).length > 0;
  const main = h('button', { class: 'main', onclick: send });
  const untouched = known && !morning.check ? 'All as usual' : 'Send';
  const touched = morning.check ? 'Send, the rest as entered' : known ? 'Send, the rest as usual' : 'Send';
  answers.changed = () => {
    const differs = answers.differing().length > 0;
    main.textContent = differs ? touched : untouched;
    main.toggleAttribute('disabled', !differs && morning.check);
  };
  const gaps = morning.unentered.map((/** @type {any} */ past) => unentered(athlete, past, h('div', {})));
  const newest = gaps.pop();
  if (newest) form.append(newest);
  if (gaps.length > 0) form.append(h('details', { class: 'fold' }, h('summary', {}, `${gaps.length} more without an entry`), ...gaps.reverse()));
  form.append(
    h('p', {}, morning.check ? 'Touch only what has changed.' : known ? 'Touch only what differs from your usual.' : 'Your usual mornings are not known yet; after ten checks one tap is enough.'),
    signs(answers), pains(answers), sleep(answers, morning), ...items.map((item) => scale(answers, morning, item)), soreSpots(answers),
    h('div', { class: 'field' }, h('label', { for: 'minutes' }, 'Minutes today, if fewer than planned'),
      h('input', { id: 'minutes', class: 'number', inputmode: 'numeric', autocomplete: 'off', value: answers.minutes, oninput: (e) => { answers.minutes = /** @type {HTMLInputElement} */ (e.target).value.trim(); answers.changed(); } })),
    h('div', { class: 'field' }, h('label', { for: 'note' }, 'Anything else'),
      h('textarea', { id: 'note', rows: '2', oninput: (e) => { answers.note = /** @type {HTMLTextAreaElement} */ (e.target).value.trim(); answers.changed(); } }, answers.note)),
    h('div', { class: 'act' }, main));
  answers.changed();
  view.replaceChildren(h('h1', {}, 'Morning check'), h('p', { class: 'dim' }, spokenDay(day())), call, form);
  if (morning.check) {
    form.replaceChildren(h('details', { class: 'fold' }, h('summary', {}, 'Change or add to this morning\u2019s check'), ...form.childNodes));
    const today = await showCall(athlete, call);
    if (today && isStopped(today)) form.replaceChildren();
    else if (today?.questions.length > 0) {
      call.after(h('section', {}, h('h2', {}, 'Please look at these entries'), ...today.questions.map((/** @type {any} */ asked) => question(athlete, asked, () => checkView(athlete, view)))));
    }
  } else {
    void openStop(athlete, call, form);
  }
}

/** A stop of an earlier day stands before anything is asked. @param {string} athlete @param {HTMLElement} call @param {HTMLElement} form */
async function openStop(athlete, call, form) {
  const today = await json(of(athlete, `today?date=${day()}`)).catch(() => null);
  if (!today || !isStopped(today) || !form.isConnected) return;
  form.replaceChildren();
  await showCall(athlete, call);
}
