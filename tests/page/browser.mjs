// What people see and touch, in a real browser at phone size. Sources: WCAG 2.2 AA as axe-core checks it; the limits of
// weight (150 kB), time (1 s at a quarter of the speed) and width (320 px, 360 px with 40 lifters) are the project's own.
// usage: node browser.mjs PROGRAM SOURCE PICTURES
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
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

/** axe, no sideways scrolling, a picture. */
async function look(page, name) {
  await page.waitForLoadState('networkidle');
  await page.evaluate(axe);
  const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
  assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html).slice(0, 3).join(' | ')}`), [], `axe on ${name}`);
  const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(wide <= room, `${name} scrolls sideways: ${wide} of ${room}`);
  await page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
}

const tests = {
  async 'one tap when all is as usual, and the terminal\'s sentence'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc01', 'check');
    await look(page, 'check');
    await page.click('text=All as usual');
    const lead = await page.textContent('.lead');
    const plain = (text) => text.replace(/\s+/g, ' ').trim();
    const terminal = plain(run('today', '--athlete', 'hc01', '--date', k_day));
    assert.ok(terminal.startsWith(plain(lead)), `${lead} / ${terminal.slice(0, 200)}`);
    await look(page, 'called');
    const row = exported('hc01')('checks').filter((line) => line.includes(k_day));
    assert.equal(row.length, 1);
    await context.close();
  },

  async 'cannot say stays blank'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc02', 'check');
    await page.check('input[name=mood][value=blank]', { force: true });
    await page.check('input[name=fatigue][value="6"]', { force: true });
    await page.click('text=Send');
    await page.waitForSelector('.lead');
    const checks = exported('hc02')('checks');
    const columns = checks[0].split(',');
    const row = checks.find((line) => line.includes(k_day)).split(',');
    const cell = (name) => row[columns.indexOf(name)];
    assert.equal(cell('mood'), '');
    assert.equal(cell('fatigue'), '6');
    assert.notEqual(cell('sleep_quality'), '');
    await context.close();
  },

  async 'a stop has two exits and nothing to train with'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc04', 'check');
    await page.click('summary:text("Anything of this today?")');
    await page.check('text=Pressure or tightness in the chest');
    await page.click('text=Send');
    await page.waitForSelector('.stop');
    await look(page, 'stop');
    assert.deepEqual(await page.locator('#view button').allTextContents(), ['I have been seen and cleared', 'This was a mistake']);
    const words = await page.textContent('#view');
    assert.doesNotMatch(words, /anyway|warm-up|per side|\d kg/);
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
    await second.waitForSelector('form');
    await context.setOffline(true);
    await first.reload();
    await first.fill('#session-rpe', '7');
    await first.fill('#minutes', '61');
    await first.click('text=Store the session');
    await first.waitForFunction(() => /Kept on this device|wait/.test(document.querySelector('#news').textContent));
    await second.fill('[id^=speed]', '0.81');
    await second.click('form:has([id^=speed]) button');
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
    assert.equal(rows('bar').filter((line) => line.includes('2026-11-25')).length, 1);
    await context.close();
  },

  async 'the second decision at the bar'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc05', 'bar', '2026-11-23');
    await page.fill('#rpe-squat', '7');
    await page.press('#rpe-squat', 'Enter');
    await page.waitForSelector('text=take 5 % off');
    await look(page, 'bar');
    await context.close();
  },

  async 'by keyboard alone'() {
    const context = await browser.newContext(k_phone);
    const page = await open(context, 'hc08', 'check');
    for (let i = 0; i < 12; ++i) {
      await page.keyboard.press('Tab');
      if ((await page.evaluate(() => document.activeElement.textContent)) === 'All as usual') break;
    }
    await page.keyboard.press('Enter');
    await page.waitForSelector('.lead');
    await page.goto(`${base}/?date=${k_day}#me`);
    await page.waitForSelector('.uplot');
    await page.waitForFunction(() => document.querySelectorAll('.chart canvas').length >= 9);
    // Every chart shows lines or dots in the colour of the text, also those drawn after the library was there.
    const inked = await page.$$eval('.chart canvas', (all) => all.map((canvas) => {
      const { data } = canvas.getContext('2d').getImageData(70, 20, canvas.width - 90, canvas.height - 80);
      let n = 0;
      for (let i = 0; i < data.length; i += 4) n += data[i] === 0x1b && data[i + 1] === 0x1a && data[i + 3] === 255 ? 1 : 0;
      return n;
    }));
    assert.ok(inked.every((n) => n > 40), `ink in the charts: ${inked}`);
    const box = page.locator('.chart').first();
    await box.focus();
    await page.keyboard.press('End');
    await page.keyboard.press('ArrowLeft');
    assert.match(await page.locator('.reading').first().textContent(), /2026-11-23/);
    await look(page, 'me');
    await context.close();
  },

  async 'the coach\'s week: decided and remembered'() {
    const context = await browser.newContext({ ...k_phone, colorScheme: 'dark' });
    const page = await open(context, '', 'week', '2026-11-22');
    await page.waitForSelector('.squad');
    await page.fill('#note-hc09', 'talk on Monday');
    await page.click('[aria-label="Decision on hc09"] button:text("change")');
    await page.waitForSelector('text=hc09: change is kept.');
    await page.reload();
    await page.waitForSelector('[aria-label="Decision on hc09"] button[aria-pressed=true]:text("change")');
    assert.equal(await page.inputValue('#note-hc09'), 'talk on Monday');
    await page.waitForSelector('.squad');
    await look(page, 'week');
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

  async 'light enough and quick enough'() {
    for (const [hash, mark] of [['check', 'h1'], ['me', '.uplot']]) {
      const context = await browser.newContext({ ...k_phone, serviceWorkers: 'block' });
      let bytes = 0;
      const page = await context.newPage();
      await context.addInitScript(() => localStorage.setItem('athlete', 'hc06'));
      const bodies = [];
      page.on('response', (r) => { if (!new URL(r.url()).pathname.startsWith('/v1/')) bodies.push(r.body().then((b) => { bytes += b.length; })); });
      await page.goto(`${base}/?date=${k_day}#${hash}`);
      await page.waitForSelector(mark);
      await page.waitForLoadState('networkidle');
      await Promise.all(bodies);
      console.log(`  ${hash}: ${Math.round(bytes / 1000)} kB`);
      assert.ok(bytes < 150_000, `${hash} weighs ${bytes} bytes`);
      await context.close();
    }
    const times = [];  // the best of up to twelve: other work on the machine slows single ones down
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
    assert.ok(Math.min(...times) < 1000, `first view after ${times} ms`);
  },

  async 'reports are valid HTML and fit a phone'() {
    const validator = new HtmlValidate({ extends: ['html-validate:standard'], rules: { 'no-inline-style': 'off', 'long-title': 'off', 'no-redundant-role': 'off' } });
    const context = await browser.newContext(k_phone);
    for (const [name, words] of [['lifter', ['--athlete', 'hc05']], ['squad', ['--all']], ['wall', ['--all', '--week-sheet']]]) {
      const html = run('report', ...words, '--date', '2026-11-23');
      const report = await validator.validateString(html);
      assert.deepEqual(report.results.flatMap((r) => r.messages.map((m) => `${m.line}:${m.column} ${m.ruleId} ${m.message}`)).slice(0, 5), [], name);
      const file = join(pictures, `report-${name}.html`);
      writeFileSync(file, html);
      const page = await context.newPage();
      await page.goto(`file://${file}`);
      await look(page, `report-${name}`);
      await page.pdf({ path: join(pictures, `report-${name}.pdf`), preferCSSPageSize: true });
      await page.close();
    }
    await context.close();
  },

  async 'forty lifters at 360 px'() {
    const names = Array.from({ length: 40 }, (_, i) => `long-code-of-lifter-${i}`);
    const file = join(tmpdir(), `steelyard-forty-${process.pid}.csv`);
    writeFileSync(file, `athlete,group\n${names.map((n) => `${n},forty`).join('\n')}\n`);
    run('ingest', file);
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
    assert.deepEqual(await page.locator('nav a').allTextContents(), ['Morning', 'At the bar', 'Session', 'Charts', 'Settings']);
    await page.click('nav a:text("Session")');
    await page.waitForSelector('#session-rpe');
    await page.evaluate(() => navigator.serviceWorker.ready);
    await context.setOffline(true);
    await page.fill('#minutes', '45');
    await page.click('text=Store the session');
    await page.waitForFunction(() => document.querySelector('#news').textContent !== '');
    await page.click('nav a:text("Settings")');
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

let failed = 0;
for (const [name, test] of Object.entries(tests)) {
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
