// What people see and touch, in a real browser at phone size. Sources: WCAG 2.2 AA as axe-core checks it; the limits of
// weight (150 kB), time (1 s at a quarter of the speed) and width (320 px, 360 px with 40 lifters) are the project's own.
// usage: node browser.mjs PROGRAM SOURCE PICTURES
import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { HtmlValidate, axe, exported, launch, pictures, run, serve, source } from './service.mjs';

const k_day = '2026-11-24';
const k_phone = { viewport: { width: 320, height: 640 }, reducedMotion: 'reduce' };

run('ingest', join(source, 'sample-logs'), '--quiet');
const { base, stop } = await serve();
const browser = await launch();
/** Errors of the page's own, a broken security policy among them; answers of 4xx are told by the page itself. */
const complaints = [];
const watch = (page) => {
  page.on('console', (m) => { if (m.type() === 'error' && !/Failed to load resource/.test(m.text())) complaints.push(m.text()); });
  page.on('pageerror', (e) => complaints.push(e.message));
};

async function open(context, athlete, hash, day = k_day) {
  const page = await context.newPage();
  watch(page);
  await context.addInitScript((code) => { if (code) localStorage.setItem('athlete', code); }, athlete);
  await page.goto(`${base}/?date=${day}#${hash}`);
  await page.waitForSelector('#view[data-page]');
  return page;
}

const validator = new HtmlValidate({ extends: ['html-validate:standard'],
  rules: { 'no-inline-style': 'off', 'long-title': 'off', 'no-redundant-role': 'off', 'svg-focusable': 'off' } });

/** Messages of a general validator about a piece of HTML or a whole page. @param {string} html */
async function faults(html) {
  const report = await validator.validateString(html);
  return report.results.flatMap((r) => r.messages.map((m) => `${m.line}:${m.column} ${m.ruleId} ${m.message}`)).slice(0, 5);
}

