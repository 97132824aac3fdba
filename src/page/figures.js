/** The table behind a chart. */

import { h } from './dom.js';
import { shown } from './locale.js';

/**
 * @param {string[]} heads @param {(string | number | null)[][]} rows @param {number} decimals
 * @returns {HTMLElement}
 */
export function figures(heads, rows, decimals) {
  const cell = (/** @type {string | number | null} */ v) => (v === null ? '\u2013' : typeof v === 'number' ? shown(v, decimals) : v);
  return h('details', {}, h('summary', {}, 'The figures'),
    h('table', {}, h('thead', {}, h('tr', {}, ...heads.map((t) => h('th', { scope: 'col' }, t)))),
      h('tbody', {}, ...rows.map((row) => h('tr', {}, h('th', { scope: 'row' }, cell(row[0] ?? null)), ...row.slice(1).map((v) => h('td', {}, cell(v))))))));
}
