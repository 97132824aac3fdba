/** Numbers and days as the reader writes them. Units of weight are a choice of the reader. */

const locales = navigator.languages;
const comma = new Intl.NumberFormat(locales).format(1.5).includes(',');

/** Reads "7,5" as well as "7.5"; null = not a number. @param {string} text @returns {number | null} */
export function readNumber(text) {
  const plain = text.trim().replace(',', '.');
  return /^\d+(\.\d+)?$/.test(plain) ? Number(plain) : null;
}

/** @param {number} value @param {number} decimals @returns {string} */
export function shown(value, decimals = 2) {
  return new Intl.NumberFormat(locales, { maximumFractionDigits: decimals, useGrouping: false }).format(value);
}

/** Sentences from the service: a number stays with its unit; decimal points become commas where the reader writes commas. @param {Node} root */
export function localise(root) {
  const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode;
    const glued = (node.nodeValue ?? '').replace(/(\d) (kg|lb|%|h|m\/s)/g, '$1\u00a0$2');
    node.nodeValue = comma ? glued.replace(/(\d)\.(\d)/g, '$1,$2') : glued;
  }
}

/** @param {string} day  YYYY-MM-DD @returns {Date} */
export function dateOf(day) {
  const [y, m, d] = day.split('-').map(Number);
  return new Date(y ?? 0, (m ?? 1) - 1, d ?? 1, 12);
}

/** @param {string} day @returns {string} */
export function spokenDay(day) {
  return new Intl.DateTimeFormat(locales, { weekday: 'long', day: 'numeric', month: 'long' }).format(dateOf(day));
}

/** @param {Date} date @returns {string} YYYY-MM-DD */
export function dayOf(date) {
  const two = (/** @type {number} */ n) => String(n).padStart(2, '0');
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

/** 24-hour clock whatever the locale. @param {Date} date @returns {string} */
export function clock(date) {
  return new Intl.DateTimeFormat(locales, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(date);
}

/** First day of the week of the reader: 1 = Monday .. 7 = Sunday. @returns {number} */
export function weekStart() {
  const locale = /** @type {any} */ (new Intl.Locale(locales[0] ?? 'en-GB'));
  const info = typeof locale.getWeekInfo === 'function' ? locale.getWeekInfo() : locale.weekInfo;
  return info?.firstDay ?? 1;
}

const k_kgPerLb = 0.45359237;

/** @returns {'kg' | 'lb' | ''} '' = as the athlete's entry says */
export function units() {
  const kept = localStorage.getItem('units');
  return kept === 'kg' || kept === 'lb' ? kept : '';
}

/** @param {string} unit @param {number} kg @returns {number} */
export function inUnit(unit, kg) {
  return unit === 'lb' ? Math.round((kg / k_kgPerLb) * 2) / 2 : kg;
}

/** "2 \u00d7 25 + 1.25 kg"; a plate that is no multiple of a quarter of a kilogram is a pound plate. @param {number[]} plates_kg */
export function platesText(plates_kg) {
  const names = plates_kg.map((kg) => (Number.isInteger(kg * 4) ? [shown(kg), 'kg'] : [shown(kg / k_kgPerLb, 1), 'lb']));
  const one = new Set(names.map(([, unit]) => unit)).size === 1;
  const parts = [];
  for (let i = 0; i < names.length;) {
    let n = 1;
    while (names[i + n]?.join() === names[i]?.join()) ++n;
    parts.push(`${n > 1 ? `${n} \u00d7 ` : ''}${names[i]?.[0]}${one ? '' : ` ${names[i]?.[1]}`}`);
    i += n;
  }
  return parts.join(' + ') + (one ? ` ${names[0]?.[1]}` : '');
}
