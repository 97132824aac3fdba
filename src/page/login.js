/** A token for a cookie. */

import { h, problem } from './dom.js';
import { flush, waiting } from './queue.js';

/** @param {HTMLElement} view @param {() => void} done */
export function loginView(view, done) {
  const token = /** @type {HTMLInputElement} */ (h('input', { id: 'token', type: 'password', autocomplete: 'current-password', required: true }));
  const said = h('div', {});
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const response = await fetch('/v1/login', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ token: token.value.trim() }) });
    if (response.ok) {
      await forgetAnswers();
      done();
    } else said.replaceChildren(problem((await response.json().catch(() => ({}))).detail ?? response.statusText));
  };
  view.replaceChildren(h('h1', {}, 'Log in'), h('p', {}, 'With the token that your coach or you made with \u201csteelyard token add\u201d.'),
    h('form', { onsubmit: send }, h('div', { class: 'field' }, h('label', { for: 'token' }, 'Token'), token), said, h('button', { class: 'main' }, 'Log in')));
}

/** Nothing that was read about one person stays for the next. */
async function forgetAnswers() {
  for (const name of await caches.keys()) await caches.delete(name);
  localStorage.clear();
}

/** Ends the log-in. What waits is sent first: an entry is never dropped. @returns {Promise<boolean>} false = something still waits */
export async function logOut() {
  await flush();
  if ((await waiting()).length > 0) return false;
  await fetch('/v1/login', { method: 'DELETE' });
  await forgetAnswers();
  return true;
}
