// Runs inside every page before its own scripts: what only the page itself can tell.
globalThis.look = (() => {
  const violations = [];
  document.addEventListener('securitypolicyviolation', (event) => {
    const at = event.target instanceof Element ? name(event.target) : 'document';
    violations.push({ directive: event.effectiveDirective, text: `${event.effectiveDirective} blocked ${event.blockedURI} at ${at}` });
  });

  /** A short selector by which a developer finds the element. */
  function name(element) {
    const steps = [];
    for (let at = element; at && steps.length < 3; at = at.parentElement) {
      const classes = [...at.classList].map((one) => `.${one}`).join('');
      steps.unshift(at.localName + (at.id ? `#${at.id}` : classes));
      if (at.id) break;
    }
    return steps.join(' > ');
  }

  function openDetails() {
    for (const details of document.querySelectorAll('details')) details.open = true;
  }

  /** Whether a box between the element and the page scrolls or clips it, so that the page does not. */
  function contained(element) {
    for (let at = element.parentElement; at && at !== document.body; at = at.parentElement) {
      if (getComputedStyle(at).overflowX !== 'visible') return true;
    }
    return false;
  }

  /** Why the page scrolls sideways, or nothing where it does not. */
  function sideways() {
    const { scrollWidth } = document.documentElement;
    if (scrollWidth <= innerWidth) return [];
    const widest = [...document.body.querySelectorAll('*')]
      .map((element) => ({ element, right: element.getBoundingClientRect().right + scrollX }))
      .filter(({ element, right }) => right > innerWidth + 0.5 && !contained(element))
      .reduce((most, one) => (one.right >= most.right ? one : most), { element: document.body, right: 0 });
    return [`the page is ${scrollWidth} px wide, the window ${innerWidth}; ${name(widest.element)} reaches ${Math.round(widest.right)}`];
  }

  function repeatedIds() {
    const seen = new Set();
    const faults = [];
    for (const element of document.querySelectorAll('[id]')) {
      if (seen.has(element.id)) faults.push(`"${element.id}" again at ${name(element.parentElement)} > ${element.localName}`);
      seen.add(element.id);
    }
    return faults;
  }

  /** Drawings that reach beyond the sheet, the window being as wide as its printed area. */
  function drawingsOffSheet() {
    return [...document.querySelectorAll('svg')]
      .map((svg) => ({ svg, box: svg.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 0 && (box.left < -0.5 || box.right > innerWidth + 0.5))
      .map(({ svg, box }) => `${name(svg)} spans ${Math.round(box.left)} to ${Math.round(box.right)} of ${innerWidth} px`);
  }

  /** Markup that would run if the policy let it; the site's own pages have none. */
  function activeMarkup() {
    const faults = [];
    for (const element of document.querySelectorAll('*')) {
      if (/^(iframe|object|embed|base)$/.test(element.localName)) faults.push(name(element));
      for (const { name: attribute, value } of element.attributes) {
        const script = /^\s*(javascript|vbscript|data:text)/i.test(value) && /^(href|src|action|formaction|xlink:href)$/.test(attribute);
        if (script || attribute.startsWith('on') || attribute === 'srcdoc') faults.push(`${name(element)} has ${attribute}="${value}"`);
      }
    }
    return faults;
  }

  return { violations, openDetails, sideways, repeatedIds, drawingsOffSheet, activeMarkup };
})();
