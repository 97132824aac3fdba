/** Elements and nothing else: texts are always text, never markup. */

/**
 * @param {string} name
 * @param {Record<string, string | boolean | EventListener>} attributes  "on..." is a listener; true is an empty attribute
 * @param {...(Node | string | null)} children
 * @returns {HTMLElement}
 */
export function h(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === 'function') element.addEventListener(key.slice(2), value);
    else if (value === true) element.setAttribute(key, '');
    else if (value !== false) element.setAttribute(key, String(value));
  }
  for (const child of children) if (child !== null) element.append(child);
  return element;
}

/**
 * @template {Element} T
 * @param {ParentNode} root
 * @param {string} selector
 * @param {new () => T} type
 * @returns {T}
 */
export function need(root, selector, type) {
  const found = root.querySelector(selector);
  if (!(found instanceof type)) throw new Error(`nothing at ${selector}`);
  return found;
}

/** Says something to everybody, also to screen readers. @param {string} text */
export function tell(text) {
  need(document, '#news', HTMLElement).textContent = text;
}

/** A piece of HTML that the service has written and escaped. @param {string} html @returns {HTMLElement} */
export function piece(html) {
  const parsed = new DOMParser().parseFromString(html, 'text/html');
  const box = h('div');
  box.append(...parsed.body.childNodes);
  return box;
}

/** @param {unknown} error @returns {HTMLElement} */
export function problem(error) {
  return h('p', { class: 'problem', role: 'alert' }, error instanceof Error ? error.message : String(error));
}
