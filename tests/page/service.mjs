// The program and the browser for the tests of the page: a store of its own, a port of its own.
import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, mkdirSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export const [program, source, pictures] = process.argv.slice(2);
const require = createRequire(join(source, 'src/page/package.json'));
export const { chromium } = require('playwright-core');
export const axe = require('axe-core').source;
export const { HtmlValidate } = require('html-validate');

const folder = mkdtempSync(join(tmpdir(), 'steelyard-page-'));
mkdirSync(pictures, { recursive: true });
const environment = { PATH: process.env.PATH, HOME: folder, LC_ALL: 'C', NO_COLOR: '1', STEELYARD_DATA: join(folder, 'club.db') };

/** Standard output of a command. */
export const run = (...words) => execFileSync(program, words, { env: environment, encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });

/** Rows of a kind of an athlete as they are stored. */
export function exported(athlete) {
  const out = mkdtempSync(join(tmpdir(), 'steelyard-out-'));
  run('export', join(out, 'x'), '--athlete', athlete);
  return (kind) => execFileSync('cat', [join(out, 'x', `${kind}.csv`)], { encoding: 'utf8' }).trim().split('\n');
}

export async function serve() {
  const child = spawn(program, ['serve', '--listen', '127.0.0.1:0'], { env: environment, stdio: ['ignore', 'pipe', 'pipe'] });
  const base = await new Promise((resolve, reject) => {
    let said = '';
    const listen = (data) => {
      said += data;
      const found = /event=listening .*port=(\d+)/.exec(said);
      if (found) resolve(`http://127.0.0.1:${found[1]}`);
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    child.on('exit', () => reject(new Error(said)));
  });
  return { base, stop: () => { child.removeAllListeners('exit'); child.kill('SIGTERM'); rmSync(folder, { recursive: true, force: true }); } };
}

export const launch = () => chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