/** In light and in dark: axe and a picture. Once: no sideways scrolling, valid HTML. */
async function look(page, name) {
  await page.waitForLoadState('networkidle');
  await page.evaluate(axe);
  const room = page.viewportSize();
  // As high as the page: what a bar at the edge covers can be scrolled free, and axe does not scroll.
  await page.setViewportSize({ width: room.width, height: Math.max(room.height, await page.evaluate(() => document.documentElement.scrollHeight)) });
  const usual = await page.evaluate(() => (matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light'));
  for (const scheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme: scheme });
    const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
    assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html).slice(0, 3).join(' | ')}`), [], `axe on ${name}, ${scheme}`);
    await page.screenshot({ path: join(pictures, `${name}${scheme === usual ? '' : `-${scheme}`}.png`), fullPage: true });
  }
  await page.emulateMedia({ colorScheme: usual });
  await page.setViewportSize(room);
  await page.screenshot({ path: join(pictures, `${name}-first.png`) });
  const [wide, wanted] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(wide <= wanted, `${name} scrolls sideways: ${wide} of ${wanted}`);
  assert.deepEqual(await faults(await page.evaluate(() => document.querySelector('main').outerHTML)), [], `HTML of ${name}`);
}

/** What the day's check is stored as, column by column. @param {string} athlete @param {string} day */
function stored(athlete, day = k_day) {
  const checks = exported(athlete)('checks');
  const columns = checks[0].split(',');
  const rows = checks.filter((line) => line.includes(day));
  assert.equal(rows.length, 1);
  return (/** @type {string} */ name) => rows[0].split(',')[columns.indexOf(name)];
}

const tests = {
  async 'one tap when all is as usual, and the terminal\'s sentence'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc01', 'check');
    await look(page, 'check');
    await page.click('text=All as usual');
    const lead = await page.textContent('.lead');
    const plain = (text) => text.replaceAll('\u00d7', 'x').replace(/\s+/g, ' ').trim();
    const terminal = plain(run('today', '--athlete', 'hc01', '--date', k_day));
    assert.ok(terminal.startsWith(plain(lead)), `${lead} / ${terminal.slice(0, 200)}`);
    await look(page, 'called');
    assert.equal(stored('hc01')('mood'), '5');
    await context.close();
  },

  async 'cannot say stays blank'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc02', 'check');
    assert.match(await page.locator('fieldset:has(legend:text("Mood"))').textContent(), /usual \d/);
    await page.check('input[name=mood][value=blank]', { force: true });
    await page.check('input[name=fatigue][value="6"]', { force: true });
    await page.click('text=Send, the rest as usual');
    await page.waitForSelector('.lead');
    await page.waitForSelector('summary:text("Change or add")', { state: 'attached' });
    const cell = stored('hc02');
    assert.equal(cell('mood'), '');
    assert.equal(cell('fatigue'), '6');
    assert.notEqual(cell('sleep_quality'), '');
    // A pain that comes later joins what was entered; the blank stays blank.
    await page.click('summary:text("Change or add")');
    assert.match(await page.locator('fieldset:has(legend:text("Fatigue"))').textContent(), /entered 6/);
    await page.click('summary:text("Pain")');
    await page.click('text=add a pain');
    await page.click('text=Send, the rest as entered');
    await page.waitForFunction(() => !document.querySelector('details[open]'));
    const later = stored('hc02');
    assert.deepEqual(['mood', 'fatigue', 'pain'].map(later), ['', '6', 'knee-right:3:dull']);
    await context.close();
  },

  async 'an entry held aside is asked about and answered'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc09', 'check');
    await page.click('text=All as usual');
    await page.waitForSelector('text=Please look at these entries');
    await look(page, 'questions');
    const slip = page.locator('section.decision', { hasText: 'says 190' });
    await slip.locator('input').fill('86.5');
    await slip.locator('button:text("Correct it")').click();
    await slip.waitFor({ state: 'detached' });
    await page.click('section.decision:has-text("Sleep on") >> text=Leave it out');
    await page.waitForSelector('text=Please look at these entries', { state: 'detached' });
    assert.ok(exported('hc09')('sets').some((line) => line.includes('2026-11-14') && line.includes('86.5')));
    await context.close();
  },

  async 'sore spots on the outline, pain with site, kind and level, half hours of sleep'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc07', 'check');
    await page.click('summary:text("Sore spots")');
    await page.locator('.outline .spot').nth(1).click();  // the shoulders, which come after the neck
    assert.equal(await page.getAttribute('[data-region=shoulders] button', 'aria-pressed'), 'true');
    await page.selectOption('[data-region=shoulders] select', '5');
    await page.click('[data-region=calves] button');
    await page.click('summary:text("Pain")');
    await page.click('text=add a pain');
    await page.selectOption('#where-0', 'shoulder');
    await page.selectOption('#side-0', 'left');
    await page.selectOption('#kind-0', 'burning');
    await page.locator('#how-much-0').selectOption('4');
    await page.click('[aria-label="half an hour less"]');
    await look(page, 'deviations');
    const hours = Number(await page.inputValue('#sleep'));
    await page.click('text=Send, the rest as usual');
    await page.waitForSelector('.lead');
    const cell = stored('hc07');
    assert.equal(cell('sore_regions'), 'shoulders:5 calves:4');
    assert.equal(cell('pain'), 'shoulder-left:4:burning');
    assert.equal(Number(cell('sleep_hours')), hours);
    assert.ok(Number.isInteger(hours * 2));
    await context.close();
  },

  async 'a stop has two exits and nothing to train with'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc04', 'check');
    await page.click('summary:text("Unwell, or a warning sign?")');
    await page.check('text=Pressure or tightness in the chest');
    await page.click('text=Send');
    await page.waitForSelector('.stop');
    await look(page, 'stop');
    assert.deepEqual(await page.locator('#view button').allTextContents(), ['I have been seen and cleared', 'This was a mistake']);
    const words = await page.textContent('#view');
    assert.doesNotMatch(words, /anyway|warm-up|per side|\d kg/);
    await page.reload();  // it stands, with nothing beside it
    await page.waitForSelector('.stop');
    assert.equal(await page.locator('#view button, #view summary').count(), 2);
    await page.goto(`${base}/?date=2026-11-25#check`);  // the next morning as well
    await page.waitForSelector('.stop');
    await page.waitForFunction(() => document.querySelectorAll('#view button').length === 2);
    await page.goto(`${base}/?date=${k_day}#check`);
    await page.waitForSelector('.stop');
    await page.click('button:text("This was a mistake")');
    await page.waitForSelector('.stop', { state: 'detached', timeout: 5000 }).catch(async () => assert.fail(await page.textContent('#view')));
    await context.close();
  },

  async 'kept without a connection, two tabs, each entry stored once'() {
    const context = await browser.newContext(k_phone);
    const first = await open(context, 'hc05', 'log');
    await first.evaluate(() => navigator.serviceWorker.ready);
    await first.reload();  // now through the service worker, which keeps the answers
    const second = await open(context, 'hc05', 'bar', '2026-11-25');
    await second.waitForSelector('.cells');
    await context.setOffline(true);
    await first.reload();
    await first.fill('#session-rpe', '7');
    await first.fill('#minutes', '61');
    await first.click('text=Store the session');
    await first.waitForFunction(() => /Kept on this device|wait/.test(document.querySelector('#news').textContent));
    await second.locator('summary:text("Or its speed")').first().click();
    await second.locator('[id^=speed]').first().fill('0.81');
    await second.locator('form:has([id^=speed]) button').first().click();
    await second.waitForFunction(() => /Kept on this device|wait/.test(document.querySelector('#news').textContent));
    await look(first, 'offline');
    // The first answer is lost on its way: the entry is sent again with the same key.
    let lost = 0;
    let replayed = '';
    await context.route('**/sessions', async (route) => {
      const response = await route.fetch();
      if (lost++ === 0) return route.abort();
      replayed = response.headers()['idempotency-replayed'];
      return route.fulfill({ response });
    });
    await context.setOffline(false);
    const empty = () => first.evaluate(async () => (await (await import('/queue.js')).waiting()).length);
    for (let i = 0; i < 50 && (await empty()) > 0; ++i) {
      await first.evaluate(async () => { await (await import('/queue.js')).flush(); });
      await second.evaluate(async () => { await (await import('/queue.js')).flush(); });
    }
    assert.equal(await empty(), 0);
    assert.equal(replayed, 'true');
    const rows = exported('hc05');
    assert.equal(rows('sessions').filter((line) => line.includes(k_day) && line.includes(',61,7')).length, 1);
    assert.equal(rows('bar').filter((line) => line.includes('2026-11-25') && line.includes(',60,')).length, 1);  // at the percent of earlier readings
    await context.close();
  },

  async 'after an entry no call from before it is kept'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc01', 'check', '2026-11-25');
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.reload();
    await page.click('text=All as usual');
    await page.waitForSelector('.lead');
    await page.reload();
    await page.waitForSelector('.lead');
    const kept = () => page.evaluate(async () => (await (await caches.open('steelyard-1')).keys()).filter((r) => new URL(r.url).pathname.startsWith('/v1/athletes/')).length);
    for (let i = 0; i < 50 && await kept() === 0; ++i) await page.waitForTimeout(20);
    assert.ok(await kept() > 0);
    await page.click('summary:text("Change or add")');
    await page.click('summary:text("Pain")');
    await page.click('text=add a pain');
    await context.setOffline(true);
    await page.click('text=Send, the rest as entered');
    await page.waitForFunction(() => /Kept on this device|wait/.test(document.querySelector('#news').textContent));
    assert.equal(await kept(), 0);
    await context.setOffline(false);
    await page.evaluate(async () => { await (await import('/queue.js')).flush(); });
    await page.reload();
    await page.waitForSelector('.lead');
    assert.match(await page.textContent('#view'), /knee/);
    await context.close();
  },

  async 'what was done can be entered when the call cannot be read'() {
    const context = await browser.newContext({ ...k_phone, serviceWorkers: 'block' });
    await context.route('**/today?*', (route) => route.abort());
    const page = await open(context, 'hc02', 'log', '2026-11-26');
    await page.waitForSelector('text=There is no connection');
    await page.fill('#session-rpe', '6');
    await page.fill('#minutes', '47');
    await page.click('text=Store the session');
    await page.waitForSelector('text=session RPE 6');
    assert.ok(exported('hc02')('sessions').some((line) => line.includes('2026-11-26') && line.includes(',47,6')));
    await context.close();
  },

  async 'another session of the day replaces nothing unasked'() {
    const hike = join(tmpdir(), `steelyard-hike-${process.pid}.csv`);
    writeFileSync(hike, `athlete,date,kind,minutes,rpe\nhc02,2026-11-25,other,140,3\n`);
    run('ingest', hike, '--quiet');
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc02', 'log', '2026-11-25');
    await page.click('text=Add other sets');
    const id = await page.locator('[id^=sets-]').count() - 1;
    await page.fill('[aria-label=lift]', 'squat');
    for (const [name, value] of [['sets', '2'], ['reps', '5'], ['weight', '60']]) await page.fill(`#${name}-${id}`, value);
    await page.fill('#session-rpe', '7');
    await page.fill('#minutes', '61');
    await page.click('text=Store the session');
    await page.waitForSelector('text=a second session of the day');
    await look(page, 'second-session');
    const sessions = () => exported('hc02')('sessions').filter((line) => line.includes('2026-11-25'));
    assert.ok(sessions().some((line) => line.includes(',140,3')), sessions().join('\n'));
    await page.click('button:text("A second session")');
    await page.waitForSelector('button:text("A second session")', { state: 'detached' });
    assert.ok(sessions().some((line) => line.includes(',1,') && line.includes(',140,3')), sessions().join('\n'));
    assert.ok(sessions().some((line) => line.includes(',2,') && line.includes(',61,7')), sessions().join('\n'));
    const sets = exported('hc02')('sets').filter((line) => line.includes('2026-11-25'));
    assert.ok(sets.length > 0 && sets.every((line) => line.startsWith('hc02,2026-11-25,2,')), sets.join('\n'));
    await context.close();
  },

  async 'the second decision at the bar'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc05', 'bar', '2026-11-23');
    await page.locator('[aria-label="RPE 7"]').first().click();
    await page.waitForSelector('text=take 5 % off');
    const kilos = /, ([\d.]+)\skg\./.exec(await page.textContent('.lead:has-text("take 5 % off")'))[1];
    await look(page, 'bar');
    await page.goto(`${base}/?date=2026-11-23#log`);
    await page.waitForSelector('#session-rpe');
    assert.equal(await page.inputValue('#weight-0'), kilos);  // the log begins with what the bar decided
    await look(page, 'log');
    await page.click('text=Add other sets');
    await page.fill('[aria-label=lift]', 'Front squat');
    for (const [id, value] of [['sets-2', '2'], ['reps-2', '6'], ['weight-2', '70'], ['session-rpe', '6'], ['minutes', '55']]) await page.fill(`#${id}`, value);
    await page.click('text=Store the session');
    await page.waitForSelector('text=front squat 2 \u00d7 6 at 70 kg');
    const sets = exported('hc05')('sets').filter((line) => line.includes('2026-11-23'));
    assert.ok(sets.some((line) => line.includes(`squat,`) && line.includes(kilos)), sets.join('\n'));
    assert.ok(sets.some((line) => line.includes('front-squat') && line.includes(',70')), sets.join('\n'));
    await context.close();
  },

  async 'by keyboard alone'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc08', 'check');
    for (let i = 0; i < 80; ++i) {
      await page.keyboard.press('Tab');
      if ((await page.evaluate(() => document.activeElement.textContent)) === 'All as usual') break;
    }
    await page.keyboard.press('Enter');
    await page.waitForSelector('.lead');
    await page.goto(`${base}/?date=${k_day}#me`);
    await page.waitForSelector('details.section');
    for (const title of await page.locator('details.section > summary').all()) {
      await title.focus();
      await page.keyboard.press('Enter');
    }
    await page.waitForFunction(() => document.querySelectorAll('.chart canvas').length >= 9);
    await page.waitForSelector('details.section td:has-text("planned")');
    // Every chart shows lines or dots in the colour of the text, also those drawn after the library was there.
    const inked = await page.$$eval('.chart canvas', (all) => all.map((canvas) => {
      const { data } = canvas.getContext('2d').getImageData(70, 20, canvas.width - 90, canvas.height - 80);
      let n = 0;
      for (let i = 0; i < data.length; i += 4) n += data[i] === 0x1b && data[i + 1] === 0x1a && data[i + 3] === 255 ? 1 : 0;
      return n;
    }));
    assert.ok(inked.every((n) => n > 40), `ink in the charts: ${inked}`);
    const box = page.locator('.chart[aria-label^="Load of each day"]');
    await box.focus();
    await page.keyboard.press('End');
    await page.keyboard.press('ArrowLeft');
    assert.match(await page.locator('.chart[aria-label^="Load of each day"] + .reading').textContent(), /2026-11-23/);
    // Behind each chart stands a table with as many rows as it has days.
    const rows = await page.$$eval('figure:has(.chart)', (all) => all.map((f) => f.querySelectorAll('tbody tr').length));
    assert.ok(rows.every((n) => n > 0) && rows.length === inked.length, `rows behind the charts: ${rows}`);
    await look(page, 'me');
    await context.close();
  },

  async 'the coach\'s week: decided and remembered'() {
    const context = await browser.newContext({ ...k_phone, colorScheme: 'dark' });
    const page = await open(context, '', 'week', '2026-11-22');
    await page.waitForSelector('.squad');
    assert.equal(await page.locator('[aria-label="Decision on hc09"] input').isVisible(), false);
    await page.click('[aria-label="Decision on hc09"] button:text("change")');
    await page.waitForSelector('text=hc09: say what instead');
    await page.fill('#note-hc09', 'talk on Monday');
    await page.click('[aria-label="Decision on hc09"] button:text("change")');
    await page.waitForSelector('text=hc09: change is kept.');
    await page.reload();
    await page.waitForSelector('[aria-label="Decision on hc09"] button[aria-pressed=true]:text("change")');
    assert.equal(await page.inputValue('#note-hc09'), 'talk on Monday');
    await page.waitForSelector('.squad');
    await page.waitForSelector('text=1 of 6 decided.');
    await page.waitForSelector('dd:has-text("talk on Monday")');
    await page.click('[aria-label="Decision on hc09"] button:text("accept")');
    await page.waitForSelector('text=hc09: accept is kept.');
    await page.waitForSelector('dd:has-text("talk on Monday")', { state: 'detached' });  // no longer what was decided last
    await page.click('[aria-label="Decision on hc09"] button:text("change")');
    await page.waitForSelector('text=hc09: change is kept.');
    assert.match(await page.textContent('.small[data-athlete=hc07]'), /silent for 14\sdays/);
    await look(page, 'week');
    await page.click('h3 a:text("hc09")');
    await page.waitForSelector('h1:text("hc09")');
    await context.close();
  },

  async 'a week in which nobody needs a look says so'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, '', 'week', '2026-11-01');
    await page.waitForSelector('.lead:text("Nobody needs a look this week.")');
    assert.equal(await page.locator('.decision').count(), 0);
    await look(page, 'nobody');
    await context.close();
  },

  async 'pounds, a decimal comma, settings'() {
    const context = await browser.newContext({ ...k_phone, locale: 'de-DE' });
    const page = await open(context, 'hc03', 'whom');
    await page.selectOption('#units', 'lb');
    await look(page, 'settings');
    await page.goto(`${base}/?date=${k_day}#check`);
    await page.fill('#sleep', '6,5');
    await page.click('text=Send');
    await page.waitForSelector('.lead');
    const words = await page.textContent('#view');
    assert.doesNotMatch(words, /\d\.\d/);
    const checks = exported('hc03')('checks');
    assert.equal(checks.find((line) => line.includes(k_day)).split(',')[checks[0].split(',').indexOf('sleep_hours')], '6.5');
    await context.close();
  },

  async 'the week begins and the clock runs as the reader\'s do; nothing moves for who asked for that'() {
    for (const [locale, first] of [['en-US', 7], ['de-DE', 1]]) {
      const context = await browser.newContext({ ...k_phone, locale });
      const page = await open(context, 'hc01', 'whom');
      const said = await page.evaluate(async () => {
        const { clock, weekStart } = await import('/locale.js');
        return [weekStart(), clock(new Date(2026, 10, 24, 15, 5)), getComputedStyle(document.documentElement).scrollBehavior];
      });
      assert.deepEqual(said, [first, '15:05', 'auto']);
      await context.close();
    }
  },

  // Cases of markup: OWASP, Cross Site Scripting Prevention (from memory).
  async 'what people typed stays text'() {
    const evil = '<img src=x onerror=globalThis.pwned=1><script>globalThis.pwned=1</script>\u003c/svg><svg onload=globalThis.pwned=1>';
    const quoted = `"${evil.replaceAll('"', '""')}"`;
    const files = { athletes: `athlete,name,group\nev01,${quoted},club\n`, maxes: 'athlete,lift,from,training_max\nev01,squat,2026-10-01,100\n',
      plan: `athlete,date,lift,kind,sets,reps,percent,note\nev01,2026-11-24,squat,heavy,3,3,85,${quoted}\nev01,2026-11-26,<b>x</b>,heavy,3,3,85,\n`,
      checks: `athlete,date,soreness,note\nev01,2026-11-24,3,${quoted}\n`, sessions: `athlete,date,minutes,rpe,note\nev01,2026-11-20,60,6,${quoted}\n` };
    for (const [kind, text] of Object.entries(files)) {
      const file = join(tmpdir(), `steelyard-evil-${process.pid}.csv`);
      writeFileSync(file, text);
      try { run('ingest', file, '--quiet'); } catch (error) { if (kind !== 'plan') throw error; }  // a name of a lift may be refused
    }
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'ev01', 'check');
    const inert = async (where) => {
      await page.waitForLoadState('networkidle');
      assert.deepEqual(await page.evaluate(() => [globalThis.pwned ?? 'nothing ran', document.querySelectorAll('img, main script, [onerror], [onload]').length]), ['nothing ran', 0], where);
    };
    for (const hash of ['check', 'bar', 'log', 'me', 'whom', 'week']) {
      await page.goto(`${base}/?date=${k_day}#${hash}`);
      await page.waitForSelector(`#view[data-page=${hash}]`);
      await page.$$eval('details', (all) => all.forEach((fold) => { fold.open = true; }));
      await inert(hash);
    }
    await page.goto(`${base}/?date=2026-11-25#check`);
    await page.fill('#note', evil);
    await page.click('button.main');
    await page.waitForSelector('.lead');
    assert.equal(await page.inputValue('#note'), evil);
    await inert('a note typed here');
    for (const [name, words] of [['report', ['--athlete', 'ev01']], ['squad', ['--all']], ['wall', ['--athlete', 'ev01', '--week-sheet']]]) {
      const file = join(tmpdir(), `steelyard-evil-${process.pid}.html`);
      writeFileSync(file, run('report', ...words, '--date', k_day));
      await page.goto(`file://${file}`);
      await inert(name);
    }
    const policy = (await (await fetch(`${base}/`)).headers.get('content-security-policy')) ?? '';
    assert.match(policy, /default-src 'self'/);
    assert.doesNotMatch(policy, /unsafe-|\*|https?:|data:/);
    await context.close();
  },

  async 'a wide screen shows all parts at once'() {
    const context = await browser.newContext({ ...k_phone, viewport: { width: 1280, height: 800 } });
    const page = await open(context, 'hc02', 'check');
    await look(page, 'wide-check');
    await page.goto(`${base}/?date=2026-11-23#me`);
    await page.waitForFunction(() => document.querySelectorAll('.chart canvas').length >= 9);
    assert.equal(await page.locator('details.section:not([open])').count(), 0);
    await look(page, 'wide-me');
    await page.goto(`${base}/?date=2026-11-22#week`);
    await page.waitForSelector('.squad');
    await look(page, 'wide-week');
    await context.close();
  },

  async 'light enough, and how quick'() {
    for (const [hash, mark] of [['check', 'h1'], ['me', '.uplot']]) {
      const context = await browser.newContext({ ...k_phone, serviceWorkers: 'block' });
      let bytes = 0;
      const page = await context.newPage();
      await context.addInitScript(() => localStorage.setItem('athlete', 'hc06'));
      const bodies = [];
      page.on('response', (r) => { if (!new URL(r.url()).pathname.startsWith('/v1/')) bodies.push(r.body().then((b) => { bytes += b.length; })); });
      await page.goto(`${base}/?date=${k_day}#${hash}`);
      if (hash === 'me') await page.click('summary:has-text("Load")');
      await page.waitForSelector(mark);
      await page.waitForLoadState('networkidle');
      await Promise.all(bodies);
      console.log(`  ${hash}: ${Math.round(bytes / 1000)} kB`);
      assert.ok(bytes < 150_000, `${hash} weighs ${bytes} bytes`);
      await context.close();
    }
    const times = [];  // shown, not asserted: other work on the machine slows it; alone some 0.6 s, the goal is 1 s
    for (let i = 0; i < 12 && !(Math.min(...times) < 1000); ++i) {
      const context = await browser.newContext({ ...k_phone, serviceWorkers: 'block' });
      const page = await context.newPage();
      await context.addInitScript(() => localStorage.setItem('athlete', 'hc06'));
      const session = await context.newCDPSession(page);
      await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
      await page.addInitScript(() => new MutationObserver((_, self) => {
        if (!document.querySelector('button.main')) return;
        self.disconnect();
        requestAnimationFrame(() => { globalThis.seen = performance.now(); });  // since the navigation began
      }).observe(document, { childList: true, subtree: true }));
      await page.goto(`${base}/?date=${k_day}#check`);
      await page.waitForFunction(() => globalThis.seen);
      times.push(Math.round(await page.evaluate(() => globalThis.seen)));
      await context.close();
    }
    console.log(`  first view with a quarter of the speed: ${times.join(', ')} ms`);
  },

  async 'reports are valid HTML and fit a phone'() {
    assert.deepEqual(await faults(await (await fetch(`${base}/`)).text()), [], 'the page itself');
    const context = await browser.newContext(k_phone);
    for (const [name, words] of [['lifter', ['--athlete', 'hc05']], ['squad', ['--all']], ['wall', ['--all', '--week-sheet']]]) {
      const html = run('report', ...words, '--date', '2026-11-23');
      assert.deepEqual(await faults(html), [], name);
      const file = join(pictures, `report-${name}.html`);
      writeFileSync(file, html);
      const page = await context.newPage();
      await page.goto(`file://${file}`);
      await look(page, `report-${name}`);
      if (name === 'wall') {  // Snellen: at two metres ten minutes of arc are 5.8 mm; capitals of DejaVu Sans are 0.73 em
        await page.emulateMedia({ media: 'print' });
        const px = await page.$eval('.weight', (cell) => Number.parseFloat(getComputedStyle(cell).fontSize));
        assert.ok(px * 25.4 / 96 * 0.73 >= 2000 * Math.tan(10 / 60 * Math.PI / 180), `${px} px`);
        assert.ok((await page.locator('td.box').count()) > 20);
      }
      await page.pdf({ path: join(pictures, `report-${name}.pdf`), preferCSSPageSize: true });
      await page.close();
    }
    await context.close();
  },

  async 'forty lifters at 360 px'() {
    // Forty lifters with six weeks of entries: those of the sample club under other codes.
    const names = Array.from({ length: 40 }, (_, i) => `long-code-of-lifter-${i}`);
    const file = join(tmpdir(), `steelyard-forty-${process.pid}.csv`);
    for (const kind of ['athletes', 'maxes', 'plan', 'sessions', 'checks']) {
      const [head, ...lines] = readFileSync(join(source, 'sample-logs', `${kind}.csv`), 'utf8').trim().split('\n');
      const dated = lines.filter((line) => kind === 'athletes' || kind === 'maxes' || line.split(',')[1] >= '2026-10-12');
      writeFileSync(file, [head, ...names.flatMap((n, i) => dated.filter((line) => line.startsWith(`hc0${1 + (i % 9)},`)).map((line) => line.replace(/^hc0\d/, n).replace(',club,', ',forty,')))].join('\n'));
      run('ingest', file, '--quiet');
    }
    const context = await browser.newContext({ ...k_phone, viewport: { width: 360, height: 740 } });
    const page = await open(context, '', 'week', '2026-11-22');
    await page.waitForSelector('.squad');
    assert.ok((await page.locator('.small').count()) >= 40);
    await look(page, 'forty');
    await context.close();
  },

  // The last one: from the first token on nobody is served without one.
  async 'log in with a token; log out only when nothing waits'() {
    const secret = run('token', 'add', '--role', 'lifter', '--athlete', 'hc01').trim();
    const context = await browser.newContext(k_phone);
    const page = await context.newPage();
    watch(page);
    await page.goto(`${base}/?date=${k_day}`);
    await page.waitForSelector('#token');
    await look(page, 'login');
    await page.fill('#token', 'wrong');
    await page.click('button:text("Log in")');
    await page.waitForSelector('.problem');
    await page.fill('#token', secret);
    await page.click('button:text("Log in")');
    await page.waitForSelector('.lead');
    assert.deepEqual(await page.locator('nav a').allTextContents(), ['Morning', 'At the bar', 'Session', 'Charts']);
    await page.click('nav a:text("Session")');
    await page.waitForSelector('#session-rpe');
    await page.evaluate(() => navigator.serviceWorker.ready);
    await context.setOffline(true);
    await page.fill('#minutes', '45');
    await page.click('text=Store the session');
    await page.waitForFunction(() => document.querySelector('#news').textContent !== '');
    await page.click('a:text("Settings")');
    await page.click('text=Log out and forget');
    await page.waitForSelector('text=An entry still waits on this device: log out');
    await context.setOffline(false);
    await page.waitForFunction(async () => (await (await import('/queue.js')).waiting()).length === 0);
    await page.click('text=Log out and forget');
    await page.waitForSelector('#token');
    assert.equal(await page.evaluate(async () => (await caches.keys()).length * localStorage.length), 0);
    await context.close();
  },
};

const only = process.argv[5];  // a part of a name: for work on one test
let failed = 0;
for (const [name, test] of Object.entries(tests).filter(([n]) => !only || n.includes(only))) {
  const begun = Date.now();
  try {
    await test();
    assert.deepEqual(complaints.splice(0), [], 'the page complained');
    console.log(`ok ${name} (${Date.now() - begun} ms)`);
  } catch (error) {
    ++failed;
    console.log(`FAILED ${name}\n${error.stack}`);
  }
}
await browser.close();
stop();
process.exit(failed > 0 ? 1 : 0);
