/** Reads. The service worker answers with what was read last when there is no network. */

/** The day of the page: ?date= of the address, else today on this device. @returns {string} */
import { dayOf, units } from './locale.js';

export function day() {
  return new URLSearchParams(location.search).get('date') ?? dayOf(new Date());
}

export class Refused extends Error {
  /** @param {number} status @param {string} message */
  constructor(status, message) {
    super(message);
    this.status = status;
  }
}

/** @param {string} path @returns {Promise<Response>} */
async function read(path) {
  /** @type {Response} */
  let response;
  try {
    response = await fetch(path);
  } catch {
    throw new Refused(0, 'There is no connection, and this was not read before on this device.');
  }
  if (response.ok) return response;
  const why = await response.json().catch(() => ({ detail: response.statusText }));
  throw new Refused(response.status, why.detail ?? response.statusText);
}

/** @param {string} path @returns {Promise<any>} */
export async function json(path) {
  return (await read(path)).json();
}

/** @param {string} path @returns {Promise<string>} */
export async function html(path) {
  const mark = path.includes('?') ? '&' : '?';
  const unit = units();
  return (await read(`${path}${mark}as=html${unit ? `&units=${unit}` : ''}`)).text();
}

/** @param {string} athlete @param {string} rest @returns {string} */
export function of(athlete, rest) {
  return `/v1/athletes/${encodeURIComponent(athlete)}/${rest}`;
}
